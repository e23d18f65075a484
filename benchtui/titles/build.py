"""Builds the piece of a list: folding, sorting and posting, in steps short enough for a screen to breathe
between.
"""

from array import array
from collections.abc import Generator, Iterable

from benchtui.model.title import Title
from benchtui.titles.barcode import barcode_key
from benchtui.titles.fold import article_length, fold, initials, number_keys, word_starts
from benchtui.titles.lexicon import build_lexicon, post
from benchtui.titles.piece import ARTIST, ARTIST_BARE, TITLE, TITLE_BARE, Piece, Rows, row_of

STEP = 256
"""Titles between two breaths: about 5 ms."""
SIDE = "\x01"
"""Before the words that are not of artist or title (company, country, year): they sort, and rank, apart."""
JOINED_LENGTH = 24
TAIL_FROM, TAIL_TO = 5, 13
"""A tail is the first letter and the letters after the fifth: what a slip in the second to fifth leaves
whole.
"""

Entries = dict[bytes, "array[int]"]
Row = tuple[str, str, Title]


def build_piece(titles: Iterable[Title]) -> Piece:
    """The piece of some titles, in one go."""
    steps = build_steps(titles)
    while True:
        try:
            next(steps)
        except StopIteration as done:
            piece: Piece = done.value
            return piece


def build_steps(titles: Iterable[Title]) -> Generator[float, None, Piece]:
    """Yields how much is done (0 to 1) about every 5 ms, sorting apart; the generator's value is the
    piece.
    """
    rows: list[Row] = []
    for no, title in enumerate({title.id: title for title in titles}.values()):
        rows.append((fold(title.title), fold(title.artist), title))
        if no % STEP == 0:
            yield 0.0
    rows.sort(key=lambda row: (row[0], row[1], row[2].id))
    maker = _Maker()
    for no, row in enumerate(rows):
        maker.enter(no, row)
        if no % STEP == 0:
            yield 0.1 + 0.7 * no / len(rows)
    return maker.finish()


class _Maker:
    """Collects one row after the other."""

    def __init__(self) -> None:
        self.rows: list[bytes] = []
        self.plain: list[bytes] = []
        self.ids: list[bytes] = []
        self.split, self.skips = array("H"), array("B")
        self.starts: list[tuple[bytes, int]] = []
        self.words: Entries = {}
        self.initials: Entries = {}
        self.numbers: Entries = {}
        self.joined: Entries = {}
        self.tails: Entries = {}

    def enter(self, doc: int, row: Row) -> None:
        """Enters the row as document ``doc``."""
        name, artist, title = row
        name, artist = name[:9_000], artist[:9_000]
        plain = f"{artist} {name}"
        skip_artist, skip_title = min(article_length(artist), 15), min(article_length(name), 15)
        self.rows.append(row_of(title).encode())
        self.ids.append(title.id.encode())
        self.plain.append(plain.encode())
        self.split.append(len(artist.encode()) + 1)
        self.skips.append(skip_artist | skip_title << 4)
        self._starts(doc, name, plain if artist else "", skip_title, skip_artist)
        self._words(doc, plain, title)
        self._shapes(doc, name, artist, skip_title)

    def _starts(self, doc: int, name: str, plain: str, skip_title: int, skip_artist: int) -> None:
        kinds = [(name, TITLE), (plain, ARTIST)]
        if skip_title:
            kinds.append((name[skip_title:], TITLE_BARE))
        if skip_artist:
            kinds.append((plain[skip_artist:], ARTIST_BARE))
        self.starts += [(text.encode(), doc << 2 | kind) for text, kind in kinds if text]

    def _words(self, doc: int, plain: str, title: Title) -> None:
        post(self.words, word_starts(plain), doc)
        side = fold(f"{title.company} {title.country}").split()
        if year := year_of(title.first):
            side.append(year)
        post(self.words, (SIDE + word for word in side), doc)
        keys = number_keys(title.catalogue)
        if title.barcode:
            keys.append(barcode_key(title.barcode))
        post(self.numbers, keys, doc)

    def _shapes(self, doc: int, name: str, artist: str, skip: int) -> None:
        bare = name[skip:]
        short = {initials(name), initials(bare)}
        short |= {initials(artist) + one for one in short if artist}
        post(self.initials, (one[:12] for one in short if len(one) > 1), doc)
        whole = {name.replace(" ", ""), bare.replace(" ", ""), artist.replace(" ", "")}
        whole.discard("")
        post(self.joined, (one[:JOINED_LENGTH] for one in whole), doc)
        post(self.tails, (one[0] + one[TAIL_FROM:TAIL_TO] for one in whole if len(one) > TAIL_FROM), doc)

    def finish(self) -> Piece:
        """The piece of all that was entered."""
        self.starts.sort()
        ids = array("I", sorted(range(len(self.ids)), key=self.ids.__getitem__))
        return Piece(
            rows=_rows(self.rows),
            plain=_rows(self.plain),
            split=self.split,
            skips=self.skips,
            starts=array("I", [start for _, start in self.starts]),
            ids=ids,
            words=build_lexicon(self.words),
            initials=build_lexicon(self.initials),
            numbers=build_lexicon(self.numbers),
            joined=build_lexicon(self.joined),
            tails=build_lexicon(self.tails),
        )


def _rows(texts: list[bytes]) -> Rows:
    at, total = array("Q", [0]), 0
    for text in texts:
        total += len(text)
        at.append(total)
    return Rows(b"".join(texts), at)


def year_of(first: str) -> str:
    """The first year an EDTF date names, or ""."""
    digits = first.lstrip("[.")[:4]
    return digits if len(digits) == 4 and digits.isdecimal() else ""
