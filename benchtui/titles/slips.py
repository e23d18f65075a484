"""Looks up what was typed with a slip of the fingers: a letter wrong, missing, added, or two swapped.

RapidFuzz runs over the vocabulary and over the starts that share a beginning, never over the whole list: a
scan of all titles would hold the interpreter, and with it the screen, for as long as it takes.
"""

from rapidfuzz import process
from rapidfuzz.distance import OSA

from benchtui.titles.exact import docs_with
from benchtui.titles.lexicon import Ints, Lexicon
from benchtui.titles.match import Found, Match, keep_best
from benchtui.titles.piece import Piece
from benchtui.titles.query import Query

CHUNK = 4_000
"""Strings a call to RapidFuzz may look at: about 1 ms."""
BUCKET = 8_000
SLIP_GRADE = 6
_ROWS = ("qwertyuiop", "asdfghjkl", "zxcvbnm")


def find_slips(piece: Piece, query: Query) -> Found:
    """All documents one slip away (two in a long word); first letters are taken as typed."""
    found: Found = {}
    if len(query.joined) >= 4:
        keep_best(found, _starts(piece, query.joined))
        bare = query.bare.replace(" ", "")
        if len(bare) >= 4 and bare != query.joined:
            keep_best(found, _starts(piece, bare))
    keep_best(found, _words(piece, query))
    return found


def _starts(piece: Piece, text: str) -> Found:
    text = text[:20]
    lexicon = piece.joined
    known = 1
    low, high = lexicon.range(text[:known].encode())
    while high - low > BUCKET and known < len(text) - 1:
        known += 1
        low, high = lexicon.range(text[:known].encode())
    found: Found = {}
    for no, cost in near(lexicon, low, high, text, 1 if len(text) < 8 else 2):
        for doc in lexicon.docs[lexicon.first[no] : lexicon.first[no + 1]]:
            match = Match("slip", SLIP_GRADE, cost + len(piece.plain[doc]) / 10_000)
            if doc not in found or match.order < found[doc].order:
                found[doc] = match
    return found


def near(lexicon: Lexicon, low: int, high: int, text: str, slips: int) -> list[tuple[int, float]]:
    """Numbers of the words in the range that begin with the text but for some slips, with what these cost."""
    found: list[tuple[int, float]] = []
    length = len(text)
    for base in range(low, high, CHUNK):
        words = [word.decode()[: length + slips] for word in lexicon.words(base, min(base + CHUNK, high))]
        close = process.extract(text, words, scorer=OSA.distance, score_cutoff=2 * slips, limit=None)
        for word, _, place in close:
            cost = slip_cost(text, word, slips)
            if cost is not None:
                found.append((base + place, cost))
    return found


def slip_cost(typed: str, word: str, slips: int) -> float | None:
    """What it costs to read ``typed`` as a beginning of ``word``; None where that takes more slips.

    A slip of a given kind hits one of few places when letters are swapped or left out, but one of 25 times
    as many strings when a letter is wrong or added; so the former are the likelier reading of a given
    string.
    """
    best: float | None = None
    length = len(typed)
    for cut in range(max(1, length - slips), min(len(word), length + slips) + 1):
        begin = word[:cut]
        distance = OSA.distance(typed, begin, score_cutoff=slips)
        if distance <= slips:
            cost = distance + _kind(typed, begin)
            best = cost if best is None or cost < best else best
    return best


def _kind(typed: str, word: str) -> float:
    if typed == word:
        return 0.0
    if len(word) > len(typed) or (len(word) == len(typed) and sorted(word) == sorted(typed)):
        return 0.0
    if len(word) < len(typed):
        return 0.3
    return 0.2


def _words(piece: Piece, query: Query) -> Found:
    words = query.words
    found: Found = {}
    for no, word in enumerate(words):
        if len(word) < 3:
            continue
        others = words[:no] + words[no + 1 :]
        base = docs_with(piece, others) if others else None
        if base is not None and not base:
            continue
        for cost, postings in _word_slips(piece, word):
            docs = set(postings) if base is None else base.intersection(postings)
            for doc in docs:
                match = Match("slip", SLIP_GRADE, cost + 0.05 + len(piece.plain[doc]) / 10_000)
                if doc not in found or match.order < found[doc].order:
                    found[doc] = match
        if base is None and len(found) > 2_000:
            break
    return found


def _word_slips(piece: Piece, word: str) -> list[tuple[float, Ints]]:
    lexicon = piece.words
    low, high = lexicon.range(word[:1].encode())
    out: list[tuple[float, Ints]] = []
    for no, cost in near(lexicon, low, high, word, 1 if len(word) < 7 else 2):
        out.append((cost, lexicon.docs[lexicon.first[no] : lexicon.first[no + 1]]))
    return out
