"""What of a record's cost goes with a part that moves to another record: whether it is asked, and read."""

from typing import NamedTuple

from benchtui.base.errors import BenchError
from benchtui.desk.core.desk import Desk
from benchtui.desk.line.amount_typed import read_amount
from benchtui.desk.parcel.result import result_of
from benchtui.model.money import Money
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import PartDoc, RecordDoc
from benchtui.money.charges import own_terms
from benchtui.money.moved_cost import cost_moves


class AskCost(NamedTuple):
    """The line to open. ``most``: no more may go, in minor units; None where the share is not known."""

    label: str
    text: str
    about: str
    most: int | None


def asked(desk: Desk, record: RecordDoc, part: PartDoc, to_head: HeadDoc, to: RecordDoc) -> AskCost | None:
    """What is asked, or None: cost goes with the shop's own part from a bought record that has a cost to
    another bought one. A part that goes back takes what came with it, unless another amount is typed."""
    assert desk.work.parcel is not None
    bought = own_terms(desk.work.parcel.head, record) == own_terms(to_head, to) == "bought"
    if not bought or part.get("owner", "shop") != "shop":
        return None
    try:
        row = next((one for one in result_of(desk).rows if one.record == record["id"]), None)
        most = row.share.cost_share.minor if row else 0
        came = _came_with(desk, record, part, to)
    except (BenchError, ValueError):  # a charge without its rate, say: the dealer still knows best
        return AskCost(
            _label(desk), "0", "how much of the cost, not known yet, goes with it? 0 for none", None
        )
    if most <= 0:
        return None
    back = min(max(came, 0), most)
    about = f"how much of the cost, {Money(most, desk.currency).show()}, goes with it? 0 for none"
    about += "; so much came with it" if back else ""
    return AskCost(_label(desk), Money(back, desk.currency).plain() if back else "0", about, most)


def _label(desk: Desk) -> str:
    return f"cost with it, {desk.currency}"


def _came_with(desk: Desk, record: RecordDoc, part: PartDoc, to: RecordDoc) -> int:
    """What came with the part from that very record and has not gone back with it, in minor units."""
    moves = cost_moves(record, desk.currency)
    return sum(one.amount.minor for one in moves if (one.part, one.record) == (part["id"], to["id"]))


def read(text: str, currency: str, most: int | None) -> int:
    """The amount typed, in minor units; nothing typed is 0. ValueError saying what would be right."""
    if not text.strip():
        return 0
    money = read_amount(text, currency)
    if most is not None and money.minor > most:
        raise ValueError(
            f"{money.show()} is more than the record's cost share, {Money(most, currency).show()}"
        )
    return money.minor
