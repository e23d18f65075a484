"""In a real pseudo-terminal: from a key to the last byte, and from start to the first key that is answered.

    python tests/bench/bench_terminal.py [--keys 150] [--starts 5] [--size 120x40] [--json]    (POSIX)
        [--only '15 records'] [--titles FOLDER] [--beside NAME=COMMAND ...]

All apps run at once, each in a terminal of its own: an empty Textual app (empty_app.py: one Static, one
Input), and the bench on the demo's half-done parcel, on one of 500 records, and with 100,000 titles taken in;
``--beside`` adds any other program. They get their keys in turn, one app at a time, so that a noisy machine is
as noisy for each; ratios are the steadier figure. The bench gets the keys of demo/resume.keys, the others
letters. Taking the 100,000 titles in is most of a run (50 s of processor time): ``--titles`` keeps them in a
folder for the next. A key's time ends with the last byte before 40 ms of silence; keys that paint nothing are counted apart.

A start ends when a key pressed at the first full screen is answered. Both figures come twice: as the clock has
it, and (on Linux) in processor time of the app itself, all its threads, which a busy machine bears less on.
Beside it ``import textual.app`` and bare Python. Bytecode is compiled once beforehand, as an installation does.
"""

import argparse
import fcntl
import os
import pty
import re
import select
import shlex
import signal
import struct
import subprocess
import tempfile
import termios
import time
from contextlib import suppress
from pathlib import Path
from typing import Any, NamedTuple

import empty_app
from measuring import EMPTY, PYTHON, SHOPS, median, spread, take_in_made_up, tell

from benchtui.bench.run import parse_size, script_path
from benchtui.desk.keyboard.script import Step, read_script

SILENCE = 0.04
LONGEST = 20.0
SETTLED, IDLE = 4.0, 0.02
"""Another program is ready once it worked less than that share of so many seconds: one whose cursor blinks is
never silent, and one that still reads its packages is.
"""
BYTES = {"enter": "\r", "tab": "\t", "escape": "\x1b", "backspace": "\x7f", "insert": "\x1b[2~", "home": "\x1b[H",
         "end": "\x1b[F", "pageup": "\x1b[5~", "pagedown": "\x1b[6~", "up": "\x1b[A", "down": "\x1b[B",
         "right": "\x1b[C", "left": "\x1b[D"}  # fmt: skip
_ESCAPES = re.compile(rb"\x1b(?:\[[0-9;?<>=]*[A-Za-z]|[P\]_][^\x1b\x07]*(?:\x1b\\|\x07)|[=>78cM])")


class Key(NamedTuple):
    """Milliseconds from writing it to the last byte, milliseconds the app worked until then, bytes.

    What it works out ahead after that, for the next key, is in neither.
    """

    ms: float
    worked: float
    size: int


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
            text = _ESCAPES.sub(b"", self.seen) if self._read(0.5) else b""
            if text and all(mark in text for mark in waiting):
                return (time.perf_counter() - self.begun) * 1000
        raise SystemExit(f"no first screen within {LONGEST:.0f} s: {_ESCAPES.sub(b'', self.seen)[-400:]!r}")

    def key(self, text: str) -> Key | None:
        """What came of a key; None where nothing came."""
        self.drain(0)
        before, begun = self.worked(), time.perf_counter()
        os.write(self.master, text.encode())
        last, worked, got, wait = 0.0, 0.0, 0, 0.5
        while count := self._read(wait):
            last, worked, got, wait = time.perf_counter(), self.worked(), got + count, SILENCE
        return Key((last - begun) * 1000, worked - before, got) if got else None

    def answers(self, text: str, mark: str) -> tuple[float, float]:
        """Milliseconds from the start until a key pressed now is answered, and those the app worked."""
        since = len(self.seen)
        os.write(self.master, text.encode())
        while time.perf_counter() - self.begun < LONGEST:
            if self._read(0.5) and mark.encode() in _ESCAPES.sub(b"", self.seen[since:]):
                return (time.perf_counter() - self.begun) * 1000, self.worked()
        raise SystemExit(f"no answer to {text!r} within {LONGEST:.0f} s")

    def worked(self) -> float:
        """Milliseconds of processor time of all its threads so far; 0 where the system does not tell."""
        tasks = Path(f"/proc/{self.pid}/task")
        with suppress(OSError):
            return sum(int((one / "schedstat").read_text().split()[0]) for one in tasks.iterdir()) / 1e6
        return 0.0

    def settle(self) -> None:
        """Read until it does next to nothing any more, a minute at most."""
        for _ in range(int(3 * LONGEST / SETTLED)):
            worked, begun = self.worked(), time.perf_counter()
            while (left := begun + SETTLED - time.perf_counter()) > 0:
                self._read(left)
            if self.worked() - worked < IDLE * SETTLED * 1000:
                return

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
    return (empty_app.READY, empty_app.FOOT) if name == EMPTY else ("Una Dovrick", "Enter")


