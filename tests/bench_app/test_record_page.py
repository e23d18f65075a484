"""The page of the record in full: its description and what becomes of an edited one, grades, faults, work."""

from pathlib import Path

import pytest
from bench_hands import TODAY, Hands
from seen import middle_rows, page_rows, prompt_of, shown

from benchtui.bench.pieces import PLAIN, Line, text_of, width_of
from benchtui.desk.core.offers import own
from benchtui.desk.keyboard import perform
from benchtui.desk.record.describing import item_of, wording
from benchtui.export.shots import shots
from benchtui.model.grade import Fault


def lines_of(hands: Hands, width: int = 120) -> list[Line]:
    return page_rows(hands.desk, width, 500, PLAIN)


def page_of(hands: Hands, width: int = 120) -> str:
    return text_of(lines_of(hands, width))


def section(hands: Hands, heading: str) -> list[str]:
    """The lines of one section, without its heading."""
    blocks = page_of(hands).split("\n\n")
    (block,) = [one for one in blocks if one.startswith(heading)]
    return block.splitlines()[1:]


def prose(hands: Hands) -> str:
    """The description as it reads, its lines put together again."""
    lines = [line.removeprefix("| ") for line in section(hands, "Description") if line.startswith("| ")]
    return " ".join(lines)


def fault_of(hands: Hands, fault_id: str) -> Fault:
    return next(fault for fault in hands.desk.references.faults if fault.id == fault_id)


def blame(hands: Hands, fault_id: str, severity: int = 1) -> None:
    """Name the fault of the part in the hand."""
    hands.do("fault").key(fault_of(hands, fault_id).key)
    if hands.desk.open.menu is not None:
        hands.key(str(severity))


@pytest.fixture
def taken(parcel: Hands) -> Hands:
    """A record taken in, gone back to, its page open."""
    parcel.ready().do("take-in")
    parcel.do("line-leave", "jump-record").enter("1").do("record-page")
    return parcel


def edit(hands: Hands, title: str, text: str) -> Hands:
    """Both lines of the description replaced."""
    hands.do("record-edit")
    for words in (title, text):
        assert hands.desk.open.line is not None
        while hands.desk.open.line.text:
            hands.key("backspace")
        hands.enter(words)
    return hands


# -- the description ------------------------------------------------------------------------------


def test_the_page_shows_the_description_as_it_would_go_out(taken: Hands) -> None:
    assert "The Quayside Bafflers: Bafflers on the Breakwater" in prose(taken)
    assert "Graded: disc VG+; cover VG+; inner sleeve VG+ (as arrived, American scale)." in prose(taken)


def test_a_key_goes_through_the_templates_the_shop_s_own_among_them(taken: Hands) -> None:
    folder = taken.desk.shop.path / "templates"
    folder.mkdir()
    (folder / "mine.txt").write_text("{title}\nOnly {catalogue}.", encoding="utf-8")
    taken.do("page-leave", "record-page")
    heads = []
    for _ in range(5):
        heads.append(next(line for line in page_of(taken).splitlines() if line.startswith("Description")))
        taken.do("record-template")
    assert [head.split()[1] for head in heads] == ["long", "short", "bare", "mine", "long"]
    taken.do("record-template", "record-template")
    assert prose(taken) == "Bafflers on the Breakwater Only TW 363."


def test_a_template_that_cannot_be_read_is_said_with_line_and_column_and_the_page_stands(
    taken: Hands,
) -> None:
    folder = taken.desk.shop.path / "templates"
    folder.mkdir()
    (folder / "mine.txt").write_text("{title}\nOnly {catalog}.", encoding="utf-8")
    taken.do("page-leave", "record-page")
    said = " ".join(section(taken, "Description"))
    assert "mine.txt:2" in said
    assert "column 6" in said
    assert "Grades" in page_of(taken)
    taken.do("record-edit")
    assert taken.refused
    assert taken.desk.open.line is None


def test_a_long_text_is_typed_in_as_many_rows_as_there_is_room_for(taken: Hands) -> None:
    taken.do("record-edit", "line-accept")
    line = taken.desk.open.line
    assert line is not None
    for text, rows in (("short", 1), ("word " * 25, 2), ("\u65e5\u672c" * 60, 4), ("word " * 300, 4)):
        line.text = text
        asked = prompt_of(taken.desk, (80, 24)).lines
        typed = [row for row in asked if row[0][1].partition("@")[2].startswith("text")]
        assert len(typed) == rows
        assert all(width_of(row) <= 76 for row in typed)
        seen = text_of(typed).replace("\n", "").rstrip()
        assert text.rstrip().endswith(seen), "the cursor's end of it"
    offsets = [row[0][1].rpartition(":")[2] for row in typed]
    assert offsets == ["0", "76", "152", "228"], "where a click on it is"


