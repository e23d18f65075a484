"""A company's ladder: lanes along time, told and moved on the page, without a copy in the hand."""

import pytest
from bench_hands import Hands, Sit

from benchtui.books.as_table import clue_table
from benchtui.books.check import check_books
from benchtui.books.dated_words import answers_from
from benchtui.books.ladder import lanes_of
from benchtui.books.shape import Clue
from benchtui.desk.book.ladder_page import company_shown
from benchtui.desk.core.page_parts import Bar, Table
from benchtui.desk.core.pages import view_now
from benchtui.desk.keyboard import explain
from benchtui.desk.own_book.growing import change_book, own_book
from benchtui.desk.queue.background import work_on


@pytest.fixture
def whelkin(empty: Hands) -> Hands:
    """The ladder of a company that no book knows yet."""
    empty.desk.shop.change_settings(field={"company": "Whelkin", "country": "XV", "prefixes": {}})
    return empty.do("commands").enter("ladder")


def _lane(hands: Hands, text: str) -> Hands:
    return hands.do("book-clue").enter(text)


def _states(hands: Hands, clue: str) -> list[tuple[str, str]]:
    lanes = {lane.clue.id: lane for lane in lanes_of(hands.desk.library.clues(), "Whelkin")}
    return [(one.text, one.span.edtf() if one.span else "") for one in lanes[clue].states]


def test_a_lane_is_told_in_one_line_and_its_states_stand_as_bars_on_one_time_line(whelkin: Hands) -> None:
    _lane(whelkin, "disc label: label / red ..1964 / blue 1965.. (dated copies)")
    assert not whelkin.refused, whelkin.said
    assert _states(whelkin, "own-label") == [("red", "[..1964]"), ("blue", "[1965..]")]
    view = view_now(whelkin.desk)
    assert view is not None
    (table,) = (one for one in view.sections if isinstance(one, Table))
    assert [row.key for row in table.rows] == ["state:own-label/red", "state:own-label/blue"]
    assert all(isinstance(row.cells[-1], Bar) for row in table.rows)
    clue = whelkin.desk.library.clue("own-label")
    assert clue is not None
    assert (clue.part, clue.place, clue.per_side, clue.companies) == ("disc", "label", True, ("Whelkin",))
    assert "why: dated copies" in explain._means(clue, clue.answers[1])
    assert check_books([own_book(whelkin.desk).parent]) == []


def test_every_state_of_a_lane_is_read_back_before_and_after_it_is_taken(whelkin: Hands) -> None:
    whelkin.do("book-clue").type("disc label: label / red ..1964 / blue 1965.. firm / plain")
    assert whelkin.desk.open.line is not None
    told = "read as red, made ..1964, soft; blue, made 1965.., firm; plain, of any time"
    assert whelkin.desk.open.line.about == told
    whelkin.do("line-accept")
    assert "label: red ..1964; blue 1965..; plain at any time" in whelkin.said


def test_the_field_s_ladder_is_offered_and_the_way_to_another_company_s(whelkin: Hands) -> None:
    view = view_now(whelkin.desk)
    assert view is not None
    assert company_shown(whelkin.desk) == "Whelkin"
    assert view.facts[-1].words[0][0] == "/: the ladder of Bellmarrow or another of 3"
    whelkin.do("book-find").key("1").do("book-find")
    assert company_shown(whelkin.desk) == "Bellmarrow"
    assert whelkin.desk.open.menu is not None
    assert whelkin.desk.open.menu.choices[0].words == "Whelkin"


def test_the_record_s_ladder_is_shown_before_it_has_a_lane_and_the_way_to_the_field_s(empty: Hands) -> None:
    empty.desk.shop.change_settings(field={"company": "Bellmarrow", "country": "XV", "prefixes": {}})
    empty.new_parcel(1).find("Nobody - Nothing - ZZ 1 - 1961 - company Unheard").do("line-new")
    empty.do("commands").enter("ladder")
    assert company_shown(empty.desk) == "Unheard", "a lane told now would go to the field's company"
    view = view_now(empty.desk)
    assert view is not None
    assert view.facts[-1].words[0][0].startswith("/: the ladder of Bellmarrow")
    _lane(empty, "disc label: label / red ..1964 / blue 1965..")
    assert empty.desk.library.clue("own-label").companies == ("Unheard",)  # type: ignore[union-attr]


