"""A table's rows as they are meant: merged cells filled down, ditto marks read, titles put together."""

import re
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import NamedTuple

from benchtui.base.errors import BenchError
from benchtui.knowledge.alike import LIKE, Card, names_alike
from benchtui.knowledge.folded import fold
from benchtui.knowledge.heads import MAYBE_COMPANY, PRESSING_FIELDS, TITLE_FIELDS, Heading, Heads
from benchtui.knowledge.values import span_of
from benchtui.model.span import UNKNOWN, Span
from benchtui.model.when import read_span
from benchtui.titles.columns import unguarded
from benchtui.titles.fold import number_form
from benchtui.titles.header import GUESSED, mostly
from benchtui.titles.oneline import cells_of_line
from benchtui.titles.sheet import open_sheet
from benchtui.titles.values import channels_of, count_of, country_of, is_empty, size_of

DITTO = frozenset({'"', "''", "”", "“", "〃", "do", "do.", "ditto", "id.", "dto", "dto."})
MOST_ROWS = 50_000
SURELY_COMPANY = frozenset({"company", "record company", "record label"})
"""Names of the company's column that mean nothing else."""
_YEAR = re.compile(r"(?:18|19|20)\d\d|'\d\d")
_NUMBER = re.compile(r"[A-Za-z]{1,6}[ ./-]?\d[\w ./-]{0,12}$")
"""A catalogue number: letters, then figures."""
COLUMN_NAMES = frozenset({*TITLE_FIELDS, *PRESSING_FIELDS, "-"})
"""What a column may be mapped to beside a clue; ``-``: left out."""


class Said(NamedTuple):
    """One row: its line, its fixed cells by column's name, its other cells by column's place."""

    line: int
    fixed: dict[str, str]
    clues: dict[int, str]


@dataclass
class TableRead:
    """A table as it was read. ``refused``: lines with why; ``told``: what a person has to know of it."""

    path: Path
    headings: list[Heading]
    rows: list[Said]
    refused: list[tuple[int, str]]
    told: list[str]
    unnamed: bool = False
    """Its names are none that are known: a person said which column is the title's."""

    def column(self, at: int) -> list[str]:
        """The cells of a clue's column that are not empty."""
        return [row.clues[at] for row in self.rows if row.clues.get(at)]


class NoTitleColumnError(BenchError):
    """No column of a table is a title's; ``names``: what its columns are called."""

    def __init__(self, path: Path, names: Sequence[str]) -> None:
        told = ", ".join(names)[:200]
        super().__init__("no column is a title's", path, f"use --map THEIRS=title; its columns are {told}")
        self.names = names


def read_table(
    path: Path,
    mapping: dict[str, str] | None = None,
    encoding: str | None = None,
    sounds: Mapping[str, str] | None = None,
    companies: Collection[str] = (),
) -> TableRead:
    """The table in a CSV file or spreadsheet. ``mapping``: a column's name -> the fixed column that it is, or
    ``-`` for one that is left out. ``sounds``: words of the dealer's own for mono and stereo, and what each
    is. ``companies``: those known. NoTitleColumnError where no column is a title's.
    """
    mapping = mapping or {}
    heads = Heads(tuple(mapping), companies)
    sheet = open_sheet(path, encoding, mapping, heads.find, dittos=True)
    try:
        named = _mapped(heads.headings(sheet.header), mapping)
        headings = _beside_an_end(named)
        if not {"title", "both"} & {one.fixed for one in headings}:
            raise NoTitleColumnError(path, [one.name for one in headings])
        found = TableRead(path, headings, [], [], list(sheet.said))
        if heads.above:
            above = "; ".join(" ".join(filter(None, row)) for row in heads.above)
            found.told.append(f"above the columns' names: {above[:160]}")
        _read_rows(found, sheet.rows())
        found.told += _open_rows(found, named)
    finally:
        sheet.close()
    for row in found.rows:
        if own := _sound(row.fixed.get("channels", ""), sounds or {}):
            row.fixed["channels"] = own
    titles = {one.full for one in heads.headings(sheet.header) if one.fixed in ("title", "both")}
    guessed = any(said.startswith(GUESSED) for said in sheet.said)
    found.unnamed = guessed or not titles & {one.full for one in headings if one.fixed}
    if several := _several_companies(found, mapping):
        told = f"'{several.full}' is read as a question, not the company: one title has several"
        looks = {several.full: ""}
    elif label := _label_of_companies(found, mapping, companies):
        told, looks = f"'{label.full}' is read as the company: each title has one", {label.full: "company"}
    elif guessed and "first" not in mapping and _one_has_several(found, "first"):
        told, looks = "'first' is read as made: one title has several years", {"first": "made"}
    elif looks := (_by_look(found, mapping, sounds or {}) if found.unnamed else {}):
        told = ", ".join(f"'{name}' is read as {ours}" for name, ours in looks.items()) + ", by its look"
    else:
        return found
    again = read_table(path, {**mapping, **looks}, encoding, sounds, companies)
    again.told.append(told)
    return again


