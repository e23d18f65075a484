"""Small windows: from 60x16 all can be done; below, the bench says what size it wants and answers nothing."""

from pathlib import Path

import pytest
from bench_hands import Clock, Hands
from rich.cells import cell_len
from seen import page_rows, prompt_of, seen

from benchtui.bench.app import BenchApp
from benchtui.bench.packed import told_apart
from benchtui.bench.pieces import FANCY, text_of, width_of
from benchtui.bench.room import room_at
from benchtui.bench.widgets.foot import given_up
from benchtui.bench.widgets.still_to_come import sums
from benchtui.desk.ask.asking import ahead
from benchtui.desk.line.choices import in_sight
from benchtui.desk.queue import so_far
from benchtui.desk.session.start import open_desk
from benchtui.store import Shop

Size = tuple[int, int]
SIZES: list[Size] = [(60, 16), (70, 20), (80, 24), (100, 30), (120, 40)]
sizes = pytest.mark.parametrize("size", SIZES, ids=["x".join(map(str, size)) for size in SIZES])


def _digits(hands: Hands, size: Size) -> set[str]:
    return {
        style.partition("@key:")[2]
        for line in prompt_of(hands.desk, size).lines
        for _, style in line
        if "@key:" in style
    }


@sizes
def test_every_question_is_drawn_with_all_its_digits(breakwater: Hands, size: Size) -> None:
    for letters in ("label paper", "cover", "rim", "inner"):
        breakwater.ask(letters)
        breakwater.do("line-leave") if breakwater.desk.open.line else None
        clue = breakwater.desk.clue
        if clue is not None and clue.form == "choice":
            assert _digits(breakwater, size) == {str(answer.digit) for answer in clue.answers}
            assert breakwater.desk.open.sight.answers


@sizes
def test_all_that_is_shown_fits_whatever_is_open(demo: Hands, size: Size) -> None:
    for keys in (
        (),
        ("escape",),
        ("x",),
        ("escape", ";"),
        ("escape", "?"),
        ("escape", "home"),
        ("escape", "h"),
    ):
        demo.key(*keys)
        found = seen(demo.desk, size)
        assert all(width_of(line) <= size[0] for line in found.lines), keys
        assert len(found.strip) + len(found.prompt) + len(found.message) + len(found.keys) <= size[1]


@pytest.mark.parametrize("height", [16, 20, 24, 30, 40, 60])
def test_the_parts_of_the_screen_come_to_its_height(height: int) -> None:
    room = room_at(80, height)
    assert room.strip + room.middle + room.prompt + room.message + room.keys == height
    assert room.middle >= 5
    assert room.tallest_prompt >= room.prompt


@sizes
def test_a_list_of_choices_is_shown_a_part_at_a_time_where_it_must(demo: Hands, size: Size) -> None:
    demo.do("line-leave", "fault")
    menu = demo.desk.open.menu
    assert menu is not None
    shown: set[str] = set()
    for _ in range(len(menu.choices)):
        shown |= _digits(demo, size)
        if len(in_sight(demo.desk, demo.desk.open.menu or menu)) == len(menu.choices):
            break
        demo.do("menu-more")
    assert shown >= {choice.key for choice in menu.choices}


def test_answers_are_cut_where_they_first_differ_and_never_read_the_same() -> None:
    texts = [
        "midnight blue, silver print, upright",
        "midnight blue, gold print, upright",
        "midnight blue, gold print, leaning",
    ]
    for room in (34, 26, 20, 16):
        shown = [told_apart(text, texts, room) for text in texts]
        assert len(set(shown)) == 3, shown
        assert all(cell_len(one) <= room for one in shown)
    assert told_apart(texts[0], texts, 22) == "midnight blue, silver…"
    proposed = ["label a1, rim a0, 1957 to 1960 (proposed)", "label a1, rim a0, 1957 (proposed)"]
    assert [told_apart(one, proposed, 25) for one in proposed] == [
        "label… rim… 1957 to 1960…",
        "label …1957 (proposed)",
    ]
    assert told_apart(texts[2], texts, 24) == "…gold print, leaning"


def test_of_names_that_differ_in_two_places_both_are_seen() -> None:
    names = [
        f"{colour} label, flat rim, {no} cover" for colour in ("silver", "gold") for no in ("first", "second")
    ]
    assert [told_apart(name, names, 20) for name in names] == [
        "silver …first cover",
        "silver …second cover",
        "gold …first cover",
        "gold …second cover",
    ]
    assert [told_apart(name, names, 12) for name in names] == [
        "silver …fir…",
        "silver …sec…",
        "gold …first…",
        "gold …secon…",
    ]


def test_a_name_that_ends_in_its_years_keeps_them_whole() -> None:
    names = [
        "reed paper, CUT AT DUNVERSHAL, STEREO, 1967 to 1968 (proposed)",
        "reed paper, ASHORE AND AFLOAT, STEREO, 1967 to 1968 (proposed)",
        "rag paper, CUT AT DUNVERSHAL, STEREO, 1966 (proposed)",
    ]
    assert [told_apart(name, names, 50) for name in names] == [
        "reed paper, CUT…, STEREO, 1967 to 1968 (proposed)",
        "reed…, ASHORE…, STEREO, 1967 to 1968 (proposed)",
        "rag paper, CUT…, STEREO, 1966 (proposed)",
    ]
    for room in (28, 26, 24):
        shown = [told_apart(name, names, room) for name in names]
        assert len(set(shown)) == len(names), shown
        assert all("1967 to 1968" in one or ", 1966" in one for one in shown), shown


