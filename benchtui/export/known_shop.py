"""A shop for an export as it was known at the end of a day: what was entered or changed since is left out."""

from datetime import date
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.export.ask import BOOKS
from benchtui.model.parcel import HeadDoc, new_head
from benchtui.model.record import RecordDoc
from benchtui.money.known import end_of, known_doc, known_parcels
from benchtui.store.shop import Shop

KINDS = (*BOOKS, "stockbook", "statement")


def known_shop(shop: Shop, kind: str, on: date) -> Shop:
    """The shop to read from. BenchError for an export that is not made of the books."""
    if kind not in KINDS:
        raise BenchError(f"{kind} is of what stands now", "--known", "use it with one of " + ", ".join(KINDS))
    known: Any = KnownShop(shop, end_of(on))
    return known  # type: ignore[no-any-return]


class KnownShop:
    """Documents of that moment; anything else is the shop's."""

    def __init__(self, shop: Shop, moment: str) -> None:
        self._shop, self._moment = shop, moment

    def __getattr__(self, name: str) -> Any:
        return getattr(self._shop, name)

    @property
    def settings(self) -> dict[str, Any]:
        return known_doc(self._shop.settings, self._moment)

    @property
    def senders(self) -> dict[str, dict[str, Any]]:
        return {key: known_doc(doc, self._moment) for key, doc in self._shop.senders.items()}

    def closings(self) -> list[dict[str, Any]]:
        return [doc for doc in self._shop.closings() if str(doc.get("closed_at")) <= self._moment]

    def read_parcel(self, parcel_id: str) -> tuple[HeadDoc, list[RecordDoc]]:
        """As it was; of one that was begun later nothing."""
        found = known_parcels([self._shop.read_parcel(parcel_id)], self._moment)
        return found[0] if found else (new_head(parcel_id), [])
