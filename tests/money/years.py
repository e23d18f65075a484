"""Random years of a shop: deliveries, sales, returns, bills, corrections and closings, by hypothesis."""

from collections.abc import Callable
from copy import deepcopy
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any

from hypothesis import strategies as st

from benchtui.base.errors import BenchError
from benchtui.model.earlier import OF_HEAD, OF_RECORD, OF_SHOP, begun_with, with_earlier
from benchtui.model.money import Money
from benchtui.model.parcel import HeadDoc, new_head
from benchtui.model.record import RecordDoc, empty_record
from benchtui.money import life
from benchtui.money.charges import landed, own_terms
from benchtui.money.closing import close_books, read_closed
from benchtui.money.dated import change_from
from benchtui.money.deal import Extras, deal_fields
from benchtui.money.entries import Closed
from benchtui.money.late import spread_late, standing_bills, taken_back
from benchtui.money.late_inbound import borne_by_senders
from benchtui.money.life import When
from benchtui.money.moved_cost import split_price
from benchtui.money.policy import Rates
from benchtui.money.refunds import left_in, refund_of
from benchtui.money.spreading import freeze, spread
from benchtui.money.standings import left_to_refund, standing

START = date(2026, 1, 1)
SENDERS: dict[str, Any] = {
    "s-quill": {"name": "Mrs Quill"},
    "s-reed": {"name": "N. Reed", "commission": "33.3", "per_sale": {"minor": 30, "currency": "GBP"},
               "per_record": {"minor": 10, "currency": "GBP"}, "inbound": "sender"},
}  # fmt: skip
RATES = {"GBP": None, "EUR": "0.8553", "JPY": "1/191.37"}


@dataclass
class Year:
    """A shop while it is made: parcels, settings, and the closings so far."""

    settings: dict[str, Any]
    parcels: list[tuple[HeadDoc, list[RecordDoc]]] = field(default_factory=list)
    closings: list[dict[str, Any]] = field(default_factory=list)
    senders: dict[str, Any] = field(default_factory=lambda: dict(SENDERS))
    today: date = START
    done: int = 0

    @property
    def now(self) -> str:
        """A moment of today, after that of the step before."""
        hour, minute = divmod(self.done, 60)
        return f"{self.today.isoformat()}T{9 + hour:02}:{minute:02}:00Z"

    @property
    def closed_at(self) -> str:
        return str(self.closings[-1]["closed_at"]) if self.closings else ""

    @property
    def closed(self) -> list[Closed]:
        return read_closed(self.closings)

    @property
    def records(self) -> list[tuple[HeadDoc, RecordDoc]]:
        return [(head, record) for head, records in self.parcels for record in records]


def bill(what: str, minor: int, currency: str) -> Any:
    return {"what": what, "minor": minor, "currency": currency, "rate": RATES[currency], "rate_date": "",
            "rate_from": ""}  # fmt: skip


@st.composite
def years(draw: st.DrawFn) -> Year:
    scheme = draw(st.sampled_from(["none", "item", "period"]))
    year = Year(
        {
            "currency": "GBP", "margin_scheme": scheme, "vat_rate": "20", "period_limit": "none",
            "vat_period": draw(st.sampled_from(["month", "quarter"])),
            "commission_vat": draw(st.sampled_from(["none", "added", "included"])),
        }
    )  # fmt: skip
    if draw(st.booleans()):
        bands = {"bands": [["50", "30"], [None, "20"]], "bands_over": "statement", "commission": ""}
        year.senders["s-reed"] = {**year.senders["s-reed"], **bands}
    steps = [
        deliver,
        sell,
        sell,
        give_back,
        part_refund,
        replace,
        pay,
        split,
        find,
        scrap,
        late,
        correct,
        move,
        change_fact,
        dated,
        close,
    ]
    for _ in range(draw(st.integers(4, 18))):
        year.today += timedelta(days=draw(st.integers(0, 25)))
        take(draw, year, draw(st.sampled_from(steps if year.parcels else [deliver])))
    return year


