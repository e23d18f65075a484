"""A small window: what is asked, typed, chosen and said is drawn at any size, and a digit answers nothing else."""

from pathlib import Path

import pytest
from bench_hands import Clock, Hands, settled
from rich.cells import cell_len
from textual.pilot import Pilot

from benchtui.bench.app import BenchApp
from benchtui.bench.draw.room import room_at
from benchtui.bench.draw.whole import Drawn, draw_whole
from benchtui.bench.packed import told_apart
from benchtui.bench.pieces import FANCY, Line
from benchtui.desk.asking import ahead
from benchtui.desk.core import Page
from benchtui.desk.start import open_desk
from benchtui.model.naming import part_name
from benchtui.store import Shop

SIZES = [(20, 5), (40, 12), (60, 15), (80, 24)]
sizes = pytest.mark.parametrize("size", SIZES, ids=[f"{w}x{h}" for w, h in SIZES])
Size = tuple[int, int]


def _screen(desk_or_hands: Hands, size: Size) -> Drawn:
    """The screen drawn, every block within its room."""
    drawn = draw_whole(desk_or_hands.desk, *size, FANCY)
    room = drawn.room
    own = 0 if room.shared else 1
    assert room.strip + room.middle + room.legend + 1 + own == size[1]
    rooms = ((drawn.strip, room.strip), (drawn.middle, room.middle), (drawn.legend, room.legend))
    for lines, rows in rooms:
        assert len(lines) <= rows
    for line in [*drawn.strip, *drawn.middle, *drawn.message, *drawn.legend]:
        assert cell_len(_text([line])) <= size[0], _text([line])
    assert len(drawn.message) <= 1
    return drawn


def _text(lines: list[Line]) -> str:
    return "\n".join("".join(text for text, _ in line) for line in lines)


def _words(lines: list[Line]) -> str:
    """The text on one line, so that it may have been wrapped."""
    return " ".join(_text(lines).replace("│", " ").split())


def _digits(lines: list[Line]) -> set[str]:
    """The digits that stand for something on the screen."""
    return {
        style.removeprefix("key@key:") for line in lines for _, style in line if style.startswith("key@key:")
    }


# -- the question -------------------------------------------------------------------------------


@sizes
def test_a_question_is_drawn_with_all_its_digits_or_no_digit_answers_it(
    breakwater: Hands, size: Size
) -> None:
    seen = 0
    for _ in range(12):
        drawn = _screen(breakwater, size)
        clue, before = breakwater.desk.clue, len(breakwater.record["answers"])
        if clue is None or clue.form != "choice":
            breakwater.do("next-clue")
            continue
        wanted = {str(answer.digit) for answer in clue.answers}
        if breakwater.desk.asking.unseen:
            breakwater.do(f"answer-{clue.answers[0].digit}")
            assert breakwater.refused
            assert "larger" in breakwater.said
            assert len(breakwater.record["answers"]) == before
            breakwater.do("ditto")
            assert "larger" in breakwater.said
            breakwater.do("next-clue")
        else:
            assert wanted <= _digits(drawn.middle)
            assert clue.ask.split()[0] in _words(drawn.middle)
            breakwater.do(f"answer-{clue.answers[0].digit}")
            assert len(breakwater.record["answers"]) == before + 1
            seen += 1
    assert seen or size == (20, 5)


@sizes
def test_the_question_of_the_part_that_follows_is_drawn_too(breakwater: Hands, size: Size) -> None:
    while breakwater.desk.asking.asked is not None:
        breakwater.do("next-clue")
    breakwater.grade("VG", "+")
    following = ahead(breakwater.desk)
    assert following is not None
    assert following.asked is not None
    drawn = _screen(breakwater, size)
    words = _words(drawn.middle)
    named = [f"▶ {part_name(breakwater.record, following.part)}", f"▶ {following.asked[0]}"]
    assert any(name in words for name in named), "the place alone where no other part has such a place"
    assert breakwater.desk.asking.unseen == ("larger" in words)
    breakwater.do("answer-1")
    assert (breakwater.part["id"] == following.part["id"]) != breakwater.refused


def test_three_answers_have_room_in_the_smallest_window(demo: Hands) -> None:
    demo.do("line-leave")
    while demo.part["kind"] != "extra":
        demo.do("next-part")
    drawn = _screen(demo, (20, 5))
    assert not demo.desk.asking.unseen
    assert {"1", "2", "3"} <= _digits(drawn.middle)
    assert demo.part["name"] in _words(drawn.middle)
    demo.do("answer-1")
    assert any(part.get("state") == "present" for part in demo.record["parts"])


