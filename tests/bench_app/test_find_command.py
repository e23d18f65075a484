"""Typing to find a command: by its name, its sentence, another word for it, with slips; and what Enter then does."""

from pathlib import Path

import pytest
from bench_hands import Hands, Sit, sit_down
from seen import prompt_of

from benchtui.bench.pieces import PLAIN, text_of, width_of
from benchtui.bench.widgets.keyline import draw_legend
from benchtui.desk.core.command import by_id, commands
from benchtui.desk.core.keys import shown
from benchtui.desk.core.offers import everything_here, on_bench
from benchtui.desk.keyboard.find_command import BY_SLIP, rank_of
from benchtui.desk.keyboard.perform import why_not


def _found(hands: Hands, typed: str) -> list[str]:
    """The commands listed for the letters, on the line that is then left again."""
    hands.do("commands" if hands.desk.open.page is None else "page-more").type(typed)
    assert hands.desk.open.line is not None
    found = [pick.value for pick in hands.desk.open.line.picks]
    while hands.desk.open.line.text:
        hands.key("backspace")
    hands.do("line-leave")
    return found


@pytest.fixture
def bench(demo: Hands) -> Hands:
    return demo.do("line-leave")


@pytest.mark.parametrize(
    ("typed", "first"),
    [
        ("runout", "runout"),
        ("fau", "fault"),
        ("matrix", "runout"),
        ("scratch", "fault"),
        ("damage", "fault"),
        ("csv", "export-day"),
        ("settings", "rules-page"),
        ("dark", "theme"),
        ("exit", "quit"),
        ("mistake", "undo"),
        ("price by hand", "price-hand"),
        ("runuot", "runout"),
        ("chroe", "chore"),
        ("pressign", "pressing"),
        ("odds", "why"),
        ("UNDO", "undo"),
    ],
)
def test_a_command_is_found_by_name_sentence_other_word_or_slip(bench: Hands, typed: str, first: str) -> None:
    assert _found(bench, typed)[0] == first


def test_every_command_of_the_bench_is_first_or_second_by_its_own_word(bench: Hands) -> None:
    for action in on_bench():
        ranked = sorted(on_bench(), key=lambda one: 9 if (r := rank_of(action.short, one)) is None else r)
        assert action in ranked[:2], action.id


def test_every_command_of_the_bench_is_known_by_other_words_too() -> None:
    listed = {one.id for one in commands() if one.short and one.where in ("bench", "any") and not one.also}
    assert listed <= {"commands", "explain"}


def test_a_slip_is_no_match_while_something_is_called_so(bench: Hands) -> None:
    found = _found(bench, "note")
    assert found[0] == "note"
    assert all((rank_of("note", by_id()[one]) or 0) < BY_SLIP for one in found)
    assert rank_of("npte", by_id()["note"]) == BY_SLIP


def test_what_can_be_done_now_stands_before_what_is_refused_and_that_says_why(bench: Hands) -> None:
    bench.do("commands")
    assert bench.desk.open.line is not None
    picks = list(bench.desk.open.line.picks)
    assert {pick.value for pick in picks} == {one.id for one in on_bench()}
    refused = [bool(why_not(bench.desk, pick.value)) for pick in picks]
    assert refused == sorted(refused)
    assert True in refused
    for pick, is_refused in zip(picks, refused, strict=True):
        words = "".join(text for text, _ in pick.spans)
        assert ("not now: " in words) is is_refused, words
        key = bench.desk.references.keymap.first_key(pick.value)
        assert pick.end[0] == (shown(key) if key else "")


def test_enter_does_the_marked_one_and_a_function_key_its_row(bench: Hands) -> None:
    bench.do("commands").type("later").do("line-accept")
    assert bench.record["no"] == 8
    assert bench.desk.open.line is not None, "the record's own title line is open now"
    assert bench.desk.open.line.name == "title"
    bench.do("line-leave", "commands").type("record")
    assert bench.desk.open.line is not None
    row = [pick.value for pick in bench.desk.open.line.picks].index("previous-record")
    bench.key(f"f{row + 1}")
    assert bench.record["no"] == 7


