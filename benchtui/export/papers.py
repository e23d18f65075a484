"""Papers to print: sales invoices, and receipts for what was bought from private persons."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.export.ask import Ask
from benchtui.export.page import page, shown, tag
from benchtui.export.shop_books import Parcels
from benchtui.export.stockfile import KEEP
from benchtui.model.money import Money
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money.book import bought_on, description
from benchtui.money.charges import landed, own_terms
from benchtui.money.deal import extra
from benchtui.money.notice import ESTIMATE
from benchtui.money.policy import Rates
from benchtui.money.scheme import scheme_of
from benchtui.money.spreading import spread
from benchtui.money.standings import effective

MARGIN_WORDS = "Margin scheme - Second-hand goods"
"""Directive 2006/112/EC, article 226(14): what an invoice of second-hand goods under the scheme says. The
shop's setting ``margin_wording`` goes before it, in the language of the place."""
STYLE = """
section { break-after: page; }
.sum td { border-top: 0.3mm solid #111; font-weight: bold; }
.sign { margin-top: 18mm; border-top: 0.2mm solid #111; width: 70mm; font-size: 9pt; }
"""
Sold = tuple[HeadDoc, RecordDoc, dict[str, Any]]


def invoices(parcels: Parcels, settings: Mapping[str, Any], ask: Ask) -> tuple[bytes, int]:
    """A printable page of every sales invoice of the days, and how many they are.

    Records on one invoice are those with one number (else of one sale). Under a margin scheme no VAT is
    shown, and the wording of the scheme stands there. BenchError where there is none.
    """
    found = by_invoice(parcels, ask)
    if not found:
        raise BenchError("no sale in these days", "invoices", "name other days: --day, or --from and --to")
    rates = Rates(settings)
    paid = purchases(parcels, [one for mine in found for one in mine], rates)
    body = "\n".join(tag("section", "".join(_invoice(mine, settings, rates, paid))) for mine in found)
    return page("Invoices", body, STYLE), len(found)


def by_invoice(parcels: Parcels, ask: Ask) -> list[list[Sold]]:
    """The sales of the days, those of one invoice (else of one sale) together."""
    found: dict[tuple[str, str], list[Sold]] = {}
    for head, records in parcels:
        for record in records:
            for event in effective(record):
                if event["what"] == "sold" and ask.first <= event["at"][:10] <= ask.last:
                    key = (event["at"][:10], sale_name(record, event))
                    found.setdefault(key, []).append((head, record, event))
    chosen = (found[key] for key in sorted(found))
    return [
        mine for mine in chosen if ask.parcel is None or any(head["id"] == ask.parcel for head, _, _ in mine)
    ]


def sale_name(record: RecordDoc, event: Mapping[str, Any]) -> str:
    """What is the same of all records of one sale: its invoice number, else what else joins them."""
    return str(event.get("invoice") or event.get("deal") or f"{record['id']}:{event['n']}")


def _invoice(
    mine: Sequence[Sold], settings: Mapping[str, Any], rates: Rates, paid: Mapping[str, int]
) -> Iterator[str]:
    first = mine[0][2]
    yield tag("h1", shown(f"Invoice {first['invoice']}" if first.get("invoice") else "Sales note"))
    yield head_rows(settings, (("date", first["at"][:10]), ("to", str(first.get("buyer") or ""))))
    money = rates.currency
    lines = [_line(record, event, money) for _, record, event in mine]
    for name, label in (
        ("discount", "discount"),
        ("postage", "postage and packing"),
        ("tax", "tax collected"),
    ):
        if minor := sum(extra(event, name) for _, _, event in mine):
            lines.append(paper_row(label, "", Money(-minor if name == "discount" else minor, money).plain()))
    whole = sum(event["minor"] + extra(event, "postage") + extra(event, "tax") for _, _, event in mine)
    lines.append(tag("tr", cells("to pay", "", Money(whole, money).show()), "sum"))
    if traded := sum(extra(event, "traded") for _, _, event in mine):
        lines.append(paper_row("taken in exchange", "", Money(traded, money).plain()))
    yield tag("table", "".join(lines))
    yield "".join(tag("p", shown(said)) for said in margin_words(mine, settings, rates, paid))


def _line(record: RecordDoc, event: Mapping[str, Any], currency: str) -> str:
    listed = int(event["minor"]) + extra(event, "discount")
    return paper_row(description(record), record["stock"] or "", Money(listed, currency).plain())


