"""What the bench shows as rows of text, without an app: the same rows that its widgets draw."""

from dataclasses import dataclass

from benchtui.bench.page_lines import cells_of, line_of, natural_widths, paragraph, widths_of
from benchtui.bench.pieces import FANCY, PLAIN, Glyphs, Line, cut, plain, text_of
from benchtui.bench.room import room_at
from benchtui.bench.widgets.explained import draw_explained
from benchtui.bench.widgets.foot import sight_of
from benchtui.bench.widgets.keyline import draw_legend
from benchtui.bench.widgets.message import message_rows
from benchtui.bench.widgets.pressing import pressing_rows, pressing_title
from benchtui.bench.widgets.prompt import Asking, set_out
from benchtui.bench.widgets.stack import stack_rows, stack_title
from benchtui.bench.widgets.still_to_come import still_to_come
from benchtui.bench.widgets.strip import strip_rows
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.page_parts import Cell, PageView, Para, Row, Section, Table
from benchtui.desk.core.pages import view_now
from benchtui.desk.line.editor import Editor

LARGE = (120, 40)


@dataclass(frozen=True)
class Seen:
    """The rows of each part of the screen; ``asked``: the prompt with its edges."""

    strip: list[Line]
    record: list[Line]
    evidence: list[Line]
    page: list[Line]
    explained: list[Line]
    prompt: list[Line]
    message: list[Line]
    keys: list[Line]

    @property
    def lines(self) -> list[Line]:
        return [
            *self.strip, *self.explained, *self.record, *self.evidence, *self.page, *self.prompt,
            *self.message, *self.keys,
        ]  # fmt: skip

    @property
    def text(self) -> str:
        return text_of(self.lines)


def seen(desk: Desk, size: tuple[int, int] = LARGE, signs: Glyphs = FANCY) -> Seen:
    """All of it at a size; the desk is told what of a question or a list is in sight, as the app does it."""
    room = room_at(*size)
    inner, rows = room.stack - 4, room.middle - 2
    on_page = desk.open.page is not None
    record: list[Line] = [] if on_page else [stack_title(desk, inner - 2), *_record(desk, inner, rows, signs)]
    evidence: list[Line] = []
    if not on_page and room.pressing:
        beside = room.pressing - 4
        evidence = [pressing_title(desk), *pressing_rows(desk, beside, rows, signs)]
    asked = prompt_of(desk, size, signs)
    return Seen(
        strip_rows(desk, room.width - 2, room.strip, signs),
        record,
        evidence,
        page_rows(desk, room.width - 4, 0, signs),
        draw_explained(desk, room.width - 4, room.middle - 2, signs)[0],
        [asked.title, *asked.lines, asked.foot],
        message_rows(desk, room.width - 2, signs),
        draw_legend(desk, room.width, room.keys),
    )


def shown(desk: Desk, size: tuple[int, int] = LARGE, signs: Glyphs = FANCY) -> str:
    """All of it as text."""
    return seen(desk, size, signs).text


def prompt_of(desk: Desk, size: tuple[int, int] = LARGE, signs: Glyphs = FANCY) -> Asking:
    room, editor = room_at(*size), Editor()
    if desk.open.line is not None:
        editor.put(desk.open.line.text)
    _, asked = set_out(desk, editor.shown, room.width - 4, room.prompt - 2, room.tallest_prompt - 2, signs)
    desk.open.sight = sight_of(desk, asked)
    return asked


def _record(desk: Desk, width: int, rows: int, signs: Glyphs) -> list[Line]:
    empty = desk.work.record is None or desk.work.record["title"] is None
    return (still_to_come if empty else stack_rows)(desk, width, rows, signs)


def middle_rows(desk: Desk, width: int, height: int, signs: Glyphs) -> list[Line]:
    """The words of the help key, the page or the record with its evidence, and the prompt."""
    found = seen(desk, (width, height + 7), signs)
    return [*found.explained, *found.record, *found.evidence, *found.page, *found.prompt]


def pane_rows(desk: Desk, width: int, height: int, signs: Glyphs) -> list[Line]:
    """The prompt, then the evidence."""
    asked = prompt_of(desk, LARGE, signs)
    return [
        asked.title,
        *asked.lines,
        asked.foot,
        pressing_title(desk),
        *pressing_rows(desk, width, height, signs),
    ]


def record_rows(desk: Desk, width: int, height: int, signs: Glyphs) -> list[Line]:
    """The record's panel with its title."""
    return [stack_title(desk, width), *_record(desk, width, height, signs)]


def queue_rows(desk: Desk, width: int, signs: Glyphs) -> list[Line]:
    return strip_rows(desk, width, 3, signs)


def page_rows(desk: Desk, width: int, height: int, signs: Glyphs = FANCY) -> list[Line]:
    """The whole page that is open, nothing scrolled away."""
    view = view_now(desk)
    lines = view_rows(view, width, signs) if view is not None else []
    if signs is not PLAIN:
        return lines
    return [[(plain(text), style) for text, style in line] for line in lines]


def view_rows(view: PageView, width: int, signs: Glyphs = FANCY) -> list[Line]:
    lines = [cut(line_of(view.title), width)]
    for para in view.facts:
        lines += paragraph(para, width)
    for section in view.sections:
        lines += [[], *_section(section, width, signs)]
    for para in view.foot:
        lines += paragraph(para, width)
    return lines


def _section(section: Section, width: int, signs: Glyphs) -> list[Line]:
    heading = paragraph(Para(section.heading), width) if section.heading else []
    if not isinstance(section, Table):
        return heading + [line for para in section.lines for line in paragraph(para, width)]
    if not section.rows:
        return heading + paragraph(Para(section.empty, indent=2), width)
    widths = widths_of(section.columns, map(natural_widths, section.rows), width - 2)
    names: list[Cell] = [((column.words, "dim"),) for column in section.columns]
    named = any(column.words for column in section.columns)
    rows: list[Line] = [_joined(names, section, widths, signs, "  ")] if named else []
    for row in section.rows:
        rows.append(_joined(list(row.cells), section, widths, signs, f"{signs.here if row.marked else ' '} "))
    return heading + rows


def _joined(cells: list[Cell], table: Table, widths: list[int], signs: Glyphs, mark: str) -> Line:
    line: Line = [(mark, "accent bold")]
    sizes = [wide for wide in widths if wide]
    for cell, wide in zip(cells_of(cells, table.columns, widths, signs), sizes, strict=True):
        gap = wide - sum(len(text) for text, _ in cell)
        line += [*([("  ", "")] if len(line) > 1 else []), *cell, (" " * gap, "")]
    return line


def markable(view: PageView) -> list[Row]:
    """The rows that can be marked, from top to bottom."""
    tables = [section for section in view.sections if isinstance(section, Table)]
    return [row for table in tables for row in table.rows if row.markable]
