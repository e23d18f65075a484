"""Pages longer than the screen: the arrows move them line by line."""

from benchtui.bench.pieces import Line
from benchtui.desk.core import Desk

FEW = 6
"""Rows of a page in which signs above and below would leave too little of it."""


def scrolled(desk: Desk, lines: list[Line], height: int) -> list[Line]:
    """The part of the lines that the page shows now; remembers how many there are."""
    page = desk.open.page
    if page is None:
        return lines
    page.top = max(0, min(page.top, len(lines) - height + (1 if 1 < height <= FEW < len(lines) else 0)))
    page.data["lines"] = len(lines)
    if height <= FEW:
        return _few(lines, page.top, height)
    shown, below = lines[page.top : page.top + height], len(lines) - page.top - height
    if page.top > 0 and height > 2:
        shown[0] = [(f"... {page.top + 1} lines more above", "accent")]
    if below > 0 and height > 2:
        shown[-1] = [(f"... {below + 1} lines more below: down, or space for a screen", "accent")]
    return shown


def _few(lines: list[Line], top: int, height: int) -> list[Line]:
    """In few rows one of them says how much there is above and below."""
    if len(lines) <= height or height < 2:
        return lines[top : top + height]
    below = len(lines) - top - height + 1
    said = " ".join(filter(None, (f"↑{top}" if top else "", f"↓{below} more" if below > 0 else "")))
    return [*lines[top : top + height - 1], [(said, "accent")]]


def around(lines: list[Line], head: int, marked: int, height: int) -> list[Line]:
    """The head and as many of the rest as fit around the marked line, which comes before the head; the first
    and the last of them say how many there are beyond.
    """
    kept = min(head, max(0, height - 2))
    shown = window(len(lines) - head, kept, marked, height)
    return lines[:kept] + beyond([lines[head + at] for at in shown], shown, len(lines) - head)


def window(count: int, head: int, marked: int, height: int) -> range:
    """Which of ``count`` lines below a head of so many are seen: for lists too long to draw what is not."""
    room = max(1, height - head)
    start = max(0, min(marked - room // 2, count - room))
    return range(start, min(count, start + room))


def beyond(lines: list[Line], shown: range, count: int) -> list[Line]:
    """The lines of a window; the first and the last of them say how many there are above and below."""
    if lines and shown.start:
        lines[0] = [*lines[0], (f"  … {shown.start} above", "dim")]
    if lines and shown.stop < count:
        lines[-1] = [*lines[-1], (f"  … {count - shown.stop} below", "dim")]
    return lines
