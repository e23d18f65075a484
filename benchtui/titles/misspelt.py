"""Looks up what was typed with a slip of the fingers: a letter wrong, missing, added, or two swapped.

RapidFuzz runs over words that share a beginning, never over the whole list: a scan of all titles would
hold the interpreter, and with it the screen, for as long as it takes. A slip within that beginning is
found the other way round: each reading of it is looked up.
"""

from collections.abc import Iterator
from operator import itemgetter
from typing import NamedTuple

from benchtui.titles.lexicon import AFTER, Ints, Lexicon

BUCKET = 600
"""Words that share a beginning and are compared one by one: under 1 ms."""
LETTERS = 40
"""Letters tried in one place: digits and an alphabet, not the thousands of signs of other scripts."""
KEPT = 32
"""Answers kept, of one lexicon: the next key asks again for the words before the last."""
REMEMBERED = 2
"""Letters of a beginning whose next letters are remembered: some hundred beginnings."""
LONG_WORD = 7
"""Letters from which on two slips are forgiven."""


class Beginnings(NamedTuple):
    """Words ``low`` to ``high`` of the lexicon begin with what was typed but for slips that cost ``cost``."""

    low: int
    high: int
    cost: float


class Misspelt:
    """Misspelt over one lexicon."""

    def __init__(self, lexicon: Lexicon) -> None:
        self._lexicon = lexicon
        self._kept: dict[tuple[str, int], list[Beginnings]] = {}
        self._following: dict[str, list[tuple[str, int, int]]] = {}

    def near(self, typed: str, slips: int) -> list[Beginnings]:
        """All words that begin within so many slips of ``typed``, the cheapest first; of slips in the
        first few letters only one is supposed.
        """
        found = self._kept.get((typed, slips))
        if found is None:
            length, low, high = self._bucket(typed)
            found = [*self._early(typed, length), *self._late(typed, low, high, slips)]
            found.sort(key=lambda one: one.cost)
            if len(self._kept) >= KEPT:
                self._kept.pop(next(iter(self._kept)))
            self._kept[typed, slips] = found
        return found

    def docs(self, near: Beginnings) -> Ints:
        """The documents of all words of a range."""
        lexicon = self._lexicon
        return lexicon.docs[lexicon.first[near.low] : lexicon.first[near.high]]

    def _bucket(self, typed: str) -> tuple[int, int, int]:
        """The shortest beginning, from the first letter on, that few enough words share."""
        low, high = 0, self._lexicon.size
        for length in range(1, len(typed) + 1):
            low, high = self._lexicon.range(typed[:length].encode(), low, high)
            if high - low <= BUCKET:
                break
        return length, low, high

    def _late(self, typed: str, low: int, high: int, slips: int) -> Iterator[Beginnings]:
        from rapidfuzz import process
        from rapidfuzz.distance import OSA

        words = self._lexicon.texts(low, high)
        for cut in range(max(1, len(typed) - slips), len(typed) + slips + 1):
            # Backwards, the lowest number of each beginning is the one that stays in the dictionary.
            begun = map(itemgetter(slice(cut)), reversed(words))
            lows = dict(zip(begun, range(high - 1, low - 1, -1), strict=True))
            texts, numbers = list(lows), list(lows.values())
            for text, distance, at in process.extract(
                typed, texts, scorer=OSA.distance, score_cutoff=slips, limit=None
            ):
                cost = distance + kind_cost(typed, text)
                yield Beginnings(numbers[at], numbers[at - 1] if at else high, cost)

    def _early(self, typed: str, known: int) -> Iterator[Beginnings]:
        """One slip in one of the first ``known`` letters, all the rest as typed."""
        low, high = 0, self._lexicon.size
        for at in range(min(known, len(typed))):
            before, rest = typed[:at], typed[at + 1 :]
            worse = 0.1 if at == 0 else 0.0
            meant = [(before + rest, 1.3, low, high)]
            if rest[:1] not in ("", typed[at]):
                meant.append((before + rest[:1] + typed[at] + rest[1:], 1.0, low, high))
            for letter, first, last in self._letters(before, low, high):
                meant.append((before + letter + typed[at:], 1.0, first, last))
                meant.append((before + letter + rest, 1.2, first, last))
            for text, cost, first, last in meant:
                there = self._lexicon.range(text.encode(), first, last)
                if there[0] < there[1] and text != typed and len(text) > 1:
                    yield Beginnings(*there, cost + worse)
            low, high = self._lexicon.range(typed[: at + 1].encode(), low, high)

    def _letters(self, before: str, low: int, high: int) -> list[tuple[str, int, int]]:
        """The letters that follow ``before`` in some word, each with the range of those words; of a letter
        or two they are remembered.
        """
        found = self._following.get(before)
        if found is None:
            found = list(self._look_for_letters(before, low, high))
            if len(before) <= REMEMBERED:
                self._following[before] = found
        return found

    def _look_for_letters(self, before: str, low: int, high: int) -> Iterator[tuple[str, int, int]]:
        lexicon, place = self._lexicon, len(before)
        no = lexicon.where((before + "0").encode(), low, high)
        for _ in range(LETTERS):
            if no == high:
                return
            letter = lexicon.word(no).decode()[place]
            last = lexicon.where((before + letter).encode() + AFTER, no, high)
            yield letter, no, last
            no = last


def slips_allowed(text: str) -> int:
    """How many slips are forgiven in a word of that length."""
    return 0 if len(text) < 3 else 1 if len(text) < LONG_WORD else 2


def kind_cost(typed: str, meant: str) -> float:
    """What the kind of slip adds to its number.

    Letters swapped or left out can happen at a handful of places, but a wrong or an added letter is also
    one of some 25; so of two readings of one text the former is the likelier. A letter typed twice is the
    commonest to be added.
    """
    if len(meant) > len(typed) or typed == meant:
        return 0.0
    if len(meant) == len(typed):
        return 0.0 if sorted(meant) == sorted(typed) else 0.2
    doubled = any(
        typed[at] == typed[at - 1] and typed[:at] + typed[at + 1 :] == meant for at in range(1, len(typed))
    )
    return 0.1 if doubled else 0.3


def slip_cost(typed: str, word: str, slips: int) -> float | None:
    """What it costs to read ``typed`` as a beginning of ``word``; None where that takes more slips."""
    from rapidfuzz.distance import OSA

    if word.startswith(typed):
        return 0.0
    furthest = 2 * slips
    if OSA.distance(typed, word[: len(typed)], score_cutoff=furthest) > furthest:
        return None
    costs = []
    for cut in range(max(1, len(typed) - slips), min(len(word), len(typed) + slips) + 1):
        distance = OSA.distance(typed, word[:cut], score_cutoff=slips)
        if distance <= slips:
            costs.append(distance + kind_cost(typed, word[:cut]))
    return min(costs, default=None)
