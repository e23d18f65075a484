"""The copies of a title that the shop had before, from the record on the bench by one key."""

from bench_hands import Hands
from seen import markable

from benchtui.desk.core.page_parts import Row, Table, Text
from benchtui.desk.core.pages import view_now


def _finished(hands: Hands, grade: str, price: str, note: str) -> Hands:
    """A copy of the title found, with a runout, taken in."""
    hands.take("cover")
    hands.grade(grade)
    hands.take("disc")
    hands.grade(grade)
    hands.do("price-hand").enter(price)
    hands.do("note").enter(note)
    return hands.do("take-in", "take-in")


def _rows(hands: Hands) -> list[Row]:
    view = view_now(hands.desk)
    assert view is not None
    return markable(view)


def _cells(row: Row) -> list[str]:
    return ["".join(text for text, _ in cell) for cell in row.cells if isinstance(cell, tuple)]


def test_an_earlier_copy_stands_beside_this_one_and_its_price_is_taken_over(parcel: Hands) -> None:
    _finished(parcel.find("baf"), "VG", "24", "plays well, small mark on the label")
    parcel.find("baf").do("copies")
    (row,) = _rows(parcel)
    cells = _cells(row)
    assert cells[0] == parcel.at(1)["stock"]
    assert cells[1] == "VG/VG"
    assert "24.00" in cells[2]
    parcel.do("page-enter").key("1")
    assert parcel.record["price"] == {"minor": 2400, "currency": "GBP", "how": "hand"}
    parcel.do("page-enter").key("2")
    assert parcel.record["note"] == "plays well, small mark on the label"
    parcel.do("page-leave", "undo")
    assert parcel.record["note"] == ""
    parcel.do("undo")
    assert parcel.record["price"] is None


def test_what_differs_between_the_two_is_named(parcel: Hands) -> None:
    parcel.find("baf").take("cover")
    clue = parcel.desk.clue
    assert clue is not None
    parcel.key("1")
    first = next(answer["text"] for answer in parcel.record["answers"])
    parcel.do("take-in", "take-in")
    parcel.find("baf").take("cover")
    parcel.key("2")
    second = next(answer["text"] for answer in parcel.record["answers"])
    parcel.do("copies")
    view = view_now(parcel.desk)
    assert view is not None
    said = " ".join(
        text for one in view.sections if isinstance(one, Text) for para in one.lines for text, _ in para.words
    )
    assert first != second
    assert first in said
    assert second in said
    assert clue.ask in said


def test_a_title_that_the_shop_never_had_is_said_and_no_page_opens(parcel: Hands) -> None:
    parcel.find("baf").do("copies")
    assert parcel.desk.open.page is None
    assert "no other copy" in parcel.said


def test_a_record_is_found_by_its_runout(parcel: Hands) -> None:
    parcel.find("baf").take("disc")
    parcel.do("runout").enter("qzx 77")
    parcel.do("take-in", "take-in")
    found = parcel.desk.shop.find("qzx 77")
    assert [one.no for one in found] == [1]


def test_the_table_of_copies_keeps_prices_and_grades_uncut(parcel: Hands) -> None:
    _finished(parcel.find("baf"), "VG", "24", "")
    parcel.find("baf").do("copies")
    view = view_now(parcel.desk)
    assert view is not None
    table = next(one for one in view.sections if isinstance(one, Table))
    assert {column.key for column in table.columns if column.rank == 0} >= {"grades", "asked", "sold"}