def starts(shops: dict[str, Path], times: int, size: tuple[int, int]) -> dict[str, list[tuple[float, float]]]:
    """Every start in turn, imports beside them: milliseconds until answered, and those worked."""
    plain = {"python": "pass", "import textual.app": "import textual.app"}
    found: dict[str, list[tuple[float, float]]] = {}
    for turn in range(times + 1):  # the first compiles
        found = {} if turn == 1 else found
        for name, code in plain.items():
            begun, before = time.perf_counter(), os.times()
            subprocess.run([PYTHON, "-c", code], check=True)
            after = os.times()
            worked = (
                after.children_user + after.children_system - before.children_user - before.children_system
            )
            found.setdefault(name, []).append(((time.perf_counter() - begun) * 1000, worked * 1000))
        for name, shop in shops.items():
            terminal = Terminal(command_of(name, shop), size)
            terminal.full_screen(marks_of(name))
            key, mark = ("qz", "qz") if name == EMPTY else ("W", "5 1W")
            found.setdefault(name, []).append(terminal.answers(key, mark))
            terminal.end()
    return found


def keys(
    shops: dict[str, Path], beside: dict[str, list[str]], count: int, size: tuple[int, int]
) -> dict[str, dict[str, Any]]:
    """All at once, a key each in turn."""
    script = [sent(step) for step in read_script(script_path("resume")).steps if step.kind == "key"][:count]
    terminals = {name: Terminal(command_of(name, shop), size) for name, shop in shops.items()}
    for name, terminal in terminals.items():
        terminal.full_screen(marks_of(name))
    terminals |= {name: Terminal(command, size) for name, command in beside.items()}
    for name, terminal in terminals.items():
        if name in beside:
            terminal.settle()
        else:
            terminal.drain(1.0)
    took: dict[str, list[Key | None]] = {name: [] for name in terminals}
    for at, text in enumerate(script):
        for name, terminal in terminals.items():
            took[name].append(
                terminal.key(text if name in shops and name != EMPTY else "abcdefghij"[at % 10])
            )
    for terminal in terminals.values():
        terminal.end()
    return {name: told(times) for name, times in took.items()}


def told(times: list[Key | None]) -> dict[str, Any]:
    painted = [one for one in times if one is not None]
    row: dict[str, Any] = dict(spread(one.ms for one in painted))
    worked = spread(one.worked for one in painted)
    row |= {"worked_p50": worked["p50"], "worked_p95": worked["p95"]}
    size = int(median(one.size for one in painted))
    return {**row, "bytes_p50": size, "painted_nothing": len(times) - len(painted)}


def beside_of(words: list[str]) -> dict[str, list[str]]:
    """NAME=COMMAND, each a program that is to be measured in the same run."""
    return {name: shlex.split(command) for name, _, command in (word.partition("=") for word in words)}


def main() -> None:
    parser = argparse.ArgumentParser(
        description="key to last byte and start to first answered key, in a pseudo-terminal"
    )
    parser.add_argument("--keys", type=int, default=150)
    parser.add_argument("--starts", type=int, default=5)
    parser.add_argument("--size", default="120x40")
    parser.add_argument("--only", default="", help="the shops whose name has this in it")
    parser.add_argument("--titles", default="", help="a folder that keeps the 100,000 titles taken in")
    parser.add_argument("--beside", action="append", default=[], metavar="NAME=COMMAND")
    parser.add_argument("--json", action="store_true")
    given = parser.parse_args()
    size = parse_size(given.size)
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    with tempfile.TemporaryDirectory(prefix="bench-terminal-") as place:
        folder = Path(place)
        os.environ["PYTHONPYCACHEPREFIX"] = str(folder / "bytecode")
        made = {name: make for name, make in SHOPS.items() if given.only in name}
        kept = Path(given.titles) if given.titles else folder
        titles = take_in_made_up(kept) if made.keys() & {"100,000 titles"} else folder
        shops = {name: make(folder / name.replace(" ", "-"), titles) for name, make in made.items()}
        shops = {EMPTY: folder, **shops}
        begun = starts(shops, given.starts, size)
        pressed = keys(shops, beside_of(given.beside), given.keys, size)
    started = {
        name: {"ms": median(ms for ms, _ in times), "worked": median(worked for _, worked in times)}
        for name, times in begun.items()
    }
    lines = [
        f"key to last byte, {given.size}     p50     p95 ms  worked p50     p95  beside empty p50, p95, worked p50, p95"
    ]
    base, first = pressed[EMPTY], started[EMPTY]
    for name, row in pressed.items():
        figures = [row[key] / (base[key] or 1) for key in ("p50", "p95", "worked_p50", "worked_p95")]
        lines.append(f"{name:24}{row['p50']:10.1f}{row['p95']:8.1f}{row['worked_p50']:15.1f}{row['worked_p95']:8.1f}  "
                     + " ".join(f"{one:6.1f} x" for one in figures)
                     + f"   ({row['n']} keys, {row['painted_nothing']} painted nothing, {row['bytes_p50']} bytes)")  # fmt: skip
    lines.append(
        f"start to first key answered     ms  worked  beside the empty app  (median of {given.starts})"
    )
    lines += [
        f"{name:28}{row['ms']:8.0f}{row['worked']:8.0f}{row['ms'] / first['ms']:8.1f} x{row['worked'] / (first['worked'] or 1):6.1f} x"
        for name, row in started.items()
    ]
    tell({"size": given.size, "key_ms": pressed, "start_ms": started}, lines, given.json)


if __name__ == "__main__":
    main()