def test_a_command_that_opens_a_line_a_list_or_a_page_does_so(bench: Hands) -> None:
    for typed, kind in (("note", "line"), ("fault", "menu"), ("details", "page"), ("grades", "menu")):
        bench.do("commands").enter(typed)
        desk = bench.desk
        opened = {"line": desk.open.line, "menu": desk.open.menu, "page": desk.open.page}
        assert [name for name, one in opened.items() if one is not None] == [kind], typed
        bench.do({"line": "line-leave", "menu": "menu-leave", "page": "page-leave"}[kind])


def test_one_that_is_refused_says_why_and_the_line_stays_as_it_was(bench: Hands) -> None:
    before = bench.record
    bench.do("commands").enter("redo")
    assert bench.refused
    assert "nothing to redo" in bench.said
    assert bench.desk.open.line is not None
    assert (bench.desk.open.line.name, bench.desk.open.line.text) == ("command", "redo")
    assert bench.desk.open.line.replace, "what is typed next takes its place"
    assert bench.record is before
    bench.do("line-leave")
    assert bench.desk.open.line is None


def test_a_word_of_warning_after_it_was_done_leaves_no_line_open(bench: Hands) -> None:
    bench.do("commands").enter("record before")
    assert bench.refused, "the record left behind lacks something"
    assert bench.record["no"] == 6
    assert bench.desk.open.line is None


def test_the_mark_stands_on_the_one_that_is_called_so_though_it_is_refused(bench: Hands) -> None:
    bench.do("later", "line-leave", "commands").type("disc")
    line = bench.desk.open.line
    assert line is not None
    assert line.picks[line.marked].value == "take-disc"
    assert why_not(bench.desk, "take-disc").startswith("the title first; ")
    assert line.marked > 0, "what can be done stands above it"


def test_what_fits_nothing_is_refused_and_stays(bench: Hands) -> None:
    bench.do("commands").enter("xqzvv")
    assert bench.refused
    assert bench.desk.open.line is not None
    assert bench.desk.open.line.text == "xqzvv"


def test_a_record_lacking_something_is_taken_in_by_asking_twice_here_too(bench: Hands) -> None:
    bench.do("commands").enter("taken in")
    assert "lacks" in bench.said
    assert bench.record["state"] != "taken-in"
    no = bench.record["no"]
    bench.do("line-accept")
    assert bench.at(no)["state"] == "taken-in"
    assert bench.desk.open.line is None or bench.desk.open.line.name == "title"


def test_after_a_command_no_line_is_left_on_the_disk(bench: Hands) -> None:
    for typed in ("why", "next part", "runout", "quit"):
        bench.do("commands").enter(typed)
        assert bench.desk.work.parcel is not None
        draft = bench.desk.work.parcel.head["draft"]
        assert (draft["line"] if draft else None) == (
            bench.desk.open.line.name if bench.desk.open.line else None
        )
        bench.do("line-leave") if bench.desk.open.line else None
        bench.do("page-leave") if bench.desk.open.page else None


def test_from_a_page_to_a_new_parcel_no_line_stays_with_the_old_one(bench: Hands, sit: Sit) -> None:
    old = bench.desk.work.parcel
    assert old is not None
    bench.do("parcel-page", "page-more").enter("new parcel")
    assert bench.desk.work.parcel is not None
    assert bench.desk.work.parcel.id != old.id
    assert bench.desk.open.line is not None
    assert bench.desk.open.line.name == "field-sender"
    assert bench.desk.shop.open_parcel(old.id, read_only=True).head["draft"] is None


