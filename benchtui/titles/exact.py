"""Looks up what was typed without a slip."""

from collections.abc import Iterable, Iterator
from heapq import nsmallest
from itertools import islice

from benchtui.titles.build import INITIALS_LENGTH, JOINED_LENGTH, SIDE
from benchtui.titles.fold import number_form
from benchtui.titles.lexicon import Lexicon
from benchtui.titles.likely import starts_of, unlikeliness
from benchtui.titles.match import Found, Match, Reading, keep_best
from benchtui.titles.piece import ARTIST, START_LENGTH, Piece
from benchtui.titles.query import Query, needle

ENOUGH = 200
"""Documents a single reading may give; past that the order among them is only the alphabet's."""
SCORED = 64
"""Documents whose likelihood is worked out; of more, those with the shortest texts are kept."""
COMPARED = 2_048
"""Documents among which the shortest are looked for."""
SCAN = 5_000
"""Postings that are looked through for one word."""
SHORTEST_RUN, SHORTEST_PART, MOST_PARTS = 5, 3, 4
"""Letters from which on words run together are looked for; letters of each, and how many of them."""
PASSED = 100_000
"""Postings of a word that are compared with those of another: 3 ms."""
VERIFY_COST = 20
"""Reading a row costs as much as passing over so many postings (measured: .7 against .03 microseconds)."""


def find_numbers(piece: Piece, query: Query) -> Found:
    """Catalogue numbers and barcodes that begin so; a whole one is the surest reading of all."""
    found: Found = {}
    for number in query.numbers:
        key, lexicon = number.encode(), piece.numbers
        keep_best(found, {doc: Match(Reading.NUMBER, 0.0) for doc in lexicon.exactly(key)[:ENOUGH]})
        low, high = lexicon.range(key) if query.has_digit else (0, 0)
        for no in range(low, min(high, low + ENOUGH)):
            left = lexicon.at[no + 1] - lexicon.at[no] - len(key) + (no - low) / (2 * ENOUGH)
            for doc in lexicon.docs[lexicon.first[no] : lexicon.first[no + 1]]:
                found.setdefault(doc, Match(Reading.NUMBER_BEGUN, left))
    return found


def find_starts(piece: Piece, query: Query) -> Found:
    """Titles and artists that begin with all that was typed; an article too many is a worse reading than
    words.
    """
    found: Found = {}
    pairs = ((Reading.TITLE, Reading.ARTIST), (Reading.TITLE_ARTICLE, Reading.ARTIST_ARTICLE))
    for readings, text in zip(pairs, query.starts, strict=False):
        key = text.encode()
        low, high = piece.start_range(key)
        for start in piece.starts[low : min(high, low + ENOUGH)]:
            doc, kind = start >> 2, start & 3
            if len(key) > START_LENGTH and not piece.start_text(start).startswith(key):
                continue
            begin, end = piece.start_place(start)
            match = Match(readings[kind >= ARTIST], end - begin - len(key))
            if doc not in found or match.order < found[doc].order:
                found[doc] = match
    return found


def find_words(piece: Piece, query: Query) -> Found:
    """Every word typed begins a word of artist or title, in any order; failing that, articles may be
    wrong.
    """
    docs = docs_with(piece, query.words)
    if len(docs) < 8 and query.content != query.words:
        docs |= docs_with(piece, query.content)
    if len(docs) > SCORED:
        at = piece.plain.at
        some = islice(docs, COMPARED)
        docs = set(nsmallest(SCORED, some, key=lambda doc: at[doc + 1] - at[doc]))
    words = starts_of(query.words)
    found = {}
    for doc in docs:
        left = unlikeliness(piece.plain[doc], piece.split[doc], words)
        found[doc] = Match(Reading.WORDS, left)
    return found


def find_initials(piece: Piece, query: Query) -> Found:
    """The typed letters are the initials of the title, or of artist and title."""
    length = len(query.joined)
    if not 2 <= length <= INITIALS_LENGTH or (len(query.words) > 1 and length != len(query.words)):
        return {}
    key, at = query.joined.encode(), piece.plain.at
    found: Found = {}
    for doc in piece.initials.exactly(key)[:ENOUGH]:
        found[doc] = Match(Reading.INITIALS, at[doc + 1] - at[doc])
    for doc in piece.initials.starting(key)[:ENOUGH] if len(key) > 2 else ():
        found.setdefault(doc, Match(Reading.LONGER_INITIALS, at[doc + 1] - at[doc]))
    return found


