"""Rates and terms that hold from a day on: a list of rows, never one figure written over.

A setting or a sender's term is either plain (it always held) or rows of ``{"from": day, "value": ...}``, the
first from "" (since ever). What was agreed later never changes what an earlier day was reckoned with.
"""

import re
from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

from benchtui.money.days import day

Read = Callable[[str], Any]
_FROM = re.compile(r"(?P<value>.*?)\s*\b(?:from|since)\s+(?P<day>\S+)\s*", re.IGNORECASE | re.DOTALL)
_ALWAYS = re.compile(r"(?P<value>.*?)\s*\balways\s*", re.IGNORECASE | re.DOTALL)


def is_dated(value: Any) -> bool:
    """Whether this is a dated list (bands and charges of a sender are lists too, of other rows)."""
    return (
        isinstance(value, list)
        and bool(value)
        and all(isinstance(row, Mapping) and set(row) == {"from", "value"} for row in value)
    )


def rows_of(value: Any, where: str = "") -> list[tuple[str, Any]]:
    """(day, value) in order of days; BenchError for a row whose day is none."""
    if not is_dated(value):
        return [("", value)]
    rows = [
        (day(row["from"], "the day from which it holds", where).isoformat() if row["from"] else "", row)
        for row in value
    ]
    return [(since, row["value"]) for since, row in sorted(rows, key=lambda pair: pair[0])]


def value_on(value: Any, on: str = "", where: str = "") -> Any:
    """What holds on that day ("" is the clock's today); None before the first row."""
    if not is_dated(value):
        return value
    on = on or date.today().isoformat()
    return next((kept for since, kept in reversed(rows_of(value, where)) if since <= on), None)


def as_on(doc: Mapping[str, Any], on: str = "") -> dict[str, Any]:
    """The document with every dated field as it held on that day."""
    return {
        name: value_on(value, on, f"setting {name}") if is_dated(value) else value
        for name, value in doc.items()
    }


def since(old: Any, value: Any, on: str) -> Any:
    """``old`` with ``value`` from that day on. Where nothing was agreed before, it always held."""
    if not on or (not is_dated(old) and old in (None, "", [])):
        return value
    rows = {**dict(rows_of(old)), on: value}
    return [{"from": each, "value": rows[each]} for each in sorted(rows)]


def read_dated(text: str, old: Any, read: Read, today: date, read_day: Callable[[str, date], date]) -> Any:
    """What the setting becomes by a line that was typed.

    ``20`` holds from today (always, where nothing was set); ``20 from 2026-04-01`` from that day;
    ``20 always`` puts right what was wrong from the start; ``20 always / 19 from 2026-07-01`` is the whole
    list. ValueError as ``read`` and ``read_day`` raise it.
    """
    cells = [cell.strip() for cell in text.split(" / ")]
    kept = old if len(cells) == 1 else None
    for cell in cells:
        if found := _ALWAYS.fullmatch(cell):
            kept = read(found["value"])
        elif found := _FROM.fullmatch(cell):
            start = read_day(found["day"], today).isoformat()
            kept = since(kept, read(found["value"]), start)
        else:
            value = read(cell)
            kept = since(kept, value, today.isoformat()) if len(cells) == 1 else value
    return kept


def show_dated(value: Any, show: Callable[[Any], str]) -> str:
    """The list as it is typed: ``20 always / 19 from 2026-07-01``; a plain value as it is."""
    if not is_dated(value):
        return show(value)
    return " / ".join(
        f"{show(kept) or 'none'} {f'from {start}' if start else 'always'}" for start, kept in rows_of(value)
    )
