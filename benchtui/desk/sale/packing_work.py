"""Whether a sale is still to be packed: not once all of it was refunded or came back, again where that was a
slip.
"""

from collections.abc import Mapping

from benchtui.base.errors import BenchError
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.every_parcel import all_parcels
from benchtui.export.packing import sold_with
from benchtui.model.chores import add_chore
from benchtui.model.record import PACK, RecordDoc
from benchtui.money.standings import standing
from benchtui.store import Change


def settle_packing(desk: Desk, change: Change, parcel: str, copies: Mapping[str, RecordDoc]) -> None:
    """Puts the work of that parcel where the last event of each of the changed ``copies`` (by id, of any
    parcel, their work as it was) leaves it.

    A sale of several records is packed as one: the work stays while one of them is paid for, with another
    record where the one that had it came back.
    """
    record = next(filter(_turned, copies.values()), None)
    if record is None:
        return
    parcels = [(head, [copies.get(one["id"], one) for one in found]) for head, found in all_parcels(desk)]
    came_back = standing(record).what != "sold"
    together = sold_with(_before(record) if came_back else record, parcels)
    mine = [one["id"] for its_head, one, _ in together if its_head["id"] == parcel]
    if all(standing(one).all_refunded for _, one, _ in together):
        for one in mine:
            copy = change.record(one)
            copy["chores"] = [work for work in copy["chores"] if work["done"] or work["what"] != PACK]
    elif (
        mine
        and (_waits(copies) if came_back else any(sale.get("postage") for _, _, sale in together))
        and not any(_packs(one) for _, one, _ in together)
    ):
        invoice = together[0][2].get("invoice")
        add_chore(change.record(mine[0]), PACK, desk.now(), f"invoice {invoice}" if invoice else "")


def _turned(record: RecordDoc) -> bool:
    """Whether its last event refunds it whole or takes that back, and it stays sold; or it came back."""
    try:
        now, before = standing(record), standing(_before(record))
    except BenchError:  # a life that could not be read: nothing is known of what was to be sent
        return False
    if now.what == "sold":
        return now.all_refunded != before.all_refunded
    return now.what == "in the shop" and before.what == "sold"


def _before(record: RecordDoc) -> RecordDoc:
    return {**record, "life": record["life"][:-1]}


def _waits(copies: Mapping[str, RecordDoc]) -> bool:
    return any(work["what"] == PACK and not work["done"] for one in copies.values() for work in one["chores"])


def _packs(record: RecordDoc) -> bool:
    """Whether the work is on its list, or it was sent."""
    sent = any(step["what"] == "sent" for step in record.get("post", []))
    return sent or any(work["what"] == PACK for work in record["chores"])
