"""What the index holds of each parcel: small, and ready to be searched without being taken apart.

Memory must not grow with the shop by more than it has to: the rows of a parcel are packed, and unpacked for
the few parcels in which something was found; only what every look-up goes through stands there as text.
"""

import base64
import json
import zlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

from benchtui.model.parcel import HeadDoc
from benchtui.store.rows import Row, Waiting

GIVEN_UP = "given up"
"""The state, in a summary, of a parcel that was begun by mistake: its file stays, and no list shows it."""


class Summary(NamedTuple):
    """One parcel in a line. ``counts``: records by state. ``trouble``: why it cannot be read, else ""."""

    id: str
    sender: str | None
    terms: str
    state: str
    opened: str
    expected: int
    counts: dict[str, int]
    revision: int
    trouble: str = ""


@dataclass(slots=True)
class Entry:
    """One parcel. ``stamp``: of the files it was made from; ``live``: whether its log is in use.

    ``text``: a line a record, stock number, artist, title, runouts and catalogue number folded, a tab
    between; a line break stands before the first and after the last. ``titles``: the ids of titles in stock,
    a tab before and after each. ``days``: on which records were taken in, a space before each; ``apart``: on
    which those set apart were. ``waiting``: the chores not done, as JSON, "" for none. ``packed``: the rows.
    """

    summary: Summary
    stamp: str
    live: bool
    text: str
    titles: str
    days: str
    apart: str
    waiting: str
    packed: str

    def rows(self) -> list[Row]:
        """A row for each record, in the order of the queue."""
        if not self.packed:
            return []
        return [Row(*row) for row in json.loads(zlib.decompress(base64.b64decode(self.packed)))]

    def chores(self) -> list[Waiting]:
        """The chores not done yet."""
        if not self.waiting:
            return []
        key = self.summary.id
        return [Waiting(key, *row, *one) for *row, chores in json.loads(self.waiting) for one in chores]

    def kept(self) -> list[Any]:
        """As a line of the index file holds it."""
        return [self.summary, *(getattr(self, name) for name in _KEPT)]


_KEPT = Entry.__slots__[1:]


def entry_from(kept: Sequence[Any]) -> Entry:
    """The entry that a line of the index file holds. TypeError or ValueError for anything else."""
    summary, *rest = kept
    return Entry(Summary(*summary), *rest)


def entry_of(head: HeadDoc, rows: Sequence[Row], stamp: str, live: bool) -> Entry:
    """The entry of a parcel with these rows."""
    counts: dict[str, int] = {}
    for row in rows:
        counts[row.state] = counts.get(row.state, 0) + 1
    state = GIVEN_UP if head.get("given_up") and not counts.keys() - {"empty"} else head["state"]
    summary = Summary(head["id"], head["sender"], head["terms"], state, head["opened"],
                      head["expected"], counts, head["revision"])  # fmt: skip
    waiting = [[row.id, row.stock, row.artist, row.title, row.chores] for row in rows if row.chores]
    held = [row.title_id for row in rows if row.held and row.title_id]
    return Entry(
        summary=summary,
        stamp=stamp,
        live=live,
        text="".join(f"\n{row.text()}" for row in rows) + "\n",
        titles="\t" + "".join(f"{one}\t" for one in held) if held else "",
        days=_days(row.taken_in for row in rows),
        apart=_days(row.apart for row in rows),
        waiting=json.dumps(waiting) if waiting else "",
        packed=_packed(rows),
    )


def unread(key: str) -> Summary:
    """A parcel that is there and was not read yet."""
    return Summary(key, None, "", "not read yet", "", 0, {}, -1)


def unreadable(key: str, trouble: str, stamp: str) -> Entry:
    """The entry of a parcel whose file cannot be read, which its summary says."""
    summary = Summary(key, None, "", "unreadable", "", 0, {}, -1, trouble)
    return Entry(summary, stamp, live=True, text="", titles="", days="", apart="", waiting="", packed="")


def _days(times: Iterable[str]) -> str:
    return "".join(f" {day}" for day in sorted({time[:10] for time in times if time}))


def _packed(rows: Sequence[Row]) -> str:
    if not rows:
        return ""
    text = json.dumps([row.kept() for row in rows], ensure_ascii=False, separators=(",", ":"))
    return base64.b64encode(zlib.compress(text.encode("utf-8", "surrogatepass"), 1)).decode()
