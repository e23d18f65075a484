"""A few letters go to any place of a page: a row of its lists, or a heading where nothing can be marked."""

from bench_hands import Hands
from seen import markable, prompt_of

from benchtui.bench.pieces import FANCY, text_of
from benchtui.desk.core.desk import Choice, Menu
from benchtui.desk.core.pages import view_now
from benchtui.desk.session.find_on_page import ELSEWHERE, _is_other, _numbers_fit
from benchtui.desk.session.paging import open_parcel


def test_letters_mark_a_row_of_the_parcel_s_page(demo: Hands) -> None:
    demo.do("line-leave", "parcel-page", "page-find").type("clerk")
    line, page = demo.desk.open.line, demo.desk.open.page
    assert line is not None
    assert page is not None
    assert len(line.picks) == 2  # the record, and the sender's line of it
    demo.do("line-down", "line-accept")
    view = view_now(demo.desk)
    assert view is not None
    row = next(row for row in markable(view) if row.marked)
    assert "Dance Clerk" in "".join(text for cell in row.cells if isinstance(cell, tuple) for text, _ in cell)
    assert row.key.startswith("record:")
    assert demo.desk.open.line is None


def test_letters_go_to_a_heading_of_a_page_that_is_read(demo: Hands) -> None:
    demo.do("line-leave", "help", "page-find").type("queue").do("line-accept")
    assert demo.desk.open.page is not None
    assert demo.desk.open.page.data["wanted"] == "Queue"


def test_letters_that_are_nowhere_on_the_page_are_refused_and_stay(demo: Hands) -> None:
    demo.do("line-leave", "help", "page-find").type("zzz").do("line-accept")
    assert demo.refused
    assert demo.desk.open.line is not None
    demo.do("line-leave")
    assert demo.desk.open.page is not None, "the page stays"


def test_what_the_page_has_not_is_looked_for_in_all_parcels(demo: Hands) -> None:
    """A stock number on the page of all parcels was refused, though the shop has it."""
    demo.do("line-leave", "parcels-page", "page-find").type("a4")
    line = demo.desk.open.line
    assert line is not None
    assert (line.about, len(line.picks)) == (ELSEWHERE, 1)
    demo.do("line-accept")
    assert demo.desk.open.page is None
    assert demo.record["stock"] == "A00004"


def test_the_line_that_led_to_another_parcel_is_not_open_again_on_return(demo: Hands) -> None:
    """It stood there with what was typed, days later too, and took what was meant for another."""
    demo.do("line-leave")
    here = demo.desk.parcel.id
    demo.do("search").enter("A00003")
    assert demo.record["stock"] == "A00003"
    open_parcel(demo.desk, here)
    assert demo.desk.open.line is None


def test_the_number_of_another_parcel_s_record_marks_none_of_this_one(demo: Hands) -> None:
    """``a00002`` marked A00012, which is the same but for a figure, and Enter went there without a word."""
    demo.do("line-leave", "parcel-page", "page-find").type("a00002").do("line-accept")
    assert demo.record["stock"] == "A00002"


def test_a_number_behind_a_word_is_not_found_before_it() -> None:
    """``line 6`` marked the row that writes ``6 new pressings, 1 line refused``, and Enter wrote."""
    assert not _numbers_fit("line 6", "write it  6 new pressings, 1 line refused")
    assert _numbers_fit("line 6", "line 6  'plum', grown here")
    assert not _is_other("15", (("15", ""), ("Swell Pedal", "")))
    assert _is_other("15", (("7", ""), ("15.00", "")))


def test_a_question_too_long_for_the_frame_stands_whole_above_its_answers(parcel: Hands) -> None:
    asked = "'grey with box logo, Lorrimer House, square, 1965 to 1971' of Lanterns at Low Tide: how often?"
    choices = tuple(Choice(key, words, lambda: None) for key, words in (("1", "always"), ("2", "usually")))
    parcel.do("line-leave")
    parcel.desk.open.menu = Menu(asked, choices, "", "test")
    told = " ".join(text_of(prompt_of(parcel.desk, (80, 24), FANCY).lines).split())
    assert asked in told
    assert told.index(asked) < told.index("always")
