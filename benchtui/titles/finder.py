"""Finds titles from a few typed letters, over any number of lists."""

from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress

from benchtui.model.title import Title
from benchtui.titles import exact
from benchtui.titles.answer import Answer
from benchtui.titles.at_hand import AtHand
from benchtui.titles.barcode import read_barcode
from benchtui.titles.build import build_piece
from benchtui.titles.hit import Context, Hit
from benchtui.titles.indexfile import is_sound
from benchtui.titles.inexact import Inexact
from benchtui.titles.match import Found, keep_best
from benchtui.titles.piece import Piece
from benchtui.titles.query import Query, read_query, readings
from benchtui.titles.rank import TitleContext

EXACT: tuple[Callable[[Piece, Query], Found], ...] = (
    exact.find_numbers,
    exact.find_starts,
    exact.find_words,
    exact.find_initials,
    exact.find_joined,
    exact.find_respaced,
    exact.find_side,
    exact.find_numbered,
)
FEW = 4
"""Titles that are compared with a line of the sender's list."""
DAMAGE = (ValueError, LookupError, TypeError, OverflowError)
"""What reading raises where an index was damaged after it was opened and checked."""
FRESH = 128
"""Titles added on the bench that are indexed together: some 5 ms at each addition."""


class Finder:
    """``sources``: titles, and pieces already built. Later sources win where an id stands in several.
    ``trouble`` says what has gone wrong with a list meanwhile, "" for nothing.
    """

    def __init__(self, sources: Iterable[Title | Piece] = ()) -> None:
        self._lists: list[Piece] = []
        self._pieces: list[Piece] = []
        self._fresh: dict[str, Title] = {}
        self._fresh_piece = build_piece(())
        self.trouble = ""
        self._at_hand = AtHand(self.by_id, self._plainly)
        self._known = TitleContext(Context())
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
        return sum(map(len, (*self._lists, *self._pieces))) + len(self._fresh)

    def add(self, title: Title) -> None:
        """Adds a title made on the bench, or puts it in the place of the one of the same id."""
        if len(self._fresh) >= FRESH and title.id not in self._fresh:
            self._pieces.append(self._fresh_piece)
            self._fresh = {}
        self._fresh[title.id] = title
        self._fresh_piece = build_piece(self._fresh.values())
        self._at_hand.forget(title.id)

    def drop(self, *title_ids: str) -> None:
        """Lets go of titles of these ids, but for those of lists; nothing of one that is not there."""
        gone = set(title_ids)
        if gone & self._fresh.keys():
            self._fresh = {key: one for key, one in self._fresh.items() if key not in gone}
            self._fresh_piece = build_piece(self._fresh.values())
        self._pieces = [
            build_piece(one for one in piece.titles() if one.id not in gone)
            if any(piece.doc_of(one) is not None for one in gone)
            else piece
            for piece in self._pieces
        ]
        for title_id in gone:
            self._at_hand.forget(title_id)

    def attach(self, piece: Piece) -> None:
        """Adds a list that has been loaded; a list attached later wins over an earlier one, titles over
        lists.
        """
        self._lists.append(piece)
        self._at_hand.lists_changed()

    @property
    def besides_lists(self) -> list[Piece]:
        """The titles that stand in no list (books, made on the bench): what a list taken in is compared
        with.
        """
        return [*self._pieces, self._fresh_piece]

    def detach_lists(self) -> None:
        """Lets go of all attached lists, to attach them anew once one was taken in or out."""
        self._lists = []
        self._at_hand = AtHand(self.by_id, self._plainly)

    def by_id(self, title_id: str) -> Title | None:
        """The title of that id, or None."""
        try:
            return self._by_id(title_id)
        except DAMAGE:
            if not self._drop_damaged():
                raise
            return self._by_id(title_id)

    def _by_id(self, title_id: str) -> Title | None:
        for piece in (self._fresh_piece, *reversed(self._pieces), *reversed(self._lists)):
            doc = piece.doc_of(title_id)
            if doc is not None:
                return piece.title(doc)
        return None

    @staticmethod
    def remark(typed: str) -> str:
        """What has to be said of the text itself: a barcode whose check digit is wrong; "" for nothing."""
        barcode = read_barcode(typed)
        return barcode.say if barcode else ""

    def line_of(self, title: Title, context: Context) -> str:
        """The line of the sender's list that means this title, as far as that is known by now; or ""."""
        return self._known_of(context).line_of(title)

    def is_warm(self, context: Context) -> bool:
        """Whether all that the context names is indexed, and what each line of a sender's list means
        known.
        """
        return self._at_hand.is_done(self._known_of(context))

    def warm(self, context: Context) -> Iterator[None]:
        """Indexes the titles at hand, in steps of a few milliseconds; without it, each find does two of
        them.
        """
        while self._at_hand.step(self._known_of(context)):
            yield

    def steps(self, typed: str, limit: int = 8, context: Context | None = None) -> Iterator[list[Hit]]:
        """The best answers, best first (``rank`` says in which order), in steps of a few milliseconds, each
        yielding the answer so far; the last is the whole one. Never raises, whatever was typed.
        """
        try:
            yield from self._steps(typed, limit, context)
        except DAMAGE:
            if not self._drop_damaged():
                raise
            yield from self._steps(typed, limit, context)

    def _drop_damaged(self) -> bool:
        """Lets go of lists whose index was damaged on the disk; they are indexed anew at the next start."""
        damaged = [piece for piece in self._lists if not is_sound(piece)]
        for piece in damaged:
            self._lists.remove(piece)
            if piece.index is not None:
                with suppress(OSError):
                    piece.index.unlink()
                self.trouble = (
                    f"{piece.index.name} was damaged: its list will be indexed again at the next start"
                )
        return bool(damaged)

    def _steps(self, typed: str, limit: int, context: Context | None) -> Iterator[list[Hit]]:
        queries, known = readings(typed), self._known_of(context or Context())
        query = queries[0]
        self._at_hand.step(known)
        answer = Answer(query, known, limit, self.by_id)
        if not query.text:
            yield self._recent(answer, known, limit)
            return
        hits: list[Hit] = []
        near = list(self._at_hand.pieces)
        pieces = [piece for piece in (*near, *self._lists, *self._pieces, self._fresh_piece) if len(piece)]
        for piece in pieces:
            found: Found = {}
            for search in EXACT:
                for one in queries:
                    keep_best(found, search(piece, one))
                yield hits
            answer.take(piece, found, at_hand=piece in near)
        hits = answer.hits()
        yield hits
        for supposing in self._supposing(answer):
            for piece in pieces:
                slips: Found = {}
                for _ in supposing(self._inexact_of(piece), query, slips):
                    yield hits
                answer.take(piece, slips, at_hand=piece in near)
            hits = answer.hits()
            yield hits

    def _supposing(self, answer: Answer) -> Iterator[Callable[[Inexact, Query, Found], Iterator[None]]]:
        """The searches that suppose a slip, as far as they are needed: several only where nothing is
        plain.
        """
        if not answer.is_sure and not answer.is_full:
            plain = answer.is_plain
            yield Inexact.find
            if not plain and not answer.is_full:
                yield Inexact.find_several

    def _plainly(self, text: str) -> list[Title]:
        """The first few titles for a text, whatever the work at hand."""
        query = read_query(text)
        answer = Answer(query, TitleContext(Context()), FEW, self.by_id)
        pieces = [piece for piece in (*self._lists, *self._pieces, self._fresh_piece) if len(piece)]
        for piece in pieces:
            found: Found = {}
            for search in EXACT:
                keep_best(found, search(piece, query))
            if not found:
                for _ in self._inexact_of(piece).find_several(query, found):
                    pass
            answer.take(piece, found, at_hand=False)
        return [hit.title for hit in answer.hits()]

    def _known_of(self, context: Context) -> TitleContext:
        if context is not self._known.context:
            self._known = TitleContext(context)
        return self._known

    def _inexact_of(self, piece: Piece) -> Inexact:
        """The slips of a piece, kept as long as the piece is searched."""
        held = self._inexact.get(id(piece))
        if held is None:
            alive = {
                id(one) for one in (*self._at_hand.pieces, *self._lists, *self._pieces, self._fresh_piece)
            }
            self._inexact = {key: pair for key, pair in self._inexact.items() if key in alive}
            held = self._inexact[id(piece)] = (piece, Inexact(piece))
        return held[1]

    def _recent(self, answer: Answer, known: TitleContext, limit: int) -> list[Hit]:
        titles = [self.by_id(title_id) for title_id in known.best_first(limit)]
        return [answer.hit(title, "recent") for title in titles if title]
