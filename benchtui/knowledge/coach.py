"""What to do next about a book: what it cannot tell apart, what it leaves open, what contradicts itself.

Each advice has a worth in wrong calls saved in a hundred copies, times the copies of the title in stock (and
one to come), so that all kinds stand in one order. It is a rule for ordering, not a promise.
"""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from math import comb, sqrt
from operator import add
from typing import Any, Literal, NamedTuple

from benchtui.books.ladder import is_grown, is_proposed, lanes_of, on_ladder
from benchtui.books.library import UNIVERSAL, Library
from benchtui.books.passed_on import taught_of
from benchtui.books.shape import WORD_WEIGHT, BookTitle, Clue, Pressing
from benchtui.evidence.word_weights import weights
from benchtui.knowledge.apart import INSEPARABLE, Apart, Telling, least_wrong
from benchtui.knowledge.one_pressing import looks_grown, may_be_one
from benchtui.model.span import Span, dots_text, spans_text
from benchtui.model.title import Title

Kind = Literal["inseparable", "cell", "contradiction", "stock", "unanswered", "grown", "proposed", "single"]
UNLIKELY = 0.01
ALIKE = 0.8
"""Overlap from which a grown pressing looks like a written one, by the clues that it speaks of."""
LEAST = 0.05
"""Wrong calls in a hundred copies below which a cell is not worth a line."""
_WRONG_WORD, _ONE_PRESSING, _NOT_ANSWERED = 20.0, 1.0, 0.5


class Advice(NamedTuple):
    """``deal``: what deals with it, in words; ``pressings``: ids, the first is the one to change."""

    kind: Kind
    worth: float
    title: str
    name: str
    words: str
    deal: str
    pressings: tuple[str, ...] = ()
    clue: str = ""
    answers: tuple[str, ...] = ()


@dataclass
class Stock:
    """What the shop's copies show. ``copies``: of each title; ``counts``: of confirmed copies, as the
    evidence counts them; ``answered``: how many copies answered each clue; ``two``: pairs of pressings that
    the dealer said are two (``pair_key``).
    """

    copies: Counter[str] = field(default_factory=Counter)
    counts: Mapping[str, Any] = field(default_factory=dict)
    answered: Counter[str] = field(default_factory=Counter)
    two: frozenset[str] = frozenset()


def pair_key(one: str, other: str) -> str:
    """What stands in the shop's settings for the question whether two pressings are one."""
    return f"one/{one}/{other}"


def reviewing(library: Library, stock: Stock, book: str = "") -> Iterator[tuple[Advice | None, float]]:
    """Every advice of a book (of all but the universal one where none is named), one by one in the books'
    order, each with the share of the titles looked at.

    None for a step of which no advice came: a step takes some milliseconds, however long a title is.
    """
    usual, rows = _Usual(library), list[Title]()
    for row in library.titles():
        usual.learn(row)
        if book in ("", row.book) and row.id not in library.joins:  # else told under the title that it is
            rows.append(row)
        yield None, 0.0
    for no, row in enumerate(rows):
        if (title := library.title(row.id)) is not None:
            yield from ((one, no / len(rows)) for one in _of_title(title, row, library, stock, usual))
    yield from ((one, 1.0) for one in _unanswered(library, stock, book))


def _of_title(
    title: BookTitle, row: Title, library: Library, stock: Stock, usual: "_Usual"
) -> Iterator[Advice | None]:
    """Every advice of one title, None for a step without one."""
    weight = 1 + stock.copies[title.id]
    if len(title.pressings) > 1:
        apart = Apart(title, row, library, at_once=False)
        yield from apart.reading(row, library)
        yield from _inseparable(apart, weight, usual)
        yield from _cell(apart, weight)
        yield from _grown(apart, weight, stock)
    elif len(title.pressings) == 1:
        words = f"only one pressing is known: {title.pressings[0].name}"
        deal = "add what else there is: a row of a table, or 'new pressing' with a copy in hand"
        yield Advice("single", _ONE_PRESSING * weight, title.id, _name(title), words, deal)
    yield from _on_ladder(title, library, stock, weight)
    yield from _contradictions(title, library, weight)
    yield from _against_stock(title, library, stock)


def _name(title: BookTitle) -> str:
    return " - ".join(part for part in (title.artist, title.title, *title.catalogues[:1]) if part)


# -- what cannot be told apart ----------------------------------------------------------------------------


