"""Places that an earlier version forgot: gone from a parcel after books were closed over them, and not noted.

A place that stood in a parcel when books were closed had a share of its cost, so the closing can be worked
out again only where the place is kept (`model.earlier`). The history still has what was removed.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from benchtui.model.earlier import stood_at_closing
from benchtui.store.history import Entry


def lost_places(
    head: Mapping[str, Any],
    present: Iterable[str],
    entries: Sequence[Entry],
    closings: Callable[[], Iterable[str]],
) -> list[dict[str, Any]]:
    """Rows for the head's ``earlier``. ``present``: ids of the records that are there; ``closings`` gives the
    moments at which books were closed, and is asked only where something was removed.
    """
    known = {*present, *(row["record"]["id"] for row in head.get("earlier") or () if "record" in row)}
    removed = {
        str(path[1]): {"until": entry.at, "record": before[0]}
        for entry in entries
        for path, before, after in entry.ops
        if len(path) == 2 and path[0] == "records" and before and not after and path[1] not in known
    }
    if not removed:
        return []
    begun, moments = str(head.get("begun") or ""), sorted(closings())
    return [
        row
        for row in removed.values()
        if any(stood_at_closing(row["record"], begun, one) for one in moments if one < row["until"])
    ]
