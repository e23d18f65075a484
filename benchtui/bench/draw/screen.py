"""How the middle of the screen is put together, the message, and the label of the text line."""

from benchtui.bench.draw.narrow import draw_narrow
from benchtui.bench.draw.over import draw_menu, draw_page
from benchtui.bench.draw.pane import draw_pane
from benchtui.bench.draw.room import NARROW
from benchtui.bench.draw.stack import draw_picks, draw_stack
from benchtui.bench.pieces import Glyphs, Line, clean, cut, fill, shed, wrap
from benchtui.bench.widgets_new.explained import LEAST_BELOW, draw_explained
from benchtui.desk.core import Desk
from benchtui.desk.keeping import told

SEVERAL = 10
"""Rows of the middle from which it can hold several things."""
MOST_SAID = 4
"""Rows of the longest word said."""


def pane_width(width: int, beside_choices: bool = False) -> int:
    """The evidence gets nine twentieths, between 32 and 52 cells; less beside a list of choices."""
    return max(32, min(52, width * 2 // 5 if beside_choices else width * 9 // 20))


def draw_middle(desk: Desk, width: int, height: int, glyphs: Glyphs) -> list[Line]:
    """What lies in the middle; the words of the help key above it while they are shown."""
    told = draw_explained(desk, width - 2, height, glyphs) if desk.open.explained is not None else []
    if not told:
        return _middle(desk, width, height, glyphs)
    lines: list[Line] = [[(" ", ""), *line] for line in told]
    left = height - len(lines) - 1
    if left < LEAST_BELOW:
        return lines
    return [*lines, [(" " + glyphs.axis * (width - 2), "dim")], *_middle(desk, width, left, glyphs)]


def _middle(desk: Desk, width: int, height: int, glyphs: Glyphs) -> list[Line]:
    """A page, or choices beside the pane, or the stack beside the pane."""
    if desk.open.page is not None and desk.open.menu is None:
        lines = draw_page(desk, width - 2, height - _picks_rows(desk, height), glyphs)
        shown = [[(" ", ""), *line] for line in lines]
        return _with_picks(desk, shown, width, height, glyphs)
    alone = desk.open.page is not None or width < NARROW
    if desk.open.menu is not None and (alone or len(desk.open.menu.choices) > height - 4):
        return [[(" ", ""), *line] for line in draw_menu(desk, width - 2, height, glyphs)]
    if width < NARROW:
        lines = draw_narrow(desk, width, height - _picks_rows(desk, height), glyphs)
        return _with_picks(desk, lines, width, height, glyphs)
    right = pane_width(width, desk.open.menu is not None)
    left = width - right - 3
    upper = height - (_picks_rows(desk, height) if desk.open.menu is None else 0)
    draw = draw_menu if desk.open.menu is not None else draw_stack
    lines, pane = draw(desk, left, upper, glyphs), draw_pane(desk, right, upper, glyphs)
    rows = [_row(lines, pane, at, left, right, glyphs) for at in range(upper)]
    return _with_picks(desk, rows, width, height, glyphs) if desk.open.menu is None else rows


def _row(lines: list[Line], pane: list[Line], at: int, left: int, right: int, glyphs: Glyphs) -> Line:
    body = fill(lines[at], left) if at < len(lines) else [(" " * left, "")]
    beside = cut(pane[at], right) if at < len(pane) else []
    return [*body, (f" {glyphs.split} ", "dim"), *beside]


def _picks_rows(desk: Desk, height: int) -> int:
    """Rows at the bottom that the list under the text line takes; what it is for keeps a few above."""
    if desk.open.line is None or not desk.open.line.picks:
        return 0
    if height < SEVERAL:
        return min(len(desk.open.line.picks), max(1, height - height // 3))
    return min(len(desk.open.line.picks) + 1, height - 4)


def _with_picks(desk: Desk, lines: list[Line], width: int, height: int, glyphs: Glyphs) -> list[Line]:
    rows = _picks_rows(desk, height)
    if not rows:
        return lines
    above = (lines + [[] for _ in range(height)])[: height - rows]
    return [*above, *draw_picks(desk, width, rows, glyphs)]


def draw_message(desk: Desk, width: int, glyphs: Glyphs) -> list[Line]:
    """The last word said, on as many lines as it needs, or what the open line wants."""
    if desk.open.message:
        style = {"plain": "dim", "done": "good", "refused": "warn", "clash": "clash"}[desk.open.tone]
        sign = {"refused": f"{glyphs.apart} ", "clash": f"{glyphs.apart} "}.get(desk.open.tone, "")
        words = wrap(sign + desk.open.message, width - 2, style, "  ")
        return shed([[(" ", ""), *line] for line in words], MOST_SAID, width) or [[]]
    if desk.open.line is not None and desk.open.line.about and desk.open.explained is None:
        return [cut([(f" {clean(desk.open.line.about)}", "dim")], width)]
    if desk.background.unsaved is not None:
        words = wrap(f"{glyphs.apart} {told(desk.background.unsaved)}", width - 2, "warn", "  ")
        return shed([[(" ", ""), *line] for line in words], MOST_SAID, width)
    return [[]]


def draw_label(desk: Desk, width: int) -> Line:
    if desk.open.line is None:
        return []
    return fill(cut([(f" {clean(desk.open.line.label)}", "accent bold")], width - 1), width)
