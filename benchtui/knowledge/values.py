"""What the fixed columns of a table say, as dealers write it: spans, prices, shares, kinds, extras, cuts."""

import re
from collections.abc import Iterable, Mapping
from datetime import date, timedelta

from benchtui.books.shape import Word
from benchtui.knowledge.cells import SAYS
from benchtui.knowledge.folded import fold
from benchtui.knowledge.heads import kinds
from benchtui.model.money import Money, parse_money
from benchtui.model.span import Span, parse_edtf
from benchtui.model.when import read_time
from benchtui.titles.values import is_empty

MOST_SHARE = 1000
"""A share above this is rather a year in the wrong column."""
_SIGNS = re.compile(r"[£$€¥]|(?<![A-Za-z])[A-Z]{3}(?![A-Za-z])|,-|\.-")
_UNESCAPED = re.compile(r"(?<!\\);")


def span_of(start: str, end: str, made: str) -> Span:
    """The span from the columns ``from``, ``to`` and ``made``, which says the end that the others do not.
    ValueError where it is none.
    """
    if made and start:
        end = end or made
    start = start or made
    low, high = _one(start), _one(end)
    if low is None and high is None:
        return Span()
    if high is None and low is not None and not end:
        # one cell for both: a range says both ends, and so does a single date under "made"
        ends = (low.earliest, low.latest)
        both = made or None in ends or (ends[0] and ends[1] and ends[0].year != ends[1].year)
        return low if both else Span(low.earliest, None)
    return Span(low.earliest if low else None, high.latest if high else None)


def _one(text: str) -> Span | None:
    text = " ".join(text.split())
    return None if not text or is_empty(text) else parse_edtf(read_time(text))


def ends_of(span: Span) -> tuple[str, str]:
    """The cells ``from`` and ``to`` of a span, each as short as it can be said exactly."""
    low = span.earliest.isoformat() if span.earliest else ""
    high = span.latest.isoformat() if span.latest else ""
    if low.endswith("-01-01"):
        low = low[:4]
    elif low.endswith("-01"):
        low = low[:7]
    if high.endswith("-12-31"):
        high = high[:4]
    elif span.latest and _ends_month(span.latest):
        high = high[:7]
    return low, high


def _ends_month(day: date) -> bool:
    return (day + timedelta(days=1)).day == 1


def price_of(text: str, currency: str) -> str:
    """The price as a book has it. ValueError where it is none."""
    bare = _SIGNS.sub("", text).strip().replace(" ", "")
    if re.fullmatch(r"\d{1,3}(,\d{3})+(\.\d+)?", bare):
        bare = bare.replace(",", "")
    elif re.fullmatch(r"\d+,\d{1,2}", bare):
        bare = bare.replace(",", ".")
    return Money(parse_money(bare, currency).minor, currency).plain()


def currency_in(text: str) -> str:
    """The currency that a column's name or a price's sign says; "" for none."""
    signs = {"£": "GBP", "€": "EUR", "¥": "JPY"}
    found = next((code for sign, code in signs.items() if sign in text), "")
    code = re.search(r"(?<![A-Za-z])([A-Z]{3})(?![A-Za-z])", text)
    return found or (code[1] if code else "")


def share_of(text: str) -> float:
    """``3``, ``30 %``. ValueError where it is no number."""
    number = float(text.replace("%", "").replace(",", ".").strip())
    if not 0 <= number < 1e6:
        raise ValueError
    return number / 10 if "%" in text else number


def kind_of(text: str) -> str:
    """The kind of pressing that a word says; "" where none."""
    return kinds().get(fold(text), "")


def list_of(text: str) -> list[str]:
    r"""Names separated by semicolons (else by commas); ``\;`` is a semicolon within one."""
    parts = _UNESCAPED.split(text) if ";" in text else text.split(",")
    return [one for part in parts if (one := part.replace("\\;", ";").strip())]


def list_text(names: Iterable[str]) -> str:
    """The cell of such names. A single name with a comma ends in a semicolon, so that it is not parted."""
    told = [name.replace(";", "\\;") for name in names]
    text = "; ".join(told)
    return text + ";" if len(told) == 1 and "," in text and "\\;" not in text else text


_CUTS = re.compile(r"(\S+)\s*/\s*(\S+?)(?:\s+([a-z]+))?", re.I)


def cuts_of(text: str) -> list[list[str]]:
    """``1/1 usually; 2/1 sometimes``. ValueError where a part is no pair of cuts."""
    pairs = []
    for part in list_of(text):
        found = _CUTS.fullmatch(part)
        word: Word | None = SAYS.get((found[3] or "usually").lower()) if found else None
        if found is None or word is None:
            raise ValueError(f"{part[:30]!r} is not a pair of cuts; write 1/1 usually; 2/1 sometimes")
        pairs.append([found[1], found[2], word])
    return pairs


def cuts_text(cuts: Iterable[tuple[tuple[str, str], Word]]) -> str:
    """The cell of pairs of cuts."""
    return "; ".join(f"{first}/{second} {word}" for (first, second), word in cuts)


def stems_of(text: str) -> dict[str, str]:
    """``A = WK 1041 A/; stereo A = WKS 1041 A/``; a single stem is that of side A. ValueError for no side."""
    found = {}
    for no, part in enumerate(list_of(text)):
        side, sign, stem = part.partition("=")
        channels, _, letter = side.strip().rpartition(" ") if sign else ("", "", chr(ord("A") + no))
        channels, letter, stem = channels.strip().lower(), letter.upper(), stem.strip() if sign else part
        side = f"{channels} {letter}".strip()
        if channels not in ("", "mono", "stereo") or not (len(letter) == 1 and letter.isalpha() and stem):
            raise ValueError(f"{part[:30]!r} is not a stem; write A = WK 1041 A/; B = WK 1041 B/")
        found[side] = stem
    return found


def stems_text(stems: Mapping[str, str]) -> str:
    """The cell of the sides' stems."""
    return list_text(f"{side} = {stem}" for side, stem in stems.items())