class _Usual:
    """How the answers of each clue are spread over the pressings of the books that speak of it."""

    def __init__(self, library: Library) -> None:
        self._library = library
        self._sums: dict[str, list[float]] = {}

    def learn(self, row: Title) -> None:
        """Counts a title's pressings."""
        title = self._library.title(row.id)
        for pressing in title.pressings if title else ():
            for clue_id, words in pressing.expect.items():
                if (clue := self._library.clue(clue_id)) is not None:
                    ids = [answer.id for answer in clue.answers if not answer.neutral]
                    if (weighed := weights(words, ids)) is not None:
                        kept = self._sums.get(clue_id) or [0.0] * len(ids)
                        self._sums[clue_id] = list(map(add, kept, weighed))

    def tells(self, clue: Clue, known: Pressing | None) -> float:
        """The chance that one look tells two pressings apart: of neither of which (of one of which) the book
        speaks.
        """
        sums = self._sums.get(clue.id)
        if sums is None:
            return 0.0
        mean = [each / sum(sums) for each in sums]
        ids = [answer.id for answer in clue.answers if not answer.neutral]
        row = weights(known.expect.get(clue.id, {}), ids) if known else None
        return 1.0 - sum(a * b for a, b in zip(mean, row or mean, strict=True))


def _inseparable(apart: Apart, weight: int, usual: _Usual) -> Iterator[Advice | None]:
    pressings = apart.title.pressings
    for a, b in apart.pairs():
        overlap = apart.overlap(a, b)
        if overlap < INSEPARABLE:
            yield None
            continue
        one, other = pressings[a], pressings[b]
        clue = _clue_that_would(apart, one, other, usual)
        wrong = round(100 * least_wrong(overlap))
        words = (
            f"{one.name} and {other.name} can hardly be told apart: at best {wrong} of 100 calls are wrong"
        )
        deal = (
            f"look at '{clue.ask}' of both and enter it: it tells other pressings apart"
            if clue is not None
            else "find what differs and make it a clue, or retire one of the two"
        )
        worth = 100 * sqrt(apart.prior[a] * apart.prior[b]) * overlap * weight
        ids = (one.id, other.id)
        yield Advice(
            "inseparable",
            worth,
            apart.title.id,
            _name(apart.title),
            words,
            deal,
            ids,
            clue.id if clue else "",
        )


def _clue_that_would(apart: Apart, one: Pressing, other: Pressing, usual: _Usual) -> Clue | None:
    """Of the clues that the book leaves open for one of them, the one that tells others apart best."""
    ranked = []
    for telling in apart.tellings:
        said = [p for p in (one, other) if p.expect.get(telling.clue.id)]
        if len(said) < 2 and (tells := usual.tells(telling.clue, said[0] if said else None)) > 0.1:
            ranked.append((tells, telling.clue))
    return max(ranked, key=lambda pair: pair[0])[1] if ranked else None


Cell = tuple[float, Telling, int]


def cells_of(apart: Apart) -> Iterator[Cell]:
    """Every empty cell with what filling it saves."""
    for telling, empty in apart.empty_cells():
        yield from ((saves, telling, h) for saves, h in zip(apart.worths(telling, empty), empty, strict=True))


def _cell(apart: Apart, weight: int) -> Iterator[Advice | None]:
    found: Cell | None = None
    for one in cells_of(apart):
        found = one if found is None or one[0] > found[0] else found
        yield None
    if found is None or found[0] < LEAST:
        return
    saves, telling, h = found
    pressing, clue = apart.title.pressings[h], telling.clue
    words = f"'{clue.ask}' of {pressing.name} is not known; knowing it saves {saves:.1f} wrong calls in 100"
    answers = tuple(answer.id for answer in clue.answers if not answer.neutral)
    deal = "enter what such a copy shows"
    yield Advice(
        "cell",
        saves * weight,
        apart.title.id,
        _name(apart.title),
        words,
        deal,
        (pressing.id,),
        clue.id,
        answers,
    )


# -- what contradicts ---------------------------------------------------------------------------------


def _contradictions(title: BookTitle, library: Library, weight: int) -> Iterator[Advice]:
    total = sum(pressing.share for pressing in title.pressings) or 1.0
    for pressing in title.pressings:
        for clue_id, words in pressing.expect.items():
            clue = library.clue(clue_id)
            for answer_id, word in words.items():
                answer = clue.answer(answer_id) if clue else None
                if clue is None or answer is None or word not in ("always", "usually"):
                    continue
                apart = [span for span in answer.spans if span.meet(_early(pressing.period, clue)) is None]
                if answer.spans and len(apart) == len(answer.spans) and answer.hardness in ("hard", "firm"):
                    named = f"{pressing.name} ({dots_text(pressing.period)})"
                    said = f"{named} {word} shows '{answer.text}' of {spans_text(answer.spans)}"
                    deal = f"correct its period, what it shows of '{clue.ask}', or the answer's time"
                    worth = _WRONG_WORD * pressing.share / total * weight
                    yield Advice(
                        "contradiction", worth, title.id, _name(title), said, deal, (pressing.id,), clue_id
                    )


def _early(period: Span, clue: Clue) -> Span:
    """Covers and inners may be older than the disc they went out with: only too young a one contradicts."""
    return Span(None, period.latest) if clue.part in ("cover", "box", "inner") else period


