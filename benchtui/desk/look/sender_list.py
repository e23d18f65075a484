"""The sender's own list, pasted or from a CSV file, as lines to be ticked off."""

import csv
import io
import re
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from benchtui.base.errors import BenchError
from benchtui.base.paths import path_from
from benchtui.base.reading import read_text
from benchtui.model.parcel import ListLine
from benchtui.titles.columns import BOTH
from benchtui.titles.header import is_greeting, is_numbered, is_year, name_key, names_columns, words
from benchtui.titles.oneline import cells_of_line
from benchtui.titles.values import date_of

MOST_LINES = 5000
MOST_BYTES = 5_000_000
HEADINGS = 20
"""Rows among which the one that names the columns is looked for."""
PLAIN = ("artist", "title", "catalogue", "grade")
"""The columns of a list that names none."""
GRADE = ("condition", "cond", "grading", "state", "zustand", "etat")
"""What the column of grades is called (common practice, no source)."""
_MARK = re.compile(r"^(?:\[[ xX✓✔v*+?-]?\]|[✓✔☑☐□•]|[x?*–-](?=\s))\s*")
"""What a hand puts before a line as it goes down the list."""
_NUMBERED = re.compile(r"^\d{1,3}[.)]\s+")
_NUMBERED_ALONE = re.compile(r"^\d{1,3}\)\s+")
_QUERY = re.compile(r"\s+\?+$")
_TIMES = re.compile(r"^(?:([1-9])\s?[x×]|([1-9]|two|three) copies(?: of)?)\s+", re.I)
_IN_WORDS = {"two": 2, "three": 3}
_TIMES_BEHIND = re.compile(r"\s+[x×]([1-9])$")
_FENCED = re.compile(r"^([-=*_#~+.]{2,})\s*[^-=*_#~+.].*[-=*_#~+.]{2,}$")
_SUM = re.compile(
    r"(?:sub)?(?:tot(?:al)?|sum|summe|gesamt|totale?)\b[.:]?\s*:?\s*[£€$]?\s?\d.*"
    r"|\d+\s+(?:records?|pcs|pieces|lps?|discs?|items)\.?(?: in (?:all|total))?"
    r"|\d+\s+(?:records?|pcs|pieces|lps?|discs?|items)\s+(?:at|@)\s*[£€$]?\s?\d.*"
    r"|(?:(?:sub)?tot(?:al)?\b\s*:|in (?:all|total)\b)"
    r".*(?:\b(?:records?|pcs|pieces|lps?|discs?|items|pounds?|euros?|dollars?)\b|[£€$]\s?\d).*"
    r"|(?:postage|shipping|p&p)(?: (?:and|&|\+) (?:packing|handling))?\s*:?\s*\d+"
    r"|(?:postage|shipping|p&p)\b.*(?:[£€$]\s?\d|\d[.,]\d\d\b|\d\s?(?:[£€$]|EUR\b|GBP\b|USD\b)).*",
    re.I,
)
"""The count beneath a list (common practice, no source)."""
_COUNTED = re.compile(r"\b(?:records?|pcs|pieces|lps?|discs?|items|pounds?|euros?|dollars?)\b|[£€$]", re.I)
"""What a sum of several cells counts."""
_OF_A_LETTER = frozenset(
    ["i", "i'm", "i've", "i'll", "you", "your", "we", "my", "me", "us", "they", "them", "these"]
)
_SENTENCE = 5
"""Words from which a row in small letters may be a sentence of the letter around the list."""
_AMOUNT = re.compile(r":|[£€$]|\d[.,]\d\d\b")
_FAREWELL = re.compile(
    r"(?:(?:with )?(?:my )?(?:best|kind|warm)(?:est)? (?:regards|wishes)|all the best|many thanks|thank you"
    r"|yours(?: (?:truly|sincerely|faithfully))?|mit freundlichen gr|viele gr|cordialement)\b[^\d]*"
    r"|(?:regards|thanks|thx|cheers)[,.!]*",
    re.I,
)
"""How a letter ends (common practice, no source)."""
LAST = 4
"""Rows at the end among which it is looked for."""
_IN_BRACKETS = re.compile(r"\([^()]*\)")
_GRADED = re.compile(r"\s+((?:NM|EX|VG)[+-]{0,2}|[MGFP][+-]{1,2})$")
"""A grade behind a line in one cell; bare letters may be words of the title."""
_GRADES = re.compile(r"(?:NM|EX|VG|[MGFP])[+-]{0,2}(?:\s?/\s?(?:NM|EX|VG|[MGFP])[+-]{0,2})?", re.I)
_FILE = re.compile(r"[^\n]*\.(?:csv|txt|tsv|tab|lst)", re.I)
_SHEET = re.compile(r"[^\n]*\.(?:xlsx?|ods)", re.I)


