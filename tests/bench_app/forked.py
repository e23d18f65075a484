"""Benches as processes of their own that need not load the program each time: one has loaded it and forks.

A start takes a second and more of processor time, nearly all of it for imports. What is tested about the start
itself starts afresh (``PtyBench(..., afresh=True)``).
"""

import atexit
import json
import os
import signal
import socket
import subprocess
import sys
import time
from functools import cache
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]


class Forked:
    """A forked bench; used like a ``subprocess.Popen``."""

    def __init__(self, argv: list[str], terminal: str, environ: dict[str, str]) -> None:
        self.returncode: int | None = None
        self.pid: int = _ask({"argv": argv, "terminal": terminal, "environ": environ})

    def poll(self) -> int | None:
        if self.returncode is None:
            self.returncode = _ask({"poll": self.pid})
        return self.returncode

    def wait(self, timeout: float = float("inf")) -> int:
        end = time.monotonic() + timeout
        while (code := self.poll()) is None:
            if time.monotonic() > end:
                raise subprocess.TimeoutExpired("bench", timeout)
            time.sleep(0.02)
        return code

    def send_signal(self, number: int) -> None:
        if self.poll() is None:
            os.kill(self.pid, number)

    def kill(self) -> None:
        self.send_signal(signal.SIGKILL)


def _ask(question: dict[str, Any]) -> Any:
    stream = _mother()
    stream.write(json.dumps(question) + "\n")
    stream.flush()
    return json.loads(stream.readline())


@cache
def _mother() -> Any:
    """The process that has loaded the program, asked by lines of JSON; it ends with this one."""
    ours, theirs = socket.socketpair()
    process = subprocess.Popen(
        [sys.executable, __file__, str(theirs.fileno())], pass_fds=[theirs.fileno()], stdin=subprocess.DEVNULL,
        env={**os.environ, "PYTHONPATH": str(ROOT), "TERM": "xterm-256color"},
    )  # fmt: skip
    theirs.close()
    stream = ours.makefile("rw", encoding="utf-8")
    ours.close()

    def end() -> None:
        stream.close()
        process.wait()

    atexit.register(end)
    return stream


def answer(stream: Any) -> dict[str, Any] | None:
    """Answers until a bench is wanted: then, in the process forked for it, what is wanted. None at the end."""
    while line := stream.readline():
        question = json.loads(line)
        if "poll" in question:
            pid, status = os.waitpid(question["poll"], os.WNOHANG)
            told = os.waitstatus_to_exitcode(status) if pid else None
        elif (told := os.fork()) == 0:
            wanted: dict[str, Any] = question
            return wanted
        stream.write(json.dumps(told) + "\n")
        stream.flush()
    return None


def take_terminal(path: str) -> None:
    """The terminal becomes this process's own, as a shell's child does it, so that a hang-up reaches it."""
    import fcntl
    import termios

    os.setsid()
    handle = os.open(path, os.O_RDWR)
    fcntl.ioctl(handle, termios.TIOCSCTTY, 0)
    for number in range(3):
        os.dup2(handle, number)
    os.close(handle)
    for number, name in enumerate(("stdin", "stdout", "stderr")):
        stream = open(number, "w" if number else "r", encoding="utf-8", closefd=False)  # noqa: SIM115
        setattr(sys, name, stream)
        setattr(sys, f"__{name}__", stream)


def be_mother(handle: int) -> None:
    import gc

    import textual.drivers.linux_driver

    import benchtui.bench.run
    from benchtui.cli import main
    from benchtui.desk.core.learn import learn_all

    learn_all()
    gc.freeze()  # what is shared with the benches is not written to
    del textual, benchtui
    control = socket.socket(fileno=handle)
    stream = control.makefile("rw", encoding="utf-8")
    wanted = answer(stream)
    if wanted is not None:
        stream.close()
        control.close()
        os.environ.clear()
        os.environ.update(wanted["environ"])
        take_terminal(wanted["terminal"])
        sys.exit(main(wanted["argv"]))


if __name__ == "__main__":
    be_mother(int(sys.argv[1]))
