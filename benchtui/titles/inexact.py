"""The readings of a query that suppose slips: of the beginning of a title or artist, of one of the words,
and at last of several.
"""

import math
from collections import defaultdict
from heapq import nlargest

from benchtui.titles.exact import docs_with
from benchtui.titles.likely import unlikeliness
from benchtui.titles.match import Found, Match
from benchtui.titles.piece import Piece
from benchtui.titles.query import Query
from benchtui.titles.slips import Slips, slip_cost, slips_allowed

GRADE = 8
BUCKET = 8_000
MOST = 2_000
"""Documents looked at for one reading."""
VOTED = 40
"""Documents that share most with the query and are compared word by word."""
MISSING = 1.8
"""What a word that is nowhere in the title costs, beside a slip's 1."""


class Inexact:
    """The slips of one piece."""

    def __init__(self, piece: Piece) -> None:
        self._piece = piece
        self._joined = Slips(piece.joined)
        self._words = Slips(piece.words)

    def find(self, query: Query) -> Found:
        """All documents a slip or two away."""
        found: Found = {}
        for text in dict.fromkeys((query.joined, query.bare.replace(" ", ""))):
            if len(text) >= 4:
                self._starts(found, text[:20])
        self._one_word(found, query)
        return found

    def find_several(self, query: Query) -> Found:
        """Documents that have most of the words, or words like them."""
        votes: dict[int, float] = defaultdict(float)
        size = len(self._piece)
        for word in dict.fromkeys(query.words):
            postings = self._piece.words.starting(word.encode())
            near = self._words.near(word, word[0], 1) if len(word) > 3 else []
            for docs, share in [(postings, 1.0)] + [
                (self._words.docs(one), 0.6 / max(1.0, one.cost)) for one in near
            ]:
                if len(docs) < max(MOST, size // 50):
                    weight = share * math.log(1 + size / (1 + len(docs)))
                    for doc in set(docs):
                        votes[doc] += weight
        found: Found = {}
        for doc in nlargest(VOTED, votes, key=votes.__getitem__):
            cost = self._apart(doc, query)
            if cost < 0.7 * MISSING * len(query.words):
                self._note(found, doc, 1.0 + cost, 0.0)
        return found

    def _starts(self, found: Found, text: str) -> None:
        lexicon, known = self._piece.joined, 1
        low, high = lexicon.range(text[:known].encode())
        while high - low > BUCKET and known < len(text) - 1:
            known += 1
            low, high = lexicon.range(text[:known].encode())
        for near in self._joined.near(text, text[:known], 1 if len(text) < 8 else 2):
            for doc in self._joined.docs(near)[:MOST]:
                self._note(found, doc, near.cost - 0.1, len(self._piece.plain[doc]) / 1_000)

    def _one_word(self, found: Found, query: Query) -> None:
        words = query.words
        for no, word in enumerate(words):
            others = words[:no] + words[no + 1 :]
            base = docs_with(self._piece, others) if others else None
            if not slips_allowed(word) or (base is not None and not base):
                continue
            sure = [other.encode() for other in others]
            taken: set[int] = set()
            for near in self._words.near(word, word[0], slips_allowed(word)):
                postings = self._words.docs(near)
                docs = set(postings[:MOST]) if base is None else base.intersection(postings)
                for doc in docs - taken:
                    among = unlikeliness(self._piece.plain[doc], self._piece.split[doc], sure)
                    self._note(found, doc, near.cost, among / 10)
                taken |= docs
                if len(taken) > MOST:
                    break

    def _apart(self, doc: int, query: Query) -> float:
        """How far the query's words are from the document's, word by word, and how much of the title is
        not said.
        """
        row = self._piece.plain[doc].decode()
        words = row.split()
        total = 0.0
        for typed in query.words:
            costs = (slip_cost(typed, word, 2) for word in words)
            total += min(
                (cost for cost in costs if cost is not None and cost < len(typed) - 1), default=MISSING
            )
        title = self._piece.plain[doc][self._piece.split[doc] :]
        return total + abs(len(title) - len(query.text)) / 50

    def _note(self, found: Found, doc: int, cost: float, among: float) -> None:
        match = Match("slip", GRADE, cost + among)
        if doc not in found or match.order < found[doc].order:
            found[doc] = match
