"""Which listed title a line of the sender's list means, where it is not written just so."""

from collections.abc import Callable, Iterator
from functools import lru_cache

from benchtui.model.title import Title
from benchtui.titles.fold import ARTICLES, fold, number_key
from benchtui.titles.rank import TitleContext, line_title

ALIKE = 86.0
"""Percent of likeness, the words in order of the alphabet, from which a line is held to mean a title."""

ENOUGH_WORDS = 3
"""Words, articles aside, from which on a line that is a part of a title means it."""

SLIP = 70.0
"""Percent of likeness from which on a word is held to be another one with a slip."""


class Meant:
    """Remembers what each line means; ``search`` gives titles for a text."""

    def __init__(self, search: Callable[[str], list[Title]]) -> None:
        self._search = search
        self._titles: dict[str, Title | None] = {}

    def lend(self, known: TitleContext) -> None:
        """Tells the lines whose titles are found already."""
        for line in known.context.unticked:
            title = self._titles.get(line_title(line).id)
            if title is not None:
                known.means(line, title)

    def find(self, known: TitleContext) -> Iterator[Title | None]:
        """Looks for the titles of the other lines, one line a step; yields each title found.

        What was found for another context meanwhile, after ``lend``, is told too.
        """
        for line in known.context.unticked:
            own = line_title(line)
            if own.id not in self._titles:
                self._titles[own.id] = self._closest(own)
                yield self._titles[own.id]
            if (found := self._titles[own.id]) is not None:
                known.means(line, found)

    def forget(self) -> None:
        """Other lists are there: what was not found may be in them, what was found may be gone."""
        self._titles = {}

    def _closest(self, line: Title) -> Title | None:
        number, text = number_key(line.catalogue), fold(f"{line.artist} {line.title}")
        best: tuple[float, Title] | None = None
        for typed in (line.catalogue, text):
            for title in self._search(typed) if typed else []:
                alike = likeness(text, fold(f"{title.artist} {title.title}"))
                same = 100.0 if number and number == number_key(title.catalogue) else 0.0
                if not same and differ(text, fold(f"{title.artist} {title.title}")):
                    continue
                if max(*alike, same) >= ALIKE and (best is None or sum(alike) + same > best[0]):
                    best = (sum(alike) + same, title)
        return best[1] if best else None


@lru_cache(maxsize=16_000)
def may_mean(line: Title, title: Title) -> bool:
    """Whether a line of other words may still mean the title: the line has no artist, or artist or title are
    alike or a part of the other's, and no two numbers say otherwise.
    """
    from rapidfuzz import fuzz

    if len({number_key(one.catalogue) for one in (line, title)} - {""}) > 1:
        return False
    pairs = [(fold(line.artist), fold(title.artist)), (fold(line.title), fold(title.title))]
    return not line.artist or any(
        max(fuzz.token_sort_ratio(*pair), fuzz.token_set_ratio(*pair)) >= ALIKE for pair in pairs if all(pair)
    )


def likeness(line: str, title: str) -> tuple[float, float]:
    """Percent of likeness of the whole, and of the line's words to those of them the title has: a list often
    leaves out a part of the artist or of the title. A line of two words says too little for that.
    """
    from rapidfuzz import fuzz

    enough = sum(word not in ARTICLES for word in set(line.split())) >= ENOUGH_WORDS
    return fuzz.token_sort_ratio(line, title), fuzz.token_set_ratio(line, title) if enough else 0.0


def differ(one: str, other: str) -> bool:
    """Whether each of two folded texts has a word that the other lacks, slips of the pen aside: as
    ``The Ninth Staircase`` and ``Staircase Suite`` do. Words of two letters say too little.
    """
    mine, theirs = set(one.split()), set(other.split())
    return _has_own(mine, theirs) and _has_own(theirs, mine)


def _has_own(words: set[str], others: set[str]) -> bool:
    telling = [
        word
        for word in words - others - ARTICLES
        if (len(word) > 2 or word.isdigit()) and not _inside(word, others)
    ]
    return any(not any(_is_slip(word, other) for other in others - words) for word in telling)


def _inside(word: str, others: set[str]) -> bool:
    """Whether it is there, cut short or run together with others."""
    return any(word.startswith(other) or other.startswith(word) for other in others if len(other) > 2)


def _is_slip(word: str, other: str) -> bool:
    from rapidfuzz import fuzz

    return not word.isdigit() and fuzz.ratio(word, other) >= SLIP