def test_a_larger_window_lets_the_digits_answer_again(breakwater: Hands) -> None:
    _screen(breakwater, (10, 3))
    assert breakwater.desk.asking.unseen
    breakwater.do("answer-1")
    assert not breakwater.record["answers"]
    _screen(breakwater, (80, 24))
    breakwater.do("answer-1")
    assert len(breakwater.record["answers"]) == 1


def test_answers_are_cut_where_they_first_differ_and_never_read_the_same() -> None:
    texts = [
        "rag and straw, yellow print, unfaded",
        "rag and straw, blue print, unfaded",
        "rag and straw, blue print, stained",
    ]
    for room in (34, 26, 20, 16):
        shown = [told_apart(text, texts, room) for text in texts]
        assert len(set(shown)) == 3, shown
        assert all(cell_len(one) <= room for one in shown)
    assert told_apart(texts[0], texts, 22) == "rag and straw, yellow…"
    assert told_apart(texts[2], texts, 24) == "…blue print, stained"


# -- a line, a list, a word ------------------------------------------------------------------------


@sizes
def test_an_open_line_is_drawn_with_its_list_around_the_marked_one(parcel: Hands, size: Size) -> None:
    parcel.type("baf")
    for _ in range(5):
        drawn = _screen(parcel, size)
        line = parcel.desk.open.line
        assert line is not None
        marked = f"▶F{line.marked + 1} "
        assert marked in _text(drawn.middle)
        assert _text(drawn.label).strip(" …") in "title"
        assert _text(drawn.label).strip()
        parcel.do("line-down")
    assert "Enter" in _text(drawn.legend)


@sizes
def test_a_refused_word_is_said_with_a_line_open_and_without(breakwater: Hands, size: Size) -> None:
    breakwater.do("price-hand").enter("abc")
    assert breakwater.desk.open.line is not None
    drawn = _screen(breakwater, size)
    assert breakwater.said[:8] in _words([*drawn.middle, *drawn.message])
    breakwater.do("line-leave", "not-here", "take-cover", "grade:VG")
    assert breakwater.refused
    drawn = _screen(breakwater, size)
    start = " ".join(breakwater.said.split()[:2])
    assert start in _words([*drawn.middle, *drawn.message])


@sizes
def test_what_is_said_at_length_ends_in_a_sign_where_it_is_cut(breakwater: Hands, size: Size) -> None:
    breakwater.desk.refuse("far too long a word " * 40)
    drawn = _screen(breakwater, size)
    said = _words([*drawn.middle, *drawn.message])
    assert "! far too long" in said
    assert _text(drawn.message).endswith("…")


@sizes
@pytest.mark.parametrize("action", ["fault", "chore", "add-part", "grade-ladder", "terms", "pressing"])
def test_a_list_of_choices_is_drawn_a_part_at_a_time_where_it_must(
    breakwater: Hands, size: Size, action: str
) -> None:
    breakwater.do(action)
    menu = breakwater.desk.open.menu
    assert menu is not None
    seen: set[str] = set()
    for _ in range(len(menu.choices)):
        drawn = _screen(breakwater, size)
        here = _digits(drawn.middle)
        if here >= {choice.key for choice in menu.choices} or (here <= seen and seen):
            break
        seen |= here
        breakwater.do("menu-more")
    assert seen | here >= {choice.key for choice in menu.choices}
    assert menu.title[:8] in _text(drawn.middle)


def test_a_digit_takes_no_choice_that_is_out_of_sight_but_a_letter_known_by_heart_does(
    breakwater: Hands,
) -> None:
    breakwater.do("add-part")
    drawn = _screen(breakwater, (20, 5))
    assert "2" not in _digits(drawn.middle)
    breakwater.key("2")
    assert "does not fit the window" in breakwater.said
    assert breakwater.desk.open.menu is not None
    breakwater.do("menu-more")
    assert "2" in _digits(_screen(breakwater, (20, 5)).middle)
    breakwater.do("menu-leave", "fault")
    _screen(breakwater, (20, 5))
    breakwater.key("w")
    assert breakwater.desk.open.menu is not None
    assert "how bad?" in breakwater.desk.open.menu.title


# -- pages ------------------------------------------------------------------------------------------

PAGES = ["help", "parcels", "parcel", "chores", "record", "why", "result", "rules", "sender", "regrade"]


@sizes
@pytest.mark.parametrize("name", PAGES)
def test_no_page_is_blank_and_every_one_goes_on_below(demo: Hands, size: Size, name: str) -> None:
    demo.do("line-leave")
    demo.desk.open.page = Page(
        name, data={"sender": next(iter(demo.desk.shop.senders))} if name == "sender" else {}
    )
    first = _words(_screen(demo, size).middle)
    assert len(first) > 10
    shown = {first}
    for _ in range(4):
        demo.do("page-down", "page-down")
        shown.add(_words(_screen(demo, size).middle))
    if size == (20, 5) and name not in ("chores", "regrade"):
        assert len(shown) > 1, "the rest is reached by the arrows"


