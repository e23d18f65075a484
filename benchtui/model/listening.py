"""What somebody heard and thought: notes by side and minute, one copy against another. Never evidence."""

from typing import NotRequired, TypedDict


class ListeningDoc(TypedDict):
    """An opinion of one day. ``side`` and ``minute`` "" where it is of the whole; ``against``: the stock
    number of the copy it was compared with.
    """

    at: str
    side: str
    minute: str
    note: str
    against: NotRequired[str]


def opinion_words(one: ListeningDoc) -> str:
    """``A 2:30, against A00007: more air around the voice``."""
    where = " ".join(filter(None, (one["side"], one["minute"])))
    against = f"against {one['against']}" if one.get("against") else ""
    head = ", ".join(filter(None, (where, against)))
    return f"{head}: {one['note']}" if head else one["note"]
