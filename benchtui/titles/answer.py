"""Gathers what the pieces found for one query and puts it in order."""

import math
from collections.abc import Callable
from functools import lru_cache
from heapq import heapify, heappop

from benchtui.model.title import Title
from benchtui.titles.at_hand import is_line, without_line_id
from benchtui.titles.fold import fold, number_key
from benchtui.titles.hit import Hit, Marks
from benchtui.titles.marks import mark
from benchtui.titles.match import Found, Match, Reading
from benchtui.titles.meant import may_mean
from benchtui.titles.piece import Piece
from benchtui.titles.query import Query
from benchtui.titles.rank import LINE, Order, TitleContext, class_of, order_of
from benchtui.titles.same import differ_in, differ_perhaps_in

SURE, SURE_NUMBER = 14, 5
"""Letters from which on an answer without a slip, or a whole number, makes the search for slips needless."""
INITIALS_LINE, INITIALS_LENGTH = 4, 4
"""The line, from 0, below which whole initials of so many letters do not sink."""
FORTH = 4
"""How many times the lines asked for are taken over from a long list; only so many can come first."""


class Answer:
    """The best titles so far for one query."""

    def __init__(
        self, query: Query, known: TitleContext, limit: int, by_id: Callable[[str], Title | None]
    ) -> None:
        self._query, self._known, self._limit, self._by_id = query, known, limit, by_id
        self._best: dict[str, tuple[Title, Match]] = {}
        self._marks: dict[tuple[str, str], Marks] = {}

    @property
    def is_full(self) -> bool:
        """Whether there are as many as were asked for."""
        return len(self._best) >= self._limit

    @property
    def is_plain(self) -> bool:
        """Whether there is an answer that supposes no slip."""
        return self._surest <= 1

    @property
    def is_sure(self) -> bool:
        """Whether so much was typed, or so plain a number, that a reading without a slip must be right."""
        return self.is_plain and len(self._query.joined) >= (SURE if self._surest else SURE_NUMBER)

    @property
    def _surest(self) -> int:
        return min((class_of(match) for _, match in self._best.values()), default=3)

    def take(self, piece: Piece, found: Found, at_hand: bool) -> None:
        """Takes over what may still come first: of the titles at hand those seen most, of a long list the
        closest.
        """
        orders = self._seen_first(piece, found) if at_hand else [match.order for match in found.values()]
        closest = list(zip(orders, found, strict=True))
        heapify(closest)
        taken: set[str] = set()
        while closest and len(taken) < FORTH * self._limit:
            doc = heappop(closest)[1]
            title_id = piece.id_of(doc)
            if title_id in taken:
                continue  # another spelling of it is closer
            taken.add(title_id)
            title, match, old = piece.title(doc), found[doc], self._best.get(title_id)
            if old is None or self._replaces(title, match, *old):
                self._best[title_id] = (title, match)

    def _seen_first(self, piece: Piece, found: Found) -> list[tuple[float, ...]]:
        def key(doc: int, match: Match) -> tuple[float, ...]:
            title_id = piece.id_of(doc)
            seen = -math.inf if title_id.startswith(LINE) else -self._known.seen(title_id)
            return class_of(match), seen, *match.order

        return [key(doc, match) for doc, match in found.items()]

    def _replaces(self, title: Title, match: Match, old: Title, old_match: Match) -> bool:
        """Of two forms of one title the one that stands; of one form the better match."""
        return match.order < old_match.order if title == old else self._by_id(title.id) == title

    def hits(self) -> list[Hit]:
        """The lines in order. What a later list has changed is left out in its older form; of one title in
        two lists the one whose pressings are known is shown. A line of the sender's list is offered itself
        only where no title stands for it.
        """
        known = self._known
        titles = [title for title, _ in self._best.values()]
        listed = {known.line_of(title) for title in titles if not is_line(title)} if known.lines else set()
        lines: list[tuple[Title, str]] = []
        for title, match in self._in_order():
            line = known.line_of(title)
            if not ((line and line not in listed) if is_line(title) else self._by_id(title.id) == title):
                continue
            same = next((no for no, (other, _) in enumerate(lines) if _is_one(title, other)), None)
            if same is None:
                lines.append((title, match.reading.tier))
            elif title.pressings and not lines[same][0].pressings:
                lines[same] = (title, match.reading.tier)
            if len(lines) == self._limit:
                break
        return [self.hit(title, tier, _told_apart(title, lines)) for title, tier in lines]

    def _in_order(self) -> list[tuple[Title, Match]]:
        """By rank, but that of whole initials the best is never below the fifth line: four letters that
        begin many names are as likely the initials of the one that has them.
        """
        titles = [(title, class_of(match)) for title, match in self._best.values() if not is_line(title)]

        def rank(one: tuple[Title, Match]) -> Order:
            sure = class_of(one[1])
            own = is_line(one[0]) and any(how <= sure and may_mean(one[0], title) for title, how in titles)
            return order_of(*one, self._known, self._query, own_words=own)

        order = sorted(self._best.values(), key=rank)
        if len(self._query.words) == 1 and len(self._query.joined) >= INITIALS_LENGTH:
            shown = [no for no, (_, match) in enumerate(order) if match.reading == Reading.INITIALS]
            if shown and shown[0] > INITIALS_LINE:
                order.insert(INITIALS_LINE, order.pop(shown[0]))
        return order

    def hit(self, title: Title, tier: str, apart: str = "") -> Hit:
        """One line; ``apart``: what tells it from another line of the same words."""
        key = (title.id, tier)
        if key not in self._marks:
            self._marks[key] = mark(title, self._query, tier)
        here, stock = title.id in self._known.context.parcel, self._known.context.stock.get(title.id, "")
        return Hit(without_line_id(title), self._marks[key], self._known.line_of(title), here, stock, apart)


def _words(title: Title) -> tuple[str, str]:
    return _folded(title.artist), _folded(title.title)


_folded = lru_cache(maxsize=4_096)(fold)
"""The titles of one answer are those of the next, a letter later."""


def _is_one(one: Title, other: Title) -> bool:
    """Whether two titles, perhaps of two lists, are shown as one: the same words and number, and nothing that
    tells them apart. Without a number the words have to be the same sign by sign.
    """
    number = number_key(one.catalogue)
    if _words(one) != _words(other) or number != number_key(other.catalogue):
        return False
    spelt = number or (one.artist.casefold(), one.title.casefold()) == (
        other.artist.casefold(),
        other.title.casefold(),
    )
    return bool(spelt) and not (differ_in(one, other) or differ_perhaps_in(one, other))


def _told_apart(title: Title, lines: list[tuple[Title, str]]) -> str:
    """Company, date, country, size, channels: where another line has the same words and says another."""
    facts = _facts(title)
    others = [_facts(other) for other, _ in lines if other is not title and _words(other) == _words(title)]
    return "  ".join(
        fact for at, fact in enumerate(facts) if fact and any(other[at] != fact for other in others)
    )


def _facts(title: Title) -> tuple[str, ...]:
    """The company too: its own column is the first to go where there is little room. The year has one."""
    date = title.first if len(title.first) > 4 else ""
    return title.company, date, title.country, f'{title.size_in}"' if title.size_in else "", title.channels