@pytest.mark.parametrize("down", [1, 0])
def test_a_state_added_ends_the_one_that_runs_on_whichever_is_marked(whelkin: Hands, down: int) -> None:
    _lane(whelkin, "disc label: label / red ..1964 / blue 1965..")
    whelkin.do(*["page-down"] * down, "book-add").enter("grey 1970.. firm (trade paper)")
    assert "blue ends before it" in whelkin.said
    whelkin.do(*["page-down"] * 2)
    view = view_now(whelkin.desk)
    assert view is not None
    assert "its dates are firm; why: " in view.facts[1].words[0][0]
    assert "trade paper" in view.facts[1].words[0][0]
    assert _states(whelkin, "own-label") == [
        ("red", "[..1964]"),
        ("blue", "[1965..1969]"),
        ("grey", "[1970..]"),
    ]
    whelkin.do("page-undo")
    assert _states(whelkin, "own-label") == [("red", "[..1964]"), ("blue", "[1965..]")]


def test_a_state_is_moved_on_the_lane_and_the_one_before_goes_with_it(whelkin: Hands) -> None:
    _lane(whelkin, "disc label: label / red ..1964 / blue 1965..")
    whelkin.do("page-down", "book-right")
    assert _states(whelkin, "own-label") == [("red", "[..1965]"), ("blue", "[1966..]")]
    whelkin.do("book-left", "book-left")
    assert _states(whelkin, "own-label") == [("red", "[..1963]"), ("blue", "[1964..]")]


def test_a_state_s_words_and_dates_are_changed_by_enter(whelkin: Hands) -> None:
    _lane(whelkin, "disc label: label / red ..1964 / blue 1965..")
    whelkin.do("page-enter")
    assert whelkin.desk.open.line is not None
    assert whelkin.desk.open.line.text == "red ..1964"
    for _ in "..1964":
        whelkin.key("backspace")
    whelkin.enter("1960..1963 firm (own ledger)")
    assert _states(whelkin, "own-label")[0] == ("red", "[1960..1963]")
    state = whelkin.desk.library.clue("own-label").answers[0]  # type: ignore[union-attr]
    assert (state.hardness, state.source) == ("firm", "the dealer's own word: own ledger")
    whelkin.do("page-enter")
    whelkin.desk.open.line.text = ""
    whelkin.enter("brick 1960..1963 firm")
    state = whelkin.desk.library.clue("own-label").answers[0]  # type: ignore[union-attr]
    assert (state.text, state.slips) == ("brick", ("red",)), "records and pressings are read in today's words"
    whelkin.do("page-enter")
    whelkin.desk.open.line.text = ""
    whelkin.enter("Blue 1960..1963")
    assert "has 'Blue' already" in whelkin.said


def test_a_state_taken_off_stays_an_answer(whelkin: Hands) -> None:
    _lane(whelkin, "disc label: label / red ..1959 / blue 1960..1964 / grey 1965..")
    whelkin.do("page-down", "book-retire")
    assert [text for text, _ in _states(whelkin, "own-label")] == ["red", "grey"]
    clue = whelkin.desk.library.clue("own-label")
    assert [one.text for one in clue.answers] == ["red", "blue", "grey"]  # type: ignore[union-attr]


@pytest.mark.parametrize(
    "typed",
    ["", "label / red ..1964 / blue 1965..", "disc label: label / red ..1964", "disc: / red ..1 / b 2..",
     "disc label: label / red / blue", "spoon top: colour / red ..1964 / blue 1965.."],
)  # fmt: skip
def test_what_is_no_lane_is_refused_and_stays_in_the_line(whelkin: Hands, typed: str) -> None:
    _lane(whelkin, typed)
    assert whelkin.refused
    assert whelkin.desk.open.line is not None


