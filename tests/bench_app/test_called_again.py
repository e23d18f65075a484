"""What a record taken in is called keeps up with what it shows, and with what the books call it."""

import pytest
from bench_hands import Hands
from test_coach_page import BOOK
from test_table import find

from benchtui.desk.book.book_titles import _years
from benchtui.desk.look.contradicted import title_of
from benchtui.desk.own_book.growing import books_changed
from benchtui.desk.queue.state_sign import state_of
from benchtui.desk.record.describing import item_of, wording
from benchtui.export import telling_pressing as told

TOLD = BOOK.replace('name = "second"', 'name = "second"\nexpect = { mg-rim = "thin" }')


def _said(hands: Hands) -> tuple[str, str]:
    item = item_of(hands.desk, hands.at(1))
    return told.name(item, wording(hands.desk)), told.sure(item, wording(hands.desk))


def test_an_answer_given_after_taking_in_settles_what_was_open_and_a_new_name_shows_everywhere(
    parcel: Hands,
) -> None:
    parcel.desk.shop.change_settings(threshold=0.85)
    book = parcel.desk.shop.path / "books" / "mossgate.toml"
    book.write_text(TOLD)
    books_changed(parcel.desk)
    parcel.find("crooked weir").take("disc")
    parcel.do("take-in", "take-in")
    assert parcel.at(1)["state"] == "taken-in"
    assert parcel.at(1)["pressing"]["how"] == "open"
    parcel.do("line-leave", "previous-record").take("disc")
    parcel.ask("rim of the mossgate label").answer("thick")
    assert parcel.at(1)["pressing"]["how"] == "leader"
    assert state_of(parcel.at(1))[0] == "done"
    assert _said(parcel) == ("first", "sure")
    parcel.do("undo")
    assert parcel.at(1)["pressing"]["how"] == "open"
    parcel.do("redo")
    book.write_text(TOLD.replace('name = "first"', 'name = "wide rim"'))
    books_changed(parcel.desk)
    assert _said(parcel) == ("wide rim", "sure")


@pytest.mark.parametrize(
    ("typed", "number", "first"),
    [("c1966", "OL 1018", "1966~"), ("about 1966", "OL 1018", "1966~"), ("196x", "OL 1018", "196X"),
     ("1966?", "OL 1018", "1966?"), ("1966", "OL 1018", "1966"), ("1018 B", "OL 1018 - 1018 B", "")],
)  # fmt: skip
def test_a_vague_year_in_a_new_title_s_line_is_its_year(typed: str, number: str, first: str) -> None:
    title = title_of(f"Cressida Pook - Thimbles - OL 1018 - {typed}", {})
    assert (title.catalogue, title.first) == (number, first)


def test_years_among_the_titles_are_plain() -> None:
    told = {
        "[1965-07..1967-06]": "1965-67",
        "1967~": "about 1967",
        "1963": "1963",
        "[1899..1902]": "1899-1902",
    }
    assert {edtf: _years(edtf).removeprefix("in ") for edtf in told} == told


def test_a_title_s_page_opened_from_a_record_is_left_to_that_record(parcel: Hands) -> None:
    find(parcel.find("baf"), "book page")
    assert parcel.desk.open.page is not None
    assert parcel.desk.open.page.name == "book-title"
    parcel.do("page-leave")
    assert parcel.desk.open.page is None