@pytest.mark.parametrize(
    "page", ["", "parcel", "record", "why", "result", "sender", "chores", "rules", "help"]
)
def test_it_is_where_it_was_after_a_crash_with_the_page_it_was_opened_on(
    page: str, demo_path: Path, tmp_path: Path
) -> None:
    import shutil

    hands = sit_down(demo_path).do("line-leave")
    opened = {"": "", "parcel": "parcel", "record": "details", "why": "why", "chores": "work list"}
    if opened.get(page, page):
        hands.do("commands").enter({"result": "parcel", "sender": "parcel", "rules": "reckoning",
                                    "help": "keys"}.get(page, opened.get(page, page)))  # fmt: skip
    if page in ("result", "sender"):
        hands.do(f"{page}-page")
    assert (hands.desk.open.page.name if hands.desk.open.page else "") == page
    hands.do("page-more" if page else "commands").type("sel")
    assert hands.desk.open.line is not None
    picks = [pick.value for pick in hands.desk.open.line.picks]
    copy = Path(shutil.copytree(demo_path, tmp_path / "after"))
    hands.leave()
    again = sit_down(copy)
    line = again.desk.open.line
    assert line is not None
    assert (line.name, line.text) == ("command", "sel")
    assert (again.desk.open.page.name if again.desk.open.page else "") == page
    assert [pick.value for pick in line.picks] == picks
    again.do("line-accept")
    assert again.desk.open.line is not None
    assert again.desk.open.line.name == "sell"
    again.leave()


def test_after_a_crash_the_marked_record_is_the_one_the_command_is_for(
    demo_path: Path, tmp_path: Path
) -> None:
    import shutil

    hands = sit_down(demo_path).do("line-leave", "parcel-page").mark(12).do("page-more").type("take out")
    gone = hands.at(12)["id"]
    copy = Path(shutil.copytree(demo_path, tmp_path / "after"))
    hands.leave()
    again = sit_down(copy).do("line-accept")
    assert "record 12 taken out" in again.said
    assert gone not in [record["id"] for record in again.desk.work.records]
    again.leave()


def test_on_a_page_its_own_commands_come_first_and_the_bench_s_ways_too(bench: Hands) -> None:
    bench.do("parcel-page", "page-more")
    assert bench.desk.open.line is not None
    found = [pick.value for pick in bench.desk.open.line.picks]
    assert found[0] == "page-add"
    assert {"page-list", "page-close", "result-page", "sender-page", "page-enter", "search", "help"} <= set(
        found
    )
    bench.do("line-leave")
    assert _found(bench, "profit") == ["result-page", "year-page"]
    bench.do("page-more").enter("work list")
    assert bench.desk.open.page is not None
    assert bench.desk.open.page.name == "chores"


@pytest.mark.parametrize("name", ["left-hand", "number-pad"])
def test_with_one_hand_a_page_lists_all_it_can_do_by_digits(name: str, demo_path: Path, sit: Sit) -> None:
    hands = sit(demo_path, name).do("line-leave")
    hands.desk.open.page = None
    from benchtui.desk.keyboard.perform import run

    run(hands.desk, "parcel-page")
    hands.do("page-more")
    seen: list[str] = []
    for _ in range(4):
        menu = hands.desk.open.menu
        assert menu is not None
        assert {one.key for one in menu.choices} <= set("1234567890")
        seen += [one.words for one in menu.choices]
        hands.do("answer-0") if menu.choices[-1].key == "0" else None
    for action in (
        "page-add",
        "page-list",
        "page-close",
        "result-page",
        "sender-page",
        "page-enter",
        "page-undo",
    ):
        assert by_id()[action].words in seen, action


