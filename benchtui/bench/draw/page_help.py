"""Every key on one page, made from the action table and the map in use: in sentences where there is room."""

from dataclasses import dataclass

from benchtui.bench.draw.scroll import scrolled
from benchtui.bench.pieces import Glyphs, Line, cut, fill, width_of
from benchtui.desk.command import Command, commands
from benchtui.desk.core import Desk
from benchtui.desk.keys import shown

ORDER = ("Record", "Hand", "Look", "Grade", "Queue", "Bench")
MOST_COLUMNS = 6
GAP = 2


@dataclass(frozen=True)
class _Row:
    """A heading (without keys), or keys and what they do."""

    keys: str
    words: str


def draw_help(desk: Desk, width: int, height: int, glyphs: Glyphs) -> list[Line]:
    """The fullest of the ways to set it out that fits the page; else short words, to be scrolled."""
    heads = _head(desk, glyphs)
    for whole in (True, False):
        rows = _rows(desk, whole)
        for head in (heads, heads[:2], heads[:1]):
            for columns in range(1, MOST_COLUMNS + 1):
                lines = _in_columns(rows, columns)
                if len(head) + len(lines) <= height and max(map(width_of, lines)) <= width:
                    return [*(cut(line, width) for line in head), *lines]
    rows = _rows(desk, whole=False)
    fitting = (_in_columns(rows, columns) for columns in range(MOST_COLUMNS, 0, -1))
    lines = next((found for found in fitting if max(map(width_of, found)) <= width), _in_columns(rows, 1))
    few = heads[:1] if width < 60 else heads
    return scrolled(desk, [*(cut(line, width) for line in [*few, *lines])], height)


def _head(desk: Desk, glyphs: Glyphs) -> list[Line]:
    """The map, the signs of the queue, the text line."""
    keymap = desk.references.keymap
    take, leave, down, new = (
        shown(keymap.first_key(action) or "")
        for action in ("line-accept", "line-leave", "line-down", "line-new")
    )
    made = f", {new} makes new" if new else ""
    return [
        [("Keys", "accent bold"), (f"  {keymap.name}: {keymap.about}", "dim")],
        [
            (f"{glyphs.done} taken in  {glyphs.open} so too, not settled  {glyphs.begun} begun  ", "dim"),
            (f"{glyphs.empty} empty  {glyphs.apart} set apart or clash", "dim"),
        ],
        [(f"in a text line: {take} takes, {leave} leaves, {down} marks{made}", "dim")],
    ]


def _rows(desk: Desk, whole: bool) -> list[_Row]:
    """The bench's actions by group, those without a key left out; the scale's letters among them."""
    keymap = desk.references.keymap
    rows: list[_Row] = []
    group = ""
    for action in sorted((a for a in commands() if a.where in ("bench", "any")), key=_group_order):
        keys = keymap.keys.get(action.id, ())
        if not keys or action.id.startswith("answer-"):
            continue
        if action.group != group:
            rows.append(_Row("", action.group))
            rows += _grades(desk, whole) if action.group == "Grade" else []
        group = action.group
        named = " ".join(shown(key) for key in keys[: 2 if whole else 1])
        rows.append(_Row(named, action.words if whole else action.short))
    return rows


def _group_order(action: Command) -> int:
    return ORDER.index(action.group) if action.group in ORDER else len(ORDER)


def _grades(desk: Desk, whole: bool) -> list[_Row]:
    """A row a grade with how its criterion begins, or one row of letters."""
    keymap = desk.references.keymap
    found = [
        (shown(key), grade)
        for grade in desk.scale.grades
        if not grade.shade and (key := keymap.first_key(f"grade:{grade.id}"))
    ]
    if not whole:
        return [_Row(" ".join(key for key, _ in found), "")] if found else []
    return [_Row(key, f"{grade.id}: {_first_clause(grade.criterion)}") for key, grade in found]


CLAUSE = 40
"""Cells for what a grade means; the list of grades and ? say it in full."""


def _first_clause(text: str) -> str:
    ends = [at for sign in ",.:;" if (at := text.find(sign)) > 0]
    clause = text[: min(ends, default=len(text))]
    if len(clause) <= CLAUSE:
        return clause
    return clause[: CLAUSE - 1].rsplit(" ", 1)[0] + " …"


def _in_columns(rows: list[_Row], columns: int) -> list[Line]:
    """The rows in so many columns, each as wide as it must be; no heading ends a column."""
    height = -(-len(rows) // columns)
    while len(found := _split(rows, height)) > columns:
        height += 1
    drawn = [_column(column) for column in found]
    wide = [max(map(width_of, column)) + GAP for column in drawn]
    wide[-1] -= GAP
    lines: list[Line] = []
    for at in range(height):
        line: Line = []
        for column, cells in zip(drawn, wide, strict=True):
            line += fill(column[at] if at < len(column) else [], cells)
        lines.append(line)
    return lines


def _split(rows: list[_Row], height: int) -> list[list[_Row]]:
    found: list[list[_Row]] = [[]]
    for at, row in enumerate(rows):
        heads = not row.keys and at + 1 < len(rows)
        if len(found[-1]) + (2 if heads and height > 1 else 1) > height:
            found.append([])
        found[-1].append(row)
    return found


def _column(rows: list[_Row]) -> list[Line]:
    keys = max((len(row.keys) for row in rows if row.words), default=0) + 1
    return [
        [(f" {row.keys:<{keys}}", "key"), (row.words, "")] if row.keys else [(row.words, "bold")]
        for row in rows
    ]
