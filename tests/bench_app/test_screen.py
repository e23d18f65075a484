"""The screen at 80x24 and 120x40: what the app draws, the one text line, pastes, clicks."""

from pathlib import Path

import pytest
from bench_hands import Clock, Hands, press_all, settled
from rich.cells import cell_len
from same_parcel import canonical
from seen import seen
from textual import events
from textual.pilot import Pilot

from benchtui.bench.app import BenchApp
from benchtui.bench.pieces import FANCY, PLAIN
from benchtui.bench.room import room_at
from benchtui.bench.run import empty_demo, script_path
from benchtui.bench.widgets.listed import Listed
from benchtui.bench.widgets.rows import Rows
from benchtui.desk.keyboard.script import read_script
from benchtui.desk.line.editor import Editor
from benchtui.desk.parcel.parcel import rows
from benchtui.desk.session.resume import resume
from benchtui.desk.session.start import open_desk
from benchtui.store import Shop

SIZES = [(80, 24), (120, 40)]
sizes = pytest.mark.parametrize("size", SIZES, ids=["80x24", "120x40"])


def _app(path: Path) -> BenchApp:
    desk, notice = open_desk(Shop.open(path), None, Clock())
    return BenchApp(desk, error=notice)


def _blocks(app: BenchApp) -> list[Rows]:
    return [one for one in app.screen.query(Rows) if one.display and one.region.area]


def _rows(app: BenchApp, block: str) -> list[str]:
    return ["".join(text for text, _ in line) for line in app.screen.query_one(f"#{block}", Rows).lines]


def _all(app: BenchApp) -> str:
    """Every row of the screen, the titles of its frames and the cells of its tables."""
    found = ["".join(text for text, _ in line) for one in _blocks(app) for line in one.lines]
    found += [str(one.border_title or "") for one in _blocks(app)]
    for table in app.screen.query(Listed):
        found += [" ".join(map(str, table.get_row_at(n))) for n in range(table.row_count)]
    return "\n".join(found)


def _key(app: BenchApp, action: str) -> str:
    key = app.desk.references.keymap.first_key(action)
    assert key is not None
    return key


async def _do(pilot: "Pilot[int]", *actions: str) -> None:
    app = pilot.app
    assert isinstance(app, BenchApp)
    await pilot.press(*(_key(app, action) for action in actions))


def _text(app: BenchApp) -> Editor:
    return app.typing.editor


async def _paste(pilot: "Pilot[int]", text: str) -> None:
    """A paste as a terminal sends it: to the app, which hands it to what has the focus."""
    pilot.app.post_message(events.Paste(text))
    await pilot.pause()


def _fits(app: BenchApp, size: tuple[int, int]) -> None:
    """Every block is on the screen and no line is longer than it."""
    for block in _blocks(app):
        assert block.region.right <= size[0]
        for line in block.lines:
            assert cell_len("".join(text for text, _ in line)) <= block.content_size.width, block.id
        if block.parent is not None and block.parent.id != "body":
            assert block.region.bottom <= size[1]
            assert len(block.lines) <= block.content_size.height, block.id


def _typed(text: str) -> list[str]:
    return [{" ": "space", "-": "minus", ".": "full_stop"}.get(char, char) for char in text]


