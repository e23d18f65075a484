"""Sales seen elsewhere: one entered on the bench, or a CSV file of them."""

import csv
import hashlib
from collections.abc import Callable, Collection, Iterator, Mapping
from datetime import date
from io import StringIO
from pathlib import Path
from typing import Any, NamedTuple

from benchtui.base.errors import BenchError
from benchtui.base.reading import read_text
from benchtui.model.money import parse_money
from benchtui.money.condition import Scales
from benchtui.money.days import day
from benchtui.money.rounding import rate_of

COLUMNS = (
    "title", "pressing", "date", "price", "currency", "rate",
    "disc", "cover", "scale", "missing", "swapped", "where",
)  # fmt: skip
_NEEDED = ("date", "price", "disc")
_ALSO = {
    "title_id": "title",
    "pressing_id": "pressing",
    "disc_grade": "disc",
    "cover_grade": "cover",
    "seen": "where",
}
Sale = dict[str, Any]
BREATH = 64
"""Rows between two calls of ``progress``."""


class SalesRead(NamedTuple):
    """What a file held: sales to keep, lines that were refused (each says why), lines known already."""

    sales: tuple[Sale, ...]
    bad: tuple[BenchError, ...]
    again: int


def new_sale(
    fields: Mapping[str, str],
    settings: Mapping[str, Any],
    today: date,
    scales: Scales | None = None,
    *,
    number: int = 0,
) -> Sale:
    """A sale as the shop keeps it, from text fields named as in ``COLUMNS``.

    ``number`` tells apart sales that are alike in everything.

    BenchError: neither title nor pressing; a day that is none or has not come; a price of 0, below zero or
    absurd; a currency of unknown decimals; a grade that the scale does not have; a rate that is none.
    """
    got = {name: (fields.get(name) or "").strip() for name in COLUMNS}
    if not got["title"] and not got["pressing"]:
        raise BenchError("no title and no pressing named", right="name at least one of them")
    when = day(got["date"], "the day of sale")
    if when > today:
        raise BenchError(f"{got['date']} has not come yet", right=f"enter {today.isoformat()} or earlier")
    try:
        price = parse_money(got["price"], got["currency"].upper() or str(settings.get("currency") or "GBP"))
    except ValueError as wrong:
        raise BenchError(str(wrong)) from None
    if not price.minor:
        raise BenchError("the price is 0", right="enter what was paid")
    if got["rate"]:
        rate_of(got["rate"])
    scale = got["scale"] or str(settings.get("scale") or "")
    sale: Sale = {
        "title": got["title"] or None,
        "pressing": got["pressing"] or None,
        "date": when.isoformat(),
        **price.to_doc(),
        "rate": got["rate"] or None,
        "disc": _grade(got["disc"], scale, scales, "disc"),
        "cover": _grade(got["cover"], scale, scales, "cover"),
        "scale": scale,
        "missing": _count(got["missing"], "missing"),
        "swapped": _count(got["swapped"], "swapped"),
        "where": got["where"],
    }
    return {"id": _id(sale, number)} | sale


def read_sales(
    path: str | Path,
    settings: Mapping[str, Any],
    today: date,
    scales: Scales | None = None,
    *,
    known: Collection[str] = (),
    title_of: Callable[[str], str | None] | None = None,
    progress: Callable[[int, int], object] | None = None,
) -> SalesRead:
    """The sales of a CSV file (UTF-8; comma, semicolon or tab; header with names of ``COLUMNS``).

    A bad line is refused by itself and named; the others are taken in. A file taken in twice adds nothing:
    sales whose id is in ``known`` are only counted. ``title_of`` finds a title's id from what the file says.
    ``progress`` is called with the line reached and how many there are. BenchError for a file that cannot be
    read as a whole.
    """
    sales: list[Sale] = []
    bad: list[BenchError] = []
    seen: dict[str, int] = {}
    again = 0
    text = read_text(Path(path), right="give a CSV file")
    rows, lines = _rows(Path(path), text), text.count("\n") + 1
    header = _header(next(rows)[1], Path(path))
    for no, (line, row) in enumerate(rows):
        if progress is not None and no % BREATH == 0:
            progress(line, lines)
        try:
            sale = new_sale(_named(_cells(header, row), title_of), settings, today, scales)
        except BenchError as wrong:
            bad.append(BenchError(wrong.what, path, wrong.right, line))
            continue
        alike = seen[sale["id"]] = seen.get(sale["id"], -1) + 1
        sale["id"] = _id(sale, alike)
        if sale["id"] in known:
            again += 1
        else:
            sales.append(sale)
    return SalesRead(tuple(sales), tuple(bad), again)


