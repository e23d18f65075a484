"""Builds the index of a list: folding, sorting and posting, in steps short enough to draw between.

Keys are made, sorted and thrown away one lexicon after the other, so that a million titles need a few
hundred megabytes while their index is built, not gigabytes.
"""

from array import array
from collections.abc import Callable, Generator, Iterable, Iterator

from benchtui.model.title import Title
from benchtui.titles.barcode import barcode_key
from benchtui.titles.fold import ARTICLES, article_length, initials, look_up, number_keys, word_starts
from benchtui.titles.lexicon import Lexicon, build_lexicon, post, sorted_lexicon
from benchtui.titles.piece import ARTIST, ARTIST_BARE, START_LENGTH, TITLE, TITLE_BARE, Piece, Rows, row_of
from benchtui.titles.spelling import spellings

STEP = 128
"""Titles between two breaths: some 2 ms."""
SIDE = "\x01"
"""Before the words that are not of artist or title (company, country, year): they sort, and rank, apart."""
JOINED_LENGTH, INITIALS_LENGTH = 24, 40
LONGEST = 1_000
"""Letters of an artist or title that are looked at."""

Steps = Generator[float, None, None]


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
    """Yields how much is done, 0 to 1, every few milliseconds, but for the sorting of each array: with
    more than some 5,000 titles that takes longer, and belongs into a process of its own (``prepare``). The
    value is the piece; of titles with one id the last counts.
    """
    maker = _Maker()
    for no, title in enumerate(titles):
        maker.read(title)
        if no % STEP == 0:
            yield 0.0
    yield from maker.sort()
    words = yield from maker.post_words()
    starts = yield from maker.make_starts()
    initials_ = yield from maker.lexicon(maker.initials_of, 0.7)
    numbers = yield from maker.lexicon(maker.numbers_of, 0.8)
    joined = yield from maker.lexicon(maker.joined_of, 0.85)
    return maker.piece(words, starts, initials_, numbers, joined)


class _Maker:
    """The folded texts of all titles, in the order of the documents once ``sort`` is through."""

    def __init__(self) -> None:
        self._texts: dict[str, list[tuple[str, str, bytes, str, str]]] = {}
        self.names: list[str] = []
        self.artists: list[str] = []
        self.rows: list[bytes] = []
        self.sides: list[str] = []
        self.numbers: list[str] = []

    def read(self, title: Title) -> None:
        """Folds one title; each spelling is a document of its own, the numbers are the first one's."""
        side = f"{look_up(f'{title.company} {title.country}')} {year_of(title.first)}"
        several = " / ".join(filter(None, (title.catalogue, title.numbers)))
        numbers = number_keys(several) + ([barcode_key(title.barcode)] if title.barcode else [])
        row = row_of(title).encode()
        self._texts[title.id] = [
            (name, artist, row, side, "" if no else " ".join(numbers))
            for no, (artist, name) in enumerate(spellings(title.artist[:LONGEST], title.title[:LONGEST]))
        ]

    def sort(self) -> Steps:
        """Brings everything into the order of the titles."""
        docs = sorted(texts for several in self._texts.values() for texts in several)
        self._texts = {}
        yield 0.1
        self.names = [texts[0] for texts in docs]
        self.artists = [texts[1] for texts in docs]
        yield 0.15
        self.rows = [texts[2] for texts in docs]
        self.sides = [texts[3] for texts in docs]
        self.numbers = [texts[4] for texts in docs]
        yield 0.2

    def plain(self) -> Iterator[str]:
        """Folded artist, space, folded title of each document."""
        return (f"{artist} {name}" for artist, name in zip(self.artists, self.names, strict=True))

    def post_words(self) -> Generator[float, None, Lexicon]:
        entries: dict[str, array[int]] = {}
        for doc, plain in enumerate(self.plain()):
            post(entries, word_starts(plain), doc)
            post(entries, [SIDE + word for word in self.sides[doc].split()], doc)
            if doc % STEP == 0:
                yield 0.2 + 0.3 * doc / len(self.rows)
        return build_lexicon(entries)

    def make_starts(self) -> Generator[float, None, "array[int]"]:
        keys: list[bytes] = []
        for doc, (name, artist) in enumerate(zip(self.names, self.artists, strict=True)):
            kinds = [(name, TITLE), (f"{artist} {name}" if artist else "", ARTIST)]
            if skip := article_length(name):
                kinds.append((name[skip:], TITLE_BARE))
            if artist and (skip := article_length(artist)):
                kinds.append((f"{artist[skip:]} {name}", ARTIST_BARE))
            for text, kind in kinds:
                if text:
                    keys.append(text.encode()[:START_LENGTH] + b"\0" + (doc << 2 | kind).to_bytes(4, "big"))
            if doc % STEP == 0:
                yield 0.5 + 0.15 * doc / len(self.rows)
        keys.sort()
        return array("I", [int.from_bytes(key[-4:], "big") for key in keys])

    def lexicon(
        self, keys_of: Callable[[int], Iterable[str]], done: float
    ) -> Generator[float, None, Lexicon]:
        """A lexicon most of whose words stand in one document."""
        keys: list[bytes] = []
        for doc in range(len(self.rows)):
            keys += [key.encode() + b"\0" + doc.to_bytes(4, "big") for key in set(keys_of(doc)) if key]
            if doc % STEP == 0:
                yield done
        keys.sort()
        yield done
        steps = sorted_lexicon(keys)
        while True:
            try:
                next(steps)
            except StopIteration as made:
                lexicon: Lexicon = made.value
                return lexicon
            yield done

    def initials_of(self, doc: int) -> Iterable[str]:
        name, artist = self.names[doc], self.artists[doc]
        short = _short_forms(name)
        if artist:
            whole, *_, fewest = _short_forms(artist)
            short += [*(whole + one for one in short), fewest + short[-1]]
        return (one[:INITIALS_LENGTH] for one in short if len(one) > 1)

    def numbers_of(self, doc: int) -> Iterable[str]:
        return self.numbers[doc].split()

    def joined_of(self, doc: int) -> Iterable[str]:
        name, artist = self.names[doc], self.artists[doc]
        bare = name[article_length(name) :]
        return (text.replace(" ", "")[:JOINED_LENGTH] for text in (name, bare, artist))

    def piece(
        self,
        words: Lexicon,
        starts: "array[int]",
        initials_: Lexicon,
        numbers: Lexicon,
        joined: Lexicon,
    ) -> Piece:
        doc_of = {row.partition(b"\x1f")[0]: doc for doc, row in enumerate(self.rows)}
        skips = (
            min(article_length(artist), 15) | min(article_length(name), 15) << 4
            for name, artist in zip(self.names, self.artists, strict=True)
        )
        return Piece(
            rows=_rows(self.rows),
            plain=_rows([plain.encode() for plain in self.plain()]),
            split=array("H", [len(artist.encode()) + 1 for artist in self.artists]),
            skips=array("B", skips),
            starts=starts,
            ids=array("I", [doc_of[key] for key in sorted(doc_of)]),
            words=words,
            initials=initials_,
            numbers=numbers,
            joined=joined,
        )


def _short_forms(folded: str) -> list[str]:
    """The initials, those without the leading article, and those without any."""
    bare = folded[article_length(folded) :]
    few = " ".join(word for word in folded.split() if word not in ARTICLES)
    return [initials(folded), initials(bare), initials(few)]


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
