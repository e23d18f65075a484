"""The readings of a query that suppose slips: of the beginning of a title or artist, of one of the words,
and at last of several.
"""

import math
from collections import defaultdict
from collections.abc import Iterator
from heapq import nlargest

from benchtui.titles.exact import docs_with
from benchtui.titles.lexicon import Ints
from benchtui.titles.likely import starts_of, unlikeliness
from benchtui.titles.match import Found, Match, Reading
from benchtui.titles.misspelt import Misspelt, slip_cost, slips_allowed
from benchtui.titles.piece import Piece
from benchtui.titles.query import Query, needle

MOST = 1_000
"""Documents looked at for one reading of one word."""
SLICE, ROWS = 65_536, 100
"""Postings that are passed over, and rows that are read, between two breaths: 2 ms each."""
TALLIED = 6_000
"""Documents that one word may vote for."""
VOTED = 24
"""Documents that share most with the query and are compared word by word."""
WHOLE = -0.15
"""What it counts for a reading that the title then ends."""
ONE_MORE, TWO_SLIPS, THREE_SLIPS = 6, 8, 9
"""Letters of a beginning from which on two slips are supposed where one explains nothing, two, and three
likewise.
"""
SHORTEST_NUMBER = 4
"""Letters and digits of a catalogue number from which on a slip is supposed in it."""
MISSING = 1.8
"""What a word that is nowhere in the title costs, beside a slip's 1."""


class Inexact:
    """The slips of one piece."""

    def __init__(self, piece: Piece) -> None:
        self._piece = piece
        self._joined = Misspelt(piece.joined)
        self._words = Misspelt(piece.words)
        self._numbers = Misspelt(piece.numbers)

    def find(self, query: Query, found: Found) -> Iterator[None]:
        """Adds all documents a slip or two away; a breath after every few milliseconds."""
        if query.has_digit and len(query.number) >= SHORTEST_NUMBER and not query.is_whole_barcode:
            for near in self._numbers.near(query.number, 1):
                for doc in self._numbers.docs(near)[:MOST]:
                    self._note(found, doc, near.cost)
            yield
        for text in dict.fromkeys((query.joined, query.bare.replace(" ", ""))):
            if len(text) >= 4:
                self._starts(found, text[:20], 1 if len(text) < TWO_SLIPS else 2)
                yield
        for no, word in enumerate(query.words):
            if slips_allowed(word):
                yield from self._one_word(found, word, query.words[:no] + query.words[no + 1 :])

    def find_several(self, query: Query, found: Found) -> Iterator[None]:
        """Adds documents that have most of the words, or words like them."""
        votes: dict[int, float] = defaultdict(float)
        for word in dict.fromkeys(query.words):
            for docs, weight in self._like(word):
                for doc in docs:
                    votes[doc] += weight
            yield
        if len(query.joined) in range(ONE_MORE, TWO_SLIPS) or len(query.joined) >= THREE_SLIPS:
            self._starts(found, query.joined[:20], 2 if len(query.joined) < TWO_SLIPS else 3)
            yield
        for doc in nlargest(VOTED, votes, key=votes.__getitem__):
            cost = self._apart(doc, query)
            if cost < 0.7 * MISSING * len(query.words):
                self._note(found, doc, 1.0 + cost)

    def _starts(self, found: Found, text: str, slips: int) -> None:
        at, first, docs = self._piece.joined.at, self._piece.joined.first, self._piece.joined.docs
        for near in self._joined.near(text, slips):
            for no in range(near.low, min(near.high, near.low + MOST)):
                left = at[no + 1] - at[no] - len(text)
                cost = near.cost - 0.1 + (left / 1_000 if left > 1 else WHOLE)
                for doc in docs[first[no] : first[no + 1]]:
                    self._note(found, doc, cost)
            if len(found) > MOST:
                break

    def _one_word(self, found: Found, word: str, others: tuple[str, ...]) -> Iterator[None]:
        base = docs_with(self._piece, others) if others else None
        if base is not None and not base:
            return
        sure = starts_of(others)
        yield
        taken: set[int] = set()
        passed = 0
        for near in self._words.near(word, slips_allowed(word)):
            postings = self._words.docs(near)
            for begin in range(0, len(postings) if base is not None else 1, SLICE):
                part = postings[begin : begin + SLICE]
                docs = set(part[:MOST]) if base is None else base.intersection(part)
                for no, doc in enumerate(docs - taken):
                    among = unlikeliness(self._piece.plain[doc], self._piece.split[doc], sure)
                    self._note(found, doc, near.cost + among / 10)
                    if no % ROWS == ROWS - 1:
                        yield
                taken |= docs
                passed += len(part)
                if passed >= SLICE:
                    passed = 0
                    yield
                if len(taken) > MOST:
                    return
        yield

    def _like(self, word: str) -> Iterator[tuple[set[int], float]]:
        """Documents with the word or one like it, with what that says for them; nothing of what half the
        list has.
        """
        size, left = len(self._piece), TALLIED
        listed: list[tuple[Ints, float]] = [(self._piece.words.starting(word.encode()), 1.0)]
        if len(word) > 3 and not len(listed[0][0]):
            near = self._words.near(word, slips_allowed(word))
            listed += [(self._words.docs(one), 0.6 / max(1.0, one.cost)) for one in near]
        for postings, share in listed:
            left -= len(postings)
            if left < 0:
                return
            yield set(postings), share * math.log(1 + size / (1 + len(postings)))

    def _apart(self, doc: int, query: Query) -> float:
        """How far the query's words are from the document's, word by word, and how much of the title is
        not said.
        """
        row = self._piece.plain[doc]
        words = row.decode().split()
        total = 0.0
        for typed in query.words:
            if needle(typed) not in b" " + row:
                costs = (slip_cost(typed, word, 2) for word in words)
                near = [cost for cost in costs if cost is not None and cost < len(typed) - 1]
                total += min(near, default=MISSING)
        return total + abs(len(row) - self._piece.split[doc] - len(query.text)) / 50

    def _note(self, found: Found, doc: int, cost: float) -> None:
        if doc not in found or cost < found[doc].left:
            found[doc] = Match(Reading.SLIP, cost)