def take(draw: st.DrawFn, year: Year, step: Callable[[st.DrawFn, Year], None]) -> None:
    """One step; what the documents said before is kept in them, as the store keeps it."""
    year.done += 1
    closed_at, settings = year.closed_at, dict(year.settings)
    before = {one["id"]: deepcopy(one) for head, records in year.parcels for one in (head, *records)}
    step(draw, year)
    year.settings = with_earlier(settings, year.settings, OF_SHOP, year.now, "", closed_at)
    for head, records in year.parcels:
        if head["id"] not in before:
            head["begun"] = year.now
        at = (year.now, head["begun"], closed_at)
        head.update(with_earlier(before.get(head["id"], head), head, OF_HEAD, *at))  # type: ignore[typeddict-item, arg-type]
        for record in records:
            old = before.get(record["id"])
            doc: Any = record
            doc.update(with_earlier(old, doc, OF_RECORD, *at) if old else begun_with(doc, *at))


def deliver(draw: st.DrawFn, year: Year) -> None:
    head = new_head(f"{year.today.isoformat()}-{len(year.parcels) + 1}")
    head["delivered"], head["sender"] = year.today.isoformat(), "s-quill"
    head["margin_eligible"] = draw(st.sampled_from([True, True, False, None]))
    if draw(st.booleans()):
        head["inbound"] = "sender"
    currency = draw(st.sampled_from(list(RATES)))
    head["charges"] = [bill("price", draw(st.integers(0, 50000)), currency)]
    head["charges"] += [bill("postage", draw(st.integers(0, 3000)), "GBP")]
    tax = bill("tax", draw(st.integers(0, 900)), "GBP")
    head["charges"].append(tax | {"reclaimed": draw(st.booleans())})
    records = []
    for no in range(1, draw(st.integers(1, 4)) + 1):
        record = empty_record(no)
        record["id"] = f"r-{len(year.records) + no}"
        record["state"], record["stock"] = "taken-in", f"A{len(year.records) + no:05}"
        record["price"] = {"minor": draw(st.integers(0, 20000)), "currency": "GBP", "how": "worked"}
        record["terms"] = draw(st.sampled_from([None, None, "consigned"]))
        record["consignor"] = "s-reed" if record["terms"] else None
        records.append(record)
    if draw(st.booleans()):
        cost = landed(head, "GBP")
        head["shares"], head["state"] = freeze(spread(head, cost, records)), "closed"
    year.parcels.append((head, records))


def entered(year: Year, record: RecordDoc, make: Any) -> None:
    """What the program refuses is not entered."""
    last = year.closings[-1]["through"] if year.closings else ""
    try:
        record["life"].append(make(When(year.today.isoformat(), year.today, last, "GBP")))
    except BenchError:
        return


def one(draw: st.DrawFn, year: Year, what: str = "in the shop") -> tuple[HeadDoc, RecordDoc] | None:
    found = [pair for pair in year.records if standing(pair[1]).what == what]
    return draw(st.sampled_from(found)) if found else None


def sell(draw: st.DrawFn, year: Year) -> None:
    if (pair := one(draw, year)) is None:
        return
    minor = draw(st.integers(0, 30000))
    currency = draw(st.sampled_from(["GBP", "GBP", "EUR", "JPY"]))
    extras = Extras(discount=draw(st.integers(0, minor)), postage=draw(st.integers(0, 600)),
                    tax=draw(st.integers(0, 300)), selling_fee=draw(st.integers(0, 900)),
                    postage_paid=draw(st.integers(0, 500)), rate=RATES[currency] or "")  # fmt: skip
    (deal,) = deal_fields([Money(minor, currency)], extras, "GBP", f"d-{len(pair[1]['life'])}")
    price = Money(deal["minor"], "GBP")
    entered(year, pair[1], lambda when: life.sell(pair[1], when, price, buyer="M. Larch", deal=deal))


def give_back(draw: st.DrawFn, year: Year) -> None:
    if (pair := one(draw, year, "sold")) is not None:
        left = standing(pair[1]).price or Money(0, "GBP")
        refund = Money(draw(st.integers(0, left.minor)), "GBP")
        entered(year, pair[1], lambda when: refunded(draw, pair[1], when, refund, back=True))


def part_refund(draw: st.DrawFn, year: Year) -> None:
    if (pair := one(draw, year, "sold")) is not None:
        refund = Money(draw(st.integers(1, 3000)), "GBP")
        entered(year, pair[1], lambda when: refunded(draw, pair[1], when, refund, back=False))


