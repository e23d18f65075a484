"""Several benches in one shop: locks, reading beside, shared files, processes playing at once."""

import contextlib
import os
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest
from homes import beside
from store_benches import check_shop, tally

from benchtui.base.errors import BenchError
from benchtui.store import Files, ParcelHeld, Shop

ROOT = Path(__file__).parents[2]
BENCH = f"""
import sys
import time
sys.path.insert(0, {str(Path(__file__).parent)!r})
from store_benches import bench
bench(sys.argv[1], sys.argv[2], int(sys.argv[3]))
"""


def test_a_second_bench_is_told_who_has_the_parcel_and_since_when(shop, parcel):
    second = beside(shop)
    with pytest.raises(ParcelHeld) as told:
        second.open_parcel(parcel.id)
    assert "process" in told.value.who
    assert told.value.since.endswith("Z")
    assert "\n" not in str(told.value)
    second.close()


def test_the_second_bench_may_read_and_sees_what_is_saved_later(shop, parcel):
    second = beside(shop)
    reading = second.open_parcel(parcel.id, read_only=True)
    assert not reading.refresh()
    for number in range(300):  # far enough for the log to be folded in
        with parcel.action("note") as change:
            change.head["note"] = str(number) * 100
        if number % 60 == 0:
            assert reading.refresh()
            assert reading.head["note"] == parcel.head["note"]
    with pytest.raises(BenchError, match="reading only"), reading.action("x") as change:
        change.head["note"] = "mine"
    with pytest.raises(BenchError, match="reading only"):
        reading.place(draft=None, cursor={"view": "x"})
    with pytest.raises(BenchError, match="reading only"):
        reading.undo()
    second.close()


def test_a_shop_open_for_reading_changes_nothing_on_the_disk(shop, parcel):
    shop.close()
    before = {path: path.stat().st_mtime_ns for path in shop.path.rglob("*")}
    reading = beside(shop, read_only=True)
    assert reading.parcels()
    assert reading.open_parcel(parcel.id).read_only
    reading.counts(tally)
    for change in (lambda: reading.add_sender("x"), lambda: reading.new_parcel({}, 1)):
        with pytest.raises(BenchError, match="reading only"):
            change()
    reading.close()
    assert {path: path.stat().st_mtime_ns for path in shop.path.rglob("*")} == before


def test_what_another_bench_adds_is_read_from_the_end_of_the_log_alone(shop):
    other = beside(shop)
    reads = []

    class Watched(Files):
        """Notes how many bytes of which file are read."""

        def read(self, path, size=-1, offset=0):
            raw = super().read(path, size, offset)
            reads.append((path.name, len(raw)))
            return raw

    kept: Any = other.shared._storage
    kept.files = Watched()
    ids = []
    for number in range(40):
        ids.append((shop if number % 3 else other).add_sender(f"sender {number}"))
        assert list(other.senders) == list(shop.senders) == ids
    assert {name for name, _ in reads} == {"shop.json.log"}
    assert max(size for _, size in reads) < 500
    shop.shared.fold()
    shop.add_sender("after a fold")
    assert other.senders == shop.senders
    other.add_sender("x" * 200_000)  # long enough for the next one to fold
    other.add_sender("last")
    assert other.senders == shop.senders == beside(shop, read_only=True).senders
    other.close()


def test_the_lock_of_a_dead_process_is_taken_over(shop, parcel):
    parcel.close()
    code = (
        "import os, sys; from benchtui.store import Shop;"
        "parcel = Shop.open(sys.argv[1]).open_parcel(sys.argv[2]);"
        "parcel.place(draft={'line': 'note', 'text': 'unfinished', 'at': 1}); os._exit(9)"
    )
    run = [sys.executable, "-c", code, str(shop.path), parcel.id]
    assert subprocess.run(run, cwd=ROOT, check=False).returncode == 9
    assert shop.open_parcel(parcel.id).head["draft"]["text"] == "unfinished"


def opened_soon(shop, parcel_id):
    """The parcel, as soon as the child has come to its first line (it lives far longer than this waits)."""
    for _ in range(100):
        with contextlib.suppress(ParcelHeld):
            return shop.open_parcel(parcel_id)
        time.sleep(0.1)
    return shop.open_parcel(parcel_id)


@pytest.mark.skipif(not hasattr(os, "fork"), reason="no fork here")
def test_a_child_that_outlives_a_dead_bench_does_not_hold_its_parcel(shop, parcel):
    parcel.close()
    code = (
        "import os, sys, time; from benchtui.store import Shop;"
        "parcel = Shop.open(sys.argv[1]).open_parcel(sys.argv[2]);"
        "child = os.fork();"
        "child or time.sleep(30);"
        "print(child, flush=True); os._exit(9)"
    )
    run = [sys.executable, "-c", code, str(shop.path), parcel.id]
    bench = subprocess.Popen(run, cwd=ROOT, stdout=subprocess.PIPE, text=True)
    assert bench.stdout is not None
    child = int(bench.stdout.readline())
    assert bench.wait() == 9
    bench.stdout.close()
    try:
        assert not opened_soon(shop, parcel.id).read_only
    finally:
        os.kill(child, signal.SIGKILL)


def test_four_processes_play_four_parcels_into_one_shop(tmp_path):
    shop = Shop.create(tmp_path / "shop")
    shop.close()
    records = 6
    run = [sys.executable, "-c", BENCH, str(shop.path)]
    benches = [subprocess.Popen([*run, f"bench {n}", str(records)], cwd=ROOT) for n in range(4)]
    assert [bench.wait() for bench in benches] == [0] * 4
    check_shop(shop.path, benches=4, records=records)
