"""The sender's own list, read from CSV or pasted: ticked off by the records, short and over said at the close."""

from pathlib import Path
from typing import Any

import pytest
from bench_hands import Hands

from benchtui.desk.keyboard.key_line import word
from benchtui.desk.keyboard.typing import Typing
from benchtui.desk.look.sender_list import read_pasted
from benchtui.desk.parcel.closing import short_or_over
from benchtui.desk.parcel.parcel import rows, take_list
from benchtui.export.report import count_of
from benchtui.model.parcel import new_head
from benchtui.model.record import empty_record

LIST = "artist,title,number\nQuayside Bafflers,on the Breakwater,\nStavercote,Long Peal,BMD 161\nNobody,Nothing at all,ZZ 1\n"


def _open(hands: Hands) -> Hands:
    return hands.do("line-leave", "parcel-page", "page-list")


def _ticked(hands: Hands) -> list[int | None]:
    by_id = {record["id"]: record["no"] for record in hands.desk.work.records}
    return [by_id.get(line["record"]) for line in hands.head["list"]]


def test_a_csv_file_beside_the_shop_is_read_by_its_name(parcel: Hands) -> None:
    _open(parcel).enter("dovrick-list.csv")
    lines = parcel.head["list"]
    assert len(lines) == 14
    assert lines[0] == {
        "line": "Ebbet Wragge, Fog in the Spyglass, TW 312, VG", "artist": "Ebbet Wragge",
        "title": "Fog in the Spyglass", "catalogue": "TW 312", "grade": "VG", "record": None,
    }  # fmt: skip


def test_a_csv_file_is_read_by_its_whole_path_with_columns_in_any_order(
    parcel: Hands, tmp_path: Path
) -> None:
    path = tmp_path / "one list.csv"
    path.write_text("\ufeffgrade;title;artist\nVG;Wreckwood;Ambleday Five\n", encoding="utf-8")
    _open(parcel).enter(str(path))
    (line,) = parcel.head["list"]
    assert (line["artist"], line["title"], line["grade"]) == ("Ambleday Five", "Wreckwood", "VG")


@pytest.mark.parametrize("between", ["\t", ";", ","])
def test_pasted_lines_may_have_any_usual_sign_between_their_cells(parcel: Hands, between: str) -> None:
    _open(parcel).paste(f"Stavercote{between}Long Peal{between}BMD 161\nWreckwood\n").do("line-accept")
    assert [(line["artist"], line["title"]) for line in parcel.head["list"]] == [
        ("Stavercote", "Long Peal"), ("", "Wreckwood"),
    ]  # fmt: skip


def test_headings_in_a_list_are_no_records_and_are_told(parcel: Hands) -> None:
    _open(parcel).paste(
        "A list of the autumn.\nNORTH.\nArtist,Title,Number,Year,Cond.\nStavercote,Long Peal,BMD 161,1961,VG\n"
        "SOUTH.\nArtist,Title,Number,Year,Cond.\nAmbleday Five,Wreckwood,,,\nAlso (no number):.\nNobody,Nothing at all\n"
    ).do("line-accept")
    assert [(line["artist"], line["title"], line["grade"]) for line in parcel.head["list"]] == [
        ("Stavercote", "Long Peal", "VG"), ("Ambleday Five", "Wreckwood", ""), ("Nobody", "Nothing at all", ""),
    ]  # fmt: skip
    assert "headings, no records: A list of the autumn.; NORTH.; SOUTH.; Also (no number):." in parcel.said


def test_the_letter_around_a_list_is_no_record_and_is_told() -> None:
    found = read_pasted(
        "Dear Una, here are the records:\nDear Harriet, Long Peal, BMD 161\nKreel, Hello\nBest regards, Hester\n"
    )
    assert [line["title"] for line in found.lines] == ["Long Peal", "Hello"]
    assert found.headings == ["Dear Una, here are the records:", "Best regards, Hester"]


def test_a_year_in_the_place_of_number_or_grade_is_a_year() -> None:
    found = read_pasted(
        "Osier Six, Nine Gates, QL 115, 1965\nPlover Teeth, Saltmarsh (QL 101), c1967\nKreel, Hello, 12\n"
    )
    assert [(line["title"], line["catalogue"], line.get("first"), line["grade"]) for line in found.lines] == [
        ("Nine Gates", "QL 115", "1965", ""), ("Saltmarsh", "QL 101", "1967~", ""), ("Hello", "12", None, ""),
    ]  # fmt: skip