def _named(row: Mapping[str, str], title_of: Callable[[str], str | None] | None) -> Mapping[str, str]:
    if title_of is None or not row.get("title"):
        return row
    found = title_of(row["title"])
    if found is None:
        raise BenchError(f"no title {row['title']!r} is known", right="use a title of the shop's lists")
    return {**row, "title": found}


def _rows(path: Path, text: str) -> Iterator[tuple[int, list[str]]]:
    """The header, then every line that is not empty, each with the number of the line it begins on."""
    if not text.strip():
        raise BenchError("the file is empty", path, "write a header line, then a line for each sale")
    first = text.splitlines()[0]
    reader = csv.reader(StringIO(text, newline=""), delimiter=max(",;\t", key=first.count), strict=True)
    begins = 1
    try:
        for row in reader:
            line, begins = begins, reader.line_num + 1
            if any(cell.strip() for cell in row):
                yield line, row
    except csv.Error as wrong:
        right = "double each quote inside quotes"
        raise BenchError(f"not CSV from here on: {wrong}", path, right, begins) from None


def _cells(header: list[str], row: list[str]) -> dict[str, str]:
    if len(row) != len(header):
        raise BenchError(f"{len(row)} cells", right=f"write {len(header)}, as in the header")
    return {name: cell.strip().removeprefix("'") for name, cell in zip(header, row, strict=True)}


def _header(row: list[str], path: Path) -> list[str]:
    names = [_ALSO.get(name.strip().lower(), name.strip().lower()) for name in row]
    missing = [name for name in _NEEDED if name not in names]
    if "title" not in names and "pressing" not in names:
        missing.insert(0, "title or pressing")
    if missing:
        right = "name some of these in the header: " + ", ".join(COLUMNS)
        raise BenchError("there is no column " + ", ".join(missing), path, right, 1)
    twice = next((name for name in names if name and names.count(name) > 1), None)
    if twice:
        raise BenchError(f"the column {twice!r} appears twice", path, "name each column once", 1)
    return names


def _grade(text: str, scale_id: str, scales: Scales | None, what: str) -> str:
    """The grade as the scale writes it, with its shade; "" for none given (not of the disc)."""
    if not text:
        if what == "disc":
            raise BenchError("the disc has no grade", right="enter a grade of the scale")
        return ""
    if scales is None:
        return text
    if scale_id not in scales:
        raise BenchError(f"there is no scale {scale_id!r}", right="use one of " + ", ".join(scales))
    steps = {step.id.casefold(): step.id for step in scales[scale_id].grades}
    whole, base = text.casefold(), text[:-1].casefold()
    if whole in steps:
        return steps[whole]
    if text[-1] in "+-" and base in steps:
        return steps[base] + text[-1]
    known = ", ".join(step.id for step in scales[scale_id].grades)
    raise BenchError(f"{what}: {scale_id} has no grade {text!r}", right=f"use one of {known}")


def _count(text: str, what: str) -> int:
    if not text:
        return 0
    if not text.isascii() or not text.isdigit() or len(text) > 2:
        raise BenchError(f"{what} is {text!r}", right="enter how many parts, 0 to 99")
    return int(text)


def _id(sale: Mapping[str, Any], number: int) -> str:
    """The same sale always gets the same id, so that a file taken in twice adds nothing."""
    facts = [str(sale[name]) for name in sorted(sale) if name != "id"]
    return "s-" + hashlib.sha256("\x1f".join([*facts, str(number)]).encode()).hexdigest()[:12]