class SenderList(NamedTuple):
    """Its lines, and the rows among them that only head others."""

    lines: list[ListLine]
    headings: list[str]


def read_list(text: str, shop: Path) -> SenderList:
    """What was pasted, or the file of text (.csv, .txt, .tsv) whose path it is.

    Raises ValueError in one sentence: what is wrong and what would be right.
    """
    path = text.strip()
    if _SHEET.fullmatch(path):
        raise ValueError(f"{path} is a spreadsheet: save it as CSV, or copy its rows and paste them")
    return read_path(path, shop) if _FILE.fullmatch(path) else read_pasted(text)


def read_path(text: str, shop: Path) -> SenderList:
    """Read a CSV file, found from where one is or from the shop's folder.

    Raises ValueError in one sentence: what is wrong and what would be right.
    """
    try:
        path = path_from(text)
        if not path.is_absolute() and not path.exists():
            path = shop / path
        return read_pasted(read_text(path, MOST_BYTES, "give the path of a CSV file"))
    except (BenchError, OSError) as error:
        raise ValueError(str(error)) from None


def read_pasted(text: str) -> SenderList:
    """Lines of ``artist, title, number, grade``; among the first rows one that names columns is followed, by
    the words by which title lists name theirs. Rows that only head others are no lines.

    Pasted text may have tabs, semicolons or commas between its cells; a line without any is a title.
    """
    if "\0" in text:
        raise ValueError("the list holds NUL characters: it is not text")
    cells = [
        [cell.strip() for cell in row]
        for row in csv.reader(io.StringIO(text, newline=""), delimiter=_delimiter(text))
        if any(map(str.strip, row))
    ]
    cells = [_brackets_whole(row) for row in cells]
    rows = list(_without_marks(cells))
    if len(rows) > MOST_LINES:
        raise ValueError(f"the list has {len(rows)} lines: one parcel's list has at most {MOST_LINES}")
    header = next((row for row in rows[:HEADINGS] if names_columns(_names(row), ("artist", "title"))), None)
    columns = dict(zip(PLAIN, range(len(PLAIN)), strict=True)) if header is None else _columns(header)
    by_look = header is None and sum(map(_is_both, rows)) * 2 >= len(rows)
    start = 0 if header is None else rows.index(header)
    headings = [_joined(row) for row in rows[:start]]
    ends = range(max(start, len(rows) - LAST), len(rows))
    end = next((n for n in ends if _FAREWELL.fullmatch(_joined(rows[n]))), len(rows))
    lines = list[ListLine]()
    for n, row in enumerate(rows[start:end], start):
        if header is not None and row == header:  # a list of several sheets repeats it
            continue
        letter = header is None and _is_sentence(row)
        if (
            letter
            or (not lines and is_greeting(row))
            or _is_heading(row, rows[n + 1 :], columns, header is not None)
        ):
            headings.append(_joined(row))
        else:
            named = {name: row[at] for name, at in columns.items() if at < len(row)}
            named = named if header is not None else _with_year(named)
            alone = header is None and (_is_both(row) or _has_number(row))
            lines.append(_line(row, _by_look(row) if by_look or alone else named))
    if not lines:
        raise ValueError("the list is empty: a line each, artist, title, number, grade")
    return SenderList(lines, headings + [_joined(row) for row in rows[end:]])


