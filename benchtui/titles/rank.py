"""Orders the answers of the finder.

Four questions, the earlier deciding before the later:

1. How sure is the reading? A whole catalogue number or barcode typed; then everything typed without a slip;
   then the weaker readings (company, year, the beginning of longer initials); then slips of the fingers.
   Of those alike, a title that ends in the single letter typed last goes before one in which it only begins
   a word; of those with slips, one that has a long word just as typed before one that has none.
2. Does it stand on the sender's list, not yet ticked off? Those first; but the sender's own words, which no
   list knows as a title, come after every title that fits as surely, where they may mean one of the titles
   that fit.
3. Has it been seen? This parcel, then this sender, then this shop: often and lately, before the rest, since
   a few titles make most of a dealer's stock.
4. How close is it? The beginning of the title, then of the artist, then starts of words, then initials;
   fewer letters left first, so that a title typed whole comes first; at last the alphabet. (Whole initials
   of four letters or more never sink below the fifth line.)
"""

import math
from collections.abc import Iterator, Mapping, Set
from datetime import date
from functools import lru_cache
from typing import Any

from benchtui.model.title import Title
from benchtui.titles.fold import ARTICLES, fold, number_key
from benchtui.titles.hit import Context, Pick
from benchtui.titles.match import Match, Reading
from benchtui.titles.query import Query

LINE = "\x00line "
"""Begins the id under which a list line with no title of its own is found; it never leaves this package."""
Order = tuple[int, bool, bool, bool, float, int, float, str, str]
SLIPS = 3
"""The class of what is found only where a slip is supposed."""
LONG_WORD = 5
"""Letters of a typed word that is hardly there by chance."""
RATED_AT_ONCE = 2000
"""Titles rated between two breaths: about 4 ms."""
HALF_LIFE = 60.0
"""Days after which a pick counts for half as lately made."""


class TitleContext:
    """What the context says of titles, made quick to ask."""

    def __init__(self, context: Context) -> None:
        self.context = context
        self.lines: dict[str, str] = {}
        for line in context.unticked:
            artist, title, catalogue = line_fields(line)
            for key in _line_keys(artist, title, catalogue):
                self.lines.setdefault(key, _text_of(line))
        self._seen: dict[str, float] = {}
        self._today = day_number(max((when for _, when in context.picks.values()), default=""))

    def means(self, line: Mapping[str, Any], title: Title) -> None:
        """The line means that title, though it is written otherwise."""
        for key in _line_keys(title.artist, title.title, title.catalogue):
            self.lines.setdefault(key, _text_of(line))

    def line_of(self, title: Title) -> str:
        """The unticked line that is this title, or ""."""
        if not self.lines:
            return ""
        keys = _line_keys(title.artist, title.title, title.catalogue)
        return next((self.lines[key] for key in keys if key in self.lines), "")

    def seen(self, title_id: str) -> float:
        """How often and how lately it was seen; 0 never."""
        score = self._seen.get(title_id)
        if score is None:
            context = self.context
            score = self._weight(context.picks.get(title_id)) + 2 * self._weight(
                context.sender_picks.get(title_id)
            )
            score = self._seen[title_id] = score + (2.0 if title_id in context.parcel else 0.0)
        return score

    def _weight(self, pick: Pick | None) -> float:
        if pick is None:
            return 0.0
        count, when = pick
        lately: float = 0.5 ** (max(0, self._today - day_number(when)) / HALF_LIFE)
        return math.log2(1 + count) * (0.5 + 0.5 * lately)

    def best_first(self, limit: int | None, without: Set[str] = frozenset()) -> list[str]:
        """Ids of what was seen most and last."""
        ids = self._ids() - without
        return [title_id for _, title_id in sorted([(-self.seen(one), one) for one in ids])[:limit]]

    def rating(self, without: Set[str]) -> Iterator[None]:
        """Works out in steps what ``best_first`` goes by, for a shop that has seen very many titles."""
        for no, title_id in enumerate(self._ids() - without, 1):
            self.seen(title_id)
            if no % RATED_AT_ONCE == 0:
                yield

    def _ids(self) -> set[str]:
        return {*self.context.picks, *self.context.sender_picks, *self.context.parcel}


def order_of(
    title: Title, match: Match, known: TitleContext, query: Query, *, own_words: bool = False
) -> Order:
    """The sort key of one answer; smaller comes first. ``own_words``: the sender's, that may mean another."""
    unlisted = not known.line_of(title)
    seen, how_sure = known.seen(title.id), class_of(match)
    return (
        how_sure,
        _is_less_close(title, how_sure, query),
        own_words,
        unlisted,
        -seen,
        match.reading,
        match.left,
        title.title,
        title.id,
    )


def _is_less_close(title: Title, how_sure: int, query: Query) -> bool:
    """Whether the title does not end in the single letter typed last; of those found by supposing slips,
    whether it has none of the long words typed.
    """
    if how_sure == SLIPS:
        typed = {word for word in query.words if len(word) >= LONG_WORD}
        return bool(typed) and typed.isdisjoint(_words_of(title.artist, title.title))
    letter = query.last_letter
    return bool(letter) and _words_of("", title.title)[-1:] != (letter,)


@lru_cache(maxsize=4_096)
def _words_of(artist: str, title: str) -> tuple[str, ...]:
    return tuple(fold(f"{artist} {title}").split())


def class_of(match: Match) -> int:
    """How sure the reading is: 0 a whole number, 1 without a slip, 2 weaker, 3 with one."""
    if match.reading == Reading.NUMBER:
        return 0
    return 1 if match.reading <= Reading.INITIALS else 2 if match.reading < Reading.SLIP else SLIPS


def line_fields(line: Mapping[str, Any]) -> tuple[str, str, str]:
    """Artist, title and catalogue number of a list line; where it was not taken apart, all of it is the
    title.
    """
    artist, title = str(line.get("artist") or ""), str(line.get("title") or "")
    return artist, title or ("" if artist else str(line.get("line") or "")), str(line.get("catalogue") or "")


def _text_of(line: Mapping[str, Any]) -> str:
    return str(line.get("line") or "") or line_fields(line)[1]


def line_title(line: Mapping[str, Any]) -> Title:
    """The title that a list line names by itself."""
    artist, title, catalogue = line_fields(line)
    first = str(line.get("first") or "")
    return Title(f"{LINE}{artist}\n{title}\n{catalogue}", artist, title, catalogue, first=first)


@lru_cache(maxsize=8_000)
def _line_keys(artist: str, title: str, catalogue: str) -> tuple[str, ...]:
    """What a title and the line that means it have in common: the number, or the words in whatever order."""
    words = sorted(word for word in fold(f"{artist} {title}").split() if word not in ARTICLES)
    number = number_key(catalogue)
    keys = ("words " + " ".join(words),)
    return (f"no {number}", *keys) if number else keys


def day_number(when: str) -> int:
    """The day of an ISO date or time; 0 where it cannot be read."""
    return _day(when[:10])


@lru_cache(maxsize=4_000)
def _day(text: str) -> int:
    try:
        return date.fromisoformat(text).toordinal()
    except ValueError:
        return 0