def paper_row(what: str, stock: str, amount: str) -> str:
    return tag("tr", cells(what, stock, amount))


def cells(what: str, stock: str, amount: str) -> str:
    return tag("td", shown(what)) + tag("td", shown(stock)) + tag("td", shown(amount), "num")


def head_rows(settings: Mapping[str, Any], rows: Sequence[tuple[str, str]]) -> str:
    shop = (("shop", str(settings.get("name") or "")), ("address", str(settings.get("address") or "")))
    cells = (
        tag("tr", tag("th", shown(name)) + tag("td", shown(text))) for name, text in (*shop, *rows) if text
    )
    return tag("table", "".join(cells))


def margin_words(
    mine: Sequence[Sold], settings: Mapping[str, Any], rates: Rates, purchases: Mapping[str, int]
) -> Iterator[str]:
    schemes = {
        _scheme(head, record, event, rates, purchases.get(record["id"], 0)) for head, record, event in mine
    }
    if schemes & {"item by item", "by period"}:
        yield str(settings.get("margin_wording") or MARGIN_WORDS)
        if len(schemes) > 1:
            yield "for the records under the scheme only: ask which before VAT is shown for the others"
    if paid_in := mine[0][2].get("paid_in"):
        paid = Money(
            sum(event["paid_in"]["minor"] for _, _, event in mine if "paid_in" in event), paid_in["currency"]
        )
        yield f"paid in {paid.currency}: {paid.show()} at {paid_in['rate']}"
    yield ESTIMATE


def _scheme(head: HeadDoc, record: RecordDoc, event: Mapping[str, Any], rates: Rates, paid: int) -> str:
    if own_terms(head, record) == "consigned":
        return "consigned"
    return scheme_of(head, record, Money(paid, rates.currency), rates.on(event["at"][:10]))


def purchases(parcels: Parcels, mine: Sequence[Sold], rates: Rates) -> dict[str, int]:
    """Record id -> its part of what the seller was paid, of the parcels that these records came with."""
    wanted = {head["id"] for head, _, _ in mine}
    found: dict[str, int] = {}
    for head, records in parcels:
        if head["id"] in wanted:
            policy = rates.on(bought_on(head))
            made = spread(head, landed(head, policy.currency, policy.conversion), records)
            found |= {share.record: share.margin_purchase_price.minor for share in made.shares}
    return found


def receipts(parcels: Parcels, settings: Mapping[str, Any], ask: Ask) -> tuple[bytes, int]:
    """A printable receipt for every parcel of the days that was bought from a private person named in it."""
    mine = [
        (head, records)
        for head, records in parcels
        if head.get("seller")
        and ask.first <= bought_on(head) <= ask.last
        and ask.parcel in (None, head["id"])
    ]
    if not mine:
        right = "enter the private seller's name on the parcel's page"
        raise BenchError("no parcel of a private seller in these days", "receipts", right)
    body = "\n".join(tag("section", "".join(_receipt(head, records, settings))) for head, records in mine)
    return page("Purchase receipts", body, STYLE), len(mine)


def _receipt(head: HeadDoc, records: Sequence[RecordDoc], settings: Mapping[str, Any]) -> Iterator[str]:
    seller = head.get("seller") or {}
    rates = Rates(settings)
    yield tag("h1", shown(f"Purchase receipt {head.get('purchase_invoice') or head['id']}"))
    rows = [("date", bought_on(head)), ("bought from", str(seller.get("name", "")))]
    rows += [
        ("their address", str(seller.get("address", ""))),
        ("identity checked by", str(seller.get("identity", ""))),
    ]
    yield head_rows(settings, (*rows, ("checked on", str(seller.get("checked", "")))))
    here = [
        one
        for one in records
        if one["state"] not in ("withdrawn", "empty") and own_terms(head, one) == "bought"
    ]
    lines = [paper_row(description(one), one["stock"] or "", "") for one in here]
    cost = landed(head, rates.currency, rates.on(bought_on(head)).conversion)
    paid = [one.charged.show() for one in cost.charges if one.what == "price"]
    lines.append(tag("tr", cells("paid to the seller", "", " and ".join(paid) or "nothing"), "sum"))
    yield tag("table", "".join(lines))
    yield tag("p", "The seller says that these records are theirs to sell, and that the sale is private.")
    yield tag("p", "seller", "sign") + tag("p", "for the shop", "sign")
    yield tag("p", shown(f"{KEEP}. {ESTIMATE}"), "small")
