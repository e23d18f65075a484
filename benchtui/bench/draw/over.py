"""What lies over the record: choices by one key, and the pages."""

from rich.cells import cell_len

from benchtui.bench.page_lines import draw_view
from benchtui.bench.pieces import Glyphs, Line, clean, cut, fill, plain, shed, width_of, wrap
from benchtui.bench.side_by_side import draw_side_by_side
from benchtui.desk.core import Choice, Desk, Menu
from benchtui.desk.keys import shown
from benchtui.desk.pages.declare import view_now

NARROWEST = 18
"""Cells of a column of choices."""
SEVERAL = 10
"""Rows from which a menu is set out with air."""


def draw_menu(desk: Desk, width: int, height: int, glyphs: Glyphs) -> list[Line]:
    """The choices in one column, or in several where they are many; in a small window a part of them, the
    rest by the next key.
    """
    menu = desk.open.menu
    if menu is None:
        return []
    lines: list[Line] = [cut([(clean(menu.title), "accent bold")], width)]
    lines += wrap(menu.about, width, "dim") if menu.about else []
    lines = [*lines, []] if height >= SEVERAL else shed(lines, height - 3, width) or lines[: height - 2]
    room = max(1, height - len(lines))
    rows = [_choice(desk, choice) for choice in menu.choices]
    columns = min(-(-len(rows) // room), max(1, width // NARROWEST))
    each = width // max(1, columns)
    rows = _with_ends(rows, menu.choices, width if columns == 1 else each - 1)
    if columns * room < len(rows):
        rows = _in_sight(desk, menu, rows, columns * room)
    else:
        desk.open.in_sight = (menu, range(len(rows)))
    if columns == 1:
        return lines + [cut(row, width) for row in rows]
    for at in range(room):
        line: Line = []
        for column in range(columns):
            n = column * room + at
            line += fill(cut(rows[n], each - 1), each) if n < len(rows) else []
        lines.append(line)
    return lines


def _in_sight(desk: Desk, menu: Menu, rows: list[Line], room: int) -> list[Line]:
    """As many of the choices as there is room for, from the menu's first on, and how many more there are."""
    several = max(1, room - 1)
    start = menu.top if menu.top < len(rows) else 0
    shown = range(start, min(len(rows), start + several))
    desk.open.in_sight = (menu, shown)
    more: Line = [(f"… {len(rows) - len(shown)} more: {desk.key('menu-more')}", "accent")]
    return [*(rows[n] for n in shown), more][:room]


def _choice(desk: Desk, choice: Choice) -> Line:
    """Its key by the map in use, its mark, its words."""
    keymap = desk.references.keymap
    key = shown(keymap.first_key(f"answer-{choice.key}") or choice.key)
    return [
        (f" {key:<2} ", f"key@key:{choice.key}"),
        (f"{choice.mark} " if choice.mark else "", "accent"),
        (clean(choice.words), f"@key:{choice.key}"),
    ]


def _with_ends(rows: list[Line], choices: tuple[Choice, ...], width: int) -> list[Line]:
    """What stands at the end of the choices, in one column: the longer words where all have room for them,
    else the shorter ones, left out where a row has none.
    """
    needed = max(map(width_of, rows), default=0) + 2
    for at in range(max((len(choice.ends) for choice in choices), default=0)):
        ends = ["".join(choice.ends[at : at + 1]) for choice in choices]
        lead = min(needed, width - max(map(cell_len, ends)))
        if lead == needed or not any(choice.ends[at + 1 :] for choice in choices):
            return [
                [*fill(row, lead), (end, "dim")] if width_of(row) < lead else row
                for row, end in zip(rows, ends, strict=True)
            ]
    return rows


def draw_page(desk: Desk, width: int, height: int, glyphs: Glyphs) -> list[Line]:
    view = view_now(desk)
    if view is None:
        return []
    lines = (draw_side_by_side if view.columns else draw_view)(desk, view, width, height, glyphs)
    lines = [cut(line, width) for line in lines[:height]]
    if glyphs.bar.isascii():
        return [[(plain(text), style) for text, style in line] for line in lines]
    return lines
