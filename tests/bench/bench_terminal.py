"""In a real pseudo-terminal: from a key to the last byte, and from start to the first full screen.

    python tests/bench/bench_terminal.py [--keys 150] [--starts 5] [--size 120x40] [--json]    (POSIX)

All apps run at once, each in a terminal of its own: an empty Textual app (empty_app.py: one Static, one
Input), and the bench on the demo's half-done parcel, on one of 500 records, and with 100,000 titles taken in.
They get their keys in turn, one app at a time, so that a noisy machine is as noisy for each; ratios are the
steadier figure. The bench gets the keys of demo/resume.keys, the empty app letters for its Input. A key's
time ends with the last byte before 40 ms of silence; keys that paint nothing are counted apart.

A start ends when everything of the first full screen has arrived: strip and legend of the bench, Static and
Input of the empty app. The bench shows its first screen before Textual is loaded, so a second figure says when
a key pressed at once is answered. Beside it ``python -c "import textual"``, the same with textual.app (the first is lazy and
loads next to nothing), and bare Python, all in turn. Bytecode is compiled once beforehand, as an installation does
(PYTHONDONTWRITEBYTECODE would have every start compile everything).
"""

import argparse
import fcntl
import os
import pty
import re
import select
import signal
import struct
import subprocess
import tempfile
import termios
import time
from pathlib import Path
from typing import Any

import empty_app
from measuring import EMPTY, PYTHON, SHOPS, median, spread, take_in_made_up, tell

from benchtui.bench.run import parse_size, script_path
from benchtui.desk.keyboard.script import Step, read_script

SILENCE = 0.04
LONGEST = 20.0
BYTES = {"enter": "\r", "tab": "\t", "escape": "\x1b", "backspace": "\x7f", "insert": "\x1b[2~", "home": "\x1b[H",
         "end": "\x1b[F", "pageup": "\x1b[5~", "pagedown": "\x1b[6~", "up": "\x1b[A", "down": "\x1b[B",
         "right": "\x1b[C", "left": "\x1b[D"}  # fmt: skip
_ESCAPES = re.compile(rb"\x1b(?:\[[0-9;?<>=]*[A-Za-z]|[P\]_][^\x1b\x07]*(?:\x1b\\|\x07)|[=>78cM])")


class Terminal:
    """A program in a pseudo-terminal of a given size."""

    def __init__(self, command: list[str], size: tuple[int, int]) -> None:
        self.begun = time.perf_counter()
        self.pid, self.master = pty.fork()
        if self.pid == 0:
            os.environ.update(
                TERM="xterm-256color", COLORTERM="truecolor", COLUMNS=str(size[0]), LINES=str(size[1])
            )
            os.execv(command[0], command)
        fcntl.ioctl(self.master, termios.TIOCSWINSZ, struct.pack("HHHH", size[1], size[0], 0, 0))
        self.seen = b""

    def full_screen(self, marks: tuple[str, ...]) -> float:
        """Milliseconds from the start until all marks have arrived."""
        waiting = [mark.encode() for mark in marks]
        while time.perf_counter() - self.begun < LONGEST:
            if self._read(0.5):
                text = _ESCAPES.sub(b"", self.seen)
                if all(mark in text for mark in waiting):
                    return (time.perf_counter() - self.begun) * 1000
        raise SystemExit(f"no first screen within {LONGEST:.0f} s: {_ESCAPES.sub(b'', self.seen)[-400:]!r}")

    def key(self, text: str) -> tuple[float, int] | None:
        """Milliseconds from writing the key to the last byte, and how many bytes; None where nothing came."""
        self.drain(0)
        begun = time.perf_counter()
        os.write(self.master, text.encode())
        last, got, wait = 0.0, 0, 0.5
        while count := self._read(wait):
            last, got, wait = time.perf_counter(), got + count, SILENCE
        return ((last - begun) * 1000, got) if got else None

    def answers(self, text: str, mark: str) -> float:
        """Milliseconds from the start until a key pressed now is answered."""
        since = len(self.seen)
        os.write(self.master, text.encode())
        while time.perf_counter() - self.begun < LONGEST:
            if self._read(0.5) and mark.encode() in _ESCAPES.sub(b"", self.seen[since:]):
                return (time.perf_counter() - self.begun) * 1000
        raise SystemExit(f"no answer to {text!r} within {LONGEST:.0f} s")

    def drain(self, silence: float) -> None:
        """Read until nothing has come for so many seconds."""
        while self._read(silence):
            pass

    def _read(self, wait: float) -> int:
        ready, _, _ = select.select([self.master], [], [], wait)
        if not ready:
            return 0
        try:
            data = os.read(self.master, 1 << 16)
        except OSError:  # the program has ended
            return 0
        self.seen = (self.seen + data)[-200_000:]
        return len(data)

    def end(self) -> None:
        """Nothing is to be kept: the program is killed."""
        os.kill(self.pid, signal.SIGKILL)
        os.waitpid(self.pid, 0)
        os.close(self.master)


