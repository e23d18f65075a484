"""Saying of a paper that left the shop that it stays as it is, and where its correction is found."""

from collections.abc import Mapping
from typing import Any

from benchtui.model.record import RecordDoc
from benchtui.money.deal import ON_INVOICE
from benchtui.money.known import booked
from benchtui.money.policy import policy_of
from benchtui.money.standings import standing

Event = Mapping[str, Any]


_SOLD = {"at", "minor", "buyer", "invoice", *ON_INVOICE}
_GIVEN = {"at", "minor", "note"}


def corrected_on_paper(event: Event, now: Mapping[str, Any] | None) -> str:
    """Of an event that a correction made into ``now`` (None: void); "" where nothing of it is on a paper."""
    sold = event.get("what") == "sold"
    number = event.get("invoice" if sold else "credit_note")
    if not number or (now is not None and not (_SOLD if sold else _GIVEN) & set(now)):
        return ""
    return _stays("invoice" if sold else "credit note", str(number))


def vat_on_paper(record: RecordDoc, settings: Mapping[str, Any], today: str) -> str:
    """Of a sold record, once the answer about the margin scheme was changed; "" where its invoice is of today
    or the shop uses no scheme.
    """
    sale = standing(record).sale
    if sale is None or not sale.get("invoice") or booked(sale, "at") >= today:
        return ""
    scheme = policy_of(settings, str(sale["at"])[:10]).scheme
    return _stays("invoice", str(sale["invoice"])) if scheme != "none" else ""


def _stays(name: str, number: str) -> str:
    return f"; {name} {number} stays as issued, its correction is a page of today's {name}s"
