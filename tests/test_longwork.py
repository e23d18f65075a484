"""Long work of the command line: a bar for a terminal after a while, and Ctrl-C at any step leaves nothing half."""

import io
import shutil
import signal
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from benchtui.base import longwork
from benchtui.base.longwork import AFTER, Bar, Stopped, long_work, waiting
from benchtui.bench.run import copy_demo
from benchtui.cli import main
from benchtui.store import Shop


class Terminal(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        return True


class Clock:
    def __init__(self) -> None:
        self.now = 0.0

    def __call__(self) -> float:
        return self.now


@pytest.fixture(autouse=True)
def heard() -> Iterator[None]:
    """Ctrl-C is heard, also where the suite was started in the background, which has it ignored."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


@pytest.fixture
def columns(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "60")
    monkeypatch.setenv("TERM", "xterm")


# -- the bar ---------------------------------------------------------------------------------------


def test_the_bar_comes_after_half_a_second_and_goes_again(columns: None) -> None:
    stream, clock = Terminal(), Clock()
    bar = Bar("backup", stream, clock)
    bar.show(0.1)
    assert stream.getvalue() == ""
    clock.now = AFTER
    bar.show(0.5)
    assert stream.getvalue() == "\rbackup [" + "#" * 20 + "." * 20 + "]  50 %"
    bar.show(0.6)
    assert stream.getvalue().count("\r") == 1, "a few times a second is enough"
    clock.now += 1
    bar.show(1.0)
    assert stream.getvalue().endswith("\r" + " " * len("backup [] 100 %") + " " * 40 + "\r"), (
        "what is all done leaves the line as it was"
    )
    bar.wipe()
    assert stream.getvalue().count("\r") == 3


def test_quick_work_draws_nothing(columns: None) -> None:
    stream = Terminal()
    bar = Bar("backup", stream, Clock())
    bar.show(0.5)
    bar.wipe()
    assert stream.getvalue() == ""


@pytest.mark.parametrize("where", ["no terminal", "dumb"])
def test_nothing_is_drawn_where_nobody_sees_it(
    columns: None, monkeypatch: pytest.MonkeyPatch, where: str
) -> None:
    if where == "dumb":
        monkeypatch.setenv("TERM", "dumb")
    stream, clock = Terminal() if where == "dumb" else io.StringIO(), Clock()
    bar = Bar("backup", stream, clock)
    clock.now = 9
    bar.show(0.5)
    bar.wipe()
    assert stream.getvalue() == ""


@pytest.mark.parametrize("width", [1, 5, 12, 20, 300])
def test_the_bar_fits_any_width_whatever_share_it_is_told(
    monkeypatch: pytest.MonkeyPatch, width: int
) -> None:
    monkeypatch.setenv("COLUMNS", str(width))
    monkeypatch.setenv("TERM", "xterm")
    for share in (-1.0, 0.0, 0.333, 1.0, 7.0):
        stream, clock = Terminal(), Clock()
        bar = Bar("backup", stream, clock)
        clock.now = 9
        bar.show(share)
        assert len(stream.getvalue().strip("\r")) <= max(1, width - 1)


def test_what_cannot_tell_how_far_it_is_says_what_is_waited_for(columns: None) -> None:
    stream = Terminal()
    with waiting("opening the shop ...", stream, after=0):
        while "opening" not in stream.getvalue():
            threading.Event().wait(0.001)
    assert stream.getvalue().startswith("\ropening the shop ...")
    assert stream.getvalue().endswith("\r" + " " * 20 + "\r")
    quick, piped = Terminal(), io.StringIO()
    with waiting("opening the shop ...", quick, after=60), waiting("opening the shop ...", piped, after=0):
        pass
    assert quick.getvalue() == piped.getvalue() == ""


# -- Ctrl-C ------------------------------------------------------------------------------------------


def test_ctrl_c_stops_at_the_next_step_and_the_signal_is_given_back() -> None:
    before, steps = signal.getsignal(signal.SIGINT), list[int]()

    def work() -> None:
        with long_work("work", "nothing is written") as step:
            for n in range(9):
                step(n / 9)
                steps.append(n)
                if n == 3:
                    signal.raise_signal(signal.SIGINT)

    with pytest.raises(Stopped, match="nothing is written"):
        work()
    assert steps == [0, 1, 2, 3]
    assert signal.getsignal(signal.SIGINT) is before


def test_a_second_ctrl_c_does_not_wait_for_a_step() -> None:
    def work() -> None:
        with long_work("work", "nothing is written"):
            signal.raise_signal(signal.SIGINT)
            signal.raise_signal(signal.SIGINT)
            raise AssertionError("it went on")

    with pytest.raises(Stopped):
        work()


def test_what_comes_to_its_end_first_is_done() -> None:
    with long_work("work", "nothing is written") as step:
        step(1.0)
        signal.raise_signal(signal.SIGINT)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("longwork") / "shop"
    copy_demo(path)
    return path


@pytest.fixture
def shop(made: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(made, tmp_path / "shop"))


def _stop_at(monkeypatch: pytest.MonkeyPatch, number: int) -> list[float]:
    """Ctrl-C comes while the step of that number is shown; the shares told are collected."""
    told: list[float] = []

    def show(bar: Bar, done: float) -> None:
        told.append(done)
        if len(told) == number:
            signal.raise_signal(signal.SIGINT)

    monkeypatch.setattr(longwork.Bar, "show", show)
    return told


def _files(folder: Path) -> set[str]:
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*") if ".keep" not in path.parts}


def _steps(count: int) -> list[int]:
    """About a dozen of the steps, the first and the last but one among them."""
    return sorted({1, count - 1, *range(1, count, max(1, count // 12))})


def _one_line(capsys: pytest.CaptureFixture[str], said: str) -> None:
    out = capsys.readouterr()
    assert out.out == ""
    assert out.err == f"benchtui: stopped: {said}\n"


def _count_steps(monkeypatch: pytest.MonkeyPatch, run: list[str]) -> int:
    told = _stop_at(monkeypatch, 0)
    assert main(run) == 0
    assert told == sorted(told), "the share only grows"
    assert all(0 <= share <= 1 for share in told)
    return len(told)


def test_a_backup_stopped_anywhere_leaves_no_file(
    shop: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    target = tmp_path / "b.zip"
    count = _count_steps(monkeypatch, ["backup", str(tmp_path / "whole.zip"), "--shop", str(shop)])
    capsys.readouterr()
    before = _files(tmp_path)
    for number in _steps(count):
        _stop_at(monkeypatch, number)
        assert main(["backup", str(target), "--shop", str(shop)]) == 130
        _one_line(capsys, f"no backup was written to {target}")
        assert _files(tmp_path) == before


def test_a_restore_stopped_anywhere_makes_nothing(
    shop: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    zipped, new = str(tmp_path / "b.zip"), tmp_path / "new"
    assert main(["backup", zipped, "--shop", str(shop)]) == 0
    count = _count_steps(monkeypatch, ["restore", zipped, "--shop", str(tmp_path / "whole")])
    capsys.readouterr()
    before = _files(tmp_path)
    for number in _steps(count):
        _stop_at(monkeypatch, number)
        assert main(["restore", zipped, "--shop", str(new)]) == 130
        _one_line(capsys, f"nothing was restored to {new}")
        assert _files(tmp_path) == before


def test_a_title_list_stopped_anywhere_is_not_taken_in(
    shop: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    rows = [f"Piper {n},Reel {n},ZZ {n}" for n in range(600)]
    listed = tmp_path / "new.csv"
    listed.write_text("artist,title,catalogue\n" + "\n".join(rows), encoding="utf-8")
    run = ["titles", str(listed), "--shop", str(shop)]
    for _ in range(2):  # the first time the demo's own list gets its index
        count = _count_steps(monkeypatch, run)
        assert len(list((shop / "titles").glob("0*-new.csv"))) == 1
        assert main(["titles", "--undo", "--shop", str(shop)]) == 0
        for gone in (shop / "titles").glob("*.undone"):
            gone.unlink()
    capsys.readouterr()
    before = _files(shop)
    for number in _steps(count):
        _stop_at(monkeypatch, number)
        assert main(run) == 130
        _one_line(capsys, f"nothing from {listed} was taken in")
        assert _files(shop) == before


def test_an_export_stopped_anywhere_writes_nothing(
    shop: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    run = ["export", "stockbook", "--shop", str(shop), "--out", str(tmp_path / "book.csv")]
    count = _count_steps(monkeypatch, run)
    (tmp_path / "book.csv").unlink()
    capsys.readouterr()
    for number in range(1, count):
        _stop_at(monkeypatch, number)
        assert main(run) == 130
        _one_line(capsys, "nothing is written")
        assert not (tmp_path / "book.csv").exists()


def _sales(path: Path) -> list[Any]:
    shop = Shop.open(path, read_only=True)
    try:
        return list(shop.sales_seen())
    finally:
        shop.close()


def test_sales_stopped_anywhere_are_not_taken_in(
    shop: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    before = _sales(shop)
    title = next(str(sale["title"]) for sale in before if sale["title"])
    seen = tmp_path / "sales.csv"
    rows = [f"{title},2026-01-{1 + n % 28:02},{10 + n},VG" for n in range(300)]
    seen.write_text("title,date,price,disc\n" + "\n".join(rows), encoding="utf-8")
    other = Path(shutil.copytree(shop, tmp_path / "other"))
    count = _count_steps(monkeypatch, ["sales", str(seen), "--shop", str(other)])
    assert count >= 4
    capsys.readouterr()
    for number in range(1, count):
        _stop_at(monkeypatch, number)
        assert main(["sales", str(seen), "--shop", str(shop)]) == 130
        _one_line(capsys, f"nothing from {seen} was taken in")
        assert _sales(shop) == before
