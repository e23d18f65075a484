"""Papers to print: sales invoices, and receipts for what was bought from private persons."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.export.ask import Ask
from benchtui.export.correction_page import CorrectionPage
from benchtui.export.issued import Correction, corrections, invoice_words, invoiced, issued_sales
from benchtui.export.page import aside, asides, page, shown, tag
from benchtui.export.paper_money import PaperMoney, paper_money
from benchtui.export.paper_then import Shown, Then
from benchtui.export.paper_vat import Taxed, beside, marks, net_of, vat_cautions, vat_table, vat_words
from benchtui.export.stockfile import KEEP
from benchtui.model.money import Money
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money.book import Parcels, bought_on, description
from benchtui.money.charges import landed, own_terms
from benchtui.money.deal import ON_INVOICE, extra, is_place
from benchtui.money.notice import TAX_ESTIMATE
from benchtui.money.policy import Rates
from benchtui.money.standings import effective

STYLE = """
section { break-after: page; }
tr { break-inside: avoid; }
.sum td { border-top: 0.3mm solid #111; font-weight: bold; }
.head td { color: #555; border-bottom: 0.2mm solid #999; }
.lines { margin-top: 6mm; }
.lines td { width: 1%; white-space: nowrap; }
.lines td.what { width: auto; white-space: normal; }
.lines.change td.num { width: 24mm; white-space: normal; }
.lines .rate { text-align: right; }
.vat { margin-top: 4mm; width: 125mm; margin-left: auto; }
.vat .num { width: 22mm; }
.sign { margin-top: 18mm; border-top: 0.2mm solid #111; width: 70mm; font-size: 9pt; }
"""
Sold = tuple[HeadDoc, RecordDoc, dict[str, Any]]
Sales = Callable[[RecordDoc], Iterator[dict[str, Any]]]


def invoices(parcels: Parcels, settings: Mapping[str, Any], ask: Ask) -> tuple[bytes, int]:
    """A printable page of every sales invoice of the days, and how many they are.

    Records on one invoice are those with one number (else of one sale). Each stands as it was issued, and
    what was corrected since is a page of its own day (`issued`). `paper_vat` says what of VAT stands there.
    BenchError where there is none.
    """
    then = Then(settings)
    found, steps = (
        by_invoice(parcels, ask, issued_sales),
        corrections(parcels, then, ask, "invoice"),
    )
    if not found and not steps:
        raise BenchError("no sale in these days", "invoices", "name other days: --day, or --from and --to")
    since = [((one.on, one.name), correction(one, settings)) for one in steps]
    made = [
        (
            (mine[0][2]["at"][:10], str(mine[0][2].get("invoice") or "")),
            "".join(_invoice(_as_issued(mine, then), settings)),
        )
        for mine in found
    ]
    return page("Invoices", in_order(made, since), STYLE), len(found) + len(since)


def invoice_of(record: RecordDoc, parcels: Parcels, settings: Mapping[str, Any], ask: Ask) -> bytes:
    """The printable page of the sale that the record is in, as it was issued. ``ask``: without days.
    BenchError where it is not sold.
    """
    found = by_invoice(parcels, ask, issued_sales)
    mine = [one for one in found if any(each["id"] == record["id"] for _, each, _ in one)]
    if not mine:
        raise BenchError("it is not sold", f"record {record['no']}", "choose a record that was sold")
    body = "".join(_invoice(_as_issued(mine[-1], Then(settings)), settings))
    return page("Invoice", tag("section", body), STYLE)


def _as_issued(mine: Sequence[Sold], then: Then) -> list[Shown]:
    """Each sale by what was known when its invoice was issued; without an invoice by what is known now."""
    found = []
    for head, record, event in mine:
        by = invoiced(record).get(event["n"])
        one = then.issued(head, record, event["n"], by[1]) if by else then.now(head, record, event["n"])
        found += [one] if one is not None else []
    return found


def correction(made: Correction, settings: Mapping[str, Any]) -> str:
    """The page of a correction: it names the paper that it corrects, and of a credit note its invoice too."""
    first, known = made.issued[0], [one for one in (*made.now, *made.was) if one is not None]
    sold = invoice_words(first.record, first.sale)
    of = ("for credit note", f"{made.paper.removeprefix('credit note ')} of {first.event['at'][:10]}")
    rows = (("date", made.on), to_row(str(known[0].sale.get("buyer") or "")),
            *((of,) if made.kind == "credit note" else ()), ("for invoice", sold),
            ("reason", made.why))  # fmt: skip
    page = "".join(CorrectionPage(made, Rates(settings).currency).html(head_rows(settings, rows), settings))
    shown_last = [now or was for was, now in zip(made.was, made.now, strict=True)]
    owners = owners_words(one for one in shown_last if one is not None)
    return page + "".join(tag("p", shown(each)) for each in owners)


def tax_caution(paper: bytes) -> str:
    """What the dealer is told as papers are made, and no buyer reads: no bill that goes out is an estimate.
    "" where there is nothing to tell.
    """
    said = list(dict.fromkeys(asides(paper.decode())))
    more = f" ... and {len(said) - 4} more" if len(said) > 4 else ""
    return " ".join(said[:4]) + more


Paper = tuple[tuple[str, str], str]
"""(day, number) and what stands on it."""


def in_order(made: Sequence[Paper], void: Sequence[Paper]) -> str:
    """A section for each paper, those that are void in their place."""
    return "\n".join(tag("section", body) for _, body in sorted((*made, *void), key=lambda one: one[0]))


def sales_of(record: RecordDoc) -> Iterator[dict[str, Any]]:
    """The record's sales as they count now."""
    return (event for event in effective(record) if event["what"] == "sold")


def by_invoice(parcels: Parcels, ask: Ask, sales: Sales = sales_of) -> list[list[Sold]]:
    """The sales of the days, those of one invoice (else of one sale) together."""
    found: dict[tuple[str, str], list[Sold]] = {}
    for head, records in parcels:
        for record in records:
            for event in sales(record):
                if ask.first <= event["at"][:10] <= ask.last:
                    key = (event["at"][:10], sale_name(record, event))
                    found.setdefault(key, []).append((head, record, event))
    chosen = (found[key] for key in sorted(found))
    return [
        mine for mine in chosen if ask.parcel is None or any(head["id"] == ask.parcel for head, _, _ in mine)
    ]


def sale_name(record: RecordDoc, event: Mapping[str, Any]) -> str:
    """What is the same of all records of one sale: its invoice number, else what else joins them."""
    return str(event.get("invoice") or event.get("deal") or f"{record['id']}:{event['n']}")


def _invoice(mine: Sequence[Shown], settings: Mapping[str, Any]) -> Iterator[str]:
    """In the currency of the sale. Its amounts are what was agreed; the caution is of its tax alone."""
    sales, own_code = [one.event for one in mine], mine[0].rates.currency
    first, money = sales[0], paper_money(sales, own_code)
    yield tag("h1", shown(f"Invoice {first['invoice']}" if first.get("invoice") else "Sales note"))
    yield head_rows(settings, (("date", first["at"][:10]), to_row(str(first.get("buyer") or ""))))
    vat = [money.of_sale(one.vat, one.event, one.rates) for one in mine]
    lines = [_line(*each, money) for each in zip(mine, vat, marks(vat), strict=True)]
    lines += beside_rows(vat, mine[0].rates, [_listed(one, money) for one in mine], _beside(money, sales))
    sums = {name: sum(money.amount(event, name) for event in sales) for name in ON_INVOICE}
    whole = sum(map(money.price, sales)) + sums["postage"] + sums["tax"]
    own = [event["minor"] + extra(event, "postage") + extra(event, "tax") for event in sales]
    lines += _sum_rows(money, sales, sums, whole, sum(own))
    yield tag("table", "".join((line_heads(vat), *lines)), "lines")
    yield vat_table(vat, whole, money.currency, [one.vat for one in mine] if money.paid_in else (), own_code)
    cautions = dict.fromkeys(([TAX_ESTIMATE] if sums["tax"] else []) + list(vat_cautions(vat)))
    yield "".join(map(aside, cautions))
    yield "".join(tag("p", shown(each)) for each in vat_words(vat, settings))
    yield "".join(tag("p", shown(each)) for each in owners_words(mine))


def owners_words(mine: Iterable[Shown]) -> Iterator[str]:
    """Which records are not the shop's own. Whose they are stands on no buyer's paper."""
    if theirs := [str(one.record["stock"]) for one in mine if one.consigned]:
        yield f"Sold for the owner, on commission: {', '.join(theirs)}."


def _sum_rows(
    money: PaperMoney, sales: Sequence[Mapping[str, Any]], sums: Mapping[str, int], whole: int, own: int
) -> Iterator[str]:
    """Tax collected, what is to be paid, and where it is in another currency what that is in the shop's."""
    if sums["tax"]:
        yield paper_row("tax collected", "", Money(sums["tax"], money.currency).plain())
    off = list(_paid_with(money, sales, sums["traded"]))
    yield _due(money, whole, "in all" if off else "to pay")
    if words := money.rate_words():
        yield paper_row(words, "", Money(own, money.shop).plain())
    yield from (paper_row(label, "", Money(-minor, money.currency).plain()) for label, minor in off)
    if off:
        yield _due(money, whole - sum(minor for _, minor in off))


def _paid_with(
    money: PaperMoney, sales: Sequence[Mapping[str, Any]], traded: int
) -> Iterator[tuple[str, int]]:
    """What is not paid in money: records taken in exchange, and what is credited for one that came back."""
    if traded:
        yield "taken in exchange", traded
    for sale in sales:
        if back := sale.get("instead"):
            note = f", credit note {back['credit_note']}" if back.get("credit_note") else ""
            yield f"{back['stock']} came back{note}", money.credited(sale)


def _due(money: PaperMoney, minor: int, label: str = "to pay") -> str:
    label = "paid back to the buyer" if minor < 0 else label
    return sum_row(label, Money(abs(minor), money.currency))


def _line(one: Shown, vat: Taxed, mark: str, money: PaperMoney) -> str:
    """The record at its price before any discount; outside the scheme also its price without VAT."""
    listed = _listed(one, money)
    net = net_of(listed, vat, one.rates)
    return paper_row(description(one.record), one.record["stock"] or "", listed.plain(), _plain(net), mark)


def _listed(one: Shown, money: PaperMoney) -> Money:
    return Money(money.price(one.event) + money.amount(one.event, "discount"), money.currency)


def _plain(money: Money | None) -> str:
    return money.plain() if money is not None else ""


def _beside(money: PaperMoney, sales: Sequence[Mapping[str, Any]]) -> list[tuple[str, list[int]]]:
    """What stands beside the prices and may have VAT in it; what is taken off is below 0."""
    shares = {str(one.get("percent_off") or "") for one in sales}
    share = f", {min(shares)} %" if len(shares) == 1 and shares != {""} else ""
    return [
        (f"discount{share}", [-money.amount(one, "discount") for one in sales]),
        ("postage and packing", [money.amount(one, "postage") for one in sales]),
    ]


def beside_rows(
    vat: Sequence[Taxed], rates: Rates, lines: Sequence[Money], more: Sequence[tuple[str, Sequence[int]]]
) -> Iterator[str]:
    """A row for each and each rate of VAT in it."""
    for one in beside(vat, rates, lines, more):
        yield paper_row(one.label, "", one.amount.plain(), _plain(one.net), one.mark)


def sum_row(label: str, money: Money) -> str:
    """``to pay, in GBP``: the figure stands under those above it, its currency with the words."""
    return tag("tr", cells(f"{label}, in {money.currency}", "", money.plain()), "sum")


def line_heads(vat: Sequence[Taxed], amount: str = "price") -> str:
    """What the columns are, on each page; those of VAT where it is shown."""
    of_vat = ("without VAT", "VAT") if any(one.ordinary for one in vat) else ()
    return tag("thead", tag("tr", cells("record", "number", amount, *of_vat), "head"))


def paper_row(what: str, stock: str, amount: str, net: str = "", rate: str = "") -> str:
    return tag("tr", cells(what, stock, amount, net, rate))


def cells(what: str, stock: str, amount: str, net: str = "", rate: str = "") -> str:
    """A line of a paper: what, its number, the rate of VAT, the price without it and with it."""
    words = (shown(what), "what"), (shown(stock), "stock"), (shown(rate), "rate")
    figures = tag("td", shown(net), "num") + tag("td", shown(amount), "num")
    return "".join(tag("td", word, css) for word, css in words) + figures


def to_row(buyer: str) -> tuple[str, str]:
    """To whom; of a buyer who is only a place ("over the counter", "at the fair") where it was sold."""
    return ("sold" if is_place(buyer) else "to", buyer)


def head_rows(settings: Mapping[str, Any], rows: Sequence[tuple[str, str]]) -> str:
    named = (("shop", "name"), ("address", "address"), ("VAT number", "vat_number"))
    shop = ((label, str(settings.get(name) or "")) for label, name in named)
    cells = (
        tag("tr", tag("th", shown(name)) + tag("td", shown(text))) for name, text in (*shop, *rows) if text
    )
    return tag("table", "".join(cells))


def receipts(
    parcels: Iterable[tuple[HeadDoc, Sequence[RecordDoc]]], settings: Mapping[str, Any], ask: Ask
) -> tuple[bytes, int]:
    """A printable receipt for every parcel of the days that was bought from a private person named in it. No
    two parcels need be in memory at once."""
    mine = [
        tag("section", "".join(_receipt(head, records, settings)))
        for head, records in parcels
        if head.get("seller")
        and head.get("came_as") != "find"
        and ask.first <= bought_on(head) <= ask.last
        and ask.parcel in (None, head["id"])
    ]
    if not mine:
        right = "enter the private seller's name on the parcel's page"
        raise BenchError("no parcel of a private seller in these days", "receipts", right)
    return page("Purchase receipts", "\n".join(mine), STYLE), len(mine)


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
        if one["state"] not in ("withdrawn", "empty")
        and own_terms(head, one) == "bought"
        and not _split_off(one, records)
    ]
    lines = [paper_row(description(one), one["stock"] or "", "") for one in here]
    cost = landed(head, rates.currency, rates.on(bought_on(head)).conversion)
    paid = [one.charged.show() for one in cost.charges if one.what == "price"]
    lines.append(tag("tr", cells("paid to the seller", "", " and ".join(paid) or "nothing"), "sum"))
    yield tag("table", "".join(lines), "lines")
    yield tag("p", "The seller says that these records are theirs to sell, and that the sale is private.")
    yield tag("p", "seller", "sign") + tag("p", "for the shop", "sign")
    yield tag("p", shown(f"{KEEP}."), "small")


def _split_off(record: RecordDoc, records: Sequence[RecordDoc]) -> bool:
    """Whether all its parts were another record's here: it was bought as part of that one."""
    went = {
        part["id"]
        for one in records
        for part in one["parts"]
        if (part.get("gone") or {}).get("record") == record["id"]
    }
    return bool(record["parts"]) and {part["id"] for part in record["parts"]} <= went