@sizes
async def test_the_demo_opens_with_the_record_its_part_and_the_word_half_typed(
    demo_path: Path, size: tuple[int, int]
) -> None:
    app = _app(demo_path)
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        _fits(app, size)
        assert "The Salt Almanac" in _all(app)
        assert "Una Dovrick" in _rows(app, "strip")[0]
        assert _text(app).value == "5 1"
        assert app.desk.open.line is not None
        assert _text(app).at == 3
        await pilot.press("U", "E", "enter")
        assert app.desk.work.part is not None
        assert app.desk.work.part["sides"]["A"]["typed"] == "5 1UE"
        assert _text(app).value == ""
        await _do(pilot, "line-leave", "grade:VG", "shade-up")
        assert app.desk.work.part["grades"][-1]["shade"] == "+"
        assert app.desk.open.line is None
        _fits(app, size)
        prompt, room = app.screen.query_one("#prompt", Rows), room_at(*size)
        top, lines = prompt.region.y, prompt.lines
        app.desk.refuse("what is wrong, and what to do about it " * (size[0] * room.message // 30))
        app.show()
        await settled(pilot)
        assert app.screen.query_one("#message").region.height > room.message
        assert (prompt.region.y, prompt.lines) == (top, lines)
        _fits(app, size)
    app.desk.shop.close()


async def test_a_title_line_that_comes_back_lists_what_fits_without_a_key(
    parcel: Hands, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = parcel.type("salf alma").desk.shop.path
    parcel.leave()
    monkeypatch.setattr("benchtui.desk.line.lines.FIRST_SHARE", 0.0)
    app = _app(path)
    async with app.run_test(size=SIZES[0]) as pilot:
        await settled(pilot)
        assert app.desk.open.line is not None
        assert [pick.value.id for pick in app.desk.open.line.picks][:1] == ["tw-almanac"]
    app.desk.shop.close()


async def test_a_parcel_from_the_form_to_stock_and_back_by_keys_alone(empty_path: Path) -> None:
    app, size = _app(empty_path), SIZES[0]
    desk = app.desk
    async with app.run_test(size=size) as pilot:
        await _do(pilot, "page-new")
        await pilot.press(*_typed("odo marl"), "insert", "enter", "2", "enter", "escape", "escape")
        assert [desk.shop.senders[key]["name"] for key in desk.shop.senders][-1] == "odo marl"
        assert len(desk.work.records) == 2
        assert desk.open.line is not None
        await pilot.press(*_typed("baffl"))
        assert "The Quayside Bafflers" in _all(app)
        _fits(app, size)
        await pilot.press("enter", _key(app, "answer-1"), _key(app, "grade:VG"), _key(app, "shade-up"))
        assert desk.work.record is not None
        assert len(desk.work.record["answers"]) == 1
        await _do(pilot, "take-disc", "grade:VG", "runout")
        await pilot.press("1", "enter", "1", "enter", _key(app, "price-hand"), "9", "enter")
        _fits(app, size)
        await _do(pilot, "take-in")
        assert desk.work.records[0]["stock"] == "A00001"
        assert desk.work.record["no"] == 2
        await pilot.press("escape", _key(app, "undo"))
        assert desk.work.records[0]["state"] == "started"
        await _do(pilot, "redo")
        assert desk.work.records[0]["state"] == "taken-in"
        await _do(pilot, "export-day")
        assert list((desk.shop.path / "exports").glob("intake-*.csv"))
        await _do(pilot, "quit")
    assert app.return_code == 0
    desk.shop.close()


@sizes
async def test_every_page_and_every_list_of_choices_is_drawn_within_the_screen(
    demo_path: Path, size: tuple[int, int]
) -> None:
    app = _app(demo_path)
    async with app.run_test(size=size) as pilot:
        await _do(pilot, "line-leave")
        for action in ("why", "help", "parcel-page", "parcels-page", "chores-page"):
            await _do(pilot, action)
            assert app.desk.open.page is not None, action
            _fits(app, size)
            await pilot.press("down", "pagedown", "pagedown", "up")
            _fits(app, size)
            await _do(pilot, "page-leave")
            assert app.desk.open.page is None, action
        for action in (
            "fault",
            "chore",
            "ruling",
            "pressing",
            "add-part",
            "grade-ladder",
            "terms",
        ):
            await _do(pilot, action)
            assert app.desk.open.menu is not None, action
            _fits(app, size)
            words = _all(app)
            shown = sum(choice.words[:12] in words for choice in app.desk.open.menu.choices)
            assert shown == len(app.desk.open.menu.choices), action
            await _do(pilot, "menu-leave")
    app.desk.shop.close()


async def test_a_list_of_several_lines_is_pasted_as_it_is(empty_path: Path) -> None:
    app, size = _app(empty_path), SIZES[0]
    async with app.run_test(size=size) as pilot:
        await _do(pilot, "page-new")
        await pilot.press("escape", _key(app, "page-list"))
        await _paste(pilot, "artist\ttitle\nStavercote\tLong Peal\nNobody\t[Nothing]\n")
        assert app.desk.work.parcel is not None
        assert [line["title"] for line in app.desk.work.parcel.head["list"]] == ["Long Peal", "[Nothing]"]
        assert app.desk.open.line is None
        _fits(app, size)
    app.desk.shop.close()


async def test_signs_that_are_markup_elsewhere_are_shown_literally(demo_path: Path) -> None:
    app, size = _app(demo_path), SIZES[0]
    async with app.run_test(size=size) as pilot:
        await _do(pilot, "line-leave", "find-title")
        await _paste(pilot, "[red] Fennimore - [/] Sluice [b] Songs - PR[1]")
        assert _text(app).value == "[red] Fennimore - [/] Sluice [b] Songs - PR[1]"
        await pilot.press("insert")
        words = _all(app)
        assert "[red] Fennimore" in words
        assert "[/] Sluice [b] Songs" in words
        await _do(pilot, "runout")
        await _paste(pilot, "[B2] ♥ שלום [/x]")
        await pilot.press("enter")
        await _do(pilot, "line-leave")
        assert "[B2] ♥" in _all(app)
        _fits(app, size)
    app.desk.shop.close()


async def test_ten_thousand_pasted_characters_and_several_lines_are_kept_whole(demo_path: Path) -> None:
    app = _app(demo_path)
    async with app.run_test(size=SIZES[0]) as pilot:
        await _do(pilot, "line-leave", "note")
        await _paste(pilot, "first\nsecond\r\n\nthird")
        assert _text(app).value == "first / second / third"
        long = "[x] é " * 1700
        await _paste(pilot, long)
        await pilot.press("enter")
        assert app.desk.work.record is not None
        assert app.desk.work.record["note"] == "first / second / third" + long.strip()
        _fits(app, SIZES[0])
    app.desk.shop.close()


async def test_a_paste_while_no_line_is_open_presses_nothing(demo_path: Path) -> None:
    app = _app(demo_path)
    async with app.run_test(size=SIZES[0]) as pilot:
        await _do(pilot, "line-leave")
        assert app.desk.work.parcel is not None
        before = canonical(app.desk.work.parcel)
        await _paste(pilot, "v\nv\n\\\\")
        assert canonical(app.desk.work.parcel) == before
        assert app.desk.open.tone == "refused"
    app.desk.shop.close()


async def test_the_form_s_next_field_is_marked_even_where_it_holds_what_was_just_typed(
    empty_path: Path,
) -> None:
    """``delivered`` typed as the very day that ``opened`` holds already: typing must still replace it."""
    app = _app(empty_path)
    async with app.run_test(size=SIZES[0]) as pilot:
        await _do(pilot, "page-new")
        assert app.desk.open.page is not None
        await pilot.press("escape")
        app.desk.open.page.marked = [row.id for row in rows(app.desk)].index("delivered")
        await pilot.press("enter", *_typed("2026-11-25"), "enter")
        app.desk.open.page.marked = [row.id for row in rows(app.desk)].index("opened")
        await pilot.press("enter", *_typed("yesterday"), "enter")
        assert app.desk.work.parcel is not None
        assert app.desk.work.parcel.head["delivered"] == "2026-11-25"
        assert app.desk.work.parcel.head["opened"] == "2026-11-24"
    app.desk.shop.close()


async def test_going_through_the_form_typing_replaces_a_field_that_held_the_text_before(
    empty_path: Path,
) -> None:
    app = _app(empty_path)
    async with app.run_test(size=SIZES[0]) as pilot:
        await _do(pilot, "page-new")
        while app.desk.open.line is not None and app.desk.open.line.name != "field-delivered":
            await pilot.press("enter")
        await pilot.press(*_typed("2026-11-25"), "enter", *_typed("yesterday"), "enter")
        assert app.desk.work.parcel is not None
        assert app.desk.work.parcel.head["opened"] == "2026-11-24"
    app.desk.shop.close()


async def test_the_mouse_works_on_the_queue_and_the_legend_though_nobody_needs_it(demo_path: Path) -> None:
    app, size = _app(demo_path), SIZES[0]
    async with app.run_test(size=size) as pilot:
        await _do(pilot, "line-leave")
        target = app.desk.work.records[5]
        x, y = _spot(app, "strip", f"record:{target['id']}")
        await pilot.click("#strip", offset=(x, y))
        assert app.desk.work.record_id == target["id"]
        x, y = _spot(app, "keys", f"key:{_key(app, 'commands')}")
        await pilot.click("#keys", offset=(x, y))
        assert app.desk.open.line is not None
        assert app.desk.open.line.name == "command"
        await pilot.click("#strip", offset=(size[0] - 1, 1))
        assert app.is_running
    app.desk.shop.close()


def _spot(app: BenchApp, block: str, target: str) -> tuple[int, int]:
    for y, line in enumerate(app.screen.query_one(f"#{block}", Rows).lines):
        x = 0
        for text, style in line:
            if style.partition("@")[2] == target:
                return x + (1 if block == "strip" else 0), y
            x += cell_len(text)
    raise AssertionError(f"nothing on {block} has the target {target}")


async def test_the_screen_follows_a_change_of_size_and_theme(demo_path: Path) -> None:
    app = _app(demo_path)
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.resize_terminal(80, 24)
        await pilot.pause()
        _fits(app, (80, 24))
        assert _text(app).value == "5 1"
        await _do(pilot, "line-leave")
        await _do(pilot, "theme", "line-down")
        assert app.theme == "light"
        _fits(app, (80, 24))
        await _do(pilot, "line-leave")
        assert app.theme == "dark"
        await _do(pilot, "theme")
        await pilot.press(*_typed("nord"), "enter")
        assert app.theme == app.desk.settings["theme"] == "nord"
        await pilot.resize_terminal(40, 10)
        await pilot.pause()
        await _do(pilot, "take-disc", "why", "page-leave")
        assert app.is_running
    app.desk.shop.close()


def test_at_every_seventeenth_key_of_a_parcel_all_that_is_drawn_fits_both_sizes(tmp_path: Path) -> None:
    empty_demo(tmp_path / "shop")
    desk, _ = open_desk(Shop.open(tmp_path / "shop"), None, Clock())
    resume(desk)
    hands = Hands(desk)
    steps = read_script(script_path("fifteen")).steps
    for start in range(0, len(steps), 17):
        press_all(hands, steps[start : start + 17])
        for size, glyphs in zip(SIZES, (PLAIN, FANCY), strict=True):
            found = seen(desk, size, glyphs)
            for line in found.lines:
                drawn = "".join(text for text, _ in line)
                assert cell_len(drawn) <= size[0], (steps[start].line, drawn)
                assert "\n" not in drawn
            assert desk.open.sight.answers, steps[start].line
    hands.leave()


async def test_a_row_of_a_list_is_opened_by_the_mouse_as_by_enter(demo_path: Path) -> None:
    app = _app(demo_path)
    async with app.run_test(size=SIZES[1]) as pilot:
        await _do(pilot, "line-leave", "parcels-page", "page-find")
        await pilot.press("z")
        await pilot.click(Listed, offset=(4, 1))  # under the columns' names
        assert app.desk.open.line is not None, "what is typed is not taken by a click beside it"
        await _do(pilot, "line-leave")
        await pilot.click(Listed, offset=(4, 1))
        assert app.desk.open.page is None or app.desk.open.page.name != "parcels"
    app.desk.shop.close()
