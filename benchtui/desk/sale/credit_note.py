"""A credit note's number, taken with the return or price reduction of a sale that has an invoice."""

from collections.abc import Sequence
from typing import Any

from benchtui.desk.core.desk import Desk
from benchtui.desk.core.lives import Make
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money import life
from benchtui.money.standings import standing

REFUNDS = ("returned", "refunded")


class CreditNote:
    """The number for events of one invoice; "" where the sale has none, or nothing is given back."""

    def __init__(self, desk: Desk) -> None:
        self._desk, self.number, self._event = desk, "", ""

    def on(self, make: Make) -> Make:
        """``make``, its event with the number on it."""

        def numbered(head: HeadDoc, record: RecordDoc, when: life.When) -> dict[str, Any]:
            return self.put(record, make(head, record, when))

        return numbered

    def put(self, record: RecordDoc, event: dict[str, Any]) -> dict[str, Any]:
        """The event with the note's number: the next of the series, which is taken now."""
        return self.put_all([record], [event])[0]

    def put_all(self, records: Sequence[RecordDoc], events: Sequence[dict[str, Any]]) -> list[dict[str, Any]]:
        """All that is given back of one invoice; what was thrown in for nothing stands on the note too."""
        sale, event = standing(records[0]).sale, events[0]
        given = any(one["what"] in REFUNDS and one["minor"] for one in events)
        if not given or not (sale and sale.get("invoice")):
            return list(events)
        self._event = f"{records[0]['id']}:{event['n']}"
        self.number = self._desk.shop.take_credit_note(self._event)
        return [one | {"credit_note": self.number} for one in events]

    def free(self) -> None:
        """Nothing could be entered: the number is not used."""
        if self.number:
            self._desk.shop.free_credit_note(self.number, self._event)

    @property
    def said(self) -> str:
        """``, credit note C0001``."""
        return f", credit note {self.number}" if self.number else ""
