"""Whether what was typed contradicts the title that the list puts first: another title, another number."""

import re
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from benchtui.books.library import Library
from benchtui.books.shape import BookTitle
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.field import facts_of_new, field_of
from benchtui.desk.core.page_parts import Words
from benchtui.desk.core.shapes import Pick
from benchtui.model.title import Title
from benchtui.model.when import as_read, read_time
from benchtui.titles.barcode import read_barcode
from benchtui.titles.fold import fold
from benchtui.titles.same import differ_perhaps_in

_NUMBER = re.compile(r"[A-Za-z]{0,6}[ -]?\d[\dA-Za-z -]*\Z")
_YEAR = re.compile(r"(?:18|19|20)\d[\dxX]")
_YEAR_BEHIND = re.compile(r"\s+(?:18|19|20)\d\d\Z")
_COMPANY = re.compile(r"(?:company|label)[: ]\s*(\S.*)", re.IGNORECASE)
ALIKE = 80
"""A title as typed and one of the list are the same from this likeness on (0 to 100): a slip or two."""


def pieces_of(text: str) -> list[str]:
    """``artist - title - number`` in its pieces; a slash parts as well."""
    return [piece.strip() for piece in " ".join(text.split()).replace(" / ", " - ").split(" - ")]


def year_typed(piece: str) -> str:
    """``1966``, ``c1966``, ``1966?``, ``196x``, ``1966-68`` as EDTF; "" for what is no year."""
    try:
        return read_time(piece) if _YEAR.search(piece) else ""
    except ValueError:
        return ""


def title_typed(desk: Desk, text: str) -> Title:
    """The new title that the line means; it may name a company of the shop's field or books."""
    named = [field_of(desk.settings).company, *desk.library.companies]
    return title_of(text, {fold(one): one for one in reversed(named) if one})


def facts_of(desk: Desk, told: Title) -> dict[str, str]:
    """What the shop's field and the books' numbering add to a title that was typed."""
    return facts_of_new(desk.settings, desk.library, told.catalogue, told.company)


def _company_of(piece: str, known: Mapping[str, str]) -> str:
    """``Tarn & Fell`` where it is known, ``company Tarn & Fell`` where it is not; "" for what names none."""
    told = _COMPANY.match(piece)
    return known.get(fold(told[1]), told[1]) if told else known.get(fold(piece), "")


def title_of(text: str, companies: Mapping[str, str]) -> Title:
    """The new title that ``artist - title - number - year - company`` means; all but one may be missing. Only
    of a full line, ``artist - title`` at least, is there an artist.

    ``companies``: those known, by their folded names.
    """
    pieces = pieces_of(text)
    named = [(n, its) for n, one in enumerate(pieces) if n > 1 and (its := _company_of(one, companies))]
    if named:
        at, company = named[-1]
        told = title_of(" - ".join(pieces[:at] + pieces[at + 1 :]), {})
        return told._replace(company=company)
    if len(pieces) == 5 and pieces[4] and year_typed(pieces[3]) and not year_typed(pieces[4]):
        return title_of(" - ".join(pieces[:4]), {})._replace(company=pieces[4])  # nothing else stands there
    artist, name = (pieces[0], pieces[1]) if len(pieces) > 1 else ("", pieces[0])
    first = year_typed(pieces[-1]) if len(pieces) > 2 else ""
    pieces = pieces[:-1] if first else pieces
    return Title(id="", artist=artist, title=name, catalogue=" - ".join(pieces[2:]), first=first)


def new_title_read(told: Title, facts: Mapping[str, str]) -> Words:
    """How what was typed is read as a new title, each piece by its name, with what ``facts_of`` adds."""
    first, company = told.first or facts.get("first", ""), told.company or facts.get("company", "")
    known = (
        ("artist", told.artist), ("title", told.title), ("number", told.catalogue),
        ("first issued", as_read(first) if first else ""), ("company", company),
    )  # fmt: skip
    pieces = [piece for name, text in known if text for piece in ((f", {name} ", "dim"), (text, "bold"))]
    lacks = [name for name, text in known[:4] if not text]
    if lacks:
        pieces.append((f"; no {', no '.join(lacks)}", "dim"))
    (lead, style), *rest = pieces
    return ((lead.removeprefix(", "), style), *rest)


def with_new(desk: Desk, new: Title, picks: list[Pick]) -> list[Pick]:
    """The list, headed by the new title that was typed where it contradicts the one that stood first; by the
    one of the list that has its words and number, where only others of those words stood before it.
    """
    first = picks[0].value if picks else None
    if first is None or not _contradicts(desk.library, new, first):
        return picks
    if (same := next((one for one in picks if _is_named(desk.library, new, one.value)), None)) is not None:
        return [same, *(one for one in picks if one is not same)]
    facts = facts_of(desk, new)
    first = new.first or facts.get("first", "")
    company = new.company or facts.get("company", "")
    pieces = (new.artist, new.title, new.catalogue, first and as_read(first), company)
    said = " | ".join(filter(None, pieces))  # short: a row of the list has less room than the words below it
    return [Pick((("new title: ", "accent"), (said, "bold")), new), *picks]


