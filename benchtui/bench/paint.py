"""Changed rows sent to the terminal at once, in one write.

Textual's own way from a changed row to the terminal is several messages, a timer that ticks 60 times a
second (a second paint of one key waits for up to two of its ticks) and a walk over all that is on the
screen. The blocks here are plain rows at fixed places, so the bench sends what differs itself. Textual
still paints everything at the start, after a change of size or theme, and wherever this cannot.
"""

import sys
from collections.abc import Iterable

from rich.color import ColorSystem
from rich.segment import Segment
from rich.style import Style
from textual.app import App
from textual.strip import Strip

from benchtui.bench.widgets import Lines

BEGIN, END = "\x1b[?2026h", "\x1b[?2026l"


def paint(app: App[int], blocks: Iterable[Lines], ready: bool) -> None:
    """Bring every block's stale rows to the screen. ``ready``: Textual has painted its first screen."""
    blocks = list(blocks)
    if not ready or not _straight(app):
        for block in blocks:
            block.leave_to_textual()
        return
    sent = [row for block in blocks for row in _rows(app, block)]
    if sent:
        x, y = app.cursor_position
        whole = "".join([*sent, f"\x1b[{y + 1};{x + 1}H"])
        driver = app._driver
        assert driver is not None
        driver.write(f"{BEGIN}{whole}{END}" if app._sync_available else whole)
        driver.flush()


def _straight(app: App[int]) -> bool:
    """Whether the rows on the terminal are those of the blocks, at their places. What Textual keeps to itself
    is asked here only; it paints by itself on Windows, where long writes must be cut.
    """
    if sys.platform == "win32" or app.is_headless or app.is_inline or app._driver is None or app._exit:
        return False
    screen = app.screen
    return not (app._batch_count or screen._layout_required or len(app.screen_stack) > 1)


def _rows(app: App[int], block: Lines) -> list[str]:
    """What is to be sent for a block."""
    stale, block.stale = block.stale, set()
    if not stale:
        return []
    region, system = block.region, app.console._color_system or ColorSystem.TRUECOLOR
    rows = []
    for y in sorted(stale):
        if y < region.height:
            x, pieces = changed(block.painted(y), block.strip(y, region.width))
            text = "".join([Strip.render_style(style or Style(), text, system) for text, style, _ in pieces])
            rows.append(f"\x1b[{region.y + y + 1};{region.x + x + 1}H{text}" if text else "")
    return rows


def changed(was: Strip | None, now: Strip) -> tuple[int, list[Segment]]:
    """From which cell on a row differs from what stood there, and the pieces to where it no longer does."""
    new = list(now)
    if was is None or was.cell_length != now.cell_length:
        return 0, new
    old = list(was)
    shorter = min(len(old), len(new))
    same = next((n for n in range(shorter) if old[n] != new[n]), shorter)
    ended = next((n for n in range(shorter - same) if old[-1 - n] != new[-1 - n]), shorter - same)
    return sum(piece.cell_length for piece in new[:same]), new[same : len(new) - ended]
