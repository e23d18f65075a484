"""The terminal is the bench's own from the first moment of a start, and as it was after every end."""

import os
import signal
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

if sys.platform != "linux":
    pytest.skip("needs a Linux pseudo-terminal", allow_module_level=True)

import termios

from pty_bench import LONGEST, PtyBench

from benchtui.cli.command_line import opens_bench
from benchtui.model.record import RecordDoc
from benchtui.store import Shop

UP = "\x1b[?2004h"  # sent by Textual's driver once it listens
Start = Callable[[], PtyBench]


@pytest.fixture
def start(demo_path: Path) -> Iterator[Start]:
    """Starts a bench on the demo shop and waits for nothing."""
    benches: list[PtyBench] = []

    def begin() -> PtyBench:
        benches.append(PtyBench(demo_path, afresh=True))
        return benches[-1]

    yield begin
    for bench in benches:
        bench.close()


def wait_for(true: Callable[[], bool], bench: PtyBench) -> None:
    """Read until it is so."""
    end = time.monotonic() + LONGEST
    while not true():
        assert time.monotonic() < end, bench.seen[-300:]
        bench.read(0.01)


def is_raw(bench: PtyBench) -> bool:
    return not termios.tcgetattr(bench.slave)[3] & (termios.ECHO | termios.ICANON)


def is_stopped(bench: PtyBench) -> bool:
    return Path(f"/proc/{bench.process.pid}/stat").read_text().rpartition(") ")[2].startswith("T")


def seventh(path: Path) -> RecordDoc:
    """The record that the demo opens on: the runout of its first side is half typed, ``5 1``."""
    parcel = Shop.open(path, read_only=True).open_parcel("2026-11-25-1", read_only=True)
    return next(record for record in parcel.records if record["no"] == 7)


def typed(path: Path) -> list[str]:
    disc = next(part for part in seventh(path)["parts"] if part["kind"] == "disc")
    return [disc["sides"][side]["typed"] for side in ("A", "B")]


@pytest.mark.parametrize("spread", [0.0, 0.9])
def test_keys_typed_while_it_starts_are_all_taken_and_in_order(
    start: Start, demo_path: Path, spread: float
) -> None:
    bench, keys = start(), "UE\r5 1UE\r"
    begun = time.monotonic()
    for n, key in enumerate(keys):
        while time.monotonic() < begun + spread * n / (len(keys) - 1):
            bench.read(0.005)
        os.write(bench.master, key.encode())
    bench.until(UP)
    bench.type("\x18")
    assert bench.ended() == 0
    assert bench.given_back()
    assert typed(demo_path) == ["5 1UE", "5 1UE"]


@pytest.mark.parametrize("at", ["at once", "when raw"])
def test_control_keys_typed_while_it_starts_are_keys_and_no_signals(start: Start, at: str) -> None:
    bench = start()
    if at == "when raw":
        wait_for(lambda: is_raw(bench), bench)
        os.write(bench.master, b"\x03\x1a")  # at once, the terminal still makes signals of them
    os.write(bench.master, b"\x1b\x04")
    bench.until("paid for it")  # Ctrl-D: the record in full
    bench.type("\x18")
    assert bench.ended() == 0
    assert bench.given_back()


@pytest.mark.parametrize("name", ["SIGHUP", "SIGTERM", "SIGINT"])
def test_a_signal_before_the_bench_is_up_gives_the_terminal_back(start: Start, name: str) -> None:
    bench = start()
    wait_for(lambda: is_raw(bench), bench)
    number = getattr(signal, name)
    bench.process.send_signal(number)
    assert bench.ended() == 128 + number
    assert termios.tcgetattr(bench.slave) == bench.before
    assert b"Traceback" not in bench.seen


def test_stopped_and_woken_while_it_starts_the_terminal_is_given_back_and_taken_again(
    start: Start, demo_path: Path
) -> None:
    bench = start()
    wait_for(lambda: is_raw(bench), bench)
    bench.process.send_signal(signal.SIGTSTP)
    wait_for(lambda: is_stopped(bench), bench)
    assert termios.tcgetattr(bench.slave) == bench.before
    bench.process.send_signal(signal.SIGCONT)
    bench.until(UP)
    bench.type("UE\r5 1UE\r\x18")
    assert bench.ended() == 0
    assert bench.given_back()
    assert typed(demo_path) == ["5 1UE", "5 1UE"]


def test_stopped_and_woken_at_work_the_terminal_is_given_back_and_taken_again(
    start: Start, demo_path: Path
) -> None:
    bench = start()
    bench.until(UP)
    bench.type("U")
    bench.until("W")
    for _ in range(2):
        bench.process.send_signal(signal.SIGTSTP)
        wait_for(lambda: is_stopped(bench), bench)
        assert termios.tcgetattr(bench.slave) == bench.before
        since = len(bench.seen)
        bench.process.send_signal(signal.SIGCONT)
        bench.until(UP, since)
        assert is_raw(bench)
    bench.type("E\r5 1UE\r\x18")
    assert bench.ended() == 0
    assert bench.given_back()
    assert typed(demo_path) == ["5 1UE", "5 1UE"]


def test_woken_from_a_stop_that_nobody_told_it_of_it_goes_on(start: Start, demo_path: Path) -> None:
    bench = start()
    bench.until(UP)
    bench.process.send_signal(signal.SIGSTOP)
    wait_for(lambda: is_stopped(bench), bench)
    for _ in range(6):  # each wakes it out of the start that the one before began
        since = len(bench.seen)
        bench.process.send_signal(signal.SIGCONT)
        bench.read(0.01)
    bench.until(UP, since)
    bench.rest()  # what is typed before a start is dropped as the terminal is given back
    bench.type("UE\r5 1UE\r\x18")
    assert bench.ended() == 0
    assert bench.given_back()
    assert typed(demo_path) == ["5 1UE", "5 1UE"]


def test_a_shop_that_cannot_be_opened_leaves_the_terminal_as_it_was(start: Start, demo_path: Path) -> None:
    for copy in demo_path.rglob("*shop.json*"):
        copy.write_text("{")
    bench = start()
    assert bench.ended() == 2
    assert termios.tcgetattr(bench.slave) == bench.before
    assert b"benchtui: " in bench.seen


@pytest.mark.parametrize(
    ("words", "opens"),
    [
        ([], True), (["--shop", "x"], True), (["--keymap", "left-hand", "--plain"], True), (["demo"], True),
        (["demo", "--shop", "x"], True), (["--shop=x"], True), (["--help"], False), (["demo", "-h"], False),
        (["--version"], False), (["export", "intake"], False), (["--shop", "demo", "check"], False),
        (["play", "fifteen"], False),
    ],
)  # fmt: skip
def test_only_what_opens_the_bench_takes_the_terminal(words: list[str], opens: bool) -> None:
    assert opens_bench(words) is opens