def test_sums_in_words_and_yours_are_no_records() -> None:
    sums = [
        "Total: twelve pounds fifty",
        "in all 4 records, £12.50",
        "10 LPs at 4.20 each = £42",
        "yours, O.",
    ]
    found = read_pasted("Kreel - Hello - KR 2\nOsier Six - In All Weathers - KR 3\n" + "\n".join(sums))
    assert [line["title"] for line in found.lines] == ["Hello", "In All Weathers"]


def test_a_letter_s_end_and_copies_counted_in_words_are_read_as_meant() -> None:
    """The name and street beneath "With kind regards" were two records, two copies were one."""
    found = read_pasted(
        "Kreel, Hello\nTwo copies of Long Peal, BMD 161\nWith kind regards,\nHester Vole\n4, Mill Lane\n"
    )
    assert [line["artist"] for line in found.lines] == ["Kreel", "Long Peal", "Long Peal"]
    assert found.headings == ["With kind regards", "Hester Vole", "4, Mill Lane"]


def test_the_sentences_of_a_letter_are_no_records_and_lines_with_commas_are_read_by_their_look() -> None:
    found = read_pasted(
        "greetings from a wet Varnold, 3 May seems a long time ago!\n"
        "as I said on the phone, these came from my uncle\n"
        "Brack Lowell - Iron Lid, GF 15, VG+, 1967\n"
        "Wendel Marrish - Copper Orchard (PL 101) 1963, bag looks odd\n"
        "Brack Lowell: Quiet Mill (GF 11, 1965)\n"
        "Oda Brisk - Eleven Gates (PLS 109) c1967\n"
        "Corvel Sisters, Songs I Sing For You, PL 126\n"
        "Total 5 records, 20 pounds\n"
    )
    assert len(found.headings) == 3
    assert [
        (one["artist"], one["title"], one["catalogue"], one.get("first", ""), one["grade"])
        for one in found.lines
    ] == [
        ("Brack Lowell", "Iron Lid", "GF 15", "1967", "VG+"),
        ("Wendel Marrish", "Copper Orchard", "PL 101", "1963", "bag looks odd"),
        ("Brack Lowell", "Quiet Mill", "GF 11", "1965", ""),
        ("Oda Brisk", "Eleven Gates", "PLS 109", "1967~", ""),
        ("Corvel Sisters", "Songs I Sing For You", "PL 126", "", ""),
    ]


def test_the_exact_title_takes_its_line_from_a_record_that_answers_it_less_well(parcel: Hands) -> None:
    _open(parcel).paste("Kreel,Staircase Suite,QF 17\nKreel,The Ninth Staircase,LR 219\n")
    parcel.do("line-accept", "page-leave").enter("Kreel - Staircase Suites - LR 300").do("later")
    assert _ticked(parcel) == [1, None], "but for a slip the words are the line's"
    parcel.find("Kreel - The Ninth Staircase - LR 219").do("later").find("Kreel - Staircase Suite - QF 17")
    assert _ticked(parcel) == [3, 2]


def test_a_line_tied_by_hand_is_taken_by_no_other_record(parcel: Hands) -> None:
    _open(parcel).paste(LIST).do("line-accept", "page-leave").find("gan").do("parcel-page")
    assert parcel.desk.open.page is not None
    parcel.desk.open.page.marked = [row.kind for row in rows(parcel.desk)].index("list") + 1
    parcel.do("page-enter").key("1").do("page-leave", "later")
    parcel.find("lo")
    assert _ticked(parcel) == [None, 1, None]


@pytest.mark.parametrize("text", ["no-such-list.csv", "artist,title\n"])
def test_a_list_that_cannot_be_read_is_refused_and_the_text_kept(parcel: Hands, text: str) -> None:
    _open(parcel).paste(text).do("line-accept")
    assert parcel.refused
    assert parcel.desk.open.line is not None
    assert parcel.desk.open.line.text == text
    assert parcel.head["list"] == []


def test_a_list_that_is_no_text_is_refused(parcel: Hands, tmp_path: Path) -> None:
    (tmp_path / "picture.csv").write_bytes(b"\x89PNG\r\n\x1a\n\x00\x00\xff")
    _open(parcel).enter(str(tmp_path / "picture.csv"))
    assert parcel.refused
    assert parcel.head["list"] == []


