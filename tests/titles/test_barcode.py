"""Barcodes as typed (the check digit itself: tests/outside/test_titles_gs1.py)."""

from found import find

from benchtui.model.title import Title
from benchtui.titles.barcode import read_barcode
from benchtui.titles.finder import Finder


def test_digits_in_groups_are_one_barcode_and_other_text_is_none() -> None:
    read = read_barcode("5 012345-678900")
    assert read is not None
    assert (read.digits, read.valid) == ("5012345678900", True)
    assert read_barcode("TW 1041") is None
    assert read_barcode("") is None


def test_a_wrong_check_digit_is_said_with_the_right_one() -> None:
    read = read_barcode("5012345678901")
    assert read is not None
    assert read.valid is False
    assert "check digit is 1" in read.say
    assert "should be 0" in read.say


def test_digits_that_are_no_barcode_yet_are_neither_right_nor_wrong() -> None:
    read = read_barcode("501234")
    assert read is not None
    assert (read.valid, read.say) == (None, "")


def test_twelve_digits_find_the_thirteen_they_are_with_a_leading_zero() -> None:
    finder = Finder([Title("u", "Ada Winterbourne", "First Snow", barcode="0036000291452")])
    assert [hit.title.id for hit in find(finder, "036000291452")] == ["u"]
    assert [hit.title.id for hit in find(finder, "0036000291452")] == ["u"]
