"""A photograph on the bench: which terminal is asked, what it must say, and the way there and back."""

from pathlib import Path

import pytest
from bench_hands import Clock, settled
from PIL import Image
from textual_image.widget import HalfcellImage

from benchtui.bench import picture
from benchtui.bench.app import BenchApp
from benchtui.bench.screens.picture import PictureScreen
from benchtui.desk.session.start import open_desk
from benchtui.store import Shop

RED = (250, 0, 0)


@pytest.mark.parametrize(
    ("installed", "plain", "can_stop", "asked"),
    [
        (True, False, True, True),
        (False, False, True, False),
        (True, True, True, False),  # a dumb terminal, or BENCHTUI_PLAIN
        (True, False, False, False),  # a key script, a browser
    ],
)
def test_the_terminal_is_asked_only_where_its_answer_could_be_used(
    installed: bool, plain: bool, can_stop: bool, asked: bool
) -> None:
    assert picture.worth_asking(installed, plain, can_stop) is asked


@pytest.mark.parametrize(
    ("protocol", "drawn"), [("sixel", True), ("tgp", True), ("halfcell", False), ("unicode", False)]
)
def test_pictures_are_drawn_by_pixels_and_never_by_letters(protocol: str, drawn: bool) -> None:
    assert picture.can_draw(protocol) is drawn


async def test_enter_shows_the_picture_and_escape_leads_back_to_the_list(
    demo_path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    desk, notice = open_desk(Shop.open(demo_path), None, Clock())
    app = BenchApp(desk, error=notice)
    monkeypatch.setattr(picture, "drawer", lambda app, plain: HalfcellImage)
    file, no_picture = tmp_path / "[red].png", tmp_path / "text.png"
    Image.new("RGB", (300, 200), RED).save(file)
    no_picture.write_text("no picture")
    async with app.run_test(size=(80, 24), notifications=False, tooltips=False) as pilot:
        await settled(pilot)
        await pilot.press("escape", "ctrl+d")
        with desk.act("photographs") as change:
            desk.changed(change)["photographs"] = [
                {"digest": str(one), "file": str(one), "shot": "", "at": ""} for one in (file, no_picture)
            ]
        await pilot.press("apostrophe", "enter")
        await settled(pilot)
        shown = app.screen
        assert isinstance(shown, PictureScreen)
        assert str(shown.words.content).startswith("[red].png")
        across = [one.style.bgcolor for one in shown._compositor.render_strips()[10] if one.style]
        assert any(one is not None and tuple(one.triplet or ()) == RED for one in across)
        before = len(desk.work.records)
        await pilot.press("n", "o")
        assert isinstance(app.screen, PictureScreen)
        await pilot.press("escape")
        assert not isinstance(app.screen, PictureScreen)
        assert desk.open.page is not None
        assert (desk.open.page.name, len(desk.work.records)) == ("photographs", before)
        monkeypatch.setattr("benchtui.desk.record.pictures.open_outside", lambda path: None)
        await pilot.press("down", "enter")
        assert not isinstance(app.screen, PictureScreen)
        assert desk.open.message == "text.png opened"
    desk.shop.close()
