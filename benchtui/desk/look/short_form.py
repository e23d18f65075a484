"""A known title found by a few letters, with a year or a number typed behind them: ``last boat TW 999 1966``.

The search overlooks what the title does not have; here it is read, as it is of a full line with dashes.
"""

import re
from collections.abc import Sequence

from benchtui.books.library import Library
from benchtui.desk.look.contradicted import is_number, numbers_of, pieces_of, plain, year_typed
from benchtui.model.title import Title
from benchtui.titles.barcode import read_barcode
from benchtui.titles.fold import fold

_BEGUN = re.compile(r"(?:18|19|20)\d?\Z")
_FIGURES = re.compile(r"(?P<lead>[A-Za-z]*)[-/]?\d[\dA-Za-z/-]*\Z")
_LETTERS = re.compile(r"[A-Za-z]{1,6}\Z")
SLIP = 70
"""A word as typed and one of the title are the same from this likeness on (0 to 100)."""
FEW = 3
"""Figures alone are a number from so many on: fewer are a part of a title (``symphony 5``, ``vol 2``). A line
of so many letters at most, and figures, is nothing but a number: ``TW 999``."""


def short_form(library: Library, text: str, title: Title) -> Title | None:
    """The words of the title with the number and year typed behind them that are none of its words; None
    where there are none, or where nothing stands before them.
    """
    typed = text.split()
    if len(pieces_of(text)) > 1 or (is_number(text) and len(typed[0]) <= FEW):
        return None
    known = fold(f"{title.artist} {title.title} {title.company}").split()
    numbers = [plain(one) for one in numbers_of(title, library.title(title.id))]
    year = number = ""
    while typed:
        if not year and (year := _year(typed[-1], known, numbers)):
            typed.pop()
        elif not number and (found := _number(typed, known)):
            number = " ".join(found)
            typed = typed[: -len(found)]
        else:
            break
    if not (year or number) or not _names(typed, known):
        return None
    return Title("", title.artist, title.title, number, first=year)


def _year(word: str, known: Sequence[str], numbers: Sequence[str]) -> str:
    """``1966``, ``c1966``, ``196x`` as EDTF; "" where it is none, or stands in the title or its number."""
    taken = word in known or any(plain(word) in one for one in numbers)
    return "" if taken else year_typed(word)


def _number(typed: Sequence[str], known: Sequence[str]) -> Sequence[str]:
    """The last words, where they are a number: ``TW 999``, ``TW999``, ``999``; none for a word of the title,
    nor for a year that is not typed to its end.
    """
    last, before = typed[-1], typed[-2] if len(typed) > 1 else ""
    figures = _FIGURES.match(last)
    barcode = read_barcode(last)
    if figures is None or _begins(last, known) or (barcode is not None and barcode.valid is not None):
        return ()
    if figures["lead"]:
        return typed[-1:]
    capitals = before.isupper() and not all(map(str.isupper, filter(str.isalpha, typed)))
    if _LETTERS.match(before) and (capitals or not _begins(before, known)):
        return typed[-2:]
    return typed[-1:] if sum(map(str.isdigit, last)) >= FEW and not _BEGUN.match(last) else ()


def _names(typed: Sequence[str], known: Sequence[str]) -> bool:
    """Whether the words are those of the title, begun or with a slip."""
    return bool(typed) and all(_begins(word, known) or _is_slip(fold(word), known) for word in typed)


def _is_slip(word: str, known: Sequence[str]) -> bool:
    from rapidfuzz import fuzz

    return len(word) >= FEW and any(fuzz.ratio(word, one) >= SLIP for one in known)


def _begins(word: str, known: Sequence[str]) -> bool:
    """Whether a word of the title begins so."""
    pieces = fold(word).split()
    return bool(pieces) and all(any(one.startswith(piece) for one in known) for piece in pieces)