@pytest.mark.parametrize(("width", "height"), [(80, 24), (120, 40), (60, 16)])
def test_the_list_fits_the_screen_and_the_marked_one_is_always_in_sight(
    bench: Hands, width: int, height: int
) -> None:
    for page in ("", "parcel-page"):
        bench.do(page) if page else None
        bench.do("page-more" if page else "commands")
        line = bench.desk.open.line
        assert line is not None
        for _ in range(len(line.picks)):
            rows = prompt_of(bench.desk, (width, height), PLAIN).lines
            assert all(width_of(row) <= width for row in rows)
            name = by_id()[line.picks[line.marked].value]
            marked = [row for row in text_of(rows).splitlines() if row.lstrip().startswith(PLAIN.here)]
            assert any((name.short or name.words)[:8] in row for row in marked), (name.id, marked)
            bench.do("line-down")
        bench.do("line-leave")


def test_key_and_sentence_are_seen_at_80_columns(bench: Hands) -> None:
    bench.do("commands").type("fault")
    shown_rows = text_of(prompt_of(bench.desk, (80, 24)).lines).splitlines()
    row = next(row for row in shown_rows if "F1 fault" in row)
    assert by_id()["fault"].words in row
    assert row.rstrip().endswith(" x")
    about = text_of([prompt_of(bench.desk).foot])
    assert about.strip() == "a few letters of it; Enter runs the marked command, F1 to F8 a row"


def test_everything_here_has_no_two_names_for_one_deed(bench: Hands) -> None:
    for page in ("", "parcel-page", "record-page"):
        bench.do(page) if page else None
        names = [one.id for one in everything_here(bench.desk)]
        assert len(names) == len(set(names))
        assert not {"result-rules", "rules-page"} <= set(names)
        bench.do("page-leave") if page else None


@pytest.mark.parametrize("page", ["parcel-page", "record-page", "parcels-page", "chores-page", "why"])
def test_the_year_is_found_on_every_page_before_the_closing_of_books(bench: Hands, page: str) -> None:
    found = _found(bench.do(page), "the year")
    assert by_id()[found[0]].short == "the year"


@pytest.mark.parametrize(
    "page", ["", "parcel-page", "record-page", "parcels-page", "why", "chores-page", "help"]
)
def test_the_key_that_lists_everything_is_in_the_legend_at_80_columns(page: str, bench: Hands) -> None:
    bench.do(page) if page else None
    assert (". more" if page else ". menu") in text_of(draw_legend(bench.desk, 80))


def test_letters_that_fit_no_command_are_said_to_fit_none(bench: Hands) -> None:
    bench.do("commands").type("qzx")
    line = bench.desk.open.line
    assert line is not None
    assert (list(line.picks), line.about.startswith("no command fits")) == ([], True)
    bench.key("backspace").key("backspace").key("backspace")
    assert not line.about.startswith("no command fits")


def test_a_command_of_another_place_is_said_to_work_there(bench: Hands) -> None:
    bench.do("why", "page-more").type("credit note")
    line = bench.desk.open.line
    assert line is not None
    assert line.about == "no command fits: credit note works on the bench; Escape leaves"
    bench.do("line-accept")
    assert "'credit note': credit note works on the bench" in bench.said


def test_the_finder_s_key_finds_from_the_empty_title_line_and_is_a_letter_in_any_other(parcel: Hands) -> None:
    assert parcel.desk.open.line is not None
    assert parcel.desk.open.line.name == "title"
    parcel.type("No").key("full_stop")
    assert parcel.desk.open.line.text == "No."
    parcel.key("backspace", "backspace", "backspace", "full_stop")
    assert parcel.desk.open.line.name == "command"
    parcel.key("escape")
    assert parcel.desk.open.scope in ("bench", "line")


def test_photograph_on_the_record_s_page_finds_its_pictures_and_the_work(sit: Sit, demo_path: Path) -> None:
    hands = sit(demo_path).do("line-leave", "jump-record").enter("5").do("record-page", "page-more")
    hands.type("photograph")
    shown = text_of(prompt_of(hands.desk, (80, 24)).lines)
    assert "not now: none yet: benchtui photographs FOLDER " in shown, "whole at 80 cells"
    assert "the work list over all parcels" in shown, "where the chore is done"
