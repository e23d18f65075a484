"""Looks up what was typed with a slip of the fingers: a letter wrong, missing, added, or two swapped.

RapidFuzz runs over the vocabulary and over the starts that share a beginning, never over the whole list: a
scan of all titles would hold the interpreter, and with it the screen, for as long as it takes.
"""

from dataclasses import dataclass
from operator import itemgetter

from rapidfuzz import process
from rapidfuzz.distance import OSA

from benchtui.titles.lexicon import AFTER, Ints, Lexicon

CHUNK = 4_000
"""Strings a call to RapidFuzz may look at: under 1 ms."""
KEPT, KEPT_WORDS = 24, 8
"""Lists of beginnings, and of whole words, that are kept for the next keys, of one lexicon."""
LETTERS = 64
"""First letters tried in the place of the typed one: digits and the alphabets, not the thousands of signs."""
LONG_WORD = 7
"""Letters from which on two slips are forgiven."""


@dataclass(frozen=True, slots=True)
class Near:
    """Words ``low`` to ``high`` of the lexicon begin with what was typed but for slips that cost ``cost``."""

    low: int
    high: int
    cost: float


@dataclass(frozen=True, slots=True)
class Beginnings:
    """The different beginnings of one length among some words, last first, and the number of the first
    word of each; ``end`` is where the last one's words end.
    """

    texts: list[str]
    lows: list[int]
    end: int

    def near(self, no: int, cost: float) -> Near:
        """The words of the beginning of that number."""
        return Near(self.lows[no], self.lows[no - 1] if no else self.end, cost)


class Slips:
    """Slips over one lexicon; remembers the words it read, since the next key needs the same ones again."""

    def __init__(self, lexicon: Lexicon) -> None:
        self._lexicon = lexicon
        self._words: dict[bytes, tuple[int, list[str]]] = {}
        self._cut: dict[tuple[bytes, int], Beginnings] = {}
        self._firsts: list[str] | None = None

    def near(self, typed: str, known: str, slips: int) -> list[Near]:
        """All beginnings within so many slips of ``typed`` among the words that begin with ``known``, and
        those one slip in the first letter away; cheapest first.
        """
        found = self._first_letter(typed)
        for cut in range(max(1, len(typed) - slips), len(typed) + slips + 1):
            there = self._beginnings(known.encode(), cut)
            for base in range(0, len(there.texts), CHUNK):
                texts = there.texts[base : base + CHUNK]
                close = process.extract(typed, texts, scorer=OSA.distance, score_cutoff=slips, limit=None)
                for text, distance, place in close:
                    found.append(there.near(base + place, distance + kind_cost(typed, text)))
        found.sort(key=lambda one: one.cost)
        return found

    def docs(self, near: Near) -> Ints:
        """The documents of all words of a range."""
        lexicon = self._lexicon
        return lexicon.docs[lexicon.first[near.low] : lexicon.first[near.high]]

    def _first_letter(self, typed: str) -> list[Near]:
        rest = typed[1:]
        meant = {rest: 1.4}
        for first in self._first_letters():
            meant[first + rest] = 1.3
            meant[first + typed] = 1.1
        meant[typed[1:2] + typed[:1] + typed[2:]] = 1.0
        ranges = [(self._lexicon.range(text.encode()), cost) for text, cost in meant.items() if len(text) > 1]
        return [Near(low, high, cost) for (low, high), cost in ranges if low < high]

    def _first_letters(self) -> list[str]:
        if self._firsts is None:
            found: list[str] = []
            no = self._lexicon.where(b"0")
            while no < self._lexicon.size and len(found) < LETTERS:
                found.append(self._lexicon.word(no).decode()[0])
                no = self._lexicon.where(found[-1].encode() + AFTER, no)
            self._firsts = found
        return self._firsts

    def _beginnings(self, known: bytes, cut: int) -> Beginnings:
        there = self._cut.get((known, cut))
        if there is None:
            low, words = self._read(known)
            # Backwards, the lowest number of each beginning is the one that stays in the dictionary.
            starts = map(itemgetter(slice(cut)), reversed(words))
            lows = dict(zip(starts, range(low + len(words) - 1, low - 1, -1), strict=True))
            there = Beginnings(list(lows), list(lows.values()), low + len(words))
            if len(self._cut) >= KEPT:
                self._cut.pop(next(iter(self._cut)))
            self._cut[known, cut] = there
        return there

    def _read(self, known: bytes) -> tuple[int, list[str]]:
        held = self._words.get(known)
        if held is None:
            low, high = self._lexicon.range(known)
            if len(self._words) >= KEPT_WORDS:
                self._words.pop(next(iter(self._words)))
            held = self._words[known] = (low, self._lexicon.texts(low, high))
        return held


def slips_allowed(text: str) -> int:
    """How many slips are forgiven in a word of that length."""
    return 0 if len(text) < 3 else 1 if len(text) < LONG_WORD else 2


def kind_cost(typed: str, meant: str) -> float:
    """What the kind of slip adds to its number.

    Letters swapped or left out can happen at a handful of places, but a wrong or an added letter is also
    one of some 25; so of two readings of one text the former is the likelier.
    """
    if len(meant) > len(typed) or typed == meant:
        return 0.0
    if len(meant) == len(typed):
        return 0.0 if sorted(meant) == sorted(typed) else 0.2
    return 0.3


def slip_cost(typed: str, word: str, slips: int) -> float | None:
    """What it costs to read ``typed`` as a beginning of ``word``; None where that takes more slips."""
    costs = []
    for cut in range(max(1, len(typed) - slips), min(len(word), len(typed) + slips) + 1):
        distance = OSA.distance(typed, word[:cut], score_cutoff=slips)
        if distance <= slips:
            costs.append(distance + kind_cost(typed, word[:cut]))
    return min(costs, default=None)
