"""A bench, its connection and the server are killed in turn, at any moment: python tests/bench/server_kills.py [TIMES]

After each kill the parcel must stand before or after the key that was under way, never between; whoever was told that a key is
saved finds it, once.
"""

import json
import os
import random
import signal
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path
from typing import Any

import psycopg
from server_load import started

from benchtui.server import ServerHome
from benchtui.store import Shop


def bench(address: str, machine: Path, parcel_id: str, told: int) -> None:
    """Key after key until killed; each is told when it begins and once it is saved. What is not is tried on."""
    shop = Shop.open(ServerHome(address, machine))
    shop.save_in_background()
    shop.may_keep_pending = True
    parcel = shop.open_parcel(parcel_id)
    number = parcel.head["revision"]
    os.write(told, f"open {number}\n".encode())
    while True:
        number += 1
        os.write(told, f"begun {number}\n".encode())
        with parcel.action(f"key {number}") as change:
            for record in parcel.records:
                change.record(record["id"])["note"] = str(number)
        parcel.settle()
        while parcel.trouble is not None:
            time.sleep(0.02)
            parcel.save_again()
        os.write(told, f"saved {number}\n".encode())


class Bench:
    """A bench as a process, and what it told."""

    def __init__(self, address: str, machine: Path, parcel_id: str) -> None:
        self.reads, writes = os.pipe()
        self.child = os.fork()
        if self.child == 0:
            os.close(self.reads)
            try:
                bench(address, machine, parcel_id, writes)
            except BaseException as error:
                os.write(writes, f"failed {error!r}\n".encode())
            os._exit(1)
        os.close(writes)
        os.set_blocking(self.reads, False)
        self.begun = self.saved = 0
        self.left = b""

    def listen(self) -> None:
        try:
            while data := os.read(self.reads, 65536):
                self.left += data
        except BlockingIOError:
            pass
        *lines, self.left = self.left.split(b"\n")
        for line in lines:
            word, _, rest = line.decode().partition(" ")
            if word == "failed":
                raise AssertionError(rest)
            if word in ("open", "saved"):
                self.saved = int(rest)
            else:
                self.begun = int(rest)

    def wait_for(self, number: int, seconds: float = 60.0) -> None:
        end = time.monotonic() + seconds
        while self.saved < number:
            self.listen()
            assert time.monotonic() < end, f"not saved within {seconds} s: {number}, but {self.saved}"
            time.sleep(0.002)

    def kill(self) -> None:
        os.kill(self.child, signal.SIGKILL)
        os.waitpid(self.child, 0)
        self.listen()
        os.close(self.reads)


def state(address: str, parcel_id: str) -> tuple[int, set[str], list[int]]:
    """Revision, notes and history of the parcel, at one moment."""
    with psycopg.connect(address, autocommit=True) as session:
        rows = session.execute("SELECT tbl, id, body FROM docs WHERE name = %s", (parcel_id,)).fetchall()
    docs: dict[str, list[Any]] = {}
    for table, _, body in rows:
        docs.setdefault(table, []).append(json.loads(body))
    says = [int(entry["say"].removeprefix("key ")) for entry in docs.get("history", [])]
    return docs["head"][0]["revision"], {record["note"] for record in docs["records"]}, sorted(says)


def check(address: str, parcel_id: str, saved: int, begun: int) -> None:
    revision, notes, says = state(address, parcel_id)
    assert saved <= revision <= max(begun, saved), (saved, revision, begun)
    assert notes == ({str(revision)} if revision else {""}), (revision, notes)
    assert says == list(range(max(1, revision - len(says) + 1), revision + 1)), says[-5:]


def end_connection(address: str) -> None:
    with psycopg.connect(address, autocommit=True) as session:
        session.execute(
            "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE application_name LIKE 'benchtui %'"
        )


def kill_server(address: str) -> None:
    """One of its processes dies by force: it ends all others and starts from its log again."""
    with psycopg.connect(address, autocommit=True) as session:
        row = session.execute(
            "SELECT pid FROM pg_stat_activity WHERE backend_type = 'checkpointer' OR pid = pg_backend_pid() ORDER BY random()"
        ).fetchone()
        assert row
        os.kill(row[0], signal.SIGKILL)
    end = time.monotonic() + 60
    while time.monotonic() < end:
        try:
            psycopg.connect(address, connect_timeout=2).close()
            return
        except psycopg.Error:
            time.sleep(0.02)


def main(times: int) -> None:
    done: Counter[str] = Counter()
    began = time.perf_counter()
    with tempfile.TemporaryDirectory(prefix="benchtui-kills-") as folder:
        address = started(Path(f"{folder}-postgres"))
        home = ServerHome(address, Path(folder) / "machine")
        shop = Shop.create(home)
        parcel = shop.new_parcel({"opened": "2026-11-25"}, 3)
        parcel_id = parcel.id
        parcel.close()
        shop.close()
        inside = f"{address}&options=-csearch_path%3Dbenchtui"
        one: Bench | None = None
        for number in range(times):
            one = one or Bench(address, Path(folder) / "machine", parcel_id)
            one.wait_for(max(one.saved, 0) + 1 if one.saved else 1)
            time.sleep(random.uniform(0, 0.05))
            what = ("bench", "connection", "server")[number % 3]
            if what == "bench":
                one.kill()
                wait_until_free(inside)
                check(inside, parcel_id, one.saved, one.begun)
                one = None
            else:
                (end_connection if what == "connection" else kill_server)(inside)
                one.listen()
                saved = one.saved
                one.wait_for(saved + 2)
            done[what] += 1
        if one is not None:
            one.kill()
            wait_until_free(inside)
            check(inside, parcel_id, one.saved, one.begun)
        keys = state(inside, parcel_id)[0]
    print(
        f"{dict(done)} killed in {time.perf_counter() - began:.0f} s, {keys} keys: each time before or after a key"
    )


def wait_until_free(address: str) -> None:
    """The server has noticed that the bench is gone."""
    with psycopg.connect(address, autocommit=True) as session:
        end = time.monotonic() + 20
        while time.monotonic() < end:
            row = session.execute(
                "SELECT count(*) FROM pg_stat_activity WHERE application_name LIKE 'benchtui %'"
            ).fetchone()
            if row and row[0] == 0:
                return
            time.sleep(0.005)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 500)
