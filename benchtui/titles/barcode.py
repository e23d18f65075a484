"""Barcodes: GS1 key lengths and the modulo 10 check digit.

GS1 General Specifications, section 7.9.1 "Standard check digit calculations for GS1 data structures":
digits are weighted 3 and 1 alternately, 3 on the rightmost one before the check digit; the check digit
rounds the sum up to the next multiple of ten.
"""

from typing import NamedTuple

from benchtui.titles.fold import digits_of

GTIN_LENGTHS = (8, 12, 13, 14)


class Barcode(NamedTuple):
    """Digits as typed; ``valid`` None while they are too few or too many to be a whole barcode; ``say``
    for the screen.
    """

    digits: str
    valid: bool | None
    say: str


def check_digit(body: str) -> str:
    """The GS1 check digit of the digits before it."""
    total = sum(int(digit) * (3 if place % 2 == 0 else 1) for place, digit in enumerate(reversed(body)))
    return str(-total % 10)


def read_barcode(typed: str) -> Barcode | None:
    """A barcode typed or scanned, verified; None where the text is not digits (spaces and dashes aside)."""
    digits = digits_of(typed)
    if not digits or any(not (char.isdecimal() or char in " -") for char in typed.strip()):
        return None
    if len(digits) not in GTIN_LENGTHS:
        return Barcode(digits, None, "")
    right = check_digit(digits[:-1])
    if right == digits[-1]:
        return Barcode(digits, True, "")
    return Barcode(
        digits, False, f"barcode {digits}: the check digit is {digits[-1]}, by GS1 it should be {right}"
    )


def barcode_key(text: str) -> str:
    """The form barcodes are compared in: digits without leading zeros, so that 12 and 13 digits of one
    code agree.
    """
    return digits_of(text).lstrip("0")
