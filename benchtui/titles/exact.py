"""Looks up what was typed without a slip."""

from collections.abc import Iterable
from heapq import nsmallest

from benchtui.titles.build import SIDE
from benchtui.titles.likely import unlikeliness
from benchtui.titles.match import Found, Match
from benchtui.titles.piece import ARTIST, START_LENGTH, Piece
from benchtui.titles.query import Query, needle

ENOUGH = 200
"""Documents a single reading may give; past that the order among them is only the alphabet's."""
SCORED = 400
"""Documents whose likelihood is worked out; of more, those with the shortest texts, the likeliest, are
kept.
"""
SCAN = 20_000
"""Postings that are looked through for one word."""
VERIFY_COST = 20
"""Reading a row costs as much as passing over so many postings (measured: .7 against .03 microseconds)."""


def find_numbers(piece: Piece, query: Query) -> Found:
    """Catalogue numbers and barcodes that begin so; a whole one is a class of its own."""
    if not query.number:
        return {}
    key = query.number.encode()
    found = {doc: Match("number", 0, 0.0) for doc in piece.numbers.exactly(key)}
    low, high = piece.numbers.range(key)
    lexicon = piece.numbers
    for no in range(low, min(high, low + ENOUGH)):
        left = lexicon.at[no + 1] - lexicon.at[no] - len(key) + (no - low) / (2 * ENOUGH)
        for doc in lexicon.docs[lexicon.first[no] : lexicon.first[no + 1]]:
            found.setdefault(doc, Match("number", 1, left))
    return found


def find_starts(piece: Piece, query: Query) -> Found:
    """Titles and artists that begin with all that was typed; an article too many is a worse reading than
    words.
    """
    found: Found = {}
    for worse, text in zip((0, 3), query.starts, strict=False):
        key = text.encode()
        low, high = piece.start_range(key)
        for start in piece.starts[low : min(high, low + ENOUGH)]:
            doc, kind = start >> 2, start & 3
            begun = piece.start_text(start)
            if len(key) > START_LENGTH and not begun.startswith(key):
                continue
            match = Match("start", worse + int(kind >= ARTIST), len(begun) - len(key))
            if doc not in found or match.order < found[doc].order:
                found[doc] = match
    return found


def find_words(piece: Piece, query: Query) -> Found:
    """Every word typed begins a word of artist or title, in any order; failing that, articles may be
    wrong.
    """
    docs = docs_with(piece, query.words)
    if len(docs) < 8 and query.content != query.words:
        docs = {*docs, *docs_with(piece, query.content)}
    words, at = [word.encode() for word in query.words], piece.plain.at
    if len(docs) > SCORED:
        docs = set(nsmallest(SCORED, docs, key=lambda doc: at[doc + 1] - at[doc]))
    return {doc: Match("words", 2, unlikeliness(piece.plain[doc], piece.split[doc], words)) for doc in docs}


def find_initials(piece: Piece, query: Query) -> Found:
    """The typed letters are the initials of the title, or of artist and title."""
    if not 2 <= len(query.joined) <= 12 or (len(query.words) > 1 and len(query.joined) != len(query.words)):
        return {}
    key = query.joined.encode()
    found: Found = {}
    for doc in piece.initials.exactly(key)[:ENOUGH]:
        found[doc] = Match("initials", 5, len(piece.plain[doc]))
    for doc in piece.initials.starting(key)[:ENOUGH] if len(key) > 2 else ():
        found.setdefault(doc, Match("weak", 7, len(piece.plain[doc])))
    return found


def find_joined(piece: Piece, query: Query) -> Found:
    """The same start with other spaces: ``overthe`` and ``over the``."""
    if len(query.joined) < 4:
        return {}
    docs = piece.joined.starting(query.joined[:24].encode())[:ENOUGH]
    return {doc: Match("start", 1, 50 + len(piece.plain[doc])) for doc in docs}


def find_side(piece: Piece, query: Query) -> Found:
    """Some of the words are the company's, the country's or the year of the first issue."""
    side = [word for word in query.words if len(word) > 1 and piece.words.starting((SIDE + word).encode())]
    if not side:
        return {}
    main = tuple(word for word in query.words if word not in side)
    docs = docs_with(piece, tuple(SIDE + word for word in side), main)
    return {doc: Match("weak", 6, len(piece.plain[doc])) for doc in docs}


def docs_with(piece: Piece, words: Iterable[str], more: Iterable[str] = ()) -> set[int]:
    """Documents in which each of the words begins some word."""
    listed = [(piece.words.starting(word.encode()), word) for word in dict.fromkeys([*words, *more])]
    listed.sort(key=lambda pair: len(pair[0]))
    if not listed or not len(listed[0][0]):
        return set()
    docs = set(listed[0][0][:SCAN])
    for postings, word in listed[1:]:
        if word.startswith(SIDE) or len(postings) < VERIFY_COST * len(docs):
            docs.intersection_update(postings)
        else:
            sought, plain = needle(word), piece.plain
            docs = {doc for doc in docs if sought in b" " + plain[doc]}
    if len(docs) > ENOUGH and len(listed) == 1:
        return set(sorted(docs)[:ENOUGH])
    return docs
