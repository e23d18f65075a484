"""A column of figures as a number question: each figure, or range of figures, is a bracket."""

import re
from collections.abc import Iterable
from itertools import pairwise
from typing import NamedTuple

from benchtui.books.shape import Answer

_FIGURE = r"\d+(?:[.,]\d+)?"
_TOLD = re.compile(rf"({_FIGURE})(?:\s*(?:-|–|\.\.|to)\s*({_FIGURE}))?\s*([a-zA-Z%\"]{{0,6}})\.?")
_UNIT = re.compile(r"[(\s]([a-zA-Z%\"]{1,3})\)?$")
MOST = 9
"""So many brackets; the nearest figures of more stand in one."""
LARGEST = 1_000_000.0


class Brackets(NamedTuple):
    """``unit`` "" where nobody names one."""

    unit: str
    answers: tuple[Answer, ...]


def range_of(text: str) -> tuple[float, float, str] | None:
    """Lowest, highest and unit of ``140``, ``140 g``, ``110-130 g``, ``110 to 130``; else None."""
    found = _TOLD.fullmatch(" ".join(text.split()))
    if found is None:
        return None
    low = float(found[1].replace(",", "."))
    high = float(found[2].replace(",", ".")) if found[2] else low
    return (low, high, found[3].lower()) if low <= high else None


def brackets_of(texts: Iterable[str], name: str) -> Brackets | None:
    """The brackets of a column's texts; None where they are not all figures, or figures that are mere names:
    years, counts below ten. Between two figures the border is half way; the outer brackets are open.
    """
    told = [range_of(text) for text in texts]
    known = [one for one in told if one is not None]
    units = {unit for *_, unit in known if unit}
    if len(known) < len(told) or len(units) > 1 or not _measured(known, bool(units)):
        return None
    parts = _merged(sorted({(low, high) for low, high, _ in known}))
    if len(parts) < 2:
        return None
    named = _UNIT.search(name)
    unit = next(iter(units), named[1] if named else "")
    step = 1.0 if all(end == int(end) for part in parts for end in part) else 0.01
    middles = [(one[1] + other[0]) / 2 for one, other in pairwise(parts)]
    borders = [round(middle // step * step, 2) for middle in middles]
    lows = [0.0, *(round(border + step, 2) for border in borders)]
    highs = [*borders, LARGEST]
    return Brackets(unit, tuple(
        Answer(f"b{n}", _words(low, high, unit), n, low=low, high=high)
        for n, (low, high) in enumerate(zip(lows, highs, strict=True), 1)
    ))  # fmt: skip


def _measured(known: list[tuple[float, float, str]], unit: bool) -> bool:
    ends = [end for low, high, _ in known for end in (low, high)]
    whole = all(end == int(end) for end in ends)
    years = not unit and whole and all(1880 <= end <= 2050 for end in ends)
    ranges = any(low < high for low, high, _ in known)
    return len(set(ends)) > 2 and not years and (unit or ranges or not whole or max(ends, default=0) >= 10)


def _merged(parts: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Those that overlap as one, and the nearest as one until there are few enough."""
    found: list[tuple[float, float]] = []
    for low, high in parts:
        if found and low < found[-1][1]:
            found[-1] = (found[-1][0], max(high, found[-1][1]))
        else:
            found.append((low, high))
    while len(found) > MOST:
        at = min(range(len(found) - 1), key=lambda n: found[n + 1][0] - found[n][1])
        found[at : at + 2] = [(found[at][0], found[at + 1][1])]
    return found


def _words(low: float, high: float, unit: str) -> str:
    after = f" {unit}" if unit else ""
    if not low:
        return f"up to {high:g}{after}"
    return f"{low:g}{after} or more" if high >= LARGEST else f"{low:g} to {high:g}{after}"
