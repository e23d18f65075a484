"""The words of the help key over what they explain, which stays in sight where there is room."""

from typing import NamedTuple

from benchtui.bench.pieces import Glyphs, Line, clean, cut, shed, wrap
from benchtui.desk.core.desk import Desk, Explained

KEY = 4
MOVES = {"line": ("line-down", "line-up"), "page": ("page-down", "page-up")}
"""Commands whose keys scroll the words; elsewhere the arrow keys do."""


class Drawn(NamedTuple):
    """The lines; whether each row was among them from the start; how far they can be scrolled."""

    lines: list[Line]
    whole: bool
    end: int = 0


def draw_explained(desk: Desk, width: int, height: int, glyphs: Glyphs) -> Drawn:
    """A heading, the words, a row for each answer or form, the keys. Where there is no room for all, at first
    each row in one line and how to read on; scrolled, all of it from there.
    """
    explained = desk.open.explained
    if explained is None:
        return Drawn([], False)
    head: Line = cut([("? ", "key"), (clean(explained.title), "accent bold")], width)
    words = [line for one in explained.words for line in wrap(one, width)]
    foot = wrap(explained.keys, width, "dim")
    body = [cut(line, width) for line in [*words, *_rows(explained.rows, width), *foot]]
    if len(body) < height:
        return Drawn([head, *body], True)
    short, whole = _in_short(explained, [head, *wrap(_read_on(desk), width, "accent"), *words], width, height)
    room = max(1, height - 1)
    end = len(body) - room + 1
    if not explained.top:
        return Drawn(short, whole, end)
    start = min(explained.top, end) - 1
    return Drawn([head, *body[start : start + room]], whole, end)


def _read_on(desk: Desk) -> str:
    moves = MOVES.get(desk.open.scope)
    down, up = (desk.key(moves[0]), desk.key(moves[1])) if moves else ("Down", "Up")
    return f"{down} reads all of it, {up} goes back"


def _in_short(explained: Explained, lines: list[Line], width: int, height: int) -> tuple[list[Line], bool]:
    """A line each, so that the last is in sight too. Whether all rows are there."""
    foot = wrap(explained.keys, width, "dim")[:1]
    rows = [cut([(f" {key:<{KEY - 1}}", "key"), (clean(text), "")], width) for key, text in explained.rows]
    room = max(0, height - len(lines) - len(foot))
    whole = len(rows) <= room
    if not whole:
        rows = [*rows[: max(0, room - 1)], [("    …", "dim")]]
    return shed([cut(line, width) for line in [*lines, *rows, *foot]], height, width), whole


def _rows(found: tuple[tuple[str, str], ...], width: int) -> list[Line]:
    lines: list[Line] = []
    for key, text in found:
        wide = max(KEY, len(key) + 2)
        for n, line in enumerate(wrap(text, width - wide)):
            lines.append([(f" {key if n == 0 else '':<{wide - 1}}", "key"), *line])
    return lines
