"""Seconds of work and memory of every export of a shop's year: python tests/bench/bench_year.py [RECORDS SALES]

A shop of 3,000 records in parcels of 100 with 2,000 sales, each export in a process of its own, as on the
command line; then again with eleven months closed, and the check of it all. With 30000 SALES the large ones
only: stock book and receipts, which are made parcel by parcel.
"""

import os
import subprocess
import sys
import tempfile
import time
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

from benchtui.model.money import Money
from benchtui.money import life
from benchtui.money.closing import close_books
from benchtui.money.deal import Extras, deal_fields
from benchtui.money.life import When
from benchtui.store import Shop

TODAY = date(2026, 12, 31)
EXPORTS = (
    "stockbook", "statement", "intake", "chores", "slips", "sales", "sales --by month", "stock",
    "vat --period 2026-Q4", "journal", "invoices", "credit-notes", "receipts", "insured", "regrade", "report --parcel {parcel}",
    "report --sender Mrs-Quill",
)  # fmt: skip
CLOSED = ("stockbook", "stockbook --day 2026-06-15", "stockbook --day 2026-06-15 --private", "statement --day 2026-06-15",
          "statement", "stock --day 2026-06-15", "journal")  # fmt: skip
"""Again, once the books of the year are closed."""
LARGE = ("stockbook", "stockbook --private", "receipts")
LARGE_CLOSED = ("stockbook", "stockbook --day 2026-06-15")


def charge(what: str, minor: int) -> dict[str, Any]:
    return {"what": what, "minor": minor, "currency": "GBP", "rate": None, "rate_date": "", "rate_from": ""}


def make_shop(folder: Path, records: int, sales: int) -> None:
    shop = Shop.create(folder)
    shop.change_settings(margin_scheme="period", vat_rate="20", period_limit="500")
    sender = shop.add_sender("Mrs-Quill", commission="30")
    for start in range(0, records, 100):
        on = (date(2026, 1, 2) + timedelta(days=start * 300 // records)).isoformat()
        consigned = start % 500 == 400
        fields = {
            "sender": sender, "opened": on, "delivered": on, "margin_eligible": True,
            "terms": "consigned" if consigned else "bought",
            "charges": [] if consigned else [charge("price", 100000), charge("postage", 5000)],
            "seller": {} if consigned else {"name": "a seller", "address": "a street", "identity": "passport"},
        }  # fmt: skip
        parcel = shop.new_parcel(fields, expected=100)
        with parcel.action("a year") as change:
            for no, empty in enumerate(parcel.records):
                fill(change.record(empty["id"]), start + no, on, start + no < sales)
        parcel.close()
    shop.close()


def fill(record: Any, number: int, on: str, sell: bool) -> None:
    record["state"], record["stock"] = "taken-in", f"A{number + 1:05}"
    record["taken_in_at"] = f"{on}T12:00:00+00:00"
    title = {"id": f"t-{number}", "artist": f"Artist {number % 97}", "title": f"Title {number}"}
    record["title"] = title | {"catalogue": f"XX {number}"}
    record["price"] = {"minor": 500 + number % 4000, "currency": "GBP", "how": "hand"}
    if sell:
        price = Money(record["price"]["minor"], "GBP")
        (deal,) = deal_fields(
            [price], Extras(postage=350, selling_fee=90, postage_paid=310), "GBP", f"d-{number}"
        )
        day = min(date.fromisoformat(on) + timedelta(days=number % 60), TODAY)
        when = When(day.isoformat(), day)
        record["life"].append(
            life.sell(record, when, price, buyer="a buyer", invoice=f"{number:05}", deal=deal)
        )
        if number % 50 == 0 and number < 1000:
            record["life"].append(life.refund_part(record, when, Money(100, "GBP"), "a scratch"))
            record["life"][-1]["credit_note"] = f"C{number // 50 + 1:04}"


def measure(folder: Path, command: str) -> tuple[float, float]:
    """Seconds of work (on a busy machine the clock says more), and the most memory in MB, of one command."""
    code = "import sys; from benchtui.cli import main; sys.exit(main(sys.argv[1:]))"
    run = [
        sys.executable,
        "-c",
        code,
        *command.split(),
        "--shop",
        str(folder),
        *(["--out", str(folder.parent / "out")] if command != "check" else []),
    ]
    child = subprocess.Popen(run, stdout=subprocess.DEVNULL)
    _, status, used = os.wait4(child.pid, 0)
    assert status == 0 or command == "check", command  # numbers were not reserved one by one
    return used.ru_utime + used.ru_stime, used.ru_maxrss / (1024 if sys.platform != "darwin" else 1024 * 1024)


def main() -> None:
    records, sales = (int(one) for one in sys.argv[1:3]) if len(sys.argv) > 2 else (3000, 2000)
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made) / "shop"
        make_shop(folder, records, sales)
        parcel = min(path.stem for path in (folder / "parcels").glob("*.json"))
        large = records > 10000
        for export in LARGE if large else EXPORTS:
            tell(folder, f"{records} records {sales} sales", f"export {export.format(parcel=parcel)}")
        tell(folder, "", "check")
        start = time.process_time()
        size = close(folder, "2026-11-30")
        took = time.process_time() - start
        print(f"closing eleven months: {took:.2f} s, {size / 1e6:.1f} MB on the disk", flush=True)
        for export in LARGE_CLOSED if large else CLOSED:
            tell(folder, "the same, closed", f"export {export}")
        tell(folder, "the same, closed", "check")


def tell(folder: Path, what: str, command: str) -> None:
    seconds, memory = measure(folder, command)
    print(f"{what:<26} {command:<38}{seconds:>7.2f} s {memory:>7.1f} MB", flush=True)


def close(folder: Path, through: str) -> int:
    """The books closed to a day; the bytes of the closing."""
    shop = Shop.open(folder)
    parcels = [shop.read_parcel(one) for one in shop.parcel_ids()]
    now = f"{datetime.now(UTC):%Y-%m-%dT%H:%M:%SZ}"  # after the documents, so that check knows them by then
    doc = close_books(parcels, shop.senders, shop.settings, (), through, now)
    shop.close_through(doc)
    shop.close()
    return (folder / "closed" / f"{through}.json").stat().st_size


if __name__ == "__main__":
    main()
