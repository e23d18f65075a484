"""Opening a parcel: for work, or for reading where another bench has it."""

from benchtui.store import Parcel, ParcelHeld, Shop


def open_or_read(shop: Shop, parcel_id: str) -> tuple[Parcel, str]:
    """The parcel, and what the dealer has to know of how it opened ("" where all is well)."""
    try:
        parcel = shop.open_parcel(parcel_id)
    except ParcelHeld as held:
        return shop.open_parcel(parcel_id, read_only=True), f"{held.what}: open for reading only"
    return parcel, parcel.notice or ""