def refunded(draw: st.DrawFn, record: RecordDoc, when: When, refund: Money, back: bool) -> Any:
    """In the shop's currency, or in that of the sale, with the rate of the day or without."""
    more: dict[str, Any] = {}
    if draw(st.booleans()) and (left := left_in(record)) is not None:
        asked = draw(st.sampled_from([refund, Money(min(refund.minor, left.minor), left.currency), None]))
        refund, more = refund_of(record, asked, draw(st.sampled_from(["", "0.9", "1/180"])), whole=True)
    if back:
        return life.take_back(record, when, "faulty", refund, **more)
    return life.refund_part(record, when, refund, "", **more)


def split(draw: st.DrawFn, year: Year) -> None:
    """A cover kept: of a closed parcel with its part of cost and price, of an open one by its own price."""
    head, record = draw(st.sampled_from(year.records))
    if standing(record).what != "in the shop" or record["state"] != "taken-in":
        return
    records = dict_of(year)[head["id"]]
    new = empty_record(len(records) + 1)
    new["id"] = f"r-{len(year.records)}s"
    new["state"], new["stock"] = "taken-in", f"A{len(year.records) + 1:05}"
    new["terms"], new["consignor"] = record["terms"], record.get("consignor")
    new["price"] = {"minor": draw(st.integers(0, 5000)), "currency": "GBP", "how": "hand"}
    share = spread(head, landed(head, "GBP"), records).by_record().get(record["id"])
    if head["state"] == "closed" and record["terms"] is None and share and share.cost_share.minor > 0:
        cost = share.cost_share.minor
        part = draw(st.integers(0, cost))
        paid = split_price(max(0, share.margin_purchase_price.minor), cost, part)
        doc = {"at": year.today.isoformat(), "part": "p", "minor": part, "currency": "GBP", "paid": paid}
        record["cost_moved"] = [*record.get("cost_moved", []), doc | {"to": [head["id"], new["id"]]}]
        new["cost_moved"] = [doc | {"from": [head["id"], record["id"]]}]
    records.append(new)


def find(draw: st.DrawFn, year: Year) -> None:
    """A record behind the shelf: a parcel of its own that cost nothing."""
    head = new_head(f"{year.today.isoformat()}-{len(year.parcels) + 1}")
    head["delivered"], head["came_as"] = year.today.isoformat(), "find"
    head["margin_eligible"] = draw(st.sampled_from([True, None]))
    record = empty_record(1)
    record["id"], record["state"] = f"r-{len(year.records)}f", "taken-in"
    record["stock"] = f"A{len(year.records) + 1:05}"
    record["consignor"] = None
    year.parcels.append((head, [record]))


def replace(draw: st.DrawFn, year: Year) -> None:
    """One comes back whole and another goes for what was paid."""
    gone, here = one(draw, year, "sold"), one(draw, year)
    if gone is None or here is None:
        return
    left = left_to_refund(gone[1])
    entered(year, gone[1], lambda when: life.take_back(gone[1], when, "clicks", left))
    entered(year, here[1], lambda when: life.sell(here[1], when, left, buyer="M. Larch"))


def pay(draw: st.DrawFn, year: Year) -> None:
    if (pair := one(draw, year, "sold")) is not None and pair[1]["terms"] == "consigned":
        amount = Money(draw(st.integers(1, 5000)), "GBP")
        entered(year, pair[1], lambda when: life.pay_out(pair[1], when, amount))


def scrap(draw: st.DrawFn, year: Year) -> None:
    if (pair := one(draw, year)) is not None:
        what = draw(st.sampled_from([lambda when: life.scrap(pair[1], when, "broken"),
                                     lambda when: life.hand_back(pair[1], when)]))  # fmt: skip
        entered(year, pair[1], what)


