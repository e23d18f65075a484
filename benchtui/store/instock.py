"""What is in stock of each title, in words; said when asked for, as a list shows eight titles at a time."""

from bisect import bisect_right
from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import accumulate

from benchtui.store.entries import Entry


class InStock(Mapping[str, str]):
    """Title id -> the newest copy in stock, and how many more (``A00012 VG+/VG 24.00 and 2 more``)."""

    def __init__(self, entries: Sequence[Entry]) -> None:
        """``entries``: of all parcels, oldest first."""
        self._entries = [entry for entry in entries if entry.titles]
        self._text = "".join(entry.titles for entry in self._entries)
        self._ends = list(accumulate(len(entry.titles) for entry in self._entries))
        self._said: dict[str, str] = {}

    def __getitem__(self, title_id: str) -> str:
        said = self._said.get(title_id)
        if said is None:
            said = self._said[title_id] = self._say(title_id)
        if not said:
            raise KeyError(title_id)
        return said

    def __iter__(self) -> Iterator[str]:
        return iter(dict.fromkeys(filter(None, self._text.split("\t"))))

    def __len__(self) -> int:
        return len(set(filter(None, self._text.split("\t"))))

    def _say(self, title_id: str) -> str:
        words = [row.held for entry in self._with(title_id) for row in entry.rows()
                 if row.title_id == title_id and row.held]  # fmt: skip
        more = f" and {len(words) - 1} more" if len(words) > 1 else ""
        return words[-1] + more if words else ""

    def _with(self, title_id: str) -> Iterator[Entry]:
        """The parcels that hold a copy, found in one text of them all."""
        wanted = f"\t{title_id}\t"
        at = self._text.find(wanted)
        while at >= 0:
            found = bisect_right(self._ends, at)
            yield self._entries[found]
            at = self._text.find(wanted, self._ends[found])


class StockSoFar(Mapping[str, str]):
    """The same of a shop that is still being read. ``read``: what is in stock, with all copies of that title
    where the home can name them.
    """

    def __init__(self, read: Callable[[str], Mapping[str, str]]) -> None:
        self._read = read
        self._said: dict[str, str] = {}

    def __getitem__(self, title_id: str) -> str:
        if title_id not in self._said:
            self._said[title_id] = self._read(title_id).get(title_id, "")
        if not self._said[title_id]:
            raise KeyError(title_id)
        return self._said[title_id]

    def __iter__(self) -> Iterator[str]:
        return iter(self._read(""))

    def __len__(self) -> int:
        return len(self._read(""))