def _without_marks(rows: list[list[str]]) -> Iterator[list[str]]:
    """The rows without what a hand put before and behind them: ticks, queries, numbers (with a full stop only
    where two are numbered); ``2x`` gives two rows.
    """
    bare = [[_MARK.sub("", row[0]) if not _FENCED.match(row[0]) else row[0], *row[1:]] for row in rows]
    numbered = _NUMBERED if sum(bool(_NUMBERED.match(row[0])) for row in bare) > 1 else _NUMBERED_ALONE
    for row, was in zip(bare, rows, strict=True):
        cells = [*(row if any(row) else was)]
        cells[0] = _MARK.sub("", numbered.sub("", cells[0]))
        cells[-1] = _QUERY.sub("", cells[-1])
        times = _TIMES.search(cells[0]) or _TIMES_BEHIND.search(cells[-1])
        cells[0] = _TIMES.sub("", cells[0])
        cells[-1] = _TIMES_BEHIND.sub("", cells[-1])
        count = times[times.lastindex or 0].lower() if times else "1"
        yield from [cells] * (_IN_WORDS.get(count) or int(count))


def _delimiter(text: str) -> str:
    """The sign that parts most: a heading above the list has none of its own, or a comma by chance."""
    return max("\t;,", key=lambda sign: sum(min(line.count(sign), 1) for line in text.splitlines()))


def _names(row: list[str]) -> list[str]:
    """What a row of headings names: ``Artist - Title`` in one cell is the column of both."""
    artist = words()["artist"]
    parts = [re.split(r"\s+[-–&+]\s+|/", cell) for cell in row]
    return [
        words()[BOTH][0] if len(names) > 1 and name_key(names[0]) in artist else cell
        for cell, names in zip(row, parts, strict=True)
    ]


def _columns(header: list[str]) -> dict[str, int]:
    """Where our columns stand in the row that names them."""
    keys = [name_key(cell) for cell in _names(header)]
    at: dict[str, int] = {}
    for ours in ("artist", "title", "catalogue", BOTH, "first", "grade"):
        theirs = (ours, *(GRADE if ours == "grade" else words()[ours]))
        found = next((keys.index(one) for one in theirs if one in keys), None)
        if found is not None and found not in at.values():
            at[ours] = found
    return at


def _is_heading(row: list[str], after: list[list[str]], columns: dict[str, int], named: bool) -> bool:
    """Whether the row only heads those after it: its only cell is not where titles stand, ends with a colon
    or stands between rules of signs, or it is a name in capitals among rows that are not; or it counts them.
    """
    full = [n for n, cell in enumerate(row) if cell]
    if len(full) > 1:
        said = _joined(row)
        return bool(_SUM.fullmatch(said) and _COUNTED.search(said))
    cell, beneath = row[full[0]], next((one for one in after if _says_more(one)), None)
    if named and full[0] != columns.get("title", columns.get(BOTH)):
        return True
    name = _IN_BRACKETS.sub("", cell)
    capitals = name.isupper() and beneath is not None and not any(map(str.isdigit, cell))
    plainly = cell.endswith(":") or bool(_FENCED.match(cell)) or _is_sum(cell)
    return plainly or (capitals and not _says_more(row) and not _joined(beneath or []).isupper())


def _is_sum(cell: str) -> bool:
    """Whether it counts what stands above: ``Total 7 - The Weir`` is a record."""
    read = cells_of_line(cell) if _SUM.fullmatch(cell) else None
    titled = read is not None and any(map(str.isalpha, read[1])) and not _AMOUNT.search(read[0])
    return bool(_SUM.fullmatch(cell)) and not titled


def _is_both(row: list[str]) -> bool:
    """Whether the first cell has artist and title, and the next is a number, a year or a grade."""
    return len(row) > 1 and bool(_look(row[1])) and _says_more(row[:1])


