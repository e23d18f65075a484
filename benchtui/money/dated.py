"""Rates and terms that hold from a day on: a list of rows, never one figure written over.

A setting or a sender's term is either plain (it always held) or rows of ``{"from": day, "value": ...}``, the
first from "" (since ever). What was agreed later never changes what an earlier day was reckoned with.
"""

import re
from collections.abc import Callable, Iterable, Mapping
from datetime import date
from typing import Any

from benchtui.money.days import day

_FROM = re.compile(r"(?P<value>.*?)\s*\b(?:from|since|as of)\s+(?P<day>\S.*?)\s*", re.IGNORECASE | re.DOTALL)
_UNSET: tuple[Any, ...] = (None, "", [], "none")
_ALWAYS = re.compile(r"(?P<value>.*?)\s*\balways\s*", re.IGNORECASE | re.DOTALL)
_BEFORE = re.compile(r"(?P<value>.*?)\s*\bbefore\s*", re.IGNORECASE | re.DOTALL)


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


def change_from(doc: Mapping[str, Any], change: Mapping[str, Any], on: str) -> dict[str, Any]:
    """What becomes of the fields of ``change``, which hold together from that day on ("" is always).

    Where none of them held anything before they hold always: the first terms agreed need no day.
    """
    known = any(is_dated(doc.get(name)) or doc.get(name) not in _UNSET for name in change)
    return _from_day(doc, change, on) if on and known else dict(change)


def _always(doc: Mapping[str, Any], change: Mapping[str, Any], on: str) -> dict[str, Any]:
    """The change as it always held. Nothing at all is a row too: it was said, which unset is not."""
    nothing = all(value in _UNSET for value in change.values())
    return {name: [{"from": on, "value": value}] if nothing else value for name, value in change.items()}


def always_by_default(old: Any, new: Any) -> bool:
    """Whether a value that was typed without a day holds always, because nothing was set before."""
    return not is_dated(old) and old in _UNSET and not is_dated(new) and new not in _UNSET


def _from_day(doc: Mapping[str, Any], change: Mapping[str, Any], on: str) -> dict[str, Any]:
    """The change from that day on; before it what was, if it was nothing."""
    made = {}
    for name, value in change.items():
        rows = {**dict(rows_of(doc.get(name))), on: value}
        made[name] = [{"from": each, "value": rows[each]} for each in sorted(rows)]
    return made


def read_dated(
    text: str,
    old: Mapping[str, Any],
    read: Callable[[str], dict[str, Any]],
    today: date,
    read_day: Callable[[str, date], date],
    first_always: bool = False,
) -> dict[str, Any]:
    """What some fields become by a line that was typed; ``read`` reads one value of them.

    ``20`` holds from today (always, where nothing was set); ``20 from 2026-04-01`` from that day, before
    which it is what it was; ``20 always`` puts right what was wrong from the start, and ``none always`` is
    kept as said, so that what comes after it holds from its day; ``20 before / 19 from 2026-07-01`` is the
    whole list. ``first_always``: what no day can do without holds always where nothing
    was set before, whatever day is typed. ValueError as ``read`` and ``read_day`` raise it.
    """
    cells = [cell.strip() for cell in text.split(" / ")]
    kept: dict[str, Any] = dict(old) if len(cells) == 1 else {}
    for n, cell in enumerate(cells):
        start, make = today.isoformat() if len(cells) == 1 else "", change_from
        if found := _ALWAYS.fullmatch(cell) or (not n and len(cells) > 1 and _BEFORE.fullmatch(cell)):
            cell, start, make = found["value"], "", _always
        elif found := _FROM.fullmatch(cell):
            cell, start = found["value"], read_day(found["day"], today).isoformat()
            make = change_from if first_always else _from_day
        elif n:
            raise ValueError(f"'{cell}' has no day: write 20 before / 19 from 2026-07-01")
        change = read(cell)
        kept |= make(kept, change, start)
    return {name: kept[name] for name in change}


def words_read(
    text: str,
    read: Callable[[str], dict[str, Any]],
    show: Callable[[Mapping[str, Any]], str],
    today: date,
    read_day: Callable[[str, date], date],
) -> str:
    """The line that was typed as it was read: ``shop from 2026-04-01`` of ``sh from 1 april``; "" for none.
    ValueError as ``read_dated``."""
    made = read_dated(text, {}, read, today, read_day)
    return show_dated(made, made, show).removeprefix("none before / ")


def show_dated(doc: Mapping[str, Any], names: Iterable[str], show: Callable[[Mapping[str, Any]], str]) -> str:
    """The list as it is typed: ``20 before / 19 from 2026-07-01``, rows of one value as one; plain values as
    they are."""
    dated = [doc.get(name) for name in names if is_dated(doc.get(name))]
    starts = sorted({start for value in dated for start, _ in rows_of(value)})
    if not starts:
        return show(doc)
    rows = [(start, show(as_on(doc, start or "0001-01-01")) or "none") for start in starts]
    told = [row for n, row in enumerate(rows) if not n or row[1] != rows[n - 1][1]]
    first = "before" if told[1:] else "always"
    return " / ".join(f"{value} {f'from {start}' if start else first}" for start, value in told)