def test_lines_are_ticked_off_as_records_turn_up_and_given_back_when_the_title_changes(parcel: Hands) -> None:
    _open(parcel).paste(LIST).do("line-accept", "page-leave")
    parcel.find("baf")
    assert _ticked(parcel) == [1, None, None]
    parcel.do("later").find("lo")
    assert _ticked(parcel) == [1, 2, None]
    parcel.find("wre")
    assert _ticked(parcel) == [1, None, None]
    parcel.do("undo")
    assert _ticked(parcel) == [1, 2, None]


def test_a_list_that_comes_later_ticks_the_records_already_there(parcel: Hands) -> None:
    parcel.find("lo").do("parcel-page", "page-list").paste(LIST).do("line-accept")
    assert _ticked(parcel) == [None, 1, None]


def test_a_list_in_place_of_one_with_ticks_is_asked_about_and_its_text_kept(parcel: Hands) -> None:
    parcel.find("baf").do("parcel-page", "page-list").enter("Quayside Bafflers - On the Breakwater")
    assert _ticked(parcel) == [1]
    parcel.do("page-list").enter("Nobody - Nothing at all").key("x")
    line = parcel.desk.open.line
    assert (_ticked(parcel), line and line.text) == ([1], "Nobody - Nothing at all")
    parcel.do("line-accept").key("1")
    assert _ticked(parcel) == [None]
    parcel.do("page-list").enter("Nobody - Nothing else")
    assert (parcel.desk.open.menu, _ticked(parcel)) == (None, [None]), "nothing ticked is lost"


def test_what_only_the_list_names_can_be_picked_and_becomes_a_title_of_the_shop(parcel: Hands) -> None:
    _open(parcel).paste(LIST).do("line-accept", "page-leave")
    parcel.type("nobody no")
    assert parcel.desk.open.line is not None
    row = [pick.value.id for pick in parcel.desk.open.line.picks].index("") + 1
    parcel.do(f"pick-{row}")
    title = parcel.record["title"]
    assert title is not None
    assert (title["artist"], title["title"], title["catalogue"]) == ("Nobody", "Nothing at all", "ZZ 1")
    assert _ticked(parcel) == [None, None, 1]
    assert any(made["title"] == "Nothing at all" for made in parcel.desk.shop.made_titles())


@pytest.mark.parametrize(
    "text",
    ["Nobody - Nothing at all - ZZ 1 - 1958", "Artist,Title,Number,Year\nNobody,Nothing at all,ZZ 1,about 1958",
     "Nobody - Nothing at all (ZZ 1) 1958\n2. Hester - Bells - ZZ 2 - '59"],
)  # fmt: skip
def test_the_year_of_a_line_is_the_first_issue_of_the_title_made_of_it(parcel: Hands, text: str) -> None:
    _open(parcel).paste(text).do("line-accept", "page-leave")
    parcel.find("nobody no")
    made = parcel.desk.shop.made_titles()[-1]
    assert (made["title"], made["catalogue"], made["first"][:4]) == ("Nothing at all", "ZZ 1", "1958")


def test_number_and_year_typed_with_a_line_of_the_list_stay_with_the_new_title(parcel: Hands) -> None:
    _open(parcel).paste("Tansell & Brume,Home-made Looking Thing,\n").do("line-accept", "page-leave")
    parcel.type("Tansel & Brume - Homemade Looking Thing - ZP 12 - 1953")
    assert parcel.desk.open.line is not None
    assert "number ZP 12 and first issued 1953" in parcel.desk.open.line.about
    parcel.do("line-accept")
    title = parcel.record["title"]
    assert title is not None
    assert (title["artist"], title["title"], title["catalogue"]) == (
        "Tansel & Brume", "Homemade Looking Thing", "ZP 12",
    )  # fmt: skip
    made = parcel.desk.shop.made_titles()[-1]
    assert (made["catalogue"], made["first"]) == ("ZP 12", "1953")
    assert _ticked(parcel) == [1]


