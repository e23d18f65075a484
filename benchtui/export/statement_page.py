"""A consignor's statement to print: the statement's table, a section for each of them."""

from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Any

from benchtui.export.ask import Ask
from benchtui.export.page import page, shown, tag
from benchtui.export.papers import STYLE, head_rows
from benchtui.export.table import Table, with_totals
from benchtui.money.book import known_as
from benchtui.money.notice import STATEMENT_ESTIMATE
from benchtui.store.shop import Shop

_STYLE = (
    STYLE + "\n.statement { font-size: 8.5pt; margin-top: 6mm; }\n.statement td { padding-right: 2mm; }\n"
    ".end { break-inside: avoid; }\n"
)
_AMOUNTS = {
    "price": "price",
    "commission": "commission",
    "vat_on_commission": "VAT on it",
    "charges": "charges",
    "net": "net",
    "paid_out": "paid",
    "balance_before": "due before",
    "balance_after": "due after",
}


def statement_page(shop: Shop, table: Table, ask: Ask) -> bytes:
    """Sections by consignor: each record with its figures, their sums, and what is due at the end of the days
    (of some days with what was due before them)."""
    docs = {known_as(shop.senders, key): doc for key, doc in shop.senders.items()}
    found: dict[str, list[tuple[str, ...]]] = {}
    for row, name in zip(table.rows, table.cells("sender"), strict=True):
        found.setdefault(name, []).append(row)
    sections = [
        tag("section", "".join(_statement(shop, name, docs[name], Table(table.columns, tuple(mine)), ask)))
        for name, mine in found.items()
    ]
    body = "\n".join(sections) or tag("p", "Nothing to account for in these days.")
    return page("Statements", body, _STYLE)


def _statement(shop: Shop, name: str, doc: Mapping[str, Any], mine: Table, ask: Ask) -> Iterator[str]:
    yield tag("h1", shown(f"Statement for {name}"))
    days = f"{ask.first} to {ask.last}" if ask.start else f"up to {ask.last}"
    yield head_rows(shop.settings, (("your address", str(doc.get("address") or "")), ("for the days", days)))
    rows = with_totals(mine).dicts()
    names = [one for one in _AMOUNTS if any(row[one] for row in rows)]
    if not ask.start:
        names.remove("balance_before")
    heads = "".join(tag("td", _AMOUNTS[one], "num") for one in names)
    head = tag("tr", tag("td", "number") + tag("td", "record") + tag("td", "") + heads, "head")
    lines = [tag("thead", head)]
    lines += [_line(row, names, "sum" if row["sender"] == "total" else "") for row in rows]
    yield tag("table", "".join(lines), "statement")
    due = tag("p", shown(_due(mine.dicts()[-1])))
    yield tag("div", due + tag("p", shown(STATEMENT_ESTIMATE), "small"), "end")


def _line(row: dict[str, str], names: list[str], css: str) -> str:
    what = "total" if css else row["description"]
    words = tag("td", shown(row["stock_number"])) + tag("td", shown(what)) + tag("td", shown(row["what"]))
    return tag("tr", words + "".join(tag("td", shown(row[one]), "num") for one in names), css)


def _due(row: dict[str, str]) -> str:
    """``due to you: 27.97 GBP``, as the last line leaves it; below 0 it is the shop's."""
    due = Decimal(row["balance_after"])
    return f"{'owed to the shop' if due < 0 else 'due to you'}: {abs(due)} {row['currency']}"