def test_the_dealer_s_own_words_are_kept_and_marked_as_edited(taken: Hands) -> None:
    edit(taken, "My title", "Plays [bold]loud[/bold], {no} {{braces}} \\ either")
    kept = taken.record.get("description")
    assert kept is not None
    assert (kept["title"], kept["template"]) == ("My title", "long")
    assert kept["text"] == "Plays [bold]loud[/bold], {no} {{braces}} \\ either"
    assert f"edited {TODAY}, from the long template" in page_of(taken)
    assert prose(taken) == "My title Plays [bold]loud[/bold], {no} {{braces}} \\ either"
    assert "changed" not in page_of(taken)


def test_the_text_is_shown_whole_while_it_is_typed(taken: Hands) -> None:
    taken.do("record-edit").enter()
    taken.type(" and more")
    assert prose(taken).endswith(" and more")
    taken.do("line-leave")
    assert taken.record.get("description") is None
    assert not prose(taken).endswith(" and more")


def test_facts_that_change_under_an_edited_text_are_named_and_the_text_they_make_is_beside_it(
    taken: Hands,
) -> None:
    edit(taken, "My title", "My words.")
    taken.do("page-leave")
    taken.take("cover")
    taken.grade("G")
    taken.do("record-page")
    page = page_of(taken)
    assert "facts have changed since: grades." in page
    assert "My words." in page
    assert "cover G" in page.partition("From today's facts")[2]
    taken.do("record-edit").enter().enter()
    assert "have changed since" not in page_of(taken), (
        "read again and let stand: the words hold for the new facts"
    )
    assert "My words." in page_of(taken)


def test_a_new_price_does_not_make_an_edited_text_untrue(taken: Hands) -> None:
    edit(taken, "My title", "My words.")
    taken.do("page-leave", "price-hand").enter("99").do("record-page")
    assert "have changed since" not in page_of(taken)


def test_dropping_the_edit_makes_the_text_from_the_facts_again(taken: Hands) -> None:
    before = prose(taken)
    taken.do("record-drop")
    assert taken.refused
    edit(taken, "My title", "My words.").do("record-drop")
    assert taken.record.get("description") is None
    assert prose(taken) == before
    taken.do("page-leave", "undo", "record-page")
    assert prose(taken) == "My title My words."


def test_words_left_as_they_were_are_no_edit(taken: Hands) -> None:
    taken.do("record-edit").enter().enter()
    assert taken.record.get("description") is None
    assert "not changed" in taken.said


@pytest.mark.parametrize("blank", ["", "   "])
def test_an_empty_title_or_text_is_refused_and_the_line_stays(taken: Hands, blank: str) -> None:
    taken.do("record-edit")
    assert taken.desk.open.line is not None
    taken.desk.open.line.text = blank
    taken.do("line-accept")
    assert taken.refused
    assert taken.desk.open.line.name == "description-title"
    taken.enter("Title")
    assert taken.desk.open.line.name == "description-text"
    taken.desk.open.line.text = blank
    taken.do("line-accept")
    assert taken.refused
    assert taken.record.get("description") is None


def test_a_text_longer_than_its_template_allows_is_kept_whole_and_said(taken: Hands) -> None:
    taken.do("record-template", "record-edit").enter()
    taken.paste("x" * 400).do("line-accept")
    kept = taken.record.get("description")
    assert kept is not None
    assert kept["text"].endswith("x" * 400)
    assert "over the short template's limit" in taken.said
    assert "characters over the limit" in page_of(taken)


def test_an_unfinished_text_is_there_after_the_bench_was_left(taken: Hands, sit) -> None:  # type: ignore[no-untyped-def]
    taken.do("record-edit").enter()
    taken.type(" half a wo")
    path = taken.desk.shop.path
    taken.leave()
    again = sit(path)
    assert again.desk.open.line is not None
    assert again.desk.open.line.text.endswith(" half a wo")
    again.enter("rd")
    assert again.record["description"]["text"].endswith(" half a word")


def test_the_pages_keys_are_refused_on_another_page(taken: Hands) -> None:
    for verb in (
        "record-edit",
        "record-drop",
        "record-template",
        "record-play",
        "record-grade",
        "record-move",
    ):
        taken.do("page-leave", "parcel-page").do(verb)
        assert taken.refused, verb
        assert taken.desk.open.line is None


# -- grades, faults, work, photographs --------------------------------------------------------------


