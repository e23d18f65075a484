"""Adds the work that the rules ask for and nobody put on the list, once more at take-in."""

from benchtui.desk.core.desk import Desk
from benchtui.export.chores import by_rule
from benchtui.export.wording import Wording
from benchtui.model.record import RecordDoc


def work_by_rule(desk: Desk, record: RecordDoc) -> None:
    """Adds the chores that the record's faults call for and that the dealer did not take off the list.

    ``record`` is the copy an action may change. Faults that came with a moved part are so attended to.
    """

    words = Wording.of(desk.references.scales, desk.references.faults)
    waived = {tuple(pair) for pair in record.get("waived", [])}
    made = by_rule(record, words, desk.now())
    record["chores"] += [chore for chore in made if (chore["what"], chore["part"]) not in waived]
