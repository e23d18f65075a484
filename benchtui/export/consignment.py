"""The consignor's receipt: what came, its condition as it arrived, what was agreed; a page to print."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.export.ask import Ask
from benchtui.export.intake import COLUMNS as INTAKE
from benchtui.export.items import Item
from benchtui.export.page import page, shown, tag
from benchtui.export.papers import STYLE, head_rows
from benchtui.export.wording import Wording
from benchtui.model.custody import last_of
from benchtui.model.money import Money
from benchtui.model.record import is_here, parts_of, why_apart
from benchtui.money.book import description
from benchtui.money.consign import terms_of
from benchtui.money.dated import value_on
from benchtui.money.notice import RECEIPT_ESTIMATE
from benchtui.money.policy import policy_of
from benchtui.store.shop import Shop

TELL = {column.name: teller for column, teller in INTAKE}
CONDITION = (
    ("disc", "disc_arrived"), ("", "disc_faults"), ("cover", "cover_arrived"), ("", "cover_faults"),
    ("with", "extras_present"), ("without", "extras_missing"),
)  # fmt: skip
_VAT = {
    "none": "no VAT on the commission",
    "added": "VAT comes on top of the commission",
    "included": "VAT is in the commission",
}
INSURES = {"shop": "the shop", "sender": "the consignor"}
SAID = (
    "Grades are the shop's own first opinion of each record as it arrived, before any play test.",
    "The records stay the property of the consignor until they are sold.",
)


def consignments(shop: Shop, items: Sequence[Item], words: Wording, ask: Ask) -> tuple[bytes, int]:
    """A receipt for every consignor of every parcel of the days (or of the one parcel), and how many they
    are. BenchError where nothing was consigned.
    """
    found: dict[tuple[str, str], list[Item]] = {}
    for item in items:
        here = ask.parcel == item.head["id"] or (not ask.parcel and ask.first <= _came(item) <= ask.last)
        if here and item.terms == "consigned" and item.record["state"] not in ("empty", "withdrawn"):
            found.setdefault((item.head["id"], item.consignor or ""), []).append(item)
    if not found:
        right = "name a parcel with consigned records (--parcel) or other days (--from and --to)"
        raise BenchError("nothing was consigned in these days", "consignment", right)
    body = (tag("section", _receipt(shop, shop.senders.get(who, {}), mine, words))
            for (_, who), mine in found.items())  # fmt: skip
    return page("Consignment receipts", "\n".join(body), STYLE), len(found)


def _came(item: Item) -> str:
    return item.head["delivered"] or item.head["opened"]


def _receipt(shop: Shop, sender: Mapping[str, Any], mine: Sequence[Item], words: Wording) -> str:
    head = mine[0].head
    rows = [
        ("consignor", str(sender.get("name") or "not named yet")),
        ("consignor's address", str(sender.get("address") or "")),
        ("came on", _came(mine[0])),
        ("agreed", _terms(shop, sender, _came(mine[0]))),
        ("insured by", INSURES.get(str(value_on(sender.get("insures"), _came(mine[0]))), "not agreed")),
        ("agreed until", str(sender.get("until") or "not agreed")),
    ]
    heading = tag("td", "record", "what") + tag("td", "as it arrived", "what")
    heading += tag("td", "reserve", "num") + tag("td", "agreed value", "num")
    lines = [tag("tr", heading, "head"), *(_line(item, sender, words) for item in mine)]
    said = "".join(tag("p", shown(text), "small") for text in (*SAID, RECEIPT_ESTIMATE))
    signed = tag("p", "consignor", "sign") + tag("p", "for the shop", "sign")
    title = tag("h1", shown(f"Consignment receipt {head['id']}"))
    count = "1 record" if len(mine) == 1 else f"{len(mine)} records"
    about = title + head_rows(shop.settings, rows)
    return about + tag("table", "".join(lines), "lines") + tag("p", count) + said + signed


def _terms(shop: Shop, sender: Mapping[str, Any], on: str) -> str:
    if not (sender.get("commission") or sender.get("bands")):
        return "no commission agreed yet"
    policy = policy_of(shop.settings, on)
    return f"{terms_of(sender, policy, on).say()}; {_VAT[policy.commission_vat]}"


def _line(item: Item, sender: Mapping[str, Any], words: Wording) -> str:
    record = item.record
    reserve: Any = record.get("reserve") or value_on(sender.get("reserve"), _came(item))
    value: Any = last_of(record.get("custody", []), "value")
    apart = why_apart(record["set_apart"])
    state = [*_condition(item, words), *([f"set apart: {apart}"] if apart else [])]
    number = item.stock or f"no. {record['no']}"
    cells = (
        f"{number}  {description(record)}",
        "; ".join(state) or "not looked at yet",
        *map(_money, (reserve, value)),
    )
    css = ("what", "what", "num", "num")
    return tag("tr", "".join(tag("td", shown(cell), name) for cell, name in zip(cells, css, strict=True)))


def _condition(item: Item, words: Wording) -> Iterable[str]:
    discs = len([disc for disc in parts_of(item.record, "disc") if is_here(disc)])
    for label, name in CONDITION:
        told = TELL[name](item, words)
        if told and name == "disc_arrived" and discs > 1:
            yield f"the lowest of {discs} discs {told}"
        elif told:
            yield " ".join(filter(None, (label, told.replace(" | ", ", "))))


def _money(doc: Any) -> str:
    return Money(doc["minor"], doc["currency"]).show() if doc else "not agreed"
