"""One action on any parcel of a shop, from outside a bench: opened for a moment, changed, let go."""

from collections.abc import Iterator
from contextlib import contextmanager

from benchtui.store.change import Change
from benchtui.store.shop import Shop


@contextmanager
def changing_parcel(shop: Shop, parcel_id: str, say: str) -> Iterator[Change]:
    """The change of one parcel, saved at the end; a dated correction where it is closed.

    BenchError where a bench has the parcel, or where it cannot be saved.
    """
    parcel = shop.open_parcel(parcel_id, passing=True)
    try:
        with parcel.correct(say) if parcel.closed else parcel.action(say) as change:
            yield change
    finally:
        parcel.close()
