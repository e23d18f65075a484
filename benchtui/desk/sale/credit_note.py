"""A credit note's number, taken with the return or price reduction of a sale that has an invoice."""

from typing import Any

from benchtui.desk.core.desk import Desk
from benchtui.desk.core.lives import Make
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money import life, standing

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
        """The event with the note's number: the next of the series, taken with the first event."""
        sale = standing(record).sale
        if event["what"] not in REFUNDS or not event["minor"] or not (sale and sale.get("invoice")):
            return event
        if not self.number:
            self._event = f"{record['id']}:{event['n']}"
            self.number = self._desk.shop.take_credit_note(self._event)
        return event | {"credit_note": self.number}

    def free(self) -> None:
        """Nothing could be entered: the number is not used."""
        if self.number:
            self._desk.shop.free_credit_note(self.number, self._event)

    @property
    def said(self) -> str:
        """``, credit note C0001``."""
        return f", credit note {self.number}" if self.number else ""