def _against_stock(title: BookTitle, library: Library, stock: Stock) -> Iterator[Advice]:
    for pressing in title.pressings:
        for clue_id, seen in taught_of(stock.counts, pressing).get("clues", {}).items():
            clue = library.clue(clue_id)
            ids = [answer.id for answer in clue.answers if not answer.neutral] if clue else []
            row = weights(pressing.expect.get(clue_id, {}), ids)
            copies = sum(seen.values())
            if clue is None or row is None or copies < 2:
                continue
            for answer, times in seen.items():
                said = row[ids.index(answer)] if answer in ids else 0.0
                if times / copies > said and chance_of(times, copies, said) < UNLIKELY:
                    yield _stock_advice(title, pressing, clue, answer, times, copies)


def _stock_advice(
    title: BookTitle, pressing: Pressing, clue: Clue, answer_id: str, times: int, copies: int
) -> Advice:
    answer = clue.answer(answer_id)
    word = pressing.expect.get(clue.id, {}).get(answer_id)
    text = answer.text if answer else answer_id
    words = f"{times} of your {copies} copies of {pressing.name} show '{text}'; the book says {word or 'no'}"
    deal = f"let the book say {word_for(times, copies)} '{text}', or give those copies another pressing"
    return Advice(
        "stock",
        _WRONG_WORD * times,
        title.id,
        _name(title),
        words,
        deal,
        (pressing.id,),
        clue.id,
        (answer_id,),
    )


def chance_of(times: int, copies: int, p: float) -> float:
    """The chance of so many or more among so many copies (binomial)."""
    return sum(comb(copies, n) * p**n * (1 - p) ** (copies - n) for n in range(times, copies + 1))


def word_for(times: int, copies: int) -> str:
    """The book's word nearest to a share."""
    share = times / copies
    return min(WORD_WEIGHT, key=lambda word: abs(WORD_WEIGHT[word] - share))


# -- what else ------------------------------------------------------------------------------------------


def _grown(apart: Apart, weight: int, stock: Stock) -> Iterator[Advice]:
    """A grown pressing beside each written one, by the clues that both speak of."""
    pressings = apart.title.pressings
    for a, one in enumerate(pressings):
        if not is_grown(one):
            continue
        written = [
            (b, other)
            for b, other in enumerate(pressings)
            if not is_grown(other) and pair_key(one.id, other.id) not in stock.two
        ]
        ranked = [(_shared_overlap(apart, a, b), other) for b, other in written if may_be_one(one, other)]
        overlap, other = max(ranked, key=lambda pair: pair[0], default=(0.0, one))
        if overlap >= ALIKE:
            words = f"{one.name}, seen on the bench, looks like {other.name} of the book"
            deal = f"say whether they are one: then its copies are {other.name}"
            worth = 100 * apart.prior[a] * overlap * weight
            yield Advice("grown", worth, apart.title.id, _name(apart.title), words, deal, (one.id, other.id))


def _on_ladder(title: BookTitle, library: Library, stock: Stock, weight: int) -> Iterator[Advice]:
    """A grown pressing that takes no stretch of its company's ladder by itself, and looks like one."""
    if not title.pressings or any(not is_grown(one) for one in title.pressings):
        return
    every = on_ladder(title, lanes_of(library.clues(), title.company))
    waiting = [one for one in every if is_proposed(one.id)]
    for one in every:
        if is_proposed(one.id) or one.stretch:
            continue
        likely = [
            (looks_grown(one, other, other.expect), other)
            for other in waiting
            if pair_key(one.id, other.id) not in stock.two
        ]
        score, other = max(likely, key=lambda pair: pair[0], default=(0.0, one))
        if score:
            words = f"{one.name}, seen on the bench, looks like the ladder's {other.name}"
            deal = f"say whether they are one: then it was made {dots_text(other.period)}"
            yield Advice("proposed", _ONE_PRESSING * weight, title.id, _name(title), words, deal,
                         (one.id, other.id))  # fmt: skip


def _shared_overlap(apart: Apart, a: int, b: int) -> float:
    both = [
        telling
        for telling in apart.tellings
        if all(apart.title.pressings[h].expect.get(telling.clue.id) for h in (a, b))
    ]
    if not both:
        return 0.0
    found = 1.0
    for telling in both:
        found *= telling.overlap(a, b)
    return found


def _unanswered(library: Library, stock: Stock, book: str) -> Iterator[Advice]:
    """The clues of a book that no copy in the shop has ever answered, where there are copies enough."""
    copies: Counter[str] = Counter()
    for row in library.titles():
        copies[row.book] += stock.copies[row.id]
    for clue in library.clues():
        if clue.book == UNIVERSAL.stem or book not in ("", clue.book) or clue.volunteer or clue.form == "cut":
            continue
        if copies[clue.book] >= 5 and not stock.answered[clue.id]:
            words = f"nobody has answered '{clue.ask}' on any of {copies[clue.book]} copies"
            deal = "say it in plainer words, or ask it only when jumped to (volunteer = true)"
            worth = _NOT_ANSWERED * copies[clue.book] / 5
            yield Advice("unanswered", worth, "", clue.book, words, deal, (), clue.id)