def late(draw: st.DrawFn, year: Year) -> None:
    head, records = draw(st.sampled_from(year.parcels))
    minor, on = draw(st.integers(1, 4000)), year.today.isoformat()
    number = f"l-{len(head.get('late') or [])}"
    known, takes_back = standing_bills(head), draw(st.booleans())
    if known and takes_back:
        back = taken_back(draw(st.sampled_from(known)), number, on, "taken back: of another parcel")
        head["late"] = [*(head.get("late") or []), back]
        return
    credit = draw(st.booleans())
    costs = {
        share.record: share.cost_share.minor for share in spread(head, landed(head, "GBP"), records).shares
    }
    rule, what = draw(st.sampled_from(["unsold", "expense"])), draw(st.sampled_from(["price", "duty"]))
    policy, is_theirs = Rates(year.settings).on(on), what == "duty" and not credit
    theirs = borne_by_senders(minor, head, records, year.senders, policy) if is_theirs else {}
    rest = minor - sum(theirs.values())
    bought = [one["id"] for one in records if own_terms(head, one) == "bought"]
    alone: bool = draw(st.booleans())
    only = [draw(st.sampled_from(bought))] if bought and alone else []  # also one sold before
    parts = spread_late(-rest if credit else rest, head, records, costs, on, rule, only)
    doc = bill(what, minor, "GBP") | {"id": number, "on": on, "booked": on}
    head["late"] = [*(head.get("late") or []), doc | {"credit": credit, "shares": parts, "inbound": theirs}]


def correct(draw: st.DrawFn, year: Year) -> None:
    """Of what is in a parcel: a record that was taken out of it is nowhere on the bench any more."""
    found = [one for _, one in year.records if one["life"] and one["state"] != "withdrawn"]
    if not found:
        return
    record = draw(st.sampled_from(found))
    event = draw(st.sampled_from(record["life"]))
    now = {"minor": draw(st.integers(0, 9000))} if "minor" in event and draw(st.booleans()) else None
    entered(year, record, lambda when: life.correct(record, when, event["n"], "misread", now))


def move(draw: st.DrawFn, year: Year) -> None:
    bought = [(head, one) for head, one in year.records if one["terms"] is None]
    if len(bought) < 2:
        return
    (giver_head, giver), (head, record) = draw(st.permutations(bought))[:2]
    made = (
        spread(giver_head, landed(giver_head, "GBP"), dict_of(year)[giver_head["id"]])
        .by_record()
        .get(giver["id"])
    )
    minor = draw(st.integers(0, max(0, made.cost_share.minor if made else 0)))
    doc = {"at": year.today.isoformat(), "part": "p", "minor": minor, "currency": "GBP"}
    giver["cost_moved"] = [*giver.get("cost_moved", []), doc | {"to": [head["id"], record["id"]]}]
    record["cost_moved"] = [*record.get("cost_moved", []), doc | {"from": [giver_head["id"], giver["id"]]}]


def dict_of(year: Year) -> dict[str, list[RecordDoc]]:
    return {head["id"]: records for head, records in year.parcels}


def change_fact(draw: st.DrawFn, year: Year) -> None:
    """What may be changed afterwards at the bench, whatever was closed meanwhile."""
    head, records = draw(st.sampled_from(year.parcels))
    record = draw(st.sampled_from(records))
    what = draw(st.sampled_from(["price", "eligible", "delivered", "asked", "out", "terms"]))
    if what == "price" and head["charges"]:
        head["charges"][0]["minor"] = draw(st.integers(0, 50000))
    elif what == "eligible":
        head["margin_eligible"] = draw(st.booleans())
    elif what == "delivered":
        days = draw(st.integers(-40, 0))
        head["delivered"] = max(START, year.today + timedelta(days=days)).isoformat()
    elif what == "asked" and record["price"]:
        record["price"]["minor"] = draw(st.integers(0, 20000))
    elif what == "terms" and not record.get("cost_moved") and not standing(record).paid_out:
        record["terms"] = draw(st.sampled_from([None, "consigned"]))
        record["consignor"] = "s-reed" if record["terms"] else None
    elif what == "out":
        try:
            life.may_be_taken_out(record)
            record["state"] = "withdrawn"
        except BenchError:
            return


def dated(draw: st.DrawFn, year: Year) -> None:
    name, values = draw(
        st.sampled_from([("vat_rate", ("19", "25")), ("margin_scheme", ("item", "period", "none"))])
    )
    value = draw(st.sampled_from(values))
    year.settings[name] = change_from(year.settings, {name: value}, year.today.isoformat())[name]


def close(draw: st.DrawFn, year: Year) -> None:
    through = (year.today - timedelta(days=draw(st.integers(1, 20)))).isoformat()
    if through >= START.isoformat() and (not year.closings or through > year.closings[-1]["through"]):
        year.closings.append(
            close_books(year.parcels, year.senders, year.settings, year.closed, through, year.now)
        )