def test_enter_on_an_open_line_ties_it_to_the_record_at_hand_after_asking_where_nothing_is_alike(
    parcel: Hands,
) -> None:
    _open(parcel).paste(LIST).do("line-accept", "page-leave")
    parcel.find("gan")
    assert _ticked(parcel) == [None, None, None]
    parcel.do("parcel-page")
    assert parcel.desk.open.page is not None
    parcel.desk.open.page.marked = [row.kind for row in rows(parcel.desk)].index("list") + 2
    before = short_or_over(parcel.head, parcel.desk.work.records)
    parcel.do("page-enter")
    assert _ticked(parcel) == [None, None, None]
    assert parcel.desk.open.menu is not None
    (only,) = parcel.desk.open.menu.choices
    assert only.ends[0] == "not alike: artist, title, number"
    parcel.key("1")
    assert _ticked(parcel) == [None, None, 1]
    after = short_or_over(parcel.head, parcel.desk.work.records)
    assert any("Nothing at all" in said for said in before)
    assert not any("Nothing at all" in said or "Gannet" in said for said in after)
    parcel.do("page-undo")
    assert _ticked(parcel) == [None, None, None]


def test_enter_on_a_ticked_line_goes_to_its_record(parcel: Hands) -> None:
    parcel.find("lo").do("later", "line-leave", "parcel-page", "page-list").paste(LIST).do("line-accept")
    assert parcel.desk.open.page is not None
    parcel.desk.open.page.marked = [row.kind for row in rows(parcel.desk)].index("list") + 1
    parcel.do("page-enter")
    assert parcel.record["no"] == 1


def test_what_was_taken_out_of_the_parcel_came_neither_in_the_note_nor_in_the_report() -> None:
    """Of three announced two are there and one was taken out: the note said 3 came, the report 2."""
    states = ("taken-in", "withdrawn", "taken-in")
    records: list[Any] = [{**empty_record(no), "state": state} for no, state in enumerate(states, 1)]
    head = {**new_head("2026-11-25-1"), "expected": 3}
    said = short_or_over(head, records)  # type: ignore[arg-type]
    assert said[0] == "3 records were expected, 2 came: 1 fewer."
    assert said[1] == "Kept back: record 2: taken out of the parcel."
    assert count_of(head, records).say == "3 announced, 2 came: 1 short"  # type: ignore[arg-type]


def test_closing_says_what_is_short_and_what_is_over_and_leaves_a_note_for_the_sender(parcel: Hands) -> None:
    _open(parcel).paste(LIST).do("line-accept", "page-leave")
    parcel.ready("baf").do("take-in").ready("wre").do("take-in")
    said = short_or_over(parcel.head, parcel.desk.work.records)
    assert len(said) == 4
    assert "3 records were expected, 2 came" in said[0]
    assert "Long Peal" in said[1]
    assert "Nothing at all" in said[2]
    assert "Wreckwood" in said[3]
    parcel.do("line-leave", "parcel-page", "page-close").key("1")
    assert parcel.head["state"] == "closed"
    assert len(parcel.desk.work.records) == 2, "the empty place is gone"
    (note,) = (parcel.desk.shop.path / "exports").glob("note-*.txt")
    text = note.read_text("utf-8")
    assert all(line in text for line in said)
    assert "Una Dovrick" in text


def test_a_parcel_that_holds_what_was_promised_leaves_no_note(parcel: Hands) -> None:
    _open(parcel).paste("Quayside Bafflers,on the Breakwater\nStavercote,Long Peal\nAmbleday,Wreckwood\n")
    parcel.do("line-accept", "page-leave")
    for letters in ("baf", "lo", "wre"):
        parcel.ready(letters).do("take-in")
    parcel.do("parcel-page", "page-close").key("1")
    assert parcel.head["state"] == "closed"
    assert not list((parcel.desk.shop.path / "exports").glob("note-*"))


def test_a_closed_parcel_refuses_every_change_and_can_be_looked_at(breakwater: Hands) -> None:
    breakwater.do("parcel-page", "page-close").key("1")
    breakwater.mark(1).do("page-enter")
    before = breakwater.head["revision"]
    for action in ("grade:VG", "answer-1", "undo", "not-here", "take-in"):
        breakwater.do(action)
        assert breakwater.refused, action
    assert breakwater.head["revision"] == before
    breakwater.do("take-disc")
    assert breakwater.part["kind"] == "disc"


def test_the_queue_and_the_list_of_a_closed_parcel_stand_still(breakwater: Hands) -> None:
    breakwater.do("parcel-page", "page-close").key("1")
    breakwater.mark(1)
    for action in ("page-list", "page-add", "page-out", "page-earlier", "page-close"):
        breakwater.do(action)
        assert breakwater.refused, action
        assert breakwater.desk.open.line is None, action
        assert breakwater.desk.open.menu is None, action


