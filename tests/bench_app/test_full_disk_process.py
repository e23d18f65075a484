"""The bench as a process of its own on a full disk: a really tiny one, or one limited by the system."""

import contextlib
import re
import shutil
import signal
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

if sys.platform != "linux":
    pytest.skip("needs a Linux pseudo-terminal", allow_module_level=True)

import resource

from bench_hands import press_all, sit_down
from full_disk import fill_up, tiny_disk
from pty_bench import PtyBench
from same_parcel import canonical

from benchtui.bench.run import script_path
from benchtui.desk.keyboard.script import read_script
from benchtui.store import Parcel, Shop

PARCEL = "2026-11-25-1"
READY = "leave"  # the last word of the legend
LOST = "benchtui: NOT SAVED, and lost: "


@dataclass
class Disk:
    """A bench on a shop, and the two things that happen to its disk."""

    bench: PtyBench
    shop: Path
    fill: Callable[[], None]
    free: Callable[[], None]

    def keys(self, text: str) -> None:
        self.bench.type(text)
        self.bench.rest()

    def work_until_full(self) -> None:
        """Grades until one is not saved: what is left of a log's last block still takes some."""
        self.keys("\x1b")
        self.fill()
        for key in "vngvngvngvng":
            self.bench.type(key)
            self.bench.rest(0.2)
            if b"NOT SAVED" in self.bench.seen:
                return
        raise AssertionError("the disk was never full")

    def found(self) -> Parcel:
        return Shop.open(self.shop, read_only=True).open_parcel(PARCEL)


@pytest.fixture(params=["tiny", "limited"])
def disk(request: pytest.FixtureRequest, demo_path: Path, tmp_path: Path) -> Iterator[Disk]:
    """The demo shop, its first screen drawn. ``tiny``: on 2 MiB; ``limited``: no file may grow any more."""
    if request.param == "limited":
        bench = PtyBench(demo_path, (80, 24))

        def limit(size: int) -> None:
            with contextlib.suppress(ProcessLookupError):  # it has ended
                hard = resource.prlimit(bench.process.pid, resource.RLIMIT_FSIZE)[1]
                resource.prlimit(bench.process.pid, resource.RLIMIT_FSIZE, (size, hard))

        yield from _opened(Disk(bench, demo_path, lambda: limit(0), lambda: limit(resource.RLIM_INFINITY)))
        return
    with tiny_disk(tmp_path / "tiny", 2048) as folder:
        shop = Path(shutil.copytree(demo_path, folder / "shop"))
        ballast = folder / "ballast"
        bench = PtyBench(shop, (80, 24))
        yield from _opened(Disk(bench, shop, lambda: fill_up(ballast), ballast.unlink))


def _opened(disk: Disk) -> Iterator[Disk]:
    disk.bench.until(READY)
    disk.bench.rest()
    yield disk
    disk.bench.close()


def test_a_disk_full_in_the_middle_of_a_record_loses_no_key_of_the_records_after_it(
    disk: Disk, demo_path: Path, tmp_path: Path
) -> None:
    other = sit_down(Path(shutil.copytree(demo_path, tmp_path / "other")))
    keys = [step for step in read_script(script_path("resume")).steps if step.kind == "key"][:210]
    disk.bench.press(keys[:40])
    disk.bench.rest(1)
    disk.fill()
    disk.bench.press(keys[40:150])
    disk.bench.until("NOT SAVED")
    disk.bench.rest(2)
    before = len(disk.found().history)
    disk.free()
    disk.bench.until("everything is saved again")  # nobody touched a key
    disk.bench.press(keys[150:])
    disk.bench.rest(2)
    disk.bench.process.send_signal(signal.SIGTERM)
    assert disk.bench.ended() == 128 + signal.SIGTERM
    assert LOST.encode() not in disk.bench.seen
    press_all(other, keys)
    alike, found = other.desk.work.parcel, disk.found()
    other.leave()
    assert alike is not None
    assert [entry.say for entry in found.history] == [entry.say for entry in alike.history]
    assert [record["stock"] for record in found.records] == [record["stock"] for record in alike.records]
    assert len(found.history) > before + 30
    assert Shop.open(disk.shop, read_only=True).number_faults() == []


@pytest.mark.parametrize(
    ("disk", "name"), [("limited", "SIGHUP"), ("tiny", "SIGTERM"), ("limited", "SIGINT")], indirect=["disk"]
)
def test_a_signal_on_a_full_disk_ends_it_with_one_line_on_what_is_lost(disk: Disk, name: str) -> None:
    disk.work_until_full()
    before = canonical(disk.found())
    disk.bench.process.send_signal(getattr(signal, name))
    assert disk.bench.ended() == 128 + getattr(signal, name)
    assert disk.bench.given_back()
    after = disk.bench.seen.decode().rpartition("\x1b[?1049l")[2]
    (line,) = [line for line in after.splitlines() if LOST in line]
    assert re.search(LOST + r"1 action \(record 7\): not saved \(.+\): .+\.json", line)
    assert "Traceback" not in after
    disk.free()
    assert canonical(disk.found()) == before


@pytest.mark.parametrize("disk", ["limited"], indirect=True)
def test_given_up_by_its_key_it_says_once_more_what_is_lost(disk: Disk) -> None:
    disk.work_until_full()
    disk.keys("\x18")
    assert disk.bench.process.poll() is None
    disk.bench.type("g")
    assert disk.bench.ended() == 1
    assert f"{LOST}1 action (record 7): not saved (" in disk.bench.seen.decode()
    assert disk.bench.given_back()


@pytest.mark.parametrize("disk", ["limited"], indirect=True)
def test_held_until_there_is_room_it_saves_and_leaves(disk: Disk) -> None:
    disk.work_until_full()
    before = len(disk.found().history)
    disk.keys("\x18")
    disk.free()
    disk.bench.type("s")
    assert disk.bench.ended() == 0
    assert LOST.encode() not in disk.bench.seen
    assert len(disk.found().history) == before + 1
