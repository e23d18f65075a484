"""The first screen, shown before Textual is there: loading that takes longer than all the rest of a start.

It is the screen that Textual paints next, from the same rows. Keys pressed meanwhile wait in the terminal.
Only where the terminal is known to take it: a POSIX one of full colour and of the usual size.
"""

import os
import shutil
import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from types import FrameType
from typing import NoReturn

from rich.cells import cell_len, set_cell_size
from rich.style import Style

from benchtui.bench.colours import COLOURS, LINE_STYLES, STYLES, style_for
from benchtui.bench.draw.whole import draw_whole
from benchtui.bench.pieces import FANCY, Line
from benchtui.desk import setup
from benchtui.desk.core import Desk
from benchtui.desk.editor import Editor
from benchtui.desk.resume import resume

ENTER, LEAVE = "\x1b[?1049h\x1b[?25l", "\x1b[?1049l\x1b[?25h"
_OTHERWISE = ("NO_COLOR", "BENCHTUI_PLAIN", "TEXTUAL_COLOR_SYSTEM", "TEXTUAL_FILTERS", "TEXTUAL_DRIVER")
_ENDS = ("SIGTERM", "SIGHUP")


def stand_ready(desk: Desk, first: bool, notice: str) -> None:
    """The desk as the first screen shows it. ``first``: in a shop just made, three questions are asked."""
    desk.background.patient = True
    desk.shop.read_in_steps()
    desk.shop.save_behind()
    resume(desk)
    if first:
        setup.begin(desk)
    if notice:
        desk.refuse(notice)


@contextmanager
def first_screen(desk: Desk, plain: bool) -> Iterator[bool]:
    """The desk's screen on the terminal while inside, for an app to take over; whether it is there.

    A signal to end, or any failure before the app, gives the terminal back.
    """
    width, height = shutil.get_terminal_size()
    if plain or not _can_show() or draw_whole(desk, width, height, FANCY).room.shared:
        yield False
        return
    before = {name: signal.signal(getattr(signal, name), _end) for name in _ENDS}
    try:
        _send(f"{ENTER}{whole(desk, width, height)}")
        yield True
    except BaseException:
        with suppress(OSError):
            _send(LEAVE)
        raise
    finally:
        for name, handler in before.items():
            signal.signal(getattr(signal, name), handler)


def _can_show() -> bool:
    """Whether this terminal takes the colours that Textual would send it."""
    full = os.environ.get("COLORTERM", "").strip().lower() in ("truecolor", "24bit")
    otherwise = any(os.environ.get(name) for name in _OTHERWISE) or os.environ.get("TERM") in (
        "dumb",
        "unknown",
    )
    return full and not otherwise and sys.platform != "win32"


def _end(number: int, frame: FrameType | None) -> NoReturn:
    raise SystemExit(128 + number)


def _send(text: str) -> None:
    stream = sys.__stderr__  # where Textual draws
    assert stream is not None
    stream.write(text)
    stream.flush()


def whole(desk: Desk, width: int, height: int) -> str:
    """Every row of the screen as a terminal is sent it, the cursor left in the text line."""
    theme = "light" if desk.settings.get("theme") == "light" else "dark"
    drawn, colours = draw_whole(desk, width, height, FANCY), COLOURS[theme]
    styles = {**STYLES[theme], **LINE_STYLES[theme]}
    editor = Editor()
    line = desk.open.line
    if line is not None:
        editor.put(line.text, line.replace)
    label = drawn.label[0] if drawn.label else []
    typed = editor.shown(max(1, width - drawn.room.label)) if line is not None else []
    ground, panel = (f"{colours['foreground']} on {colours[name]}" for name in ("background", "panel"))
    middle = height - drawn.room.strip - 2 - drawn.room.legend
    rows = [
        *((row, panel) for row in _rows(drawn.strip, drawn.room.strip)),
        *((row, ground) for row in _rows(drawn.middle, middle)),
        *((row, ground) for row in _rows(drawn.message, 1)),
        ([*_filled(label, drawn.room.label), *typed], ground),
        *((row, panel) for row in _rows(drawn.legend, drawn.room.legend)),
    ]
    sent = [
        f"\x1b[{y};1H{_inked(_filled(row, width), base, styles)}" for y, (row, base) in enumerate(rows, 1)
    ]
    return "".join(
        [*sent, f"\x1b[{height - drawn.room.legend};{drawn.room.label + editor.cursor_cells() + 1}H"]
    )


def _rows(lines: list[Line], count: int) -> list[Line]:
    return [*lines, *([] for _ in range(count - len(lines)))][:count]


def _filled(line: Line, width: int) -> Line:
    """Exactly so many cells."""
    kept: Line = []
    for text, style in line:
        kept.append((set_cell_size(text, min(cell_len(text), width)), style))
        width -= cell_len(kept[-1][0])
    return [*kept, (" " * width, "")]


def _inked(line: Line, base: str, styles: dict[str, str]) -> str:
    ground = Style.parse(base)
    return "".join(
        (ground + Style.parse(style_for(name.partition("@")[0], styles))).render(text)
        for text, name in line
        if text
    )