@sizes
def test_every_key_stands_on_one_page_at_80x24_and_can_be_scrolled_to_below(demo: Hands, size: Size) -> None:
    demo.do("line-leave", "help")
    seen = ""
    for _ in range(80):
        seen += _text(_screen(demo, size).middle)
        if size == (80, 24):
            break
        demo.do("page-down")
    for words in ("title", "next part", "runout", "fault", "undo", "leave"):
        assert words in seen, words
    assert "lines more" not in seen or size != (80, 24)


@pytest.mark.parametrize("keymap", ["two-hands", "left-hand", "number-pad"])
def test_no_word_of_the_help_is_cut_at_80x24(demo_path: Path, sit, keymap: str) -> None:  # type: ignore[no-untyped-def]
    hands = sit(demo_path, keymap)
    hands.desk.open.line = None
    hands.desk.open.page = Page("help")
    middle = _screen(hands, (80, 24)).middle
    body = _text(middle[2:])
    assert "…" not in body
    assert "more below" not in body


# -- the keys ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("size", SIZES[1:], ids=["40x12", "60x15", "80x24"])
def test_a_legend_too_short_for_all_says_so_and_how_to_find_the_rest(breakwater: Hands, size: Size) -> None:
    drawn = _screen(breakwater, size)
    last = _text(drawn.legend[-1:])
    assert "…" in last
    assert f"{breakwater.desk.key('help')} " in last.split("…")[1]
    assert f"{breakwater.desk.key('commands')} " in last.split("…")[1]


def test_a_wide_window_shows_every_key_and_no_sign(breakwater: Hands) -> None:
    assert "…" not in _text(_screen(breakwater, (400, 24)).legend)


# -- the first start, and the real screen ---------------------------------------------------------------


@sizes
async def test_the_first_questions_are_asked_at_any_size(tmp_path: Path, size: Size) -> None:
    Shop.create(tmp_path / "new").close()
    desk, notice = open_desk(Shop.open(tmp_path / "new"), None, Clock())
    app = BenchApp(desk, error=notice, first=True)
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        assert "1 of 3" in _on_screen(app)
        assert "GBP" in _on_screen(app)
        await pilot.press("enter")
        await pilot.pause()
        assert "2 of 3" in _on_screen(app)
        assert "F1" in _on_screen(app)
        await pilot.press("enter")
        await pilot.pause()
        assert "3 of 3" in _on_screen(app)
        await pilot.press("enter")
        await pilot.pause()
        assert desk.work.parcel is not None
        assert len(_on_screen(app).split()) > 2
    desk.shop.close()


def _on_screen(app: BenchApp) -> str:
    """What is painted, block by block, within the window."""
    rows = []
    for block in app._blocks:
        region = block.region
        assert region.bottom <= app.size.height
        assert region.right <= app.size.width
        rows += [block.strip(y, region.width).text for y in range(region.height)]
    return "\n".join(rows)


async def test_resized_to_20x5_and_back_everything_is_there_again(demo_path: Path) -> None:
    desk, notice = open_desk(Shop.open(demo_path), None, Clock())
    app = BenchApp(desk, error=notice)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        before = _on_screen(app)
        for width, height in ((20, 5), (40, 12), (20, 5), (7, 2), (1, 1), (60, 15), (80, 24)):
            await _resize(pilot, width, height)
        assert _on_screen(app) == before
        await _resize(pilot, 20, 5)
        assert "5 1" in _on_screen(app), "the line and what is typed in it"
        await pilot.press("W", "E", "enter")
        assert "5 1UE" not in _on_screen(app)
        await pilot.press("escape")
        await pilot.pause()
        assert not app.query_one("#text").region.height
        await _resize(pilot, 80, 24)
        assert app.query_one("#message").region.height == 1
        assert app.query_one("#text").region.height == 1
    desk.shop.close()


async def _resize(pilot: "Pilot[int]", width: int, height: int) -> None:
    await pilot.resize_terminal(width, height)
    await pilot.pause()
    await pilot.pause()


@pytest.mark.parametrize("height", range(1, 45))
def test_the_rows_of_the_blocks_come_to_the_height_of_the_window(height: int) -> None:
    for width in (1, 20, 59, 60, 200):
        room = room_at(width, height)
        rows = room.strip + room.middle + room.legend + (1 if room.shared else 2)
        assert rows == height or height < 3
        assert room.middle >= 1
        assert room.label < width or width < 5
