"""One list of titles with everything that is looked up in it; in memory or mapped from its prepared index."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from benchtui.model.title import Title
from benchtui.titles.lexicon import AFTER, Blob, Ints, Lexicon

FIELDS = ("id", "artist", "title", "catalogue", "first", "company", "country", "barcode", "channels")
NUMBERS = ("size_in", "discs", "pressings")
PART = "\x1f"
START_LENGTH = 40
"""Bytes of a start by which ``starts`` is in order."""
TITLE, TITLE_BARE, ARTIST, ARTIST_BARE = range(4)
"""What a start begins with: the title with or without its article, or the artist likewise (the title then
follows).
"""


@dataclass(frozen=True, slots=True, eq=False)
class Rows:
    """Texts laid end to end, with where each begins."""

    blob: Blob
    at: Ints

    def __len__(self) -> int:
        return len(self.at) - 1

    def __getitem__(self, no: int) -> bytes:
        return bytes(self.blob[self.at[no] : self.at[no + 1]])


@dataclass(frozen=True, slots=True, eq=False)
class Piece:
    """Each spelling of a title is a document; documents are numbered in the order of their folded titles.

    ``rows``: the titles as listed. ``plain``: folded artist, space, folded title; ``split`` where the
    title begins in it; ``skips`` the lengths of the leading articles of artist and title. ``starts``: 4 x
    document + kind, in the order of the text that begins there. ``ids``: a document of each title, in the
    order of the titles' ids. ``index``: the file it is mapped from.
    """

    rows: Rows
    plain: Rows
    split: Ints
    skips: Ints
    starts: Ints
    ids: Ints
    words: Lexicon
    initials: Lexicon
    numbers: Lexicon
    joined: Lexicon
    index: Path | None = None

    def __len__(self) -> int:
        return len(self.ids)

    def warm(self) -> Iterator[None]:
        """Makes the first search as quick as the later ones, in steps of 2 ms, however long the list is."""
        for lexicon in (self.words, self.initials, self.numbers, self.joined):
            lexicon.set_posts()
            yield

    def title(self, doc: int) -> Title:
        """The title of that document."""
        return title_of(self.rows[doc].decode())

    def start_text(self, start: int) -> bytes:
        """The text of one entry of ``starts``."""
        low, high = self.start_place(start)
        return bytes(self.plain.blob[low:high])

    def start_place(self, start: int) -> tuple[int, int]:
        """Where that text lies in ``plain``, half-open."""
        doc, kind = start >> 2, start & 3
        low = self.plain.at[doc]
        if kind <= TITLE_BARE:
            low += self.split[doc] + (self.skips[doc] >> 4 if kind == TITLE_BARE else 0)
        elif kind == ARTIST_BARE:
            low += self.skips[doc] & 15
        return low, self.plain.at[doc + 1]

    def start_range(self, prefix: bytes) -> tuple[int, int]:
        """The entries of ``starts`` whose text begins so, half-open; they are in order by their first
        letters only, so of a longer prefix the rest is left to the caller.
        """
        prefix = prefix[:START_LENGTH]
        low = self._start_where(prefix, 0)
        return low, self._start_where(prefix + AFTER, low)

    def _start_where(self, key: bytes, low: int) -> int:
        high = len(self.starts)
        while low < high:
            mid = (low + high) // 2
            if self.start_text(self.starts[mid])[:START_LENGTH] < key:
                low = mid + 1
            else:
                high = mid
        return low

    def doc_of(self, title_id: str) -> int | None:
        """A document of that id, or None."""
        key = title_id.encode()
        low, high = 0, len(self.ids)
        while low < high:
            mid = (low + high) // 2
            if self._id(self.ids[mid]) < key:
                low = mid + 1
            else:
                high = mid
        if low < len(self.ids) and self._id(self.ids[low]) == key:
            return self.ids[low]
        return None

    def id_of(self, doc: int) -> str:
        """The id of a document."""
        return self._id(doc).decode()

    def _id(self, doc: int) -> bytes:
        return self.rows[doc].partition(b"\x1f")[0]

    def titles(self) -> Iterator[Title]:
        """All titles, in the order of their ids."""
        return (self.title(doc) for doc in self.ids)


def row_of(title: Title) -> str:
    """The title as one line of text; ``title_of`` reads it back."""
    texts = [getattr(title, name).replace(PART, " ") for name in FIELDS]
    texts += ["" if (value := getattr(title, name)) is None else str(value) for name in NUMBERS]
    return PART.join([*texts, title.book])


def title_of(row: str) -> Title:
    """The title that ``row_of`` wrote."""
    name, artist, title, catalogue, first, company, country, barcode, channels, size, *rest = row.split(PART)
    discs, pressings, book = rest
    size_in = int(size) if size else None
    return Title(
        name, artist, title, catalogue, first, company, country, barcode, channels,
        size_in, int(discs), int(pressings), book,
    )  # fmt: skip
