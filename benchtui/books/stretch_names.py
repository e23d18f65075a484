"""What the stretches of a ladder are called: by their first states and their years, each name once."""

from benchtui.books.shape import Answer, Clue
from benchtui.model.span import Span

NAMING = 3
"""States that the name of a stretch bears."""
ON, BEFORE = " on", " and before"
"""Behind the year of a stretch without an end, and of one without a beginning."""
States = list[tuple[Clue, tuple[Answer, ...]]]
"""What a copy of a stretch shows, lane by lane: one state, or either of those made side by side."""


def names_of(stretches: list[tuple[Span, States]]) -> list[str]:
    """A name each by its first states and its years; where those are alike by a state in which all that have
    the name differ, else by its months.
    """
    words = [[said_of(its) for _, its in states[:NAMING]] for _, states in stretches]
    years = [_when(span, "%Y") for span, _ in stretches]
    names = [", ".join([*its, when]) for its, when in zip(words, years, strict=True)]
    for name in {one for one in names if names.count(one) > 1}:
        alike = [n for n, one in enumerate(names) if one == name]
        telling = _told_apart_by([stretches[n][1] for n in alike])
        for at, n in enumerate(alike):
            last = [telling[at], years[n]] if telling else [_when(stretches[n][0], "%Y-%m")]
            names[n] = ", ".join([*words[n], *last])
    return names


def _when(span: Span, unit: str) -> str:
    """``1967 to 1968``, ``1967``, ``1970 on``, ``1960 and before``."""
    low, high = (f"{day:{unit}}" if day else "" for day in (span.earliest, span.latest))
    if not (low and high):
        return low + ON if low else high + BEFORE
    return low if low == high else f"{low} to {high}"


def period_said(name: str, period: Span) -> Span:
    """The time of a stretch without an end that its name does not say: nobody gave it."""
    return Span(
        None if name.endswith(BEFORE) else period.earliest, None if name.endswith(ON) else period.latest
    )


def _told_apart_by(alike: list[States]) -> list[str]:
    """The states of the first clue in which all of them differ, empty where there is none."""
    each = [{clue.id: said_of(its) for clue, its in states} for states in alike]
    for clue, _ in alike[0]:
        said = [its.get(clue.id, "") for its in each]
        if all(said) and len(set(said)) == len(said):
            return said
    return []


def said_of(states: tuple[Answer, ...]) -> str:
    return " or ".join(one.text.partition(",")[0] for one in states)