def test_long_words_are_cut_where_they_differ() -> None:
    words = ["promotionallabelwithrimword-a", "promotionallabelwithrimword-b"]
    assert [told_apart(word, words, 14) for word in words] == ["…imword-a", "…imword-b"]


async def test_below_its_least_size_the_bench_says_so_and_no_digit_answers(demo_path: Path) -> None:
    desk, notice = open_desk(Shop.open(demo_path), None, Clock())
    app = BenchApp(desk, error=notice)
    async with app.run_test(size=(50, 12)) as pilot:
        await pilot.press(*["backspace"] * 9, "escape")  # no runout is left to go on with
        assert app.screen.query_one("#small").display
        assert not app.screen.query_one("#prompt").region.area
        before = len(desk.work.record["answers"]) if desk.work.record else 0
        await pilot.press("1")
        assert desk.open.tone == "refused"
        await pilot.resize_terminal(60, 16)
        await pilot.pause()
        assert not app.screen.query_one("#small").display
        await pilot.press("1")
        assert desk.work.record is not None
        assert len(desk.work.record["answers"]) == before + 1
    desk.shop.close()


@pytest.mark.parametrize(
    ("over", "free", "taken"),
    [(0, 0, (0, False)), (1, 3, (1, False)), (2, 2, (2, False)), (1, 0, (1, True)), (3, 1, (2, True))],
)
def test_a_long_message_takes_the_prompt_s_free_rows_then_its_lower_edge(
    over: int, free: int, taken: tuple[int, bool]
) -> None:
    assert given_up(over, free) == taken


def test_what_a_parcel_cost_has_one_name_and_is_whole_in_a_narrow_panel(demo: Hands) -> None:
    assert so_far.in_words(demo.desk).endswith(", cost to get here 550.20 GBP")
    for width in (23, 40):
        rows = sums(demo.desk, width, FANCY)
        assert all(width_of(row) <= width for row in rows)
        said = " ".join(text_of(rows).split())
        assert said.count("cost to get here 550.20 GBP") == 1, width


def test_what_is_asked_for_consigned_records_is_not_held_against_the_cost_of_what_was_bought(
    demo: Hands,
) -> None:
    """In a parcel of both they stood in one sum, and in its share of the cost."""
    before = so_far.so_far(demo.desk)
    one = next(one for one in demo.desk.work.records if one["price"])
    assert one["price"] is not None
    price = one["price"]["minor"]
    with demo.desk.act("record 1: terms") as change:
        change.record(one["id"])["terms"] = "consigned"
    now = so_far.so_far(demo.desk)
    assert (now.asked.minor, now.priced) == (before.asked.minor - price, before.priced - 1)
    assert (now.consigned.minor, now.cost) == (price, before.cost)
    shown = now.consigned.show()
    assert f" and {shown} for consigned ones, cost to get here" in so_far.in_words(demo.desk)
    said = " ".join(text_of(sums(demo.desk, 40, FANCY)).split())
    assert f"consigned ones at {shown}" in said
    assert f"{now.asked.minor / now.cost.minor:.0%} (estimate)" in said
    page = text_of(page_rows(demo.do("line-leave", "parcel-page").desk, 100, 60, FANCY))
    assert f"for {now.priced} records; for consigned ones {shown}" in page
    with demo.desk.act("all of them") as change:
        for each in demo.desk.work.records:
            change.record(each["id"])["terms"] = "consigned"
    assert so_far.so_far(demo.desk).asked == before.asked, "where nothing was bought they are what is asked"


def test_what_is_said_in_several_rows_is_not_said_again_below_them(breakwater: Hands) -> None:
    """At 60 columns the sentence stood in the prompt, and once more, cut, in its lower edge."""
    for kind in ("cover", "disc", "inner"):
        breakwater.take(kind)
        breakwater.grade("VG")
    breakwater.do("runout").enter("QX 999 A-1").do("line-leave", "price-hand").enter("12")
    for _ in range(30):
        if breakwater.desk.asking.asked is None and ahead(breakwater.desk) is None:
            break
        breakwater.do("next-clue" if breakwater.desk.asking.asked else "next-part")
    asked = prompt_of(breakwater.desk, (60, 16))
    assert text_of(asked.lines).endswith("it is so")
    assert len(asked.lines) > 1
    assert asked.foot == []


@sizes
def test_the_file_names_of_a_record_without_a_number_fit_the_window(breakwater: Hands, size: Size) -> None:
    """``2026-11-25-1-r-ecd5e308-00-number-slip.jpg`` reached beyond the frame at 60 cells."""
    breakwater.do("add-part").key("6").enter("lyric sheet in three colours, signed").do("record-page")
    page = breakwater.desk.open.page
    assert page is not None
    page.data["wanted"] = "photographs"
    drawn = seen(breakwater.desk, size)
    said = ["".join(text for text, _ in line) for line in drawn.lines]
    assert any("-00-number" in line for line in said)
    assert max(map(cell_len, said)) <= size[0]


def test_a_text_longer_than_its_box_says_how_much_is_out_of_sight(breakwater: Hands) -> None:
    """A remark of 300 letters began in the middle of a word, and nothing said that there was more."""
    breakwater.do("note").type("x" * 120)
    assert "more than are shown" not in text_of([prompt_of(breakwater.desk, (80, 24)).title])
    breakwater.type("x" * 500)
    asked = prompt_of(breakwater.desk, (80, 24))
    shown = sum(len(text) for line in asked.lines if set(text := text_of([line]).strip()) == {"x"})
    more = int(text_of([asked.title]).split("note")[1].split()[0])
    assert "signs more than are shown" in text_of([asked.title])
    assert shown + more - 620 in range(len(asked.lines) + 1), "but for the place of the cursor"