def find_joined(piece: Piece, query: Query) -> Found:
    """The same start with other spaces: ``overthe`` and ``over the``."""
    if len(query.joined) < 4:
        return {}
    docs, at = piece.joined.starting(query.joined[:JOINED_LENGTH].encode())[:ENOUGH], piece.plain.at
    return {doc: Match(Reading.JOINED, at[doc + 1] - at[doc]) for doc in docs}


def find_respaced(piece: Piece, query: Query) -> Found:
    """Words run together (``lampwick``) or parted (``lan tern``) anywhere in artist and title."""
    found: Found = {}
    at = piece.plain.at
    for words in _respaced(piece.words, query.words) if len(query.joined) >= SHORTEST_RUN else ():
        for doc in docs_with(piece, words):
            if _follow(b" " + piece.plain[doc], words):
                found[doc] = Match(Reading.JOINED, at[doc + 1] - at[doc])
    return found


def _follow(row: bytes, words: tuple[str, ...]) -> bool:
    """Whether the words stand in that order; short ones, of which a row has many, side by side."""
    at = 0
    if min(map(len, words)) < SHORTEST_PART:
        return (" " + " ".join(words)).encode() in row
    for word in words:
        at = row.find((" " + word).encode(), at) + 1
        if not at:
            return False
    return True


def _respaced(lexicon: Lexicon, words: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    for no, word in enumerate(words):
        before, after = words[:no], words[no + 1 :]
        if after and lexicon.begins((word + after[0]).encode()):
            yield (*before, word + after[0], *after[1:])
        if len(word) >= SHORTEST_RUN and not lexicon.begins(word.encode()):
            for parts in _parted(lexicon, word, MOST_PARTS):
                yield (*before, *parts, *after)


def _parted(lexicon: Lexicon, word: str, most: int) -> Iterator[tuple[str, ...]]:
    """The word as whole words of the list one after the other, the last of them perhaps only begun."""
    if lexicon.begins(word.encode()):
        yield (word,)
    for cut in range(1, len(word) if most > 1 else 0):
        if len(lexicon.exactly(word[:cut].encode())):
            for rest in _parted(lexicon, word[cut:], most - 1):
                yield (word[:cut], *rest)


def find_side(piece: Piece, query: Query) -> Found:
    """Some of the words are the company's, the country's or the year of the first issue."""
    side = [word for word in query.words if len(word) > 1 and piece.words.begins((SIDE + word).encode())]
    if not side:
        return {}
    main = tuple(word for word in query.words if word not in side)
    docs, at = docs_with(piece, [*(SIDE + word for word in side), *main]), piece.plain.at
    return {doc: Match(Reading.SIDE, at[doc + 1] - at[doc]) for doc in islice(docs, ENOUGH)}


def find_numbered(piece: Piece, query: Query) -> Found:
    """One of the words is, or begins, the catalogue number or one of its groups: ``harlow 1041``."""
    found: Found = {}
    for no, word in enumerate(query.words):
        if len(query.words) > 1 and len(word) > 2 and any(char.isdigit() for char in word):
            postings = piece.numbers.starting(number_form(word).encode())[:SCAN]
            others = query.words[:no] + query.words[no + 1 :]
            docs = docs_with(piece, others) | docs_with(piece, [SIDE + other for other in others])
            found |= {doc: Match(Reading.NUMBER_BEGUN, ENOUGH) for doc in docs.intersection(postings)}
    return found


def docs_with(piece: Piece, words: Iterable[str]) -> set[int]:
    """Documents in which each of the words begins some word; some of them only, where there are very many."""
    listed = [(piece.words.starting(word.encode()), word) for word in dict.fromkeys(words)]
    listed.sort(key=lambda pair: len(pair[0]))
    if not listed or not len(listed[0][0]):
        return set()
    if len(listed) == 1:
        return set(listed[0][0][:ENOUGH])
    docs = set(listed[0][0][:SCAN])
    for postings, word in listed[1:]:
        if word.startswith(SIDE) or len(postings) < VERIFY_COST * len(docs):
            docs.intersection_update(postings[:PASSED])
        else:
            sought, plain = needle(word), piece.plain
            docs = {doc for doc in docs if sought in b" " + plain[doc]}
    return docs
