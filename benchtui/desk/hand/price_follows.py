"""A worked price once accepted does not follow by itself: when a change makes another of it, it is said. One
not accepted follows, and it is said where it moves by a lot, unless a grade moved it: that is expected."""

from typing import NamedTuple

from benchtui.desk.core.desk import Desk
from benchtui.desk.core.lives import has_left
from benchtui.desk.hand.prices import worked_for
from benchtui.desk.line.amount_typed import shown
from benchtui.model.money import Money
from benchtui.model.record import GradeDoc, RecordDoc
from benchtui.money.condition import is_graded

LARGE = 1.5
"""More than so many times as much, or as little, is told of a price that nobody has accepted: ours."""


class PriceBefore(NamedTuple):
    """The record as it was before a key, what it was called, and the price that followed then."""

    record: RecordDoc
    called: str
    worked: Money | None


def price_before(desk: Desk) -> PriceBefore | None:
    """What a later price is told against; None where the record has a price by hand, or none yet."""
    record = desk.work.record
    if record is None or (record["price"] is not None and record["price"]["how"] != "worked"):
        return None
    if record["price"] is None and not is_graded(record):
        return None
    return PriceBefore(record, _called(desk, record), _now(desk))


def tell_price(desk: Desk, before: PriceBefore | None) -> None:
    """Behind what the key said: the change makes another price of the record, which keeps its old one."""
    record = desk.work.record
    if before is None or record is None or record is before.record or record["id"] != before.record["id"]:
        return
    now = _now(desk)
    if now == before.worked:
        return
    if record["price"] is None:
        if words := _moved(_called(desk, record), before, record, now):
            desk.say("; ".join(filter(None, (desk.open.message, words))), desk.open.tone)
        return
    if words := stale_price(desk, record, _cause(desk, before, record)):
        desk.say(f"{desk.open.message}; {words}", "clash")


def _moved(called: str, before: PriceBefore, record: RecordDoc, now: Money | None) -> str:
    """``worked price 12.00 GBP, was 430.00 GBP: the club issue leads now``, ``price 62.00 to 24.00 GBP``
    where the same one leads; "" for no large change, and where the grades themselves were changed.
    """
    was = before.worked
    if was is None or now is None or max(was.minor, now.minor) <= LARGE * min(was.minor, now.minor):
        return ""
    if called != before.called:
        return f"worked price {now.show()}, was {was.show()}: {called} leads now"
    return "" if _grades(record) != _grades(before.record) else f"price {was.plain()} to {now.show()}"


def stale_price(desk: Desk, record: RecordDoc, cause: str = "earlier") -> str:
    """``4.50 GBP was worked out earlier: y makes it 18.00 GBP``; "" where its price was not worked out, or
    would be the same now, or nobody will pay it any more.
    """
    price, now = record["price"], _now(desk)
    if price is None or price["how"] != "worked" or record["id"] != desk.work.record_id or has_left(record):
        return ""
    if now is not None and (now.minor, now.currency) == (price["minor"], price["currency"]):
        return ""
    makes = (
        f"{desk.key('price-accept')} makes it {now.show()}" if now else f"{desk.key('price-hand')} sets one"
    )
    return f"{shown(price)} was worked out {cause}: {makes}"


def _now(desk: Desk) -> Money | None:
    worked = worked_for(desk)
    return worked.price if worked is not None else None


def _called(desk: Desk, record: RecordDoc) -> str:
    weighing = desk.weighing()
    one = (weighing.named(record["pressing"]) or weighing.leader) if weighing else None
    return one.name if one is not None else ""


def _cause(desk: Desk, before: PriceBefore, record: RecordDoc) -> str:
    """What the price was worked out at, that is so no longer."""
    if _grades(record) != _grades(before.record):
        return "at the old grade"
    return f"for {before.called}" if before.called and before.called != _called(desk, record) else "earlier"


def _grades(record: RecordDoc) -> dict[str, list[GradeDoc]]:
    return {part["id"]: part["grades"] for part in record["parts"] if part["grades"]}