def test_a_word_typed_slowly_on_the_page_closes_no_parcel(breakwater: Hands) -> None:
    breakwater.do("parcel-page").burst("cocoa", apart=0.7)
    assert breakwater.head["state"] == "open"
    breakwater.do("line-leave", "parcel-page").burst("coc 1", apart=0.7)
    assert breakwater.head["state"] == "open"
    assert breakwater.desk.open.menu is None
    breakwater.do("page-close").key("x")
    assert breakwater.said == "x is not one of the choices, which are 1 2: the parcel stays open"


def test_a_parcel_opened_by_a_word_typed_on_the_page_is_left_by_undo(breakwater: Hands) -> None:
    first, count = breakwater.head["id"], len(breakwater.desk.work.records)
    breakwater.do("parcel-page").mark(1).burst("orrin", apart=0.4)
    made = breakwater.head["id"]
    assert made != first
    breakwater.do("line-leave", "undo")
    assert breakwater.head["id"] == first
    assert breakwater.said.startswith(f"back at parcel {first}; parcel {made} is still empty")
    assert len(breakwater.desk.work.records) == count - 1
    breakwater.do("undo")
    assert len(breakwater.desk.work.records) == count, "the record that its o took out"


def test_not_yet_leaves_the_parcel_open(breakwater: Hands) -> None:
    breakwater.do("parcel-page", "page-close").key("2")
    assert breakwater.head["state"] == "open"
    assert breakwater.desk.open.menu is None


def test_a_line_of_other_words_is_tied_to_the_record_at_hand_by_enter_and_one_digit(
    parcel: Hands,
) -> None:
    parcel.do("line-leave", "parcel-page", "page-list").paste("Homemade looking thing, no label").do(
        "line-accept"
    )
    parcel.do("page-leave").find("salt almanac")
    assert parcel.head["list"][0]["record"] is None
    parcel.do("parcel-page")
    page = parcel.desk.open.page
    assert page is not None
    page.marked = next(n for n, row in enumerate(rows(parcel.desk)) if row.kind == "list")
    parcel.do("page-enter")
    assert parcel.head["list"][0]["record"] is None
    parcel.key("1")
    assert parcel.head["list"][0]["record"] == parcel.record["id"]
    assert "is the sender's line" in parcel.said


def test_a_line_is_tied_to_a_record_done_before_by_enter_and_a_digit_where_there_are_several(
    parcel: Hands,
) -> None:
    parcel.do("line-leave", "parcel-page", "page-list").paste("Weir songs (mine)\nHomemade thing").do(
        "line-accept"
    )
    parcel.do("page-leave").enter("Una Marr - Songs of a Weir - PRIV 9").do("later")
    ready = parcel.desk.work.records[0]
    page_of(parcel, "Weir songs (mine)").do("page-enter")
    assert parcel.head["list"][0]["record"] == ready["id"]
    parcel.do("page-undo")
    assert parcel.head["list"][0]["record"] is None
    parcel.do("page-leave").enter("Una Marr - A Box of Hymns - PRIV 11").do("later")
    page_of(parcel, "Homemade thing").do("page-enter")
    menu = parcel.desk.open.menu
    assert menu is not None
    assert {choice.words for choice in menu.choices} == {
        "record 1, Una Marr, Songs of a Weir",
        "record 2, Una Marr, A Box of Hymns",
    }
    parcel.key(next(choice.key for choice in menu.choices if "Hymns" in choice.words))
    assert parcel.head["list"][1]["record"] == parcel.desk.work.records[1]["id"]


def test_the_record_at_hand_can_be_moved_to_another_line_while_others_are_on_none(parcel: Hands) -> None:
    parcel.do("line-leave", "parcel-page", "page-list").paste("salt almanac\nHomemade thing").do(
        "line-accept"
    )
    parcel.do("page-leave").enter("Una Marr - Songs of a Weir - PRIV 9").do("later").find("salt almanac")
    mine = parcel.record["id"]
    assert [line["record"] for line in parcel.head["list"]] == [mine, None]
    page_of(parcel, "Homemade thing").do("page-enter").key("2")
    assert [line["record"] for line in parcel.head["list"]] == [None, mine]