def test_every_grade_event_stands_with_its_day_and_a_sign_says_which_the_description_claims(
    taken: Hands,
) -> None:
    taken.do("page-leave")
    disc = taken.take("disc")
    taken.do("chore").key("c").do("chores-page", "page-done", "page-leave")
    taken.take("disc")
    taken.grade("NM").do("record-page")
    rows = [line.split() for line in section(taken, "Grades") if line.split()[-5:-4] or "disc" in line]
    discs = [row for row in rows if "disc" in row]
    assert discs == [
        ["disc", "VG+", TODAY, "as", "arrived,", "American", "scale"],
        [PLAIN.done, "disc", "NM", TODAY, "after", "cleaning,", "American", "scale"],
    ]
    assert [event["when"] for event in taken.part["grades"]] == ["arrived", "cleaned"]
    assert taken.part["id"] == disc["id"]


def test_a_grade_above_what_the_faults_allow_is_marked(taken: Hands) -> None:
    taken.do("page-leave")
    taken.take("disc")
    blame(taken, "scratch", 5)
    taken.do("record-page")
    (marked,) = [line for line in section(taken, "Grades") if "above what its faults allow" in line]
    assert "disc" in marked


def test_faults_stand_with_what_they_allow_and_on_what_ground(taken: Hands) -> None:
    taken.do("page-leave")
    taken.take("disc")
    blame(taken, "scuffs", 2)
    severity = fault_of(taken, "scuffs").severities[1]
    taken.do("record-page")
    said = "\n".join(section(taken, "Faults"))
    assert severity.text in said
    assert severity.ceilings["american"] in said
    assert severity.ground.split(";")[0] in " ".join(said.split())
    assert TODAY in said


def test_many_small_faults_say_what_they_come_to_together(taken: Hands) -> None:
    taken.do("page-leave")
    taken.take("cover")
    small = [fault for fault in taken.desk.references.faults if "cover" in fault.parts and not fault.apart]
    for fault in small[:4]:
        blame(taken, fault.id, 1)
    taken.do("record-page")
    assert "together at most" in page_of(taken)


def test_work_stands_with_its_day_its_rule_and_what_to_mind(taken: Hands) -> None:
    assert "Work  ready to sell" in page_of(taken)
    taken.do("page-leave", "chore").key("f")
    taken.take("disc")
    blame(taken, "dust", 1)
    taken.do("record-page")
    page = page_of(taken)
    assert "2 chores left before it is ready to sell" in page
    assert f"since {TODAY}, added by the bench" in page
    assert "no alcohol" in page
    taken.do("page-leave", "chores-page", "page-done", "page-done", "page-leave", "record-page")
    assert f"done {TODAY}" in page_of(taken)
    assert "Work  ready to sell" in page_of(taken)


def test_a_record_not_taken_in_or_set_apart_is_not_ready_to_sell(breakwater: Hands) -> None:
    breakwater.do("record-page")
    assert "ready to sell once it is taken in" in page_of(breakwater)
    breakwater.do("page-leave", "chore").key("m").do("record-page")
    assert "set apart: mould; in nothing that goes to buyers or senders" in page_of(breakwater)


def test_photographs_are_listed_by_file_name_the_number_slip_first(taken: Hands) -> None:
    rows = section(taken, "Photographs")
    assert rows[0].split() == [f"{taken.record['stock']}-00-number-slip.jpg", "number", "slip"]
    listed = [row.split()[0] for row in rows]
    assert listed == [shot.file for shot in shots(item_of(taken.desk, taken.record), wording(taken.desk))]


# -- a later grade ------------------------------------------------------------------------------------


def test_a_later_grade_is_typed_and_a_wrong_one_is_refused_with_the_text_kept(taken: Hands) -> None:
    taken.do("page-leave")
    taken.take("disc")
    taken.do("record-page", "record-grade").enter("VG++")
    assert taken.refused
    assert taken.desk.open.line is not None
    assert taken.desk.open.line.text == "VG++"
    taken.key("backspace").do("line-accept")
    assert taken.desk.open.scope == "page"
    assert taken.part["grades"][-1]["shade"] == "+"


def test_in_a_closed_parcel_a_wrong_grade_and_later_work_are_dated_corrections(
    taken: Hands,
) -> None:
    taken.do("page-leave")
    taken.take("disc")
    taken.do("chore").key("c").do("parcel-page", "page-close").key("1")
    taken.mark(1).do("page-enter")
    taken.take("disc")
    taken.do("record-page", "record-grade").enter("g")
    assert "dated correction" in taken.said
    assert [(event["when"], event["grade"]) for event in taken.part["grades"]] == [("arrived", "G")]
    assert "VG" in str(taken.head["corrections"][-1]["ops"]), "what stood before stays"
    taken.do("page-leave", "chores-page", "page-done")
    assert "dated correction" in taken.said
    assert taken.record["chores"][0]["done"] == TODAY
    taken.do("page-leave")
    taken.take("disc")
    taken.do("record-page", "record-grade").enter("nm")
    assert [(event["when"], event["grade"]) for event in taken.part["grades"]] == [
        ("arrived", "G"),
        ("cleaned", "NM"),
    ]
    edit(taken, "Late title", "Late words.")
    assert prose(taken) == "Late title Late words."
    said = [one["say"] for one in taken.head["corrections"]]
    assert len(said) == 4
    assert said[-1] == "record 1: description edited"
    taken.do("page-leave", "undo")
    assert taken.refused
    assert taken.record.get("description") is not None


