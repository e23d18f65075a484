"""Finds titles from a few typed letters, over any number of lists."""

from collections.abc import Callable, Iterable, Iterator
from heapq import nsmallest

from benchtui.model.title import Title
from benchtui.titles import exact
from benchtui.titles.build import build_piece
from benchtui.titles.hit import Context, Hit
from benchtui.titles.inexact import Inexact
from benchtui.titles.marks import mark
from benchtui.titles.match import Found, Match
from benchtui.titles.near import Near, from_line
from benchtui.titles.piece import Piece
from benchtui.titles.query import Query, read_query
from benchtui.titles.rank import Known, class_of, order_of

Search = Callable[[Piece, Query], Found]
EXACT: tuple[Search, ...] = (
    exact.find_numbers,
    exact.find_starts,
    exact.find_words,
    exact.find_initials,
    exact.find_joined,
    exact.find_side,
)
SURE = 14
"""Letters from which on an answer without a slip makes the search for slips needless."""
FRESH = 256
"""Titles added on the bench that are indexed together: some 5 ms at each addition."""
Best = dict[str, tuple[Title, Match]]


class Finder:
    """``sources``: titles, and pieces already built. Later sources win where an id stands in several."""

    def __init__(self, sources: Iterable[Title | Piece] = ()) -> None:
        self._pieces: list[Piece] = []
        self._fresh: dict[str, Title] = {}
        self._fresh_piece = build_piece(())
        self._near = Near(self.by_id)
        self._known = Known(Context())
        self._inexact: dict[int, tuple[Piece, Inexact]] = {}
        loose: list[Title] = []
        for source in sources:
            if isinstance(source, Piece):
                self._pieces.append(source)
            else:
                loose.append(source)
        if loose:
            self._pieces.append(build_piece(loose))

    def __len__(self) -> int:
        return sum(map(len, self._pieces)) + len(self._fresh)

    def add(self, title: Title) -> None:
        """Adds a title made on the bench, or puts it in the place of the one of the same id."""
        if len(self._fresh) >= FRESH and title.id not in self._fresh:
            self._pieces.append(self._fresh_piece)
            self._fresh = {}
        self._fresh[title.id] = title
        self._fresh_piece = build_piece(self._fresh.values())
        self._near.replace(title)

    def attach(self, piece: Piece) -> None:
        """Adds a list whose index has been loaded or built meanwhile; titles already there keep winning."""
        self._pieces.insert(0, piece)

    def by_id(self, title_id: str) -> Title | None:
        """The title of that id, or None."""
        for piece in (self._fresh_piece, *reversed(self._pieces)):
            doc = piece.doc_of(title_id)
            if doc is not None:
                return piece.title(doc)
        return None

    def warm(self, context: Context) -> Iterator[None]:
        """Indexes the titles at hand, in steps of about 4 ms; without it, the first finds do a step each."""
        yield from self._near.learn(self._known_of(context))

    def find(self, typed: str, limit: int = 8, context: Context | None = None) -> list[Hit]:
        """The best answers, best first; see ``rank`` for the order. Never raises, whatever was typed."""
        hits: list[Hit] = []
        for hits in self.steps(typed, limit, context):  # noqa: B007
            pass
        return hits

    def steps(self, typed: str, limit: int = 8, context: Context | None = None) -> Iterator[list[Hit]]:
        """The same in steps of a few milliseconds, each yielding the answer so far; the last is the whole
        one.
        """
        query, known = read_query(typed), self._known_of(context or Context())
        next(self._near.learn(known), None)
        if not query.text:
            yield self._recent(known, limit)
            return
        best: Best = {}
        pieces = [*self._near.pieces, *self._pieces, self._fresh_piece]
        for search in EXACT:
            for piece in pieces:
                self._gather(best, piece, search(piece, query), limit)
        yield self._answer(best, query, known, limit)
        sure = any(class_of(match) <= 1 for _, match in best.values())
        for supposing in () if sure and len(query.joined) >= SURE else (Inexact.find, Inexact.find_several):
            for piece in pieces:
                if len(best) < limit:
                    self._gather(best, piece, supposing(self._inexact_of(piece), query), limit)
                    yield self._answer(best, query, known, limit)

    def _known_of(self, context: Context) -> Known:
        if context is not self._known.context:
            self._known = Known(context)
        return self._known

    def _inexact_of(self, piece: Piece) -> Inexact:
        """The slips of a piece, kept as long as the piece is searched."""
        held = self._inexact.get(id(piece))
        if held is None:
            alive = {id(one) for one in (*self._near.pieces, *self._pieces, self._fresh_piece)}
            self._inexact = {key: pair for key, pair in self._inexact.items() if key in alive}
            held = self._inexact[id(piece)] = (piece, Inexact(piece))
        return held[1]

    def _gather(self, best: Best, piece: Piece, found: Found, limit: int) -> None:
        """Takes over the documents that may still come first: all those at hand, the closest of a long
        list.
        """
        wanted: Iterable[tuple[int, Match]] = found.items()
        if len(found) > 4 * limit and piece not in self._near.pieces:
            wanted = nsmallest(4 * limit, found.items(), key=lambda one: (class_of(one[1]), one[1].order))
        for doc, match in wanted:
            title = piece.title(doc)
            old = best.get(title.id)
            if old is None or (class_of(match), match.order) < (class_of(old[1]), old[1].order):
                best[title.id] = (title, match)

    def _answer(self, best: Best, query: Query, known: Known, limit: int) -> list[Hit]:
        listed = {known.line_of(title) for title, _ in best.values() if from_line(title) is title}
        hits: list[Hit] = []
        for title, match in sorted(best.values(), key=lambda one: order_of(one[0], one[1], known)):
            if from_line(title) is title or known.line_of(title) not in listed:
                hits.append(self._hit(from_line(title), match, query, known))
            if len(hits) == limit:
                break
        return hits

    def _hit(self, title: Title, match: Match, query: Query, known: Known) -> Hit:
        here, stock = title.id in known.context.parcel, known.context.stock.get(title.id, "")
        return Hit(title, mark(title, query, match.tier), match.tier, known.line_of(title), here, stock)

    def _recent(self, known: Known, limit: int) -> list[Hit]:
        titles = [self.by_id(title_id) for title_id in known.best_first(limit)]
        return [self._hit(title, Match("recent", 0, 0), read_query(""), known) for title in titles if title]