def of_number(library: Library, told: Title, picks: Sequence[Pick]) -> Pick | None:
    """The first of the list that has the number typed; None for no number."""
    number = plain(told.catalogue)
    for pick in picks if number else ():
        if number in map(plain, numbers_of(pick.value, library.title(pick.value.id))):
            return pick
    return None


def _is_named(library: Library, new: Title, title: Title) -> bool:
    same_number = bool(new.catalogue) and plain(new.catalogue) == plain(title.catalogue)
    return same_number and bool(title.id) and not _contradicts(library, new, title)


class Beside(NamedTuple):
    """What a full line says beside the known title: a number or year that the title lacks, a year that is
    another than the title's own (``mine``); each "" where it says nothing new. Years are EDTF.
    """

    number: str = ""
    first: str = ""
    other_first: str = ""
    mine: str = ""

    @property
    def added(self) -> str:
        """What the record takes from the line, in words; "" for nothing."""
        first = f"first issued {as_read(self.first)}" if self.first else ""
        return " and ".join(filter(None, (self.number and f"number {self.number}", first)))


def beside(library: Library, told: Title, title: Title) -> Beside:
    """What a line says beside that title."""
    known = library.title(title.id)
    number = told.catalogue if not numbers_of(title, known) else ""
    mine = title.first or (known.first.edtf() if known else "")
    if not (told.first and mine):
        return Beside(number, told.first)
    other = differ_perhaps_in(told, Title("", "", "", first=mine)) == "year"
    return Beside(number, "", told.first if other else "", mine)


def new_of_list(told: Title, listed: Title) -> Title:
    """The new title that a line of the sender's list becomes: of a full line that was typed number, year and
    company count, and its words where they are the list's but for a slip: they are the dealer's own.
    """
    if not told.artist:
        return listed
    more = listed._replace(
        catalogue=listed.catalogue or told.catalogue,
        first=told.first or listed.first,
        company=told.company or listed.company,
    )
    whole = _is_whole(told.artist, listed.artist) and _is_whole(told.title, listed.title)
    return more._replace(artist=told.artist, title=told.title) if whole else more


def pressed_numbers(known: BookTitle | None) -> list[str]:
    """Numbers of the title's pressings."""
    return [one.catalogue for one in known.pressings if one.catalogue] if known else []


def numbers_of(title: Title, known: BookTitle | None) -> list[str]:
    """Its numbers: of its card and of its pressings."""
    every = (title.catalogue, *(known.catalogues if known else ()), *pressed_numbers(known))
    return [one for one in every if one]


def _contradicts(library: Library, told: Title, title: Title) -> bool:
    """Whether another title was typed than this one, or another number; a part of either is none."""
    numbers = [plain(one) for one in numbers_of(title, library.title(title.id))]
    if not told.artist:
        return _is_another_number(told.title, title, numbers)
    straight = _is_like(told.artist, title.artist) and _is_like(told.title, title.title)
    turned = _is_like(told.artist, title.title) and _is_like(told.title, title.artist)
    number = plain(told.catalogue)
    return not (straight or turned) or bool(
        number and numbers and not any(_is_part(number, one) for one in numbers)
    )


def is_number(text: str) -> bool:
    """Whether it is nothing but a number: ``TW 321``."""
    return _NUMBER.match(text) is not None


def _is_another_number(text: str, title: Title, numbers: list[str]) -> bool:
    """Of a text that is nothing but a number, perhaps with a year; a barcode is looked up by itself."""
    if not is_number(text) or read_barcode(text) is not None or not numbers:
        return False
    bare = _YEAR_BEHIND.sub("", text)
    text = bare if is_number(bare) else text
    typed = plain(text)
    words = f"{fold(title.artist)} {fold(title.title)}"
    return len(typed) > 3 and not any(_is_part(typed, one) for one in numbers) and fold(text) not in words


def _is_part(typed: str, number: str) -> bool:
    """Whether a plain number is that one or a part of it, or its figures are where one of the two has its
    letters behind them: ``112-M`` for ``PQM 112``.
    """
    figures, its = ("".join(filter(str.isdigit, one)) for one in (typed, number))
    behind = typed[:1].isdigit() != number[:1].isdigit()
    return typed in number or (behind and len(its) > 1 and figures == its)


def _is_like(typed: str, name: str) -> bool:
    """Whether the piece is the name, a part of it (words may be cut short), or the name with a slip."""
    one, words = fold(typed), fold(name).split()
    return all(any(word.startswith(piece) for word in words) for piece in one.split()) or _is_whole(
        typed, name
    )


def _is_whole(typed: str, name: str) -> bool:
    """Whether the piece is the whole name, but for a slip; ``Weir C`` is none of ``Weir A``."""
    from rapidfuzz import fuzz

    one, other = fold(typed), fold(name)
    return fuzz.ratio(one, other) >= ALIKE and not _count_apart(one, other)


def _count_apart(one: str, other: str) -> bool:
    """Whether two folded names end in different single letters or numbers, words by themselves."""
    mine, its = (name.split()[1:][-1:] for name in (one, other))
    return mine != its and all(words and (len(words[0]) == 1 or words[0].isdigit()) for words in (mine, its))


def plain(number: str) -> str:
    """A catalogue number without spaces, dashes and case."""
    return "".join(char for char in number.casefold() if char.isalnum())
