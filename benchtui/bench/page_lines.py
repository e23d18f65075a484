"""Words and columns of a page at the width there is."""

from collections.abc import Iterable, Sequence

from rich.cells import cell_len

from benchtui.bench.pieces import Glyphs, Line, clean, cut, joined, width_of
from benchtui.desk.core.page_parts import Bar, Cell, Column, Para, Row, Words

GAP = 2
MARK = 2
LEAST_BAR = 10


def line_of(words: Words) -> Line:
    return [(clean(text), style) for text, style in words]


def paragraph(para: Para, width: int) -> list[Line]:
    """Its words on as many lines as they need."""
    if para.ruled:
        rule = (para.ruled, "dim")
        return [[rule, *line] for line in wrapped(line_of(para.words), width - 2, width - 2)]
    lead = line_of(para.lead) or ([(" " * para.indent, "")] if para.indent else [])
    beside = max(para.indent, width_of(lead)) if para.lead else para.indent
    rest: Line = [(" " * (beside + para.hang), "")] if beside + para.hang else []
    lines = wrapped(line_of(para.words), max(8, width - beside), max(8, width - beside - para.hang))
    if not lines:
        return [lead] if para.lead else [[]]
    return [[*lead, *lines[0]], *([*rest, *line] for line in lines[1:])]


def wrapped(words: Line, first: int, rest: int) -> list[Line]:
    """Pieces broken between words, each word in its own style; a word longer than a line is broken."""
    signs = [(char, style) for text, style in words for char in text]
    lines: list[Line] = []
    start, room = 0, first
    while start < len(signs):
        end, used, gap = start, 0, 0
        while end < len(signs) and used + cell_len(signs[end][0]) <= room:
            used += cell_len(signs[end][0])
            end += 1
            if end < len(signs) and signs[end][0] == " ":
                gap = end
        if end < len(signs) and gap:
            end = gap
        lines.append(joined(signs[start : max(end, start + 1)]))
        start, room = max(end, start + 1), rest
        while start < len(signs) and signs[start][0] == " ":
            start += 1
    return lines


def natural_widths(row: Row) -> tuple[int, ...]:
    """Cells that each cell of the row would take; a bar takes what is left."""
    return tuple(0 if isinstance(cell, Bar) else width_of(cell) for cell in row.cells)


def widths_of(columns: Sequence[Column], natural: Iterable[Sequence[int]], room: int) -> list[int]:
    """Cells of each column, 0 for one that is left out: all of them where they fit, else the least wanted
    ones are cut first. ``natural``: what each row would take.
    """
    heads = [max(cell_len(one.words), LEAST_BAR if one.bar else 0) for one in columns]
    widths = [max(cells) for cells in zip(heads, *natural, strict=True)]
    cut_first = sorted(range(len(widths)), key=lambda n: -columns[n].rank)
    by_rank = [n for n in cut_first if columns[n].rank]
    for least in (True, False):
        for n in by_rank:
            over = _sum(widths) - room
            if over > 0:
                kept = max(min(widths[n], columns[n].least), widths[n] - over) if columns[n].least else 0
                widths[n] = kept if least else 0
    bars = [n for n, column in enumerate(columns) if column.bar and widths[n]]
    for at, n in enumerate(bars):
        widths[n] += max(0, room - _sum(widths)) // (len(bars) - at)
    return widths


def _sum(widths: list[int]) -> int:
    return sum(widths) + GAP * max(0, sum(one > 0 for one in widths) - 1)


def cells_of(
    cells: Sequence[Cell], columns: Sequence[Column], widths: Sequence[int], glyphs: Glyphs
) -> list[Line]:
    """Each cell in its column's width, those of columns that are left out not among them."""
    found: list[Line] = []
    for cell, column, wide in zip(cells, columns, widths, strict=True):
        if wide:
            drawn = _bar(cell, wide, glyphs) if isinstance(cell, Bar) else cut(line_of(cell), wide)
            found.append([(" " * (wide - width_of(drawn)), ""), *drawn] if column.right else drawn)
    return found


def _bar(bar: Bar, room: int, glyphs: Glyphs) -> Line:
    signs = {"full": glyphs.bar, "half": glyphs.half, "rest": glyphs.rest}
    drawn = [
        (signs[kind] * max(1, round(share * room)), style)
        for share, kind, style in bar.stretches
        if share > 0
    ]
    return cut(drawn, room, "") if drawn else cut(line_of(bar.words), room)