def test_a_lane_may_have_one_state_of_any_time_beside_a_dated_one(whelkin: Hands) -> None:
    _lane(whelkin, "cover back: bars / bars from 1979 (copies, H/S) / no bars")
    assert not whelkin.refused, whelkin.said
    view = view_now(whelkin.desk)
    assert view is not None
    (table,) = (one for one in view.sections if isinstance(one, Table))
    assert {row.cells[1][0][0]: row.cells[2][0][0] for row in table.rows} == {  # type: ignore[index]
        "no bars": "any time",
        "bars": "1979..",
    }
    clue = whelkin.desk.library.clue("own-bars")
    assert clue is not None
    assert [one.source.partition(": ")[2] for one in clue.answers] == ["copies, H/S", ""]
    assert lanes_of([clue], "Whelkin") == [], "no stretch ends where a mark may come in"


def test_dates_told_on_the_ladder_make_a_lane_of_a_table_s_question(whelkin: Hands) -> None:
    made = Clue("own-lbl", "lbl", "disc", "label", answers_from("brick / heron"), per_side=True)
    change_book(whelkin.desk, lambda book: book.put_clue(clue_table(made)))
    _lane(whelkin, "disc label: lbl / brick 1958..1963 / heron 1962..1967")
    assert "dates of 2 answers" in whelkin.said
    assert _states(whelkin, "own-lbl") == [("brick", "[1958..1963]"), ("heron", "[1962..1967]")]
    whelkin.do("page-undo")
    clue = whelkin.desk.library.clue("own-lbl")
    assert clue is not None
    assert clue.companies == ()


@pytest.mark.parametrize(
    ("again", "how", "why"),
    [("..1962", "firm", "copies"), ("..1963 soft", "soft", "copies"), ("..1962 (a list)", "firm", "a list")],
)
def test_a_lane_told_again_keeps_how_sure_and_why_unless_it_says_otherwise(
    whelkin: Hands, again: str, how: str, why: str
) -> None:
    _lane(whelkin, "cover: sleeve corners / round ..1962 firm (copies) / square 1963..")
    _lane(whelkin, f"cover: sleeve corners / round {again} / square 1964..")
    clue = whelkin.desk.library.clue("own-sleeve-corners")
    assert clue is not None
    found = clue.answers[0]
    assert (found.hardness, found.source.rpartition(": ")[2]) == (how, why)
    assert ("round stays firm" in whelkin.said) == (how == "firm")
    assert clue.answers[1].hardness == "soft"


def test_a_title_of_the_field_is_dated_and_named_by_the_ladder_told_a_minute_ago(
    whelkin: Hands, sit: Sit
) -> None:
    _lane(whelkin, "disc label: label / red ..1964 / blue 1965..1969 / grey 1970..")
    _lane(whelkin, "inner whole: inner / plain ..1967 / lined 1968..")
    whelkin.do("page-leave").new_parcel(2)
    whelkin.desk.shop.add_title(
        {"id": "t-x", "artist": "Ada Pellimore", "title": "Sluice Tales", "catalogue": "WK 1",
         "company": "Whelkin", "country": "XV", "first": "1963"}
    )  # fmt: skip
    path = whelkin.desk.shop.path
    whelkin.leave()
    again = sit(path)
    again.find("sluice").take("disc")
    again.ask("label").answer("blue")
    again.take("inner")
    again.ask("inner").answer("lined")
    weighing = again.desk.weighing()
    assert weighing is not None
    assert weighing.leader is not None
    assert weighing.leader.name == "blue, lined, 1968 to 1969 (proposed)"


def test_a_lane_of_the_words_of_a_question_there_is_dates_that_question(whelkin: Hands) -> None:
    _lane(whelkin, "disc label: Print / red ..1964 / blue 1965..")
    before = len(whelkin.desk.library.clues())
    _lane(whelkin, "disc label: PRINT / Red ..about 1962 / blue c1963..")
    assert not whelkin.refused, whelkin.said
    assert len(whelkin.desk.library.clues()) == before
    assert _states(whelkin, "own-print") == [("red", "[..1963-06]"), ("blue", "[1962-07..]")]
    _lane(whelkin, "disc label: print / red ..1962 / plum 1963..")
    assert whelkin.refused
    assert "call 'plum' as it does" in whelkin.said
    assert whelkin.desk.open.line is not None
    whelkin.desk.open.line.text = ""
    whelkin.enter("disc label: print / red ..1962 / blue till 1966 / plum 1967..")
    assert "dates of 3 answers; new: plum" in whelkin.said
    assert _states(whelkin, "own-print")[-1] == ("plum", "[1967..]")


