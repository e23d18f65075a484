"""How likely somebody who means a title types just these starts of words.

Each start typed is taken to be of the title or of the artist's name with equal odds; of the title any
word, little words seldom; of a name rather the words after the first. So of two titles that hold what was
typed, the one with fewer other words to choose from is the likelier, and artist + title is likelier than
two words of a long title.
"""

import math
from collections.abc import Sequence

from benchtui.titles.fold import ARTICLES

LITTLE = frozenset(
    word.encode() for word in ARTICLES | {"of", "and", "in", "to", "on", "for", "at", "von", "van"}
)
LITTLE_WEIGHT = 0.4
FIRST_NAME = 0.3
FLOOR = 1e-4
TWICE = 8.0
"""Against a title one word of which would have to serve for two starts typed."""
WHOLE = 1.5
"""A word typed to its end is the likelier one than a longer word that begins so."""


def starts_of(words: Sequence[str]) -> list[tuple[bytes, int]]:
    """The words typed, each with how many of the others begin so."""
    starts = [word.encode() for word in words]
    return [(start, sum(other.startswith(start) for other in starts) - 1) for start in starts]


def unlikeliness(row: bytes, split: int, words: Sequence[tuple[bytes, int]]) -> float:
    """Minus the logarithm of the likelihood of those words (``starts_of``); ``row`` is folded artist, space,
    title, which begins at ``split``.
    """
    names, title = row[: split - 1].split(), row[split:].split()
    name_weights = [FIRST_NAME] + [1.0] * (len(names) - 1) if len(names) > 1 else [1.0] * len(names)
    title_weights = [LITTLE_WEIGHT if word in LITTLE else 1.0 for word in title]
    total = 0.0
    for word, alike in words:
        if alike:
            total += TWICE * (sum(one.startswith(word) for one in (*names, *title)) <= alike)
        share = _share(word, title, title_weights) + _share(word, names, name_weights)
        total -= math.log(share / 2 + FLOOR)
    return total


def _share(start: bytes, words: list[bytes], weights: list[float]) -> float:
    found = 0.0
    for word, weight in zip(words, weights, strict=True):
        if word.startswith(start):
            found += weight * WHOLE if len(word) == len(start) else weight
    return found / sum(weights) if found else 0.0
