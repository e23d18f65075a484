"""A shop whose facts are changed while books are closed, its documents kept as the store keeps them."""

from collections.abc import Callable
from copy import deepcopy
from typing import Any

from benchtui.model.earlier import OF_HEAD, OF_RECORD, OF_SENDER, OF_SHOP, note_kept, with_earlier
from benchtui.model.parcel import new_head
from benchtui.model.record import empty_record
from benchtui.money.closing import close_books, read_closed


class ChangingShop:
    """Two bought records of one parcel, for 40.00 together, of which the first is sold on 20 October for 60.00
    (margin scheme item by item, 20 %); and one of N. Reed's at 30 %, sold on 25 October for 30.00."""

    def __init__(self) -> None:
        self.settings: dict[str, Any] = {"currency": "GBP", "margin_scheme": "item", "vat_rate": "20"}
        self.senders: dict[str, Any] = {
            "s-quill": {"name": "Mrs Quill"},
            "s-reed": {"name": "N. Reed", "commission": "30"},
        }
        self.parcels: list[Any] = [self._bought(), self._consigned()]
        self.closings: list[dict[str, Any]] = []

    def _bought(self) -> Any:
        head = self._head("2026-10-10-1", "s-quill")
        head["charges"], head["margin_eligible"] = [_charge(4000)], True
        records = [self._record(no, no) for no in (1, 2)]
        head["shares"], head["state"] = {"r-1": 2000, "r-2": 2000}, "closed"
        records[0]["life"].append(_sold("2026-10-20", 6000))
        return head, records

    def _consigned(self) -> Any:
        head = self._head("2026-10-12-1", "s-reed") | {
            "terms": "consigned",
            "state": "closed",
            "shares": {"r-3": 0},
        }
        record = self._record(1, 3)
        record["life"].append(_sold("2026-10-25", 3000))
        return head, [record]

    def _head(self, parcel: str, sender: str) -> Any:
        head: Any = new_head(parcel)
        return head | {"delivered": parcel[:10], "sender": sender, "begun": f"{parcel[:10]}T08:00:00Z"}

    def _record(self, no: int, stock: int) -> Any:
        price = {"minor": 2000, "currency": "GBP", "how": "worked"}
        return empty_record(no) | {
            "id": f"r-{stock}",
            "state": "taken-in",
            "stock": f"A{stock:05}",
            "price": price,
        }

    @property
    def books(self) -> tuple[Any, Any, Any]:
        return self.parcels, self.senders, self.settings

    @property
    def closed(self) -> list[Any]:
        return read_closed(self.closings)

    @property
    def closed_at(self) -> str:
        return str(self.closings[-1]["closed_at"]) if self.closings else ""

    def close(self, through: str, at: str) -> None:
        self.closings.append(close_books(*self.books, self.closed, through, at))

    def price_paid(self, at: str, minor: int) -> None:
        """The price paid for both is another one, each bears half of it."""

        def make(head: Any, records: Any) -> None:
            head["charges"], head["shares"] = [_charge(minor)], {"r-1": minor // 2, "r-2": minor // 2}

        self.change(at, 0, f"price {minor // 100}.00", ["charges", "shares"], make)

    def commission(self, at: str, to: str) -> None:
        noted = {"at": at, "say": f"commission {to} %", "names": ["commission"]}
        old = self.senders["s-reed"]
        new = old | note_kept(old, {"commission": to, "noted": noted}, self.closed_at)
        self.senders["s-reed"] = with_earlier(old, new, OF_SENDER, at, "", self.closed_at)

    def void(self, at: str, n: int) -> None:
        """The sale of the first record of a parcel is void."""
        head, records = self.parcels[n]
        event = {
            "n": 2,
            "at": at[:10],
            "booked": at[:10],
            "what": "corrected",
            "of": 1,
            "why": "another one",
            "now": None,
        }
        self.parcels[n] = head, [{**records[0], "life": [*records[0]["life"], event]}, *records[1:]]

    def sold_for(self, at: str, n: int, minor: int) -> None:
        """The first record of a parcel fetched another price than was entered."""
        head, records = self.parcels[n]
        no = len(records[0]["life"]) + 1
        event = {
            "n": no,
            "at": at,
            "booked": at,
            "what": "corrected",
            "of": 1,
            "why": f"slip {no - 1}",
            "now": {"minor": minor},
        }
        self.parcels[n] = head, [{**records[0], "life": [*records[0]["life"], event]}, *records[1:]]

    def rule(self, at: str, **values: Any) -> None:
        noted = {
            "at": at,
            "say": ", ".join(f"{name} {value}" for name, value in values.items()),
            "names": [*values],
        }
        new = self.settings | note_kept(self.settings, values | {"noted": noted}, self.closed_at)
        self.settings = with_earlier(self.settings, new, OF_SHOP, at, "", self.closed_at)

    def change(self, at: str, n: int, say: str, fields: list[str], make: Callable[[Any, Any], None]) -> None:
        """A dated correction of a parcel."""
        old_head, old = self.parcels[n]
        head, records = deepcopy(self.parcels[n])
        make(head, records)
        noted = {"at": at, "say": say, "records": [], "fields": fields, "kept": True}
        head["corrections"] = [*head.get("corrections", []), noted]
        last, begun = self.closed_at, head["begun"]
        kept = [
            with_earlier(was, now, OF_RECORD, at, begun, last) for was, now in zip(old, records, strict=True)
        ]
        self.parcels[n] = with_earlier(old_head, head, OF_HEAD, at, begun, last), kept


def _charge(minor: int) -> dict[str, Any]:
    return {
        "what": "price",
        "minor": minor,
        "currency": "GBP",
        "rate": None,
        "rate_date": "",
        "rate_from": "",
    }


def _sold(on: str, minor: int) -> dict[str, Any]:
    return {
        "n": 1,
        "at": on,
        "booked": on,
        "what": "sold",
        "minor": minor,
        "currency": "GBP",
        "buyer": "M. Larch",
    }
