"""Whether what was typed contradicts the title that the list puts first: another title, another number."""

import re

from benchtui.books.library import Library
from benchtui.desk.core.shapes import Pick
from benchtui.model.span import about_as_edtf
from benchtui.model.title import Title
from benchtui.titles.barcode import read_barcode
from benchtui.titles.fold import fold

_NUMBER = re.compile(r"[A-Za-z]{0,6}[ -]?\d[\dA-Za-z -]*\Z")
_YEAR = re.compile(r"(19|20)\d\d")
_VAGUE = re.compile(r"(19|20)\d[\dX][?~]?")
ALIKE = 80
"""A title as typed and one of the list are the same from this likeness on (0 to 100): a slip or two."""


def pieces_of(text: str) -> list[str]:
    """``artist - title - number`` in its pieces; a slash parts as well."""
    return [piece.strip() for piece in " ".join(text.split()).replace(" / ", " - ").split(" - ")]


def _year_of(piece: str) -> str:
    """``1966``, ``c1966``, ``about 1966``, ``1966?``, ``196x`` as EDTF; "" for what is no year."""
    if _YEAR.fullmatch(piece):
        return piece
    edtf = about_as_edtf(piece).replace("x", "X")
    return edtf if _VAGUE.fullmatch(edtf) else ""


def title_of(text: str) -> Title:
    """The new title that ``artist - title - number - year`` means; all but one may be missing."""
    pieces = pieces_of(text)
    artist, name = (pieces[0], pieces[1]) if len(pieces) > 1 else ("", pieces[0])
    first = _year_of(pieces[-1]) if len(pieces) > 3 else ""
    pieces = pieces[:-1] if first else pieces
    return Title(id="", artist=artist, title=name, catalogue=" - ".join(pieces[2:]), first=first)


def with_new(library: Library, text: str, picks: list[Pick]) -> list[Pick]:
    """The list, headed by the new title that was typed where it contradicts the one that stood first."""
    first = picks[0].value if picks else None
    if first is None or not first.id or not contradicts(library, text, first):
        return picks
    new = title_of(text)
    said = ", ".join(filter(None, (new.artist, new.title, new.catalogue, new.first)))
    return [Pick((("new title: ", "accent"), (said, "bold")), new), *picks]


def contradicts(library: Library, text: str, title: Title) -> bool:
    """Whether the text names another title than this one, or another number; a part of either does not."""
    pieces = pieces_of(text)
    known = library.title(title.id)
    pressed = [one.catalogue for one in known.pressings] if known else []
    numbers = [plain(one) for one in (title.catalogue, *(known.catalogues if known else ()), *pressed) if one]
    if len(pieces) == 1:
        return _is_another_number(pieces[0], title, numbers)
    straight = _is_like(pieces[0], title.artist) and _is_like(pieces[1], title.title)
    turned = _is_like(pieces[0], title.title) and _is_like(pieces[1], title.artist)
    number = plain(title_of(text).catalogue)
    return not (straight or turned) or bool(number and numbers and not any(number in one for one in numbers))


def _is_another_number(text: str, title: Title, numbers: list[str]) -> bool:
    """Of a text that is nothing but a number; a barcode is looked up by itself."""
    if not _NUMBER.match(text) or read_barcode(text) is not None or not numbers:
        return False
    typed = plain(text)
    words = f"{fold(title.artist)} {fold(title.title)}"
    return len(typed) > 3 and not any(typed in one for one in numbers) and fold(text) not in words


def _is_like(typed: str, name: str) -> bool:
    """Whether the piece is the name, a part of it (words may be cut short), or the name with a slip."""
    from rapidfuzz import fuzz

    one, other = fold(typed), fold(name)
    words = other.split()
    if all(any(word.startswith(piece) for word in words) for piece in one.split()):
        return True
    return fuzz.ratio(one, other) >= ALIKE


def plain(number: str) -> str:
    """A catalogue number without spaces, dashes and case."""
    return "".join(char for char in number.casefold() if char.isalnum())
