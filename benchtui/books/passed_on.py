"""A retired pressing that passes to another: its copies, and all they taught, count as that one's.

Nothing is rewritten for it: records keep the id they name, counts stay under it, and both are read as the
other's while the book says so. What takes the line back in the book so takes back all of it.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from benchtui.books.shape import BookTitle, Pressing


def heirs_of(pressings: Sequence[Pressing]) -> dict[str, str]:
    """Id of a retired pressing -> id of the living one it passes to, by however many steps.

    One that passes to nothing in the books, or round in a circle, is not in it.
    """
    living = {one.id for one in pressings if not one.retired}
    to = {one.id: one.passes_to for one in pressings if one.retired and one.passes_to}
    found: dict[str, str] = {}
    for start in to:
        at, seen = start, {start}
        while at in to and to[at] not in seen:
            at = to[at]
            seen.add(at)
        if at in living:
            found[start] = at
    return found


def living(pressings: Sequence[Pressing]) -> tuple[Pressing, ...]:
    """The pressings that are not retired, each with the ids that passed to it."""
    heirs = heirs_of(pressings)
    if not heirs:
        return tuple(one for one in pressings if not one.retired)
    return tuple(
        replace(one, was=tuple(given for given, kept in heirs.items() if kept == one.id))
        for one in pressings
        if not one.retired
    )


def pressing_of(title: BookTitle | None, pressing_id: str | None) -> Pressing | None:
    """The title's pressing of that id, or the one that it passed to."""
    every = title.pressings if title is not None and pressing_id else ()
    return next((one for one in every if pressing_id == one.id or pressing_id in one.was), None)


def taught_of(counts: Mapping[str, Any], pressing: Pressing) -> Mapping[str, Any]:
    """What confirmed copies taught of it, those of the pressings that passed to it among them."""
    if not pressing.was:
        found: Mapping[str, Any] = counts.get(pressing.id, {})
        return found
    total: dict[str, Any] = {}
    for one in (pressing.id, *pressing.was):
        add_counts(total, counts.get(one, {}))
    return total


def add_counts(total: dict[str, Any], more: Mapping[str, Any]) -> None:
    """Adds figures, and tables of figures, name by name."""
    for key, value in more.items():
        if isinstance(value, Mapping):
            add_counts(total.setdefault(key, {}), value)
        else:
            total[key] = total.get(key, 0) + value