def _by_look(found: TableRead, mapping: Mapping[str, str], sounds: Mapping[str, str]) -> dict[str, str]:
    """The columns of numbers, of years and of the dealer's own words for mono and stereo among those that
    nothing is known of: years are of the pressings where one title has several.
    """
    named, looks = {fold(name) for name in mapping}, dict[str, str]()
    left = {"number", "first", "made", "channels"} - {one.fixed for one in found.headings}
    titles = [_title_of(row) for row in found.rows]
    for one in found.headings:
        if one.fixed or {fold(one.full), fold(one.name)} & named or not left:
            continue
        told = [(title, row.clues[one.at]) for title, row in zip(titles, found.rows, strict=True)
                if row.clues.get(one.at)]  # fmt: skip
        cells = [text for _, text in told]
        if mostly(cells, _is_year) and {"first", "made"} <= left:
            several = len(set(told)) > len({title for title, _ in told})
            looks[one.full] = "made" if several else "first"
            left -= {"first", "made"}
        elif "number" in left and mostly(cells, _NUMBER.match) and len(set(cells)) * 2 >= len(set(titles)):
            looks[one.full] = "number"
            left -= {"number"}
        elif "channels" in left and mostly(cells, lambda text: bool(_sound(text, sounds))):
            looks[one.full] = "channels"
            left -= {"channels"}
    return looks


def _is_year(text: str) -> bool:
    try:
        return bool(_YEAR.search(text)) and span_of("", "", text).known
    except ValueError:
        return False


def _sound(text: str, sounds: Mapping[str, str]) -> str:
    return next((channels for own, channels in sounds.items() if fold(own) == fold(text)), "")


def _several_companies(found: TableRead, mapping: Mapping[str, str]) -> Heading | None:
    """The column that is the company by a word which may mean something else, where one title has several: a
    company does not change from pressing to pressing.
    """
    one = next((one for one in found.headings if one.fixed == "company"), None)
    if (
        one is None
        or fold(one.name) in SURELY_COMPANY
        or {fold(one.full), fold(one.name)} & set(map(fold, mapping))
    ):
        return None
    return one if _one_has_several(found, "company") else None


def _label_of_companies(
    found: TableRead, mapping: Mapping[str, str], companies: Collection[str]
) -> Heading | None:
    """A column ``label`` without a company's beside it that has the names of known ones, or where each title
    has one value, some of them titles of several pressings: the paper would differ from one to the other.
    """
    if any(one.fixed == "company" for one in found.headings):
        return None
    label = next((one for one in found.headings if fold(one.full) in MAYBE_COMPANY and not one.fixed), None)
    if label is None or fold(label.full) in set(map(fold, mapping)):
        return None
    known = set(map(fold, companies))
    told = _by_title(found, lambda row: row.clues.get(label.at, ""))
    if mostly([cell for cells in told for cell in cells if cell], lambda cell: cell in known):
        return label
    several = sum(len(cells) > 1 for cells in told)
    return label if several > 1 and all(len({*cells} - {""}) == 1 for cells in told) else None


def _one_has_several(found: TableRead, name: str) -> bool:
    """Whether rows of one title say different things in that fixed column."""
    told = _by_title(found, lambda row: row.fixed.get(name, ""))
    return any(len({*cells} - {""}) > 1 for cells in told)