def _has_number(row: list[str]) -> bool:
    """Whether the first cell of several has artist, title and number or year."""
    read = cells_of_line(row[0]) if len(row) > 1 else None
    return read is not None and bool(read[2] or read[3])


def _is_sentence(row: list[str]) -> bool:
    """Whether it is one of the letter around a list: some words, most in small letters, that end as sentences
    do or speak of somebody; no artist, title and number.
    """
    text = _joined(row)
    said = text.split()
    small = sum(word[:1].islower() for word in said)
    if (
        len(said) < _SENTENCE
        or small * 2 <= len(said)
        or cells_of_line(text)
        or any(map(is_numbered, row[1:]))
    ):
        return False
    return text.endswith((".", "!", "?")) or any(word.lower().strip(",.!") in _OF_A_LETTER for word in said)


def _brackets_whole(row: list[str]) -> list[str]:
    """The cells, one that opens a bracket with those up to its end."""
    whole: list[str] = []
    for cell in row:
        if whole and whole[-1].count("(") > whole[-1].count(")"):
            whole[-1] += f", {cell}"
        else:
            whole.append(cell)
    return whole


def _says_more(row: list[str]) -> bool:
    """Whether it is more than a name: several cells, or artist and title in one."""
    full = list(filter(None, row))
    return len(full) > 1 or (len(full) == 1 and cells_of_line(full[0]) is not None)


def _joined(row: list[str]) -> str:
    return ", ".join(filter(None, row))


def _by_look(row: list[str]) -> dict[str, str]:
    """The cells of a row that begins with artist and title in one."""
    both, cells = row[0], dict[str, str]()
    whole = _has_number(row)
    for cell in filter(None, row[1:]):
        if what := _look(cell):
            cells.setdefault(what, cell)
        elif cells or whole:
            cells.setdefault("grade", cell)
        else:  # the title has the sign that parts the cells
            both = f"{both}, {cell}"
    return {BOTH: both} | cells


def _with_year(cells: dict[str, str]) -> dict[str, str]:
    """Cells known by their places alone, a year among them as what it looks like."""
    at = next((name for name in ("catalogue", "grade") if is_year(cells.get(name, ""))), "")
    return {**cells, "first": cells[at], at: ""} if at else cells


def _look(cell: str) -> str:
    """What a cell behind artist and title is: a year, a grade, a number; "" for words."""
    if is_year(cell):
        return "first"
    return "grade" if _GRADES.fullmatch(cell) else "catalogue" if is_numbered(cell) else ""


def _line(row: list[str], cells: dict[str, str]) -> ListLine:
    if len([cell for cell in row if cell]) == 1 and not cells.get("title"):
        cells = {BOTH: _joined(row)}
    if cells.get(BOTH) and not cells.get("title"):
        both, grade = _taken(cells[BOTH])
        artist, title, number, year = cells_of_line(both) or ("", both, "", "")
        cells = {"artist": artist, "title": title, "catalogue": number, "first": year, "grade": grade} | cells
    if cells.get("catalogue") and not cells.get("grade") and not any(map(str.isdigit, cells["catalogue"])):
        cells |= {"catalogue": "", "grade": cells["catalogue"]}  # no number is without a digit
    if cells.get("artist") and not cells.get("catalogue"):  # the number may stand behind the title
        read = cells_of_line(f"{cells['artist']} - {cells.get('title', '')}")
        cells |= {"title": read[1], "catalogue": read[2]} if read and read[2] else {}
        cells |= {"first": read[3]} if read and read[2] and read[3] else {}
    line: ListLine = {
        "line": _joined(row),
        "artist": cells.get("artist", ""),
        "title": cells.get("title", ""),
        "catalogue": cells.get("catalogue", ""),
        "grade": cells.get("grade", ""),
        "record": None,
    }
    if first := date_of(cells.get("first", ""))[0]:
        line["first"] = first
    return line


def _taken(text: str) -> tuple[str, str]:
    """A line in one cell without the grade behind it, and that grade."""
    found = _GRADED.search(text)
    return (text[: found.start()], found[1]) if found else (text, "")
