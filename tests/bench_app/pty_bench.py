"""The bench as a process of its own in a pseudo-terminal (POSIX)."""

import contextlib
import fcntl
import os
import pty
import select
import signal
import struct
import subprocess
import sys
import termios
import time
from array import array
from collections.abc import Iterable, Mapping
from pathlib import Path

from forked import Forked

from benchtui.desk.keyboard.burst import APART
from benchtui.desk.keyboard.script import Step

ROOT = Path(__file__).parents[2]
IDLE_TICKS = 3
"""What a bench that waits for a key may use up meanwhile: its timers."""
LONGEST = 300.0
"""Seconds until a test gives up; it waits for what happens, never for a time to pass."""
# The process takes the terminal for its own, as a shell's child does, so that a hang-up reaches it.
CHILD = (
    "import fcntl, sys, termios; fcntl.ioctl(0, termios.TIOCSCTTY, 0); "
    "from benchtui.cli import main; sys.exit(main(sys.argv[1:]))"
)
BYTES = {"enter": "\r", "tab": "\t", "escape": "\x1b", "backspace": "\x7f", "insert": "\x1b[2~", "home": "\x1b[H",
         "end": "\x1b[F", "pageup": "\x1b[5~", "pagedown": "\x1b[6~", "up": "\x1b[A", "down": "\x1b[B",
         "right": "\x1b[C", "left": "\x1b[D", "delete": "\x1b[3~"}  # fmt: skip


def sent(step: Step) -> str:
    """What a terminal sends for a key."""
    if step.char is not None and step.char.isprintable():
        return step.char
    if step.name.startswith("ctrl+"):
        return chr(ord(step.name[5]) - 96)
    return BYTES[step.name]


class PtyBench:
    """A bench on a shop; ``seen`` is all that it wrote to the terminal. ``afresh``: the program is loaded anew."""

    def __init__(
        self,
        shop: Path,
        size: tuple[int, int] = (100, 30),
        environ: Mapping[str, str] | None = None,
        afresh: bool = False,
    ) -> None:
        self.master, self.slave = pty.openpty()
        self.resize(*size)
        self.before = termios.tcgetattr(self.slave)
        self.seen = b""
        quiet = {
            key: value for key, value in os.environ.items() if key not in ("NO_COLOR", "COLUMNS", "LINES")
        }
        given = {**quiet, "PYTHONPATH": str(ROOT), "TERM": "xterm-256color", **(environ or {})}
        argv = ["--shop", str(shop)]
        self.process: subprocess.Popen[bytes] | Forked
        if not afresh and not environ:  # a library may look at the environment as it is loaded
            self.process = Forked(argv, os.ttyname(self.slave), given)
            return
        self.process = subprocess.Popen(
            [sys.executable, "-c", CHILD, *argv], env=given,
            stdin=self.slave, stdout=self.slave, stderr=self.slave, start_new_session=True,
        )  # fmt: skip

    def resize(self, width: int, height: int) -> None:
        fcntl.ioctl(self.slave, termios.TIOCSWINSZ, struct.pack("HHHH", height, width, 0, 0))
        if hasattr(self, "process"):
            self.process.send_signal(signal.SIGWINCH)

    def read(self, wait: float) -> bool:
        """Whether anything came within so many seconds."""
        if not select.select([self.master], [], [], wait)[0]:
            return False
        try:
            data = os.read(self.master, 1 << 16)
        except OSError:
            return False
        self.seen += data
        return bool(data)

    def until(self, mark: str, since: int = 0) -> None:
        """Read until the text has come."""
        end = time.monotonic() + LONGEST
        while mark.encode() not in self.seen[since:]:
            assert time.monotonic() < end, f"{mark!r} never came: {self.seen[-300:]!r}"
            self.read(0.2)

    def rest(self, silence: float = 0.4) -> None:
        """Read until the bench has taken all that was typed, waits for more, and has for so long.

        However busy the machine: who has work and waits for its turn is not at rest, and gets hardly any time.
        """
        end, since, used = time.monotonic() + LONGEST, time.monotonic(), self.time_used()
        while time.monotonic() < end:
            if self.read(0.02) or self.time_used() - used > IDLE_TICKS:
                since, used = time.monotonic(), self.time_used()
            elif time.monotonic() - since >= silence and not self.is_at_work():
                return

    def time_used(self) -> int:
        """Clock ticks of the processor that the bench has had."""
        try:
            told = Path(f"/proc/{self.process.pid}/stat").read_text().rpartition(") ")[2].split()
        except OSError:  # it has ended
            return 0
        return int(told[11]) + int(told[12])

    def is_at_work(self) -> bool:
        """Whether a key waits to be read, or any thread of the bench runs or would."""
        waiting = array("i", [0])
        with contextlib.suppress(OSError):
            fcntl.ioctl(self.slave, termios.FIONREAD, waiting)
        if waiting[0]:
            return True
        with contextlib.suppress(OSError):  # it has ended
            for stat in Path(f"/proc/{self.process.pid}/task").glob("*/stat"):
                if stat.read_text().rpartition(") ")[2][0] in "RD":
                    return True
        return False

    def type(self, text: str | bytes) -> None:
        """All at once, reading meanwhile what the bench draws."""
        left = text.encode() if isinstance(text, str) else text
        os.set_blocking(self.master, False)
        try:
            while left:
                select.select([self.master], [self.master], [], LONGEST)
                self.read(0)
                try:
                    left = left[os.write(self.master, left[:4096]) :]
                except BlockingIOError:
                    self.read(0.01)
        finally:
            os.set_blocking(self.master, True)

    def press(self, steps: Iterable[Step], run: int = 4) -> None:
        """Keys of a script, with a rest before more than so many signs follow each other: nothing is a scan."""
        waiting, signs = "", 0
        for step in steps:
            signs = signs + 1 if step.char is not None and (step.char.isalnum() or step.char == " ") else 0
            if signs > run:
                self.type(waiting)
                self.rest(2 * APART)
                waiting, signs = "", 1
            waiting += sent(step)
        self.type(waiting)

    def ended(self) -> int:
        """The exit code, once the process has ended by itself."""
        end = time.monotonic() + LONGEST
        while (code := self.process.poll()) is None:
            assert time.monotonic() < end, "the bench never ended"
            self.read(0.05)
        self.rest(0.05)
        return code

    def given_back(self) -> bool:
        """Whether the terminal is as it was: its settings, the screen left, the cursor shown, pastes plain."""
        after = self.seen
        left = all(
            after.rfind(off) > after.rfind(on)
            for off, on in (
                (b"\x1b[?1049l", b"\x1b[?1049h"), (b"\x1b[?25h", b"\x1b[?25l"), (b"\x1b[?2004l", b"\x1b[?2004h"),
                (b"\x1b[?1000l", b"\x1b[?1000h"), (b"\x1b[?1004l", b"\x1b[?1004h"),
            )
        )  # fmt: skip
        return left and termios.tcgetattr(self.slave) == self.before

    def close(self) -> None:
        if self.process.poll() is None:
            self.process.kill()
        self.process.wait()
        for handle in (self.master, self.slave):
            with contextlib.suppress(OSError):
                os.close(handle)
