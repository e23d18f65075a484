"""A sorted dictionary of byte strings with posting lists, in flat arrays that can lie in a mapped file.

Consecutive words have consecutive postings, so all that a prefix matches is one slice: no copying, no walk.
"""

from array import array
from bisect import bisect_left
from collections.abc import Generator, Iterable, Sequence
from itertools import pairwise

Ints = Sequence[int]
Blob = bytes | memoryview
STRIDE, POSTS = 8, 8_192
"""Every 8th word, or one in so many that there are about 8,192, is kept in memory, so that most of a
search never leaves the interpreter's own code.
"""
AFTER = b"\xff"
"""Greater than any UTF-8 byte: closes the range of a prefix."""


class Lexicon:
    """Words in byte order (which for UTF-8 is the order of code points), each with its documents."""

    __slots__ = ("_posts", "_stride", "at", "blob", "docs", "first", "size")

    def __init__(self, blob: Blob, at: Ints, first: Ints, docs: Ints) -> None:
        self.blob, self.at, self.first, self.docs = blob, at, first, docs
        self.size = len(at) - 1
        self._posts: list[bytes] = []
        self._stride = 1

    def set_posts(self) -> list[bytes]:
        """Keeps some of the words in memory, a few thousand however many there are: under 4 ms."""
        self._stride = max(STRIDE, self.size // POSTS)
        self._posts = [self.word(no) for no in range(0, self.size, self._stride)]
        return self._posts

    def word(self, no: int) -> bytes:
        """The word of that number."""
        return bytes(self.blob[self.at[no] : self.at[no + 1]])

    def texts(self, low: int, high: int) -> list[str]:
        """The words of a range, read in one piece."""
        if low >= high:
            return []
        base = self.at[low]
        ends = [end - base for end in self.at[low : high + 1]]
        blob = bytes(self.blob[base : base + ends[-1]])
        if blob.isascii():
            text = blob.decode()
            return [text[one:two] for one, two in pairwise(ends)]
        return [blob[one:two].decode() for one, two in pairwise(ends)]

    def where(self, key: bytes, low: int = 0, high: int | None = None) -> int:
        """The first word of the range that is not below the key."""
        at, blob = self.at, self.blob
        post = bisect_left(self._posts or self.set_posts(), key)
        low = max(low, (post - 1) * self._stride + 1)
        high = max(low, min(self.size if high is None else high, post * self._stride))
        while low < high:
            mid = (low + high) // 2
            if bytes(blob[at[mid] : at[mid + 1]]) < key:
                low = mid + 1
            else:
                high = mid
        return low

    def range(self, prefix: bytes, low: int = 0, high: int | None = None) -> tuple[int, int]:
        """Numbers of the words, among those of a range, that begin so; half-open."""
        high = self.size if high is None else high
        low = self.where(prefix, low, high)
        if low == high or not self.word(low).startswith(prefix):
            return low, low
        return low, self.where(prefix + AFTER, low, high)

    def starting(self, prefix: bytes) -> Ints:
        """Documents of all words that begin so; one may stand there more than once."""
        low, high = self.range(prefix)
        return self.docs[self.first[low] : self.first[high]]

    def begins(self, prefix: bytes) -> bool:
        """Whether any word begins so."""
        no = self.where(prefix)
        return no < self.size and self.word(no).startswith(prefix)

    def exactly(self, word: bytes) -> Ints:
        """Documents of one word."""
        no = self.where(word)
        if no < self.size and self.word(no) == word:
            return self.docs[self.first[no] : self.first[no + 1]]
        return self.docs[0:0]


def build_lexicon(entries: dict[str, "array[int]"]) -> Lexicon:
    """From word -> documents in rising order."""
    words = sorted((word.encode(), docs) for word, docs in entries.items())
    at, first, docs, total = array("I", [0]), array("I", [0]), array("I"), 0
    for word, postings in words:
        total += len(word)
        at.append(total)
        docs.extend(postings)
        first.append(len(docs))
    return Lexicon(b"".join(word for word, _ in words), at, first, docs)


def sorted_lexicon(keys: list[bytes]) -> Generator[None, None, Lexicon]:
    """From keys in order: word, a zero byte, the document in four bytes; in steps of a few milliseconds."""
    at, first, docs, total = array("I", [0]), array("I"), array("I"), 0
    words: list[bytes] = []
    for no, key in enumerate(keys):
        word = key[:-5]
        if not words or word != words[-1]:
            words.append(word)
            total += len(word)
            at.append(total)
            first.append(len(docs))
        docs.append(int.from_bytes(key[-4:], "big"))
        if no % 4_096 == 0:
            yield
    first.append(len(docs))
    return Lexicon(b"".join(words), at, first, docs)


def post(entries: dict[str, "array[int]"], words: Iterable[str], doc: int) -> None:
    """Enters a document under each of the words."""
    for word in set(words):
        found = entries.get(word)
        if found is None:
            entries[word] = array("I", (doc,))
        else:
            found.append(doc)