def _by_title(found: TableRead, cell: Callable[[Said], str]) -> list[list[str]]:
    """The cells of each title's rows, folded."""
    told: dict[tuple[str, str], list[str]] = {}
    for row in found.rows:
        told.setdefault(_title_of(row), []).append(fold(cell(row)))
    return list(told.values())


def _title_of(row: Said) -> tuple[str, str]:
    return fold(row.fixed.get("artist", "")), fold(row.fixed.get("title", ""))


def _beside_an_end(headings: list[Heading]) -> list[Heading]:
    """``made`` beside a column ``to`` is the beginning: where such a row has no end, none is known."""
    named = {one.fixed for one in headings}
    if "to" not in named or "from" in named:
        return headings
    return [one._replace(fixed="from") if one.fixed == "made" else one for one in headings]


def _open_rows(found: TableRead, named: list[Heading]) -> list[str]:
    """That rows with a ``made`` that is the beginning, and no end, are open; nothing where none is."""
    at = {one.at for one in named if one.fixed == "made"}
    made = next((one for one in found.headings if one.at in at and one.fixed == "from"), None)
    lines = [row.line for row in found.rows if row.fixed.get("from") and not row.fixed.get("to")]
    if made is None or not lines:
        return []
    shown = f"line{'s' * (len(lines) != 1)} {', '.join(map(str, lines[:6]))}{' ...' * (len(lines) > 6)}"
    return [f"'{made.full}' is the beginning beside a column of ends: from then on in {shown}"]


def _mapped(headings: list[Heading], mapping: dict[str, str]) -> list[Heading]:
    meant = {fold(theirs): ours for theirs, ours in mapping.items()}
    taken = set(meant.values())
    found = []
    for one in headings:
        ours = meant.get(fold(one.full), meant.get(fold(one.name)))
        if ours in COLUMN_NAMES:
            found.append(Heading(one.at, one.name, one.group, ours))
        else:  # a clue's id, or what the name says
            fixed = one.fixed if ours is None and one.fixed not in taken else ""
            found.append(Heading(one.at, one.name, one.group, fixed))
    return found


def _read_rows(found: TableRead, rows: Iterable[object]) -> None:
    before: dict[str, str] = {}
    clues: dict[int, str] = {}
    for row in rows:
        if len(found.rows) >= MOST_ROWS:
            raise BenchError(f"has over {MOST_ROWS:,} rows", found.path, "make one table for each company")
        line, cells, refused = row.line, row.cells, row.refused  # type: ignore[attr-defined]
        if refused:
            found.refused.append((line, refused))
            continue
        said = _said(line, cells, found.headings)
        why = _filled(said, before)
        if why:
            found.refused.append((line, why))
        elif said.fixed or said.clues:
            for at in [at for at, text in said.clues.items() if text.lower() in DITTO]:
                said.clues[at] = clues.get(at, "?")
            found.rows.append(said)
            before, clues = dict(said.fixed), dict(said.clues)


def _said(line: int, cells: Sequence[str], headings: list[Heading]) -> Said:
    fixed: dict[str, str] = {}
    clues: dict[int, str] = {}
    for one in headings:
        text = unguarded(cells[one.at]) if one.at < len(cells) else ""
        if not text or one.fixed == "-":
            continue
        if not one.fixed:
            clues[one.at] = text
        elif not is_empty(text) or one.fixed == "title":
            fixed[one.fixed] = text
    if "both" in fixed and "title" not in fixed:
        parted = cells_of_line(fixed.pop("both"))
        if parted:
            fixed |= {
                name: text for name, text in zip(("artist", "title", "number"), parted, strict=False) if text
            }
    return Said(line, fixed, clues)