def test_nothing_is_tied_in_a_closed_parcel_and_it_says_why(breakwater: Hands) -> None:
    breakwater.do("line-leave", "parcel-page", "page-list").paste("Homemade thing").do("line-accept")
    breakwater.do("page-close").key("1")
    page_of(breakwater, "Homemade thing").do("page-enter")
    assert breakwater.said == "the parcel is closed: its list stays as it is"
    breakwater.do("page-undo")
    assert breakwater.said.startswith("nothing is undone in a closed parcel: 'correct' on a record's page")


def page_of(hands: Hands, line: str) -> Hands:
    """The parcel's page with that line of the sender's list marked."""
    hands.do("line-leave") if hands.desk.open.line is not None else None
    hands.do("parcel-page")
    page = hands.desk.open.page
    assert page is not None
    listed = [one["line"] for one in hands.head["list"]]
    first = next(n for n, row in enumerate(rows(hands.desk)) if row.kind == "list")
    page.marked = first + listed.index(line)
    return hands


def test_a_line_of_quite_other_words_asks_which_record_it_is_when_none_is_being_worked_on(
    parcel: Hands,
) -> None:
    parcel.do("line-leave", "parcel-page", "page-list").paste("Homemade looking thing").do("line-accept")
    parcel.do("page-leave").ready("salt almanac").do("take-in", "line-leave", "previous-record")
    page_of(parcel, "Homemade looking thing")
    assert word(parcel.desk, "page-enter") == "tie"
    parcel.do("page-enter")
    assert parcel.head["list"][0]["record"] is None
    assert parcel.desk.open.menu is not None
    parcel.key("1")
    assert parcel.head["list"][0]["record"] == parcel.record["id"]
    assert word(parcel.desk, "page-enter") == "open"
    parcel.do("page-help")
    assert parcel.desk.open.explained is not None
    assert "goes to its record" in parcel.desk.open.explained.rows[0][1]


def test_lines_that_did_not_come_are_told_in_one_sentence_before_closing(parcel: Hands) -> None:
    _open(parcel).paste(LIST).do("line-accept", "page-close")
    assert parcel.desk.open.menu is not None
    assert parcel.desk.open.menu.about.count("On the list but not in the parcel:") == 1
    assert "Stavercote, Long Peal, BMD 161; Nobody, Nothing at all, ZZ 1." in parcel.desk.open.menu.about


HANDWRITTEN = (
    "BOX FROM THE LOFT   (Mr Pindar)\r-- BANDS --\r[x] stavercote - long peal (BMD 161)\r"
    "[ ] ambleday five - wreckwood BMD 162 VG+\r✓ T. Orme - Kettle Songs\r1) Weir Octet - Second Sluice\r"
    "2. Nell Quarry, Low Window (QF 7), EX\r? 2x hob marlow - marl pit\r*** SINGERS ***\rtotal 7\r"
)


def test_a_list_pasted_from_a_hand_s_notes_has_no_ticks_numbers_rules_or_sums_in_its_lines() -> None:
    """As a terminal pastes it, with bare carriage returns."""
    found = read_pasted(HANDWRITTEN)
    assert [(one["artist"], one["title"], one["catalogue"], one["grade"]) for one in found.lines] == [
        ("stavercote", "long peal", "BMD 161", ""),
        ("ambleday five", "wreckwood", "BMD 162", "VG+"),
        ("T. Orme", "Kettle Songs", "", ""),
        ("Weir Octet", "Second Sluice", "", ""),
        ("Nell Quarry", "Low Window", "QF 7", "EX"),
        ("hob marlow", "marl pit", "", ""),
        ("hob marlow", "marl pit", "", ""),
    ]
    assert found.headings == ["BOX FROM THE LOFT   (Mr Pindar)", "-- BANDS --", "*** SINGERS ***", "total 7"]


def test_a_line_that_begins_with_a_number_or_is_of_signs_alone_is_as_it_was() -> None:
    found = read_pasted("1. Sinfonie der Glocken,Quern\n-,Wreckwood\nX Marks,Long Peal\n")
    assert [one["artist"] for one in found.lines] == ["1. Sinfonie der Glocken", "-", "X Marks"]


@pytest.mark.parametrize("head", ["", "Artist - LP,ref,cond\n"])
def test_artist_and_title_may_stand_in_one_column(head: str) -> None:
    (one, _) = read_pasted(
        f"{head}stavercote - long peal,bmd161,vg\nambleday five - wreckwood,BMD-162,fair\n"
    ).lines
    assert (one["artist"], one["title"], one["catalogue"], one["grade"]) == (
        "stavercote",
        "long peal",
        "bmd161",
        "vg",
    )


