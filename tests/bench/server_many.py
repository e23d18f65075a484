"""A shop of many parcels opens: folder and server side by side: python tests/bench/server_many.py [PARCELS]

For each home: the first opening on a machine (every parcel is read, in steps beside the keys), then the next one. Then a key on a
parcel of fifteen records: saved in the folder, on the server, and over a line that takes a millisecond there and back.
"""

import ctypes
import json
import os
import socket
import sys
import tempfile
import threading
import time
from pathlib import Path
from statistics import median
from typing import Any

import psycopg
from server_load import started

from benchtui.server import ServerHome, to_server
from benchtui.store import Parcel, Shop


def counted(records: list[Any]) -> dict[str, int]:
    return {"records": len(records)}


def filled(folder: Path, parcels: int) -> None:
    shop = Shop.create(folder)
    for number in range(parcels):
        parcel = shop.new_parcel({"opened": f"2025-{number % 12 + 1:02}-{number % 28 + 1:02}"}, 15)
        with parcel.action("filled") as change:
            for record in parcel.records:
                change.record(record["id"])["note"] = f"parcel {number}, {'a note of some length ' * 5}"
        parcel.close()
    shop.close()


def opened(where: Any) -> tuple[float, float]:
    """Milliseconds until the shop can be worked in, and until every parcel of it is known."""
    began = time.perf_counter()
    shop = Shop.open(where)
    shop.read_in_steps()
    shop.parcels()
    first = time.perf_counter() - began
    while shop.catch_up(counted) is not None:
        pass
    whole = time.perf_counter() - began
    shop.close()
    return round(first * 1000), round(whole * 1000)


def key_ms(parcel: Parcel, keys: int = 200) -> float:
    times = []
    for number in range(keys):
        began = time.perf_counter()
        with parcel.action(f"key {number}") as change:
            change.record(parcel.records[number % 15]["id"])["note"] = str(number)
        times.append((time.perf_counter() - began) * 1000)
    return round(median(times), 2)


def slow_line(server: str, delay: float) -> int:
    """A port behind which the server's socket lies, every answer ``delay`` seconds late."""
    door = socket.create_server(("127.0.0.1", 0))

    def pass_on(one: socket.socket, other: socket.socket, wait: float) -> None:
        try:
            while data := one.recv(1 << 20):
                time.sleep(wait)
                other.sendall(data)
            other.shutdown(socket.SHUT_WR)
        except OSError:
            return

    def serve() -> None:
        while True:
            client, _ = door.accept()
            client.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
            behind = socket.socket(socket.AF_UNIX)
            behind.connect(server)
            threading.Thread(target=pass_on, args=(client, behind, 0.0), daemon=True).start()
            threading.Thread(target=pass_on, args=(behind, client, delay), daemon=True).start()

    if os.fork() == 0:  # a process of its own: in this one its threads would wait for Python's lock
        prctl = ctypes.CDLL(None).prctl
        prctl(1, 15)  # it ends with its parent
        serve()
    return int(door.getsockname()[1])


def main(parcels: int) -> None:
    found: dict[str, Any] = {"parcels": parcels}
    with tempfile.TemporaryDirectory(prefix="benchtui-many-") as folder:
        above = Path(folder)
        filled(above / "shop", parcels)
        address = started(Path(f"{folder}-postgres"))
        home = ServerHome(address, above / "unused")
        began = time.perf_counter()
        to_server(above / "shop", home)
        home.close()
        found["to the server s"] = round(time.perf_counter() - began, 1)
        with psycopg.connect(address, autocommit=True) as session:
            session.execute("ANALYZE")
        for each in (above / "shop" / ".keep").glob("*.l*"):
            each.unlink()
        for name, where in (
            ("folder", lambda: above / "shop"),
            ("server", lambda: ServerHome(address, above / "machine")),
        ):
            found[f"{name}: first opening ms"] = opened(where())
            found[f"{name}: next opening ms"] = opened(where())
        port = slow_line(f"{folder}-postgres/.s.PGSQL.5432", 0.001)
        far = f"postgresql://postgres@127.0.0.1:{port}/postgres?sslmode=disable&gssencmode=disable"
        for name, where in (("folder", lambda: above / "shop"), ("server", lambda: ServerHome(address, above / "machine")),
                            ("server, 1 ms away", lambda: ServerHome(far, above / "machine"))):  # fmt: skip
            shop = Shop.open(where())
            found[f"{name}: key ms"] = key_ms(shop.new_parcel({"opened": "2026-11-25"}, 15))
            shop.close()
    print(json.dumps(found, indent=1))


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000)
