"""Opening a parcel: for work, or for reading where another bench has it or somebody must choose first."""

from benchtui.base.errors import BenchError
from benchtui.store import Parcel, ParcelHeld, Shop, TwoVersions


def why_reading(parcel: Parcel) -> str:
    """Why a parcel is open for reading only, as the end of a sentence."""
    if parcel.has_two_versions:
        return "open it again and choose one of its two versions first"
    return "another bench has it"


def open_or_read(shop: Shop, parcel_id: str) -> tuple[Parcel, str]:
    """The parcel, and what the dealer has to know of how it opened ("" where all is well)."""
    try:
        parcel = shop.open_parcel(parcel_id)
    except ParcelHeld as held:
        return shop.open_parcel(parcel_id, read_only=True), f"{held.what}: open for reading only"
    except TwoVersions as two:
        return shop.open_parcel(parcel_id, read_only=True), f"{two.what}: open for reading until you choose"
    return parcel, parcel.notice or _mended(shop, parcel)


def _mended(shop: Shop, parcel: Parcel) -> str:
    """Notes what an earlier version forgot when the parcel was closed after its books; what was done."""
    try:
        rows = parcel.lost_places(lambda: [str(doc.get("closed_at") or "") for doc in shop.closings()])
    except BenchError:  # `check` tells what is wrong with a closing
        return ""
    if not rows:
        return ""
    parcel.note_lost(rows)
    places = "1 place" if len(rows) == 1 else f"{len(rows)} places"
    return f"parcel {parcel.id}: {places} that books were closed over noted again, for benchtui check"
