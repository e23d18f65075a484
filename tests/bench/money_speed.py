"""How long the money takes: run as ``python tests/bench/money_speed.py``; prints medians, asserts nothing."""

import random
import statistics
import time
from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

from benchtui.model.grade import Grade, Scale
from benchtui.model.money import Money
from benchtui.model.parcel import new_head
from benchtui.model.record import empty_record
from benchtui.money.result import parcel_result
from benchtui.money.statements import statement
from benchtui.money.stock import stockbook
from benchtui.money.worked import worked_price

TODAY = date(2026, 11, 25)
SETTINGS = {"currency": "GBP", "scale": "plain", "margin_scheme": "item", "vat_rate": "20"}
SCALES = {
    "plain": Scale(
        "plain", "Plain", (Grade("NM", "NM", "n", 0, "1", ""), Grade("VG", "VG", "v", 1, "0.25", ""))
    )
}


def parcel(count: int, terms: str) -> Any:
    """A delivery of that many records, every third one sold."""
    head = new_head("p")
    head["sender"], head["delivered"], head["terms"] = "s", "2026-11-02", terms  # type: ignore[typeddict-item]
    head["charges"] = [
        {"what": what, "minor": 123456, "currency": "GBP", "rate": None, "rate_date": "", "rate_from": ""}  # type: ignore[typeddict-item]
        for what in ("price", "postage")
    ]
    records = []
    for no in range(1, count + 1):
        record = empty_record(no)
        record["state"], record["stock"] = "taken-in", f"A{no:05}"
        record["price"] = {"minor": no * 37 % 9000, "currency": "GBP", "how": "worked"}
        if no % 3 == 0:
            record["life"] = [{"n": 1, "at": "2026-11-20", "what": "sold", "minor": 2000, "currency": "GBP"}]
        records.append(record)
    return head, records


def sales(count: int, titles: int) -> list[dict[str, Any]]:
    """Sales of so many titles, a few years back."""
    chance = random.Random(1)
    return [
        {
            "title": f"t-{chance.randrange(titles)}",
            "pressing": None,
            "date": (TODAY - timedelta(days=chance.randrange(1500))).isoformat(),
            "minor": chance.randrange(100, 9000),
            "currency": "GBP",
            "disc": chance.choice(["NM", "VG"]),
            "cover": "VG",
            "scale": "plain",
        }
        for _ in range(count)
    ]


def median_ms(work: Callable[[], object], times: int = 15) -> float:
    """The median of so many runs."""
    took = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        took.append((time.perf_counter() - start) * 1000)
    return statistics.median(took)


def of_parcel(count: int) -> None:
    """The parcel's own figures, the stock book and the statement."""
    head, records = parcel(count, "bought")
    took = median_ms(lambda: parcel_result(head, records, SETTINGS))
    print(f"parcel result, {count} records: {took:.1f} ms")
    took = median_ms(lambda: stockbook([(head, records)], {}, SETTINGS))
    print(f"stock book, {count} records: {took:.1f} ms")
    lot = parcel(count, "consigned")
    took = median_ms(lambda: statement("s", {"commission": "30"}, [lot], SETTINGS, "2026-11-25"))
    print(f"statement, {count} records: {took:.1f} ms")


def of_sales(count: int, titles: int) -> None:
    """One record's worked price out of so many sales."""
    seen, base = sales(count, titles), Money(1, "GBP")
    took = median_ms(lambda: worked_price("t-0", seen, (1, 1), base, SETTINGS, TODAY, scales=SCALES))
    print(f"worked price, {count} sales of {titles} titles: {took:.1f} ms")


def main() -> None:
    """Print one line a measurement."""
    for count in (15, 500, 2000):
        of_parcel(count)
    for count, titles in ((50, 1), (10_000, 2_000), (10_000, 1)):
        of_sales(count, titles)


if __name__ == "__main__":
    main()
