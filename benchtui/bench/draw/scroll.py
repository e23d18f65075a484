"""Pages longer than the screen: the arrows move them line by line."""

from benchtui.bench.desk.core import Desk
from benchtui.bench.draw.sheet import Line


def scrolled(desk: Desk, lines: list[Line], height: int) -> list[Line]:
    """The part of the lines that the page shows now; remembers how many there are."""
    page = desk.page
    if page is None:
        return lines
    page.top = max(0, min(page.top, len(lines) - height))
    page.data["lines"] = len(lines)
    shown, below = lines[page.top : page.top + height], len(lines) - page.top - height
    if page.top > 0 and height > 2:
        shown[0] = [(f"... {page.top + 1} lines more above", "accent")]
    if below > 0 and height > 2:
        shown[-1] = [(f"... {below + 1} lines more below: down, or space for a screen", "accent")]
    return shown


def around(lines: list[Line], head: int, marked: int, height: int) -> list[Line]:
    """The head and as many of the rest as fit around the marked line."""
    shown = window(len(lines) - head, head, marked, height)
    return lines[:head] + [lines[head + at] for at in shown]


def window(count: int, head: int, marked: int, height: int) -> range:
    """Which of ``count`` lines below a head of so many are seen: for lists too long to draw what is not."""
    room = max(1, height - head)
    start = max(0, min(marked - room // 2, count - room))
    return range(start, min(count, start + room))
