"""What the bench sends to the terminal by itself leaves there what Textual would have painted."""

import errno
import re
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from bench_hands import Clock
from rich.cells import cell_len
from rich.color import ColorSystem
from rich.segment import Segment
from textual import events
from textual.strip import Strip

from benchtui.bench import paint
from benchtui.bench.app import BenchApp
from benchtui.bench.play import rest
from benchtui.bench.run import script_path
from benchtui.desk.script import read_script
from benchtui.desk.start import open_desk
from benchtui.store import Shop
from benchtui.store.files import Files

Cell = tuple[str, str]
_SENT = re.compile(r"\x1b\[(\d+);(\d+)H|\x1b\[([\d;]*)m|\x1b\[\?2026[hl]|([^\x1b])")


class Screen:
    """A terminal of rows of cells: a sign and the codes it was sent with; knows moves and colours only."""

    def __init__(self, rows: list[list[Cell]]) -> None:
        self.rows = rows
        self.x = self.y = self.written = 0
        self.style = ""

    def feed(self, sent: str) -> None:
        at = 0
        while at < len(sent):
            found = _SENT.match(sent, at)
            assert found is not None, sent[at : at + 20]
            at = found.end()
            if found[1]:
                self.y, self.x = int(found[1]) - 1, int(found[2]) - 1
            elif found[3] is not None:
                self.style = "" if found[3] == "0" else found[3]
            elif found[4]:
                self._put(found[4])

    def _put(self, sign: str) -> None:
        self.written += 1
        for _ in range(cell_len(sign)):
            self.rows[self.y][self.x] = (sign, self.style)
            self.x += 1


def painted(app: BenchApp) -> list[list[Cell]]:
    """Every cell as Textual composes the screen now."""
    rows = []
    for strip in app.screen._compositor.render_strips():
        row: list[Cell] = []
        for text, style, _ in strip:
            codes = Strip.render_ansi(style, ColorSystem.TRUECOLOR) if style else ""
            row += [(sign, codes) for sign in text for _ in range(cell_len(sign))]
        rows.append(row)
    return rows


def differing(shown: list[list[Cell]], composed: list[list[Cell]]) -> list[tuple[int, int, Cell, Cell]]:
    return [
        (y, x, one, other)
        for y, rows in enumerate(zip(shown, composed, strict=True))
        for x, (one, other) in enumerate(zip(*rows, strict=True))
        if one != other
    ]


@pytest.mark.parametrize("size", [(120, 40), (80, 24), (50, 16)])
async def test_key_after_key_the_terminal_shows_what_textual_composes(
    demo_path: Path, size: tuple[int, int], monkeypatch: pytest.MonkeyPatch
) -> None:
    desk, notice = open_desk(Shop.open(demo_path), None, Clock())
    app = BenchApp(desk, error=notice)
    keys = [step for step in read_script(script_path("resume")).steps if step.kind == "key"][:110]
    async with app.run_test(size=size, notifications=False, tooltips=False):
        await app.workers.wait_for_complete()
        await rest(app)
        app.console._color_system = ColorSystem.TRUECOLOR
        screen = Screen(painted(app))
        monkeypatch.setattr(paint, "_straight", lambda app: True)
        monkeypatch.setattr(app._driver, "write", screen.feed)
        for step in keys:
            event = events.Key(step.name, step.char)
            event.set_sender(app)
            assert app._driver is not None
            app._driver.send_message(event)
            await rest(app)
            wrong = differing(screen.rows, painted(app))
            assert not wrong, (step.line, step.name, wrong[:5])
    desk.shop.close()
    # Not by sending everything anew: a key changes a part of the screen.
    assert len(keys) * 100 < screen.written < len(keys) * size[0] * size[1] * 0.6


class Disk(Files):
    """Takes its time to sync, notes when that has ended, and may fail."""

    def __init__(self, note: Callable[[str], None]) -> None:
        self.note = note
        self.full = False

    def sync(self, handle: int) -> None:
        self.note("sync begun")
        time.sleep(0.01)
        if self.full:
            raise OSError(errno.ENOSPC, "No space left on device")
        self.note("synced")


async def pressed(app: BenchApp, *keys: str) -> None:
    for key in keys:
        event = events.Key(key, key if len(key) == 1 else None)
        event.set_sender(app)
        assert app._driver is not None
        app._driver.send_message(event)
        await rest(app)


async def test_what_was_accepted_is_on_the_disk_before_anything_of_it_is_shown(
    demo_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    told: list[str] = []
    disk = Disk(told.append)
    desk, notice = open_desk(Shop.open(demo_path, files=disk), None, Clock())
    app = BenchApp(desk, error=notice)
    async with app.run_test(size=(120, 40), notifications=False, tooltips=False):
        await app.workers.wait_for_complete()
        await rest(app)
        monkeypatch.setattr(paint, "_straight", lambda app: True)
        monkeypatch.setattr(app._driver, "write", lambda sent: told.append("shown"))
        del told[:]
        await pressed(app, "W", "E", "enter", "escape", "v", "s", "x")
        assert told.count("shown") >= 7
        under_way = 0
        for what in told:
            under_way += {"sync begun": 1, "synced": -1, "shown": 0}[what]
            assert what != "shown" or not under_way, told
        assert told.count("synced") >= 7
        disk.full = True
        sent: list[str] = []
        monkeypatch.setattr(app._driver, "write", sent.append)
        await pressed(app, "y")
        assert "No space left" in "".join(sent), "told in the same breath"
        assert "No space left" in desk.open.message
        disk.full = False
    desk.shop.close()


def test_only_the_pieces_that_differ_are_sent_and_all_of_them_where_the_width_has_changed() -> None:
    def strip(*texts: str) -> Strip:
        return Strip([Segment(text) for text in texts])

    def sent(was: Strip | None, now: Strip) -> tuple[int, list[str]]:
        x, pieces = paint.changed(was, now)
        return x, [piece.text for piece in pieces]

    now = strip("好 ", "title", " 12 ", "done")
    assert sent(strip("好 ", "title", " 11 ", "done"), now) == (8, [" 12 "])
    assert sent(strip("好 ", "title", " 12 ", "more"), now) == (12, ["done"])
    assert sent(now, now) == (16, [])
    assert sent(strip("aa", "aa"), strip("aa", "aa", "aa")) == (0, ["aa", "aa", "aa"])
    assert sent(None, now) == (0, ["好 ", "title", " 12 ", "done"])
