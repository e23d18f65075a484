"""Prices: the worked one accepted by a key, one by hand, sales seen elsewhere."""

from datetime import date
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.desk.ask.asking import is_incomplete
from benchtui.desk.core.command import Legend, command
from benchtui.desk.core.desk import Desk, OpenLine
from benchtui.desk.core.needs import record_here, title_known
from benchtui.desk.hand.sale_line import read_sale
from benchtui.desk.line.amount_typed import shown
from benchtui.desk.line.lines import LINES, LineKind, close_line, open_line
from benchtui.evidence import Weighing
from benchtui.model.money import Money, parse_money
from benchtui.model.record import PriceDoc, RecordDoc
from benchtui.money.condition import condition_of, is_graded
from benchtui.money.worked import Worked, worked_price

_FROM = {
    "sales seen": "from sales seen", "base price": "from the book", "asked before": "by your last price",
}  # fmt: skip


def worked_for(desk: Desk) -> Worked | None:
    """The price that follows from sales seen, or from the book's base price, for the record as graded.

    A setting or a sale that cannot be right is what it says; nothing is raised, since it is drawn.
    """
    try:
        return _worked_for(desk)
    except (BenchError, ValueError) as error:
        return _ask(str(error))


def _worked_for(desk: Desk) -> Worked | None:
    record, weighing = desk.work.record, desk.weighing()
    if record is None or record["title"] is None or weighing is None:
        return None
    sales, settings, today = desk.shop.sales_seen(), desk.settings, desk.clock().astimezone().date()
    facts = (record, weighing, sales, settings, today, desk.references)
    return desk.weighings.worked.get(facts, lambda: _work_out(desk, record, weighing, sales, settings, today))


def _work_out(
    desk: Desk,
    record: RecordDoc,
    weighing: Weighing,
    sales: list[dict[str, Any]],
    settings: dict[str, Any],
    today: date,
) -> Worked:
    title_id = desk.library.one_id(record["title"]["id"]) if record["title"] else ""
    named = weighing.named(record["pressing"])
    leader = named or weighing.leader
    if any(is_incomplete(part) for part in record["parts"] if part["kind"] != "extra"):
        return _ask("grade disc and cover first")
    if leader is not None and leader.id is None and len(weighing.pressings) > 1:
        return _ask("no pressing in the books is likely enough: set the price by hand")
    chances = {likely.id: likely.p for likely in weighing.pressings if likely.id}
    if named is not None and named.id:
        chances = {named.id: 1.0}
    sales = [_as_now(desk, sale, weighing) for sale in sales]
    scales = desk.references.scales
    policy = desk.weighings.policy()
    return worked_price(
        chances or title_id,
        sales,
        condition_of(record, scales, policy),
        leader.book_price if leader else None,
        settings,
        today,
        title_id=title_id,
        scales=scales,
        policy=policy,
        asked=leader.asked if leader else (),
    )


def _as_now(desk: Desk, sale: dict[str, Any], weighing: Weighing) -> dict[str, Any]:
    """The sale under the ids of now: of a pressing that passed to another, of a title joined to another."""
    now = next((one.id for one in weighing.pressings if sale.get("pressing") in one.was), None)
    title = desk.library.one_id(str(sale.get("title") or ""))
    if now is None and title == sale.get("title"):
        return sale
    return {**sale, "pressing": now or sale.get("pressing"), "title": title or sale.get("title")}


def price_source(desk: Desk, price: PriceDoc) -> str:
    """Where the price that the record has comes from, in a few words."""
    if price["how"] == "hand":
        return "by hand"
    worked = worked_for(desk)
    if worked is None or worked.price is None or worked.price.show() != shown(price):
        return "worked earlier"
    return _FROM[worked.how]


def book_price_words(record: RecordDoc) -> str:
    """What the price beside a likely pressing is."""
    return "book price as graded" if is_graded(record) else "book price, ungraded"


def _ask(say: str) -> Worked:
    return Worked(None, "ask", say)


def price_at_hand(desk: Desk, record: RecordDoc) -> Money | None:
    """The worked price that being taken in accepts: where none was given, the record on the bench is for
    sale, and no second look says that money is at stake.
    """
    weighing = desk.weighing()
    if record["price"] is not None or record["set_apart"] is not None or record["id"] != desk.work.record_id:
        return None
    if weighing is None or weighing.second_look is not None:
        return None
    worked = worked_for(desk)
    return worked.price if worked is not None else None


