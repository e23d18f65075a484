"""What keeps a record from being sold: told to the dealer on its page, and by one word in the files."""

from benchtui.evidence.clashes import unresolved, unruled
from benchtui.evidence.results import Weighing
from benchtui.model.naming import part_name, with_the
from benchtui.model.record import RecordDoc, why_apart, work_left
from benchtui.money.standings import LEFT, standing


def before_sale(record: RecordDoc, weighing: Weighing | None) -> str:
    """The first thing that is in the way, in words; "" where a buyer may have it."""
    now, left = standing(record), len(work_left(record))
    if now.what in LEFT:
        return now.what
    if now.held_for:
        return f"held for {now.held_for}"
    if record["set_apart"] is not None:
        return f"set apart: {why_apart(record['set_apart'])}; in nothing that goes to buyers or senders"
    if left:
        return f"{left} {'chore' if left == 1 else 'chores'} left before it is ready to sell"
    if weighing is not None and (doubtful := unresolved(record, weighing.clashes)):
        return f"before it is ready to sell: {doubtful[0].say}"
    if weighing is not None and (parts := unruled(record, weighing)):
        names = " and ".join(with_the(part_name(record, part)) for part in parts)
        return f"before it is ready to sell: your verdict on {names}, probably from another copy"
    if record["state"] != "taken-in":
        return "nothing to do; ready to sell once it is taken in"
    return "" if record["price"] else "before it is ready to sell: a price"
