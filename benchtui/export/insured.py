"""What lies in the shop on a day and what it is worth, by owner: a list for an insurer."""

from collections.abc import Iterable
from datetime import date
from typing import Any

from benchtui.export.gather import sender_name
from benchtui.export.items import Item
from benchtui.export.table import Column, Table, table_of
from benchtui.model.custody import last_of
from benchtui.model.earlier import local_day
from benchtui.model.money import Money
from benchtui.money.book import description
from benchtui.money.dated import value_on
from benchtui.money.standings import must_be_told, standing
from benchtui.store.shop import Shop

BASIS = "Values as agreed, else asking prices. The policy decides what an insurer pays."
COLUMNS = (
    Column("owner", "text", "the consignor; shop for what is bought"),
    Column("stock_number", "text", "the shop's own number; empty before it is taken in"),
    Column("parcel_id", "text", "the parcel it came in"),
    Column("description", "text", "artist, title, catalogue number, size"),
    Column("kept_at", "text", "where it is kept, else its shelf"),
    Column("value", "number", "agreed value, else asking price", adds=True),
    Column("currency", "text", "ISO 4217"),
    Column("value_how", "text", "agreed, with the day, or asking price"),
    Column("agreed_with", "text", "with whom"),
    Column("insured_by", "text", "who insures a consigned record, as agreed with its sender"),
    Column("basis", "text", "what these figures are"),
)


def insured_table(shop: Shop, items: Iterable[Item], on: date) -> Table:
    """Every record that lay in the shop at the end of that day, set apart or not, by owner and number."""
    day, items = on.isoformat(), list(items)
    for item in items:
        must_be_told(item.head, [item.record])
    rows = [_row(shop, item, day) for item in items if _was_here(item, on)]
    return table_of(
        COLUMNS, sorted(rows, key=lambda row: (row["owner"], row["stock_number"], row["description"]))
    )


def _was_here(item: Item, on: date) -> bool:
    record = item.record
    if record["state"] in ("empty", "withdrawn") or not record["parts"]:
        return False
    came = item.head["delivered"] or item.head["opened"] or local_day(record.get("taken_in_at") or "")
    return came <= on.isoformat() and standing(record, on.isoformat()).what == "in the shop"


def _row(shop: Shop, item: Item, day: str) -> dict[str, str]:
    record, entries = item.record, item.record.get("custody", [])
    agreed, kept = last_of(entries, "value", day), last_of(entries, "lies", day)
    value: Any = agreed or record["price"]
    consigned = item.terms == "consigned"
    sender = shop.senders.get(item.consignor or "", {})
    return {
        "owner": (sender_name(shop, item.consignor) or "not named yet") if consigned else "shop",
        "stock_number": item.stock,
        "parcel_id": item.head["id"],
        "description": description(record),
        "kept_at": str(kept["note"]) if kept else standing(record, day).shelf,
        "value": Money(value["minor"], value["currency"]).plain() if value else "",
        "currency": str(value["currency"]) if value else "",
        "value_how": f"agreed {agreed['at']}" if agreed else "asking price" if value else "none yet",
        "agreed_with": str(agreed.get("who", "")) if agreed else "",
        "insured_by": str(value_on(sender.get("insures"), day) or "") if consigned else "shop",
        "basis": BASIS,
    }