def _worked(desk: Desk) -> str:
    worked = worked_for(desk)
    if worked is not None and worked.price is not None:
        return ""
    said = worked.say if worked else "the title first"
    return f"{said}; {desk.key('price-hand')} sets a price by hand"


def _by_key(desk: Desk) -> object:
    """Whether the worked price waits for its key: taking the record in would not take it along."""
    record, worked = desk.work.record, worked_for(desk)
    waits = record is not None and record["price"] is None and worked is not None and worked.price is not None
    return waits and record is not None and price_at_hand(desk, record) is None


@command(
    "price-accept",
    "bench",
    "accept the worked price",
    short="accept price",
    group="Record",
    also="yes worked",
    legend=Legend(record=50, when=_by_key),
    needs=[record_here, _worked],
    often=40,
    order=340,
)
def accept_price(desk: Desk) -> None:
    if (worked := worked_for(desk)) is not None and worked.price is not None:
        set_price(desk, desk.record, worked.price, "worked")


def set_price(desk: Desk, record: RecordDoc, price: Money, how: str) -> None:
    """That price for the record on the bench; ``how``: worked or hand."""
    with desk.act(f"record {record['no']}: price {price.show()}") as change:
        copy = desk.changed(change)
        copy["price"] = {"minor": price.minor, "currency": price.currency, "how": how}  # type: ignore[typeddict-item]
        keep_worked(desk, copy)


def keep_worked(desk: Desk, copy: RecordDoc) -> None:
    """The worked price of the day stays with the record: cost shares are weighed by it, whatever is asked."""
    worked = worked_for(desk)
    if worked is not None and worked.price is not None:
        copy["worked"] = {"minor": worked.price.minor, "currency": worked.price.currency}


@command(
    "price-hand",
    "bench",
    "set a price by hand",
    short="price",
    group="Record",
    also="set cost value amount ask",
    legend=Legend(record=60),
    needs=[record_here],
    often=50,
    order=350,
)
def open_price(desk: Desk) -> None:
    open_line(desk, "price", f"price in {desk.currency}", about="a plain amount such as 24 or 24.50")


def _accept(desk: Desk, line: OpenLine) -> None:
    record = desk.work.record
    text = line.text.strip()
    if record is None or not text:
        close_line(desk)
        desk.say("")
        desk.place()
        return
    try:
        price = parse_money(text, desk.currency)
    except ValueError as error:
        desk.refuse(str(error))
        return
    if price.minor < 0:
        desk.refuse("A price cannot be negative. Type an amount such as 24.50.")
        return
    if price.currency != desk.currency:
        desk.refuse(f"prices here are in {desk.currency}: type the amount in {desk.currency}")
        return
    close_line(desk)
    set_price(desk, record, price, "hand")


@command(
    "sale-seen",
    "bench",
    "a sale of this title seen elsewhere",
    short="sale seen",
    group="Record",
    also="market comparable history price",
    needs=[title_known],
    order=380,
)
def open_sale(desk: Desk) -> None:
    open_line(
        desk,
        "sale-seen",
        "sale seen",
        about="price, date, disc grade / cover grade, where: 30 2026-10-02 VG+/VG fair",
    )


def _accept_sale(desk: Desk, line: OpenLine) -> None:
    record, weighing = desk.work.record, desk.weighing()
    if record is None or record["title"] is None or not line.text.strip():
        close_line(desk)
        desk.place()
        return
    try:
        sale = read_sale(line.text, desk.scale, desk.currency, desk.clock().astimezone().date())
    except ValueError as error:
        desk.refuse(str(error))
        return
    named = weighing.named(record["pressing"]) if weighing else None
    sure = named or (weighing.leader if weighing and weighing.settled else None)
    sale["title"] = record["title"]["id"]
    sale["pressing"] = sure.id if sure else None
    desk.shop.add_sales([sale])
    close_line(desk)
    desk.weighings.forget()
    desk.say("sale noted; the worked price now counts it", "done")
    desk.place()


LINES["price"] = LineKind(_accept, one_write=True)
LINES["sale-seen"] = LineKind(_accept_sale)