# -- how it is drawn ----------------------------------------------------------------------------------


@pytest.mark.parametrize("width", [56, 76, 116])
def test_no_line_is_wider_than_the_page_whatever_was_typed(taken: Hands, width: int) -> None:
    edit(taken, "wide 漢字 " * 12, "no\u2028break \x1b[31m " + "w" * 300 + " 漢" * 90)
    taken.do("page-leave")
    taken.take("disc")
    blame(taken, "scuffs", 2)
    taken.do("record-page")
    assert all(width_of(line) <= width for line in lines_of(taken, width))
    assert "\x1b" not in page_of(taken, width)


def test_choices_over_a_page_are_seen(taken: Hands) -> None:
    taken.do("page-more")
    shown = text_of(middle_rows(taken.desk, 80, 20, PLAIN))
    assert "move the part in hand" in shown
    taken.do("line-leave", "page-leave", "parcel-page", "page-close")
    assert "Close the parcel?" in text_of(middle_rows(taken.desk, 80, 20, PLAIN))


def test_everything_on_the_page_is_reached_by_a_digit(demo_path: Path, sit) -> None:  # type: ignore[no-untyped-def]
    hands = sit(demo_path, "number-pad")
    hands.do("line-leave")
    for _ in range(9):
        if hands.desk.open.menu is None:
            hands.do("commands")
        found = next((one for one in hands.desk.open.menu.choices if one.words.startswith("details")), None)
        if found:
            hands.key(found.key)
            break
        hands.key("0")
    assert hands.desk.open.page is not None
    assert hands.desk.open.page.name == "record"
    hands.do("page-more")
    edit_it = next(one for one in hands.desk.open.menu.choices if one.words.startswith("edit the record"))
    hands.key(edit_it.key)
    assert hands.desk.open.line is not None
    assert hands.desk.open.line.name == "description-title"


def test_in_a_parcel_another_bench_holds_the_page_is_read_and_nothing_on_it_is_changed(
    taken: Hands,
    sit,  # type: ignore[no-untyped-def]
) -> None:
    other = sit(taken.desk.shop.path)
    other.do("record-page")
    assert other.desk.open.page is not None
    assert other.desk.open.page.name == "record"
    before = prose(other)
    other.do("record-template")
    assert prose(other) != before
    for verb in ("record-edit", "record-drop", "record-play", "record-grade", "record-move"):
        other.do(verb)
        assert other.refused, verb
        assert "reading only" in other.said
        assert other.desk.open.line is None
    for action in own(other.desk):
        perform.run(other.desk, action.id)
        other.enter("side A, swish") if other.desk.open.line else None
        if other.desk.open.line:
            other.do("line-leave")
        if other.desk.open.menu:
            other.do("menu-leave")
        other.do("page-leave", "record-page")
    assert other.record == taken.record


@pytest.mark.parametrize("verb", ["record-edit", "record-play", "record-grade", "record-move"])
def test_a_line_opened_on_the_page_says_what_it_wants(taken: Hands, verb: str) -> None:
    taken.desk.say("something said before", "done")
    taken.do(verb)
    assert taken.desk.open.line is not None
    assert taken.desk.open.line.about.split("; ")[0] in " ".join(shown(taken.desk).split())


def test_undo_is_in_the_page_s_list_where_the_map_has_no_key_for_it(demo_path: Path, sit) -> None:  # type: ignore[no-untyped-def]
    hands = sit(demo_path, "number-pad")
    hands.do("line-leave", "commands")
    while not any(one.words.startswith("parcel:") for one in hands.desk.open.menu.choices):
        hands.key("0")
    hands.key(next(one.key for one in hands.desk.open.menu.choices if one.words.startswith("parcel:")))
    before = hands.head["undone"]
    hands.do("page-more")
    while not any(one.words == "undo the last thing done" for one in hands.desk.open.menu.choices):
        hands.key("0")
    hands.key(
        next(one.key for one in hands.desk.open.menu.choices if one.words == "undo the last thing done")
    )
    assert hands.said.startswith("taken back")
    assert hands.head["undone"] == before + 1
