"""A few letters go to any place of a page: a row of its lists, or a heading where nothing can be marked."""

from bench_hands import Hands
from seen import markable

from benchtui.desk.core.pages import view_now


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
