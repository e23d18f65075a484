"""How letters typed fit words: as beginnings, else somewhere inside a word, else with a slip or two."""

from functools import lru_cache
from typing import Literal

Fit = Literal[0, 1, 2]
BEGINS: Fit = 0
INSIDE: Fit = 1
SLIPPED: Fit = 2
"""Every typed word begins a word; at least stands within one; is one but for a slip. The lower the better."""
SHORTEST_INSIDE, SHORTEST_SLIPPED = 3, 4
"""Letters: below these nearly every word would fit."""
LONG_WORD = 7
"""Letters from which on two slips are forgiven."""


# A list looks through the same few hundred texts at each letter, many of them for several parts.
@lru_cache(maxsize=4096)
def words_in(text: str) -> tuple[str, ...]:
    """The words of a text as they are compared, a dash parting them."""
    return tuple(text.casefold().replace("-", " ").split())


@lru_cache(maxsize=4096)
def begins(typed: str, text: str) -> bool:
    """Whether every typed word begins a word of the text, in any order."""
    words = words_in(text)
    return all(any(word.startswith(start) for word in words) for start in words_in(typed))


def fit(typed: str, text: str) -> Fit | None:
    """How well the typed words, in any order, fit words of the text; None where one of them does not."""
    worst, words = BEGINS, words_in(text)
    for one in words_in(typed):
        found = _fit_word(one, words)
        if found is None:
            return None
        worst = max(worst, found)
    return worst


def _fit_word(typed: str, words: tuple[str, ...]) -> Fit | None:
    if any(word.startswith(typed) for word in words):
        return BEGINS
    if len(typed) >= SHORTEST_INSIDE and any(typed in word for word in words):
        return INSIDE
    return SLIPPED if any(_slipped(typed, word) for word in words) else None


@lru_cache(maxsize=8192)
def _slipped(typed: str, word: str) -> bool:
    """Whether the word begins so but for a letter wrong, missing, added or two swapped; of long words two. A
    number with another figure is another number.
    """
    if len(typed) < SHORTEST_SLIPPED or any(map(str.isdigit, typed)):
        return False
    from rapidfuzz.distance import OSA  # no start has to pay for it

    slips = 2 if len(typed) >= LONG_WORD else 1
    ends = range(len(typed) - slips, len(typed) + slips + 1)
    return any(OSA.distance(typed, word[:end], score_cutoff=slips) <= slips for end in ends)
