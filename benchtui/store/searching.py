"""Looking records up over all parcels: by stock number, artist, title, runout, catalogue number, sender."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

from benchtui.store.entries import Entry
from benchtui.store.rows import Found

Hit = tuple[Entry, int]


class Wanted:
    """One search: every word of ``text`` must stand in the record or in its sender's name."""

    def __init__(self, text: str, limit: int, senders: Mapping[str, str]) -> None:
        self.words = text.casefold().split()
        self.limit = limit
        self.senders = senders
        exact = " ".join(self.words)
        self.numbers = (f"\n{exact}\t", f"\t{exact}\n")
        self._left: dict[str | None, list[str]] = {}

    def among(self, entries: Iterable[Entry]) -> list[Found]:
        """At most ``limit``: numbers typed in full, then the others, then what only the sender made fit."""
        ranks: tuple[list[Hit], list[Hit], list[Hit]] = ([], [], [])
        stock, catalogue = self.numbers
        for entry in entries:
            text = entry.text
            if stock in text or catalogue in text:
                self._look_into(entry, ranks)
                if len(ranks[0]) >= self.limit:
                    break
            elif len(ranks[1]) < self.limit and self._may(entry):
                self._look_into(entry, ranks)
        hits = [hit for rank in ranks for hit in rank][: self.limit]
        return [self._found(entry, at) for entry, at in hits]

    def held_by(self, entry: Entry) -> bool:
        """A list of hits may be a moment old."""
        return False

    def _may(self, entry: Entry) -> bool:
        """Most parcels are ruled out by one look at their text."""
        return all(word in entry.text for word in self.words_left(entry.summary.sender))

    def words_left(self, sender: str | None) -> list[str]:
        """The words that the sender's name does not hold."""
        if sender not in self._left:
            name = self.senders.get(sender or "", "").casefold()
            self._left[sender] = [word for word in self.words if word not in name]
        return self._left[sender]

    def _look_into(self, entry: Entry, ranks: tuple[list[Hit], list[Hit], list[Hit]]) -> None:
        left = self.words_left(entry.summary.sender)
        for at, line in _lines_with(entry.text, left):
            number = any(number in line for number in self.numbers)
            by_sender = len(left) < len(self.words) and not all(word in line for word in self.words)
            ranks[0 if number else 2 if by_sender else 1].append((entry, at))

    def _found(self, entry: Entry, at: int) -> Found:
        row, summary = entry.rows()[at], entry.summary
        who = self.senders.get(summary.sender or "", "")
        return Found(summary.id, row.id, row.no, row.stock, row.artist, row.title, row.catalogue, row.state,
                     who)  # fmt: skip


class OfTitle(NamedTuple):
    """Every record of that artist and title that the shop has had, as far as letters and spaces go."""

    artist: str
    title: str

    def text(self) -> str:
        """What such a record's line holds."""
        return "\t" + "\t".join(" ".join(one.casefold().split()) for one in (self.artist, self.title)) + "\t"

    def among(self, entries: Iterable[Entry]) -> list[tuple[str, str]]:
        """Parcel and record of each."""
        wanted, found = self.text(), []
        for entry in filter(self.held_by, entries):
            rows = entry.rows()
            found += [(entry.summary.id, rows[at].id) for at, _ in _lines_with(entry.text, [wanted])]
        return found

    def held_by(self, entry: Entry) -> bool:
        """Whether one of them is in that parcel."""
        return self.text() in entry.text


class InStockOf(NamedTuple):
    """The copies in stock of the title with that id."""

    title_id: str

    def held_by(self, entry: Entry) -> bool:
        """Whether one of them is in that parcel."""
        return f"\t{self.title_id}\t" in entry.titles


LookUp = Wanted | OfTitle | InStockOf
"""What may be asked of all parcels, and must not wait until all are read."""


def _lines_with(text: str, words: Sequence[str]) -> Iterator[tuple[int, str]]:
    """Number and text of every line that holds all the words, a line break at both ends.

    The longest word is looked for in the whole text, since lines are many and those that hold it few.
    """
    rarest = max(words, key=len, default="\t")
    at = text.find(rarest)
    while at >= 0:
        start, end = text.rfind("\n", 0, at), text.find("\n", at)
        line = text[start : end + 1]
        if all(word in line for word in words):
            yield text.count("\n", 0, start), line
        at = text.find(rarest, end)