def test_a_place_alone_says_whose_it_is_and_the_ladder_of_a_company_not_known_yet_is_begun(
    whelkin: Hands,
) -> None:
    _lane(whelkin, "runout: hand / scratched ..1964 / stamped 1965..")
    clue = whelkin.desk.library.clue("own-hand")
    assert clue is not None
    assert (clue.part, clue.place, clue.companies) == ("disc", "runout", ("Whelkin",))
    whelkin.do("book-find")
    if whelkin.desk.open.menu is not None:
        whelkin.key("n")
    whelkin.enter("Tarn & Fell")
    _lane(whelkin, "spine: print / red ..1964 / blue 1965..")
    made = whelkin.desk.library.clue("own-print")
    assert made is not None
    assert (made.part, made.place, made.companies) == ("cover", "spine", ("Tarn & Fell",))


def test_what_was_left_of_a_change_stands_in_no_line_of_another_state(whelkin: Hands) -> None:
    _lane(whelkin, "disc label: label / red ..1964 / blue 1965..")
    whelkin.do("page-enter").type("x").do("line-leave", "book-add")
    assert whelkin.desk.open.line is not None
    assert whelkin.desk.open.line.text == ""
    whelkin.type("grey 1970..").do("line-leave", "page-down", "book-add")
    assert whelkin.desk.open.line.text == "", "what was left after another state is for that one"
    whelkin.do("line-leave", "book-right")
    assert whelkin.said.endswith("blue 1966..")


def test_a_text_that_begins_with_the_key_of_a_new_parcel_begins_none_on_a_ladder(whelkin: Hands) -> None:
    whelkin.burst("new label 1964\n", apart=0.01)
    assert (whelkin.desk.shop.parcels(), whelkin.desk.open.line) == ([], None)


def test_undo_at_the_bench_says_first_that_the_ladder_was_changed_since(parcel: Hands) -> None:
    """It took the record's last step back, though the ladder was what had been changed last."""
    parcel.ready()
    before = parcel.head["revision"]
    parcel.do("commands").enter("ladder")
    _lane(parcel, "disc label: hatching / red ..1964 / blue 1965..")
    assert not parcel.refused, parcel.said
    parcel.do("page-leave", "undo")
    assert parcel.refused
    assert parcel.said.startswith("done last, in the books: new lane: hatching")
    assert "; . 'ladder' and u there take it back; press again to undo " in parcel.said
    assert parcel.head["revision"] == before
    parcel.do("undo")
    assert parcel.said.startswith("taken back: ")
    assert "lane" not in parcel.said
    parcel.do("undo")
    assert not parcel.refused, "it was said once"
    parcel.do("commands").enter("ladder").do("page-undo", "page-leave", "price-hand").enter("9").do("undo")
    assert not parcel.refused, "what was done last in the books is taken back"


def test_a_date_that_a_copy_taken_in_contradicts_is_told_at_once(whelkin: Hands, sit: Sit) -> None:
    """Only the record itself, or the review of the books, said that it was not dated any more."""
    _lane(whelkin, "disc label: label / red ..1964 firm / blue 1965..1969 / grey 1970..")
    whelkin.do("page-leave").new_parcel(2)
    whelkin.desk.shop.add_title(
        {"id": "t-x", "artist": "Ada Pellimore", "title": "Sluice Tales", "catalogue": "WK 1",
         "company": "Whelkin", "country": "XV", "first": "1963"}
    )  # fmt: skip
    path = whelkin.desk.shop.path
    whelkin.leave()
    again = sit(path)
    again.find("sluice").take("disc")
    again.ask("label").answer("red")
    for part in list(again.record["parts"]):
        again.take(part["kind"], part.get("number", 1))
        again.grade("VG")
    again.do("price-hand").enter("9").do("take-in", "take-in")
    assert again.at(1)["state"] == "taken-in", again.said
    stock = again.at(1)["stock"]
    again.do("line-leave") if again.desk.open.line else None
    again.do("commands").enter("ladder").do("page-enter").enter("red ..1957 firm")
    while work_on(again.desk):
        pass
    assert f"what was seen on {stock} contradicts the books now" in again.said
    again.do("page-undo")
    while work_on(again.desk):
        pass
    assert "contradicts" not in again.said