def sent(step: Step) -> str:
    """What a terminal sends for a key."""
    if step.char is not None and step.char.isprintable():
        return step.char
    if step.name.startswith("ctrl+"):
        return chr(ord(step.name[5]) - 96)
    return BYTES[step.name]


def command_of(name: str, shop: Path) -> list[str]:
    if name == EMPTY:
        return [PYTHON, str(Path(empty_app.__file__))]
    return [PYTHON, "-m", "benchtui", "--shop", str(shop)]


def marks_of(name: str) -> tuple[str, ...]:
    """Texts of the first and the last rows."""
    return (empty_app.READY, empty_app.FOOT) if name == EMPTY else ("6 of 15", "leave")


def starts(shops: dict[str, Path], times: int, size: tuple[int, int]) -> dict[str, list[float]]:
    """Every start in turn; imports beside them."""
    plain = {"python": "pass", "import textual": "import textual", "import textual.app": "import textual.app"}
    found: dict[str, list[float]] = {name: [] for name in (*plain, *shops)}
    for turn in range(times + 1):  # the first compiles
        if turn == 1:
            found = {name: [] for name in found if "answered" not in name}
        for name, code in plain.items():
            begun = time.perf_counter()
            subprocess.run([PYTHON, "-c", code], check=True)
            found[name].append((time.perf_counter() - begun) * 1000)
        for name, shop in shops.items():
            terminal = Terminal(command_of(name, shop), size)
            found[name].append(terminal.full_screen(marks_of(name)))
            key, mark = ("qz", "qz") if name == EMPTY else ("W", "5 1W")
            found.setdefault(f"{name}, a key answered", []).append(terminal.answers(key, mark))
            terminal.end()
    return found


def keys(shops: dict[str, Path], count: int, size: tuple[int, int]) -> dict[str, dict[str, Any]]:
    """All at once, a key each in turn."""
    script = [sent(step) for step in read_script(script_path("resume")).steps if step.kind == "key"][:count]
    terminals = {name: Terminal(command_of(name, shop), size) for name, shop in shops.items()}
    for name, terminal in terminals.items():
        terminal.full_screen(marks_of(name))
        terminal.drain(1.0)
    took: dict[str, list[tuple[float, int] | None]] = {name: [] for name in terminals}
    for at, text in enumerate(script):
        for name, terminal in terminals.items():
            took[name].append(terminal.key("abcdefghij"[at % 10] if name == EMPTY else text))
    for terminal in terminals.values():
        terminal.end()
    return {name: told(times) for name, times in took.items()}


def told(times: list[tuple[float, int] | None]) -> dict[str, Any]:
    painted = [one for one in times if one is not None]
    row: dict[str, Any] = dict(spread(ms for ms, _ in painted))
    size = int(median(size for _, size in painted))
    return {**row, "bytes_p50": size, "painted_nothing": len(times) - len(painted)}


def main() -> None:
    parser = argparse.ArgumentParser(
        description="key to last byte and start to first screen, in a pseudo-terminal"
    )
    parser.add_argument("--keys", type=int, default=150)
    parser.add_argument("--starts", type=int, default=5)
    parser.add_argument("--size", default="120x40")
    parser.add_argument("--json", action="store_true")
    given = parser.parse_args()
    size = parse_size(given.size)
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    with tempfile.TemporaryDirectory(prefix="bench-terminal-") as place:
        folder = Path(place)
        os.environ["PYTHONPYCACHEPREFIX"] = str(folder / "bytecode")
        titles = take_in_made_up(folder)
        shops = {
            EMPTY: folder,
            **{name: make(folder / name.replace(" ", "-"), titles) for name, make in SHOPS.items()},
        }
        begun, pressed = starts(shops, given.starts, size), keys(shops, given.keys, size)
    started = {name: median(times) for name, times in begun.items()}
    base, textual = pressed[EMPTY], started["import textual.app"]
    lines = [f"key to last byte, {given.size}     p50     p95 ms  bytes  beside empty p50, p95"]
    for name, row in pressed.items():
        ratio = f"{row['p50'] / base['p50']:6.1f} x {row['p95'] / base['p95']:6.1f} x"
        lines.append(f"{name:28}{row['p50']:8.1f}{row['p95']:8.1f}  {row['bytes_p50']:6}  {ratio}"
                     f"   ({row['n']} keys, {row['painted_nothing']} painted nothing)")  # fmt: skip
    lines.append(
        f"start to first full screen              ms  beside import textual, textual.app, the empty app"
        f"  (median of {given.starts})"
    )
    lines += [
        f"{name:34}{ms:8.0f}{ms / started['import textual']:10.1f} x{ms / textual:10.1f} x"
        f"{ms / started[EMPTY]:10.1f} x"
        for name, ms in started.items()
    ]
    tell({"size": given.size, "key_ms": pressed, "start_ms": started}, lines, given.json)


if __name__ == "__main__":
    main()
