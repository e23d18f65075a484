"""A table of prices of the shop's own: what money was worth in a year, as a statistics office prints it.

None is shipped. The setting ``price_index`` is a dated list, a row for each year (or month): sales seen long
ago are made equal by it, and the worked price says so.
"""

import csv
import re
from collections.abc import Iterable, Mapping
from datetime import date
from fractions import Fraction
from io import StringIO
from pathlib import Path
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.base.paths import path_from
from benchtui.base.reading import read_text, toml_of
from benchtui.money.dated import rows_of, value_on
from benchtui.money.rounding import exact

WHERE = "setting price_index"
RIGHT = "write year and index, 2020 100; 2024 117.3, or the path of a CSV or TOML file of them"
_WHEN = re.compile(r"[12]\d{3}(?:-(?:0[1-9]|1[0-2]))?", re.ASCII)
_MOST_BYTES = 1_000_000
Rows = list[dict[str, str]]


def inflation(settings: Mapping[str, Any], then: date, now: date) -> Fraction:
    """What prices rose by between two days by the shop's table: 1 where it has none, or none so early."""
    index = settings.get("price_index")
    if not index:
        return Fraction(1)
    before, after = (value_on(index, each.isoformat(), WHERE) for each in (then, now))
    if before in (None, "") or after in (None, ""):
        return Fraction(1)
    base = exact(before, "the index", WHERE)
    return exact(after, "the index", WHERE) / base if base else Fraction(1)


def read_price_index(text: str) -> Rows:
    """The setting from a line: ``2020 100; 2021-07 103.5``, the path of a file, or nothing for none.

    BenchError for what is no year or no index above 0, for a year twice, and for a file that cannot be read.
    """
    text = text.strip()
    if not text:
        return []
    pairs = [cell.split() for cell in text.split(";") if cell.strip()]
    if all(len(pair) == 2 and _WHEN.fullmatch(pair[0]) for pair in pairs):
        return _rows(pairs, WHERE)
    path = path_from(text)
    return _rows(_toml(path) if path.suffix.casefold() == ".toml" else _csv(path), path)


def show_price_index(settings: Mapping[str, Any]) -> str:
    """As it is typed."""
    pairs = [pair for pair in rows_of(settings.get("price_index")) if pair[1]]
    return "; ".join(f"{start.removesuffix('-01').removesuffix('-01')} {value}" for start, value in pairs)


def check_price_index(settings: Mapping[str, Any]) -> None:
    """BenchError where the setting was edited into what is none."""
    for _, value in rows_of(settings.get("price_index"), WHERE):
        if value:
            exact(value, "the index", WHERE)


def _csv(path: Path) -> Iterable[list[str]]:
    text = read_text(path, _MOST_BYTES, RIGHT)
    first = next(iter(text.splitlines()), "")
    between = next((sign for sign in ";\t" if sign in first), ",")
    rows = [row for row in csv.reader(StringIO(text, newline=""), delimiter=between) if row]
    return rows[1:] if rows and not _WHEN.fullmatch(rows[0][0].strip()) else rows


def _toml(path: Path) -> Iterable[list[str]]:
    """Keys are years: ``2020 = 100``, alone or under one heading."""
    table = toml_of(read_text(path, _MOST_BYTES, RIGHT), path)
    inner = [value for value in table.values() if isinstance(value, Mapping)]
    return [[str(year), str(value)] for year, value in (inner[0] if inner else table).items()]


def _rows(pairs: Iterable[list[str]], where: str | Path) -> Rows:
    found: dict[str, str] = {}
    for pair in pairs:
        when, value = [*(cell.strip() for cell in pair), "", ""][:2]
        if not _WHEN.fullmatch(when):
            raise BenchError(f"{when!r} is not a year", where, RIGHT)
        if when in found:
            raise BenchError(f"{when} appears twice", where, "write each year once")
        if not exact(value, f"the index of {when}", str(where)):
            raise BenchError(f"the index of {when} is 0", where, "write an index above 0")
        found[when] = value.replace(",", ".")
    if not found:
        raise BenchError("there is no year in it", where, RIGHT)
    return [
        {"from": f"{when}-01" if len(when) == 7 else f"{when}-01-01", "value": found[when]}
        for when in sorted(found)
    ]