@pytest.mark.parametrize("sign", [";", ", ", "\t"])
@pytest.mark.parametrize(
    "row", ["{} - long peal{s}BMD 161{s}1967{s}vg", "{} - long peal{s}1967{s}BMD 161{s}vg"]
)
def test_cells_behind_artist_and_title_are_known_by_their_look(sign: str, row: str) -> None:
    one, _ = read_pasted(
        "\n".join(row.format(artist, s=sign) for artist in ("stavercote", "weir octet"))
    ).lines
    found = (one["artist"], one["title"], one["catalogue"], one["grade"], one["first"])
    assert found == ("stavercote", "long peal", "BMD 161", "vg", "1967")


def test_a_title_that_begins_as_a_sum_is_a_record() -> None:
    rows = "Total 7 - X\nShipping News - Night 5\nShipping Lanes 5\n"
    sums = (
        "total 7 records - 45.00 EUR\nTotal: 3 - thank you\nShipping to XV - 12.50\nPostage and packing 4\n"
    )
    found = read_pasted(rows + sums)
    assert [one["line"] for one in found.lines] == rows.splitlines()
    assert found.headings == sums.splitlines()


def test_a_list_in_a_file_of_text_is_read_by_its_path_and_a_spreadsheet_is_refused(
    parcel: Hands, tmp_path: Path
) -> None:
    (tmp_path / "list.txt").write_text("stavercote - long peal, BMD 161\n", encoding="utf-8")
    _open(parcel).enter(str(tmp_path / "list.txt"))
    assert [line["catalogue"] for line in parcel.head["list"]] == ["BMD 161"]
    parcel.do("page-list").enter("box.xlsx")
    assert "box.xlsx is a spreadsheet: save it as CSV" in parcel.said


def test_a_list_read_after_a_record_was_taken_in_is_no_change_of_that_record(parcel: Hands) -> None:
    with parcel.desk.act("taken in") as change:
        parcel.desk.changed(change)["state"] = "taken-in"
    take_list(parcel.desk, [])
    assert parcel.said == "the sender's list: 0 lines"


def test_closing_names_what_was_begun_and_not_taken_in(parcel: Hands) -> None:
    parcel.ready("baf").do("take-in").find("wre").do("parcel-page", "page-close")
    assert parcel.desk.open.menu is not None
    named = "not taken in; once closed they cannot be: The Ambleday Five, Wreckwood"
    assert named in parcel.desk.open.menu.about
    parcel.key("1")
    assert "begun but not taken in: The Ambleday Five, Wreckwood" in parcel.said


def test_a_list_pasted_with_the_enter_key_s_sign_at_its_breaks_has_its_lines(parcel: Hands) -> None:
    Typing(_open(parcel).desk).paste(LIST.replace("\n", "\r"))
    assert [line["title"] for line in parcel.head["list"]] == [
        "on the Breakwater",
        "Long Peal",
        "Nothing at all",
    ]


def test_marks_behind_a_line_and_a_number_with_a_bracket_are_left_out_too() -> None:
    found = read_pasted(
        "1) ✓ Stavercote - Long Peal - VG+ x1\nAmbleday Five, wreckwood BMD 162 ?\nWeir Octet - Second Sluice x2\n"
        "9 records in all\npostage 12.50\nSum £85\n"
    )
    assert [(one["artist"], one["title"], one["catalogue"], one["grade"]) for one in found.lines] == [
        ("Stavercote", "Long Peal", "", "VG+"),
        ("Ambleday Five", "wreckwood", "BMD 162", ""),
        ("Weir Octet", "Second Sluice", "", ""),
        ("Weir Octet", "Second Sluice", "", ""),
    ]
    assert found.headings == ["9 records in all", "postage 12.50", "Sum £85"]


def test_about_a_year_and_copies_without_of_are_read_in_a_list_of_commas() -> None:
    """ "about 1971" was lost, and "2 copies Una Copsey" an artist."""
    found = read_pasted(
        "Mirrow, Clockmaker's Holiday, SAS 240, about 1971\nKreel, Hello, KR 2, circa 1969\n"
        "2 copies Una Copsey, Late Road, KR 3, 1968\n"
    )
    assert [(line["artist"], line.get("first")) for line in found.lines] == [
        ("Mirrow", "1971~"),
        ("Kreel", "1969~"),
        ("Una Copsey", "1968"),
        ("Una Copsey", "1968"),
    ]
