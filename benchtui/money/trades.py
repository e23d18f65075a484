"""What came in exchange costs what its sale says: the price of its parcel is what the sale was paid with."""

from collections.abc import Iterator, Mapping
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.model.money import Money
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money.book import Parcels
from benchtui.money.refunds import on_invoice
from benchtui.money.rounding import money_of
from benchtui.money.standings import effective

Amounts = dict[str, dict[str, int]]
"""Sale (its deal) -> currency -> minor units."""


def trade_faults(parcels: Parcels, currency: str) -> Iterator[BenchError]:
    """One for each parcel taken in exchange whose price is not that of its sale as it counts now. A sale that
    is void, and lives that cannot be read, are told elsewhere.
    """
    heads = [head for head, _ in parcels if head.get("traded")]
    if not heads:
        return
    sales, of_record = _sales(parcels, currency)
    for head in heads:
        deals = of_record.get((head.get("traded") or ["", ""])[1], [])
        said = [sales[deal] for deal in deals if deal in sales]
        own = _paid(head)
        if own and said and own not in said:
            now, right = _shown(said[-1]), _shown(own)
            yield BenchError(
                f"what came in exchange stands at {right}, its sale says {now}",
                f"parcel {head['id']}",
                "correct the price paid of the parcel, or the sale",
            )


def _sales(parcels: Parcels, currency: str) -> tuple[Amounts, dict[str, list[str]]]:
    """What of each sale was paid in exchange, where all of it can be read, and the sales of each record for
    which something was."""
    sums: Amounts = {}
    of_record: dict[str, list[str]] = {}
    unread: set[str] = set()
    for _, records in parcels:
        for record in records:
            if not any(_traded(event) for event in record["life"]):
                continue
            try:
                found = [_in_exchange(record, event, currency) for event in effective(record)]
            except (BenchError, TypeError, ValueError):
                unread.update(str(event.get("deal")) for event in record["life"])
                continue
            for deal, code, minor in filter(None, found):
                each = sums.setdefault(deal, {})
                each[code] = each.get(code, 0) + minor
                of_record.setdefault(record["id"], []).append(deal)
    return {deal: each for deal, each in sums.items() if deal not in unread}, of_record


def _in_exchange(record: RecordDoc, event: Mapping[str, Any], currency: str) -> tuple[str, str, int] | None:
    """(sale, currency, minor units) of a sale that was paid with something else."""
    if event["what"] != "sold" or "traded" not in event:
        return None
    deal = str(event.get("deal") or f"{record['id']}:{event['n']}")
    code = str((event.get("paid_in") or {}).get("currency") or currency)
    return (
        deal,
        code,
        Money(on_invoice(event, "traded", currency), code).minor,
    )  # ValueError: no such currency


def _traded(event: Mapping[str, Any]) -> bool:
    return bool(event.get("traded") or (event.get("now") or {}).get("traded"))


def _paid(head: HeadDoc) -> dict[str, int]:
    """Currency -> minor units; nothing where a price cannot be read."""
    found: dict[str, int] = {}
    for charge in head["charges"]:
        if charge["what"] == "price":
            try:
                price = money_of(charge, "")
            except BenchError:  # told with the charges
                return {}
            found[price.currency] = found.get(price.currency, 0) + price.minor
    return found


def _shown(amounts: Mapping[str, int]) -> str:
    return " and ".join(Money(minor, code).show() for code, minor in amounts.items())
