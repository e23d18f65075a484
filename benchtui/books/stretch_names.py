"""What the stretches of a ladder are called: by their first states and their years, each name once."""

from datetime import date

from benchtui.books.shape import Answer, Clue

NAMING = 3
"""States that the name of a stretch bears."""
States = list[tuple[Clue, tuple[Answer, ...]]]
"""What a copy of a stretch shows, lane by lane: one state, or either of those made side by side."""


def names_of(stretches: list[tuple[date, date, States]]) -> list[str]:
    """A name each by its first states and its years; where those are alike by a state in which all that have
    the name differ, else by its months.
    """
    words = [[said_of(its) for _, its in states[:NAMING]] for _, _, states in stretches]
    years = [
        f"{low.year}" if low.year == high.year else f"{low.year} to {high.year}" for low, high, _ in stretches
    ]
    names = [", ".join([*its, when]) for its, when in zip(words, years, strict=True)]
    for name in {one for one in names if names.count(one) > 1}:
        alike = [n for n, one in enumerate(names) if one == name]
        telling = _told_apart_by([stretches[n][2] for n in alike])
        for at, n in enumerate(alike):
            low, high, _ = stretches[n]
            last = [telling[at], years[n]] if telling else [f"{low:%Y-%m} to {high:%Y-%m}"]
            names[n] = ", ".join([*words[n], *last])
    return names


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