def _filled(row: Said, before: dict[str, str]) -> str:
    """Fills a title's cells from the row above, where they are empty or say ditto; why it cannot be."""
    for name, text in list(row.fixed.items()):
        if text.lower() in DITTO:
            row.fixed.pop(name)
            if name in before:
                row.fixed[name] = before[name]
    if row.fixed.get("title"):
        return "" if fold(row.fixed["title"]) else "the title has no letter or digit"
    if not row.fixed and not row.clues:
        return ""
    if len(row.fixed) + len(row.clues) == 1:
        return "a single cell: neither a title nor a pressing"
    if not before:
        return "it says nothing of a title, and no row above it does"
    if row.fixed.get("artist") and fold(row.fixed["artist"]) != fold(before.get("artist", "")):
        return "an artist without a title"
    numbered = "number" in row.fixed
    for name in TITLE_FIELDS:
        if name in before and (name != "channels" or not numbered):
            row.fixed.setdefault(name, before[name])
    return ""


# -- titles -----------------------------------------------------------------------------------------------


@dataclass
class Group:
    """The rows of one title, and what they say of it together."""

    card: Card
    rows: list[Said] = field(default_factory=list)
    problems: list[tuple[int, str]] = field(default_factory=list)
    slips: list[tuple[int, str, str, str]] = field(default_factory=list)
    """Line, column, what stands there, what it was read as."""
    discs: int | None = None


def groups_of(rows: Sequence[Said]) -> list[Group]:
    """The titles of a table in its order: rows of the same artist and title (slips allowed where the number
    is the same), unless company, country or size say another.
    """
    groups: list[Group] = []
    by_name: dict[tuple[str, str], list[Group]] = {}
    by_number: dict[str, list[Group]] = {}
    for row in rows:
        card, problems, slips = _card(row)
        key = (fold(card.artist), fold(card.title))
        near = [
            *by_name.get(key, []),
            *(one for number in card.numbers for one in by_number.get(number_form(number), [])),
        ]
        group = next((one for one in near if _joins(card, one.card)), None)
        if group is None:
            group = Group(card)
            groups.append(group)
        group.card = _joined(group.card, card)
        group.rows.append(row)
        group.problems += problems
        group.slips += slips
        group.discs = group.discs or count_of("discs", row.fixed.get("discs", ""), 40)[0]
        by_name.setdefault(key, []).append(group)
        for number in card.numbers:
            by_number.setdefault(number_form(number), []).append(group)
    return groups


def _joins(one: Card, other: Card) -> bool:
    facts = (
        (fold(one.company), fold(other.company)),
        (one.country, other.country),
        (one.size_in, other.size_in),
    )
    return names_alike(one, other) >= LIKE and not any(a and b and a != b for a, b in facts)


def _joined(one: Card, other: Card) -> Card:
    channels = one.channels or other.channels
    if one.channels and other.channels and one.channels != other.channels:
        channels = "both"
    first = one.first if one.first.known else other.first
    return one._replace(
        numbers=tuple(dict.fromkeys((*one.numbers, *other.numbers))),
        company=one.company or other.company,
        country=one.country or other.country,
        first=first,
        size_in=one.size_in or other.size_in,
        channels=channels,
    )


def _card(row: Said) -> tuple[Card, list[tuple[int, str]], list[tuple[int, str, str, str]]]:
    problems, slips = [], []
    country, say = country_of(row.fixed.get("country", ""))
    problems += [say] if say else []
    channels, say = channels_of(row.fixed.get("channels", ""))
    problems += [say] if say else []
    size, say = size_of(row.fixed.get("size", ""))
    problems += [say] if say else []
    first: Span = UNKNOWN
    try:
        first = span_of("", "", row.fixed.get("first", ""))
        told = read_span(row.fixed["first"])[1] if first.known else ""
        slips += [(row.line, "first", row.fixed["first"], told)] if told else []
    except ValueError as error:
        problems.append(f"first: {error}")
    numbers = tuple(numbers_of(row.fixed.get("number", "")))
    artist, company = row.fixed.get("artist", ""), row.fixed.get("company", "")
    card = Card("", artist, row.fixed["title"], numbers, company, country, first, size, channels)
    return card, [(row.line, say) for say in problems], slips


def numbers_of(text: str) -> list[str]:
    """The numbers of a cell, separated by semicolons or by slashes with space around them."""
    parts = text.replace(" / ", ";").split(";")
    return [one for part in parts if (one := " ".join(part.split()))]
