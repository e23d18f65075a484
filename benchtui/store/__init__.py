"""The shop on the disk: durable, shared by several benches, with history. See `Shop` and `Parcel`."""

from benchtui.store.change import Change
from benchtui.store.files import DISK, Files
from benchtui.store.history import Entry
from benchtui.store.index import Summary
from benchtui.store.known import DEFAULTS
from benchtui.store.lock import Held, ParcelHeld
from benchtui.store.moves import move_part
from benchtui.store.parcel import Parcel
from benchtui.store.rows import Found, Waiting
from benchtui.store.shop import Shop

__all__ = [
    "DEFAULTS",
    "DISK",
    "Change",
    "Entry",
    "Files",
    "Found",
    "Held",
    "Parcel",
    "ParcelHeld",
    "Shop",
    "Summary",
    "Waiting",
    "move_part",
]
