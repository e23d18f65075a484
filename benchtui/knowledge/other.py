"""Two books of one field side by side: which titles, questions and pressings are the same, and what differs.

Titles are matched by number, artist and title; questions by their words and answers, since two hands use
other words and ids; pressings of one title by name and period, or by what they show. What is less than clear
is asked about.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any, Literal

from benchtui.books.ladder import is_grown
from benchtui.books.library import UNIVERSAL, Library
from benchtui.books.shape import Answer, BookTitle, Clue, Pressing, Word
from benchtui.knowledge.alike import LIKE, Card, Shelf, card_of
from benchtui.knowledge.cells import write_cell
from benchtui.knowledge.folded import fold
from benchtui.knowledge.one_pressing import agreement, looks_grown, may_be_one, names_like
from benchtui.titles.fold import digits_of

_SAME_ANSWER = 78.0
_SMALL = frozenset(["of", "the", "with", "in", "a", "an", "on", "over", "at", "and", "to", "is", "from"])
_PLAIN = frozenset({"yes", "no", "none", "other", "something else", "there", "not there"})
How = Literal["same", "doubtful", "new", "skipped"]


@dataclass
class ClueMatch:
    """One of their questions. ``answers``: their answer's id -> mine, None for one that mine lacks."""

    theirs: Clue
    how: How
    mine: Clue | None = None
    answers: dict[str, str | None] = field(default_factory=dict)
    maybe: tuple[Clue, ...] = ()

    def added(self) -> tuple[list[tuple[Answer, int]], list[Answer]]:
        """Their answers that mine gets, each with its digit; and those for which no digit is left."""
        digits = {one.digit for one in self.mine.answers} if self.mine is not None else set[int]()
        lacking = [one for one in self.theirs.answers if self.answers.get(one.id, "") is None]
        free = [digit for digit in range(1, 10) if digit not in digits]
        return list(zip(lacking, free, strict=False)), lacking[len(free) :]


@dataclass
class TitleMatch:
    """One of their titles."""

    theirs: BookTitle
    how: How
    mine: BookTitle | None = None
    maybe: tuple[Card, ...] = ()


@dataclass
class PressingMatch:
    """One of their pressings of a title that is mine too; ``differs``: field, mine, theirs, as texts."""

    title: TitleMatch
    theirs: Pressing
    how: How
    mine: Pressing | None = None
    maybe: tuple[Pressing, ...] = ()
    expect: dict[str, dict[str, Word]] = field(default_factory=dict)
    """What theirs expects, in the ids of my questions."""
    differs: list[tuple[str, str, str]] = field(default_factory=list)
    fills: dict[str, dict[str, Word]] = field(default_factory=dict)
    """Questions that mine says nothing of."""

    @property
    def takes_grown(self) -> bool:
        """Whether mine grew here out of a copy and theirs was written down: mine passes to theirs."""
        return self.mine is not None and is_grown(self.mine) and not is_grown(self.theirs)


@dataclass
class Comparison:
    """Everything of one book beside mine."""

    source: str
    clues: list[ClueMatch] = field(default_factory=list)
    titles: list[TitleMatch] = field(default_factory=list)
    pressings: list[PressingMatch] = field(default_factory=list)
    only_mine: list[BookTitle] = field(default_factory=list)

    @property
    def undecided(self) -> list[str]:
        """Ids of theirs that a person has to say something of: what is merged now leaves them out."""
        every: list[TitleMatch | ClueMatch | PressingMatch] = [*self.titles, *self.clues, *self.pressings]
        return [one.theirs.id for one in every if one.how == "doubtful"]

    @property
    def no_digit(self) -> list[str]:
        """Answers of theirs that are left out, because my question has no digit left, in words."""
        every = [(one, answer) for one in self.clues if one.mine is not None for answer in one.added()[1]]
        return [f"'{answer.text}' of '{one.mine.ask}'" for one, answer in every if one.mine is not None]

    @property
    def asked(self) -> list[str]:
        """What a person has to say, in words."""
        told = [
            f"title {_called(card_of(one.theirs))} may be yours: {' or '.join(map(_called, one.maybe))}"
            for one in self.titles
            if one.how == "doubtful"
        ]
        told += [
            f"question {one.theirs.id} ('{one.theirs.ask}') may be "
            + " or ".join(f"{clue.id} ('{clue.ask}')" for clue in one.maybe)
            for one in self.clues
            if one.how == "doubtful"
        ]
        return told + [
            f"pressing '{one.theirs.name}' ({one.theirs.id}) of {one.title.theirs.title} may be yours: "
            + " or ".join(f"'{each.name}' ({each.id})" for each in one.maybe)
            for one in self.pressings
            if one.how == "doubtful"
        ]


def _called(card: Card) -> str:
    """``'Ada Voss, Swell Pedal, LR 204' (t-12)``: its name, and its id for who answers by a command."""
    return f"'{', '.join(filter(None, (card.artist, card.title, *card.numbers[:1])))}' ({card.id})"


@dataclass(frozen=True)
class Told:
    """What a person said: their id -> mine, ``new`` or ``skip``; ``doubtful`` for all that is not named."""

    same: Mapping[str, str] = field(default_factory=dict)
    doubtful: str = ""

    def of(self, their_id: str) -> str:
        """What is said of one of theirs, "" for nothing."""
        return self.same.get(their_id, self.doubtful)


def compare(
    mine: Library, theirs: Library, book: str, told: Told | None = None, own: Collection[str] = ()
) -> Comparison:
    """Their book ``book`` beside mine. ``own``: ids of my books that are looked at (all where empty)."""
    beside = Beside(mine, theirs, book, own)
    for _ in beside.look(told or Told()):
        pass
    return beside.found


class Beside:
    """Their book beside mine, worked out in steps of a few milliseconds: a long one takes many seconds."""

    def __init__(self, mine: Library, theirs: Library, book: str, own: Collection[str] = ()) -> None:
        head = next(one for one in theirs.books() if one.id == book)
        self.found = Comparison(head.name or head.id)
        self._mine, self._theirs = mine, theirs
        self._rows = [row.id for row in mine.titles() if own == () or row.book in own]
        self._their_rows = [row.id for row in theirs.titles() if row.book == book]
        self._titles: dict[str, BookTitle] = {}
        self._shelf = Shelf(())
        self._stale = False

    def look(self, told: Told) -> Iterator[float]:
        """All of it; the share done after each step."""
        found, steps = self.found, len(self._rows) + len(self._their_rows) + 1
        found.clues = _clues(self._mine, self._theirs, told)
        yield 1 / steps
        for no, title_id in enumerate(self._rows, 1):
            if (title := self._mine.title(title_id)) is not None:
                self._titles[title_id] = title
            yield no / steps
        self._shelf = Shelf(card_of(title) for title in self._titles.values())
        clues = self._clues()
        for no, title_id in enumerate(self._their_rows, 1):
            if (theirs := self._theirs.title(title_id)) is not None:
                match = self._match(theirs, told)
                found.titles.append(match)
                found.pressings += _pressings(match, clues, self._mine, told)
            yield (len(self._rows) + no) / steps
        self._count()

    def again(self, told: Told, theirs: str) -> Iterator[float]:
        """What changes by what was just said of one of theirs, the share done after each step.

        The titles and questions asked are right after the first step. What is said of a question changes
        every pressing, which takes more steps.
        """
        found = self.found
        if any(one.theirs.id == theirs for one in found.clues):
            found.clues, self._stale = _clues(self._mine, self._theirs, told), True
        for no, match in enumerate(found.titles):
            if match.theirs.id == theirs:
                found.titles[no] = self._match(match.theirs, told)
        if self._stale:
            yield 0.0
        clues, fresh = self._clues(), list[PressingMatch]()
        kept: dict[str, list[PressingMatch]] = {}
        for one in found.pressings:
            kept.setdefault(one.title.theirs.id, []).append(one)
        for no, match in enumerate(found.titles):
            said = theirs in (match.theirs.id, *(one.id for one in match.theirs.pressings))
            if said or self._stale:
                fresh += _pressings(match, clues, self._mine, told)
            else:
                fresh += kept.get(match.theirs.id, [])
            if self._stale:
                yield no / len(found.titles)
        found.pressings, self._stale = fresh, False
        self._count()

    def _match(self, title: BookTitle, told: Told) -> TitleMatch:
        """One of their titles beside mine."""
        same, maybe = self._shelf.find(card_of(title))
        match, said = TitleMatch(title, "new"), told.of(title.id)
        if said in self._titles:
            match.how, match.mine = "same", self._titles[said]
        elif len(same) == 1:
            match.how, match.mine = "same", self._titles[same[0].id]
        elif near := same or maybe:
            match.how, match.maybe = "doubtful", tuple(near[:3])
            if said == "same":
                match.how, match.mine = "same", self._titles[near[0].id]
            elif said in ("new", "skip"):
                match.how = "new" if said == "new" else "skipped"
        return match

    def _clues(self) -> dict[str, ClueMatch]:
        return {one.theirs.id: one for one in self.found.clues}

    def _count(self) -> None:
        matched = {one.mine.id for one in self.found.titles if one.mine is not None}
        self.found.only_mine = [title for title in self._titles.values() if title.id not in matched]


# -- questions --------------------------------------------------------------------------------------------


def _clues(mine: Library, theirs: Library, told: Told) -> list[ClueMatch]:
    here = [clue for clue in mine.clues() if clue.form in ("choice", "number")]
    known = {clue.id: clue for clue in mine.clues()}
    made: list[ClueMatch] = []
    for clue in theirs.clues():
        if clue.book == UNIVERSAL.stem:
            continue
        said = told.same.get(clue.id, "")
        if said in known:
            made.append(_with_answers(ClueMatch(clue, "same", known[said])))
        elif clue.id in known and _fits(clue, known[clue.id])[0] > 60:
            made.append(_with_answers(ClueMatch(clue, "same", known[clue.id])))
        else:
            made.append(_match(clue, here, said or told.doubtful))
    return [*_once(made), *_added_to_shipped(known, theirs)]


def _added_to_shipped(known: Mapping[str, Clue], theirs: Library) -> Iterator[ClueMatch]:
    """Questions that both have from the universal book, to which theirs adds answers that mine does not."""
    for clue in theirs.clues():
        mine = known.get(clue.id)
        if clue.book != UNIVERSAL.stem or mine is None:
            continue
        same = {one.id for one in clue.answers} & {one.id for one in mine.answers if _has(clue, one)}
        left = tuple(one for one in clue.answers if one.id not in same)
        if left:
            rest = tuple(one for one in mine.answers if one.id not in same)
            named = pair_answers(clue._replace(answers=left), mine._replace(answers=rest))
            yield ClueMatch(clue, "same", mine, {**named, **{one: one for one in same}})


def _has(clue: Clue, answer: Answer) -> bool:
    found = clue.answer(answer.id)
    return found is not None and fold(found.text) == fold(answer.text)


def _match(clue: Clue, here: Sequence[Clue], said: str) -> ClueMatch:
    if clue.form not in ("choice", "number"):
        return ClueMatch(clue, "new")
    ranked = sorted(((*_fits(clue, one), one) for one in here), key=lambda fit: -(fit[0] + 100 * fit[1]))
    close = [(words, share, one) for words, share, one in ranked[:8] if _may(clue, words, share)]
    if close:
        words, share, best = close[0]
        second = close[1][0] + 100 * close[1][1] if len(close) > 1 else 0.0
        clear = words + 100 * share - second >= 15
        answers = (share >= 0.75 and words >= 45) or (share == 1.0 and _telling(clue) >= 3)
        if clear and ((words >= 88 and share >= 0.5) or (answers and _telling(clue) > 1)):
            return _with_answers(ClueMatch(clue, "same", best))
        if said == "same":
            return _with_answers(ClueMatch(clue, "same", best))
        how: How = "new" if said == "new" else "skipped" if said == "skip" else "doubtful"
        return ClueMatch(clue, how, maybe=tuple(one for _, _, one in close[:3]))
    return ClueMatch(clue, "new")


def _fits(theirs: Clue, mine: Clue) -> tuple[float, float]:
    """How alike the two questions are in percent, and which share of their answers mine has."""
    from rapidfuzz import fuzz

    words = max(fuzz.token_set_ratio(fold(theirs.ask), fold(one)) for one in (mine.ask, *mine.slips))
    answers = [answer for answer in theirs.answers if not answer.neutral]
    other_part = mine.part != theirs.part and {mine.part, theirs.part} != {"cover", "box"}
    if not answers or other_part:
        return words / 2, 0.0
    paired = pair_answers(theirs, mine)
    return words, sum(paired.get(answer.id) is not None for answer in answers) / len(answers)


def pair_answers(theirs: Clue, mine: Clue) -> dict[str, str | None]:
    """Their answers with mine, each of mine once, the likest first; None for one that mine does not have."""
    pairs = sorted(
        ((_answers_alike(one, other), one.id, other.id) for one in theirs.answers for other in mine.answers),
        key=lambda pair: -pair[0],
    )
    found: dict[str, str | None] = {answer.id: None for answer in theirs.answers}
    used: set[str] = set()
    for score, one, other in pairs:
        if score >= _SAME_ANSWER and found[one] is None and other not in used:
            found[one] = other
            used.add(other)
    return found


def _answers_alike(one: Answer, other: Answer) -> float:
    """In percent, words in any order; never alike are other digits, and there beside not there."""
    from rapidfuzz import fuzz

    if one.absent != other.absent or one.neutral != other.neutral:
        return 0.0
    if one.absent or one.neutral:
        return 100.0
    mine, theirs = _bare(one.text), _bare(other.text)
    if (told := _digits(mine)) and (other_told := _digits(theirs)) and told != other_told:
        return 0.0
    return max(fuzz.token_sort_ratio(mine, theirs), 0.9 * fuzz.token_set_ratio(mine, theirs))


_digits = lru_cache(maxsize=4096)(digits_of)


@lru_cache(maxsize=4096)
def _bare(text: str) -> str:
    words = fold(text).split()
    return " ".join(word for word in words if word not in _SMALL) or " ".join(words)


def _may(theirs: Clue, words: float, share: float) -> bool:
    return (words >= 80 and share > 0) or (share >= 0.6 and _telling(theirs) > 1)


def _telling(clue: Clue) -> int:
    """How many answers have words of their own: not yes, no, none."""
    return sum(not (one.neutral or one.absent or fold(one.text) in _PLAIN) for one in clue.answers)


def _with_answers(match: ClueMatch) -> ClueMatch:
    assert match.mine is not None
    match.answers = pair_answers(match.theirs, match.mine)
    return match


def _once(made: list[ClueMatch]) -> list[ClueMatch]:
    """Two of their questions that both look like one of mine: neither is clear."""
    for one in made:
        rivals = [other for other in made if other.how == "same" and other.mine is one.mine is not None]
        if one.how == "same" and len(rivals) > 1:
            best = max(rivals, key=lambda each: sum(_fits(each.theirs, each.mine)) if each.mine else 0)
            for other in rivals:
                if other is not best and other.mine is not None:
                    other.how, other.maybe, other.mine = "doubtful", (other.mine,), None
    return made


# -- pressings --------------------------------------------------------------------------------------------


def _pressings(
    match: TitleMatch, clues: Mapping[str, ClueMatch], mine: Library, told: Told
) -> list[PressingMatch]:
    """Their pressings of a title that is mine too."""
    if match.how != "same" or match.mine is None:
        return []
    left = list(match.mine.pressings)
    waiting: list[PressingMatch] = []
    for theirs in match.theirs.pressings:
        one = PressingMatch(match, theirs, "new", expect=_in_my_words(theirs, clues, mine))
        ranked = sorted(((_alike(one, other), other) for other in left), key=lambda pair: -pair[0])
        said = told.of(theirs.id)
        chosen = next((other for other in left if other.id == said), None)
        if chosen is None and ranked and ranked[0][0] >= 1.0:
            chosen = ranked[0][1]
        if chosen is None and said not in ("new", "skip"):
            one.maybe = tuple(other for score, other in ranked[:2] if score >= 0.6)
            if one.maybe:
                one.how = "doubtful"
                if said == "same":
                    chosen = one.maybe[0]
        elif said == "skip":
            one.how = "skipped"
        if chosen is not None:
            one.how, one.mine = "same", chosen
            left.remove(chosen)
            _differs(one, mine)
        waiting.append(one)
    return waiting


def _in_my_words(
    pressing: Pressing, clues: Mapping[str, ClueMatch], mine: Library
) -> dict[str, dict[str, Word]]:
    made: dict[str, dict[str, Word]] = {}
    for clue_id, words in pressing.expect.items():
        match = clues.get(clue_id)
        if match is None:
            if mine.clue(clue_id) is not None:  # a question of the universal book
                made[clue_id] = dict(words)
        elif match.how == "new":
            made[clue_id] = dict(words)
        elif match.mine is not None:
            named = {match.answers.get(answer) or answer: word for answer, word in words.items()}
            made[match.mine.id] = named
    return made


def _alike(one: PressingMatch, other: Pressing) -> float:
    """1 or more: the same pressing; from .6 on it may be."""
    theirs = one.theirs
    if not may_be_one(theirs, other):
        return 0.0
    both, shown = agreement(one.expect, other.expect)
    named = names_like(theirs.name, other.name)
    if named * 100 >= LIKE and (not both or shown >= 0.5):
        return 1 + named + shown
    if both >= 2 and shown >= 0.8 and theirs.period == other.period:
        return 1 + shown
    if is_grown(other) and not is_grown(theirs) and looks_grown(other, theirs, one.expect):
        return max(0.6, 0.9 * named)  # it rests on a copy or two: it is asked
    least = 0.6 if theirs.period.known and theirs.period == other.period and shown >= 0.5 else 0.0
    return max(least, min(0.99, 0.6 * shown + 0.4 * named) if both >= 2 else 0.5 * named)


def _differs(one: PressingMatch, mine: Library) -> None:
    known = one.mine
    assert known is not None
    for clue_id, words in one.expect.items():
        there = known.expect.get(clue_id)
        clue = mine.clue(clue_id)
        if not there or clue is None:
            one.fills[clue_id] = words
        elif dict(there) != words:
            one.differs.append((clue_id, write_cell(there, clue), write_cell(words, clue)))
    if one.theirs.period.known and known.period.known and one.theirs.period != known.period:
        one.differs.append(("period", known.period.edtf(), one.theirs.period.edtf()))


def lines_of(found: Comparison) -> list[str]:
    """The comparison in words."""

    def count(several: Sequence[Any], how: str) -> int:
        return sum(one.how == how for one in several)

    lines = [
        f"{found.source}: {len(found.titles)} titles: {count(found.titles, 'same')} the same as yours, "
        f"{count(found.titles, 'new')} you do not have, {count(found.titles, 'doubtful')} doubtful; "
        f"{len(found.only_mine)} are only yours",
        f"{len(found.clues)} questions: {count(found.clues, 'same')} the same, "
        f"{count(found.clues, 'new')} new, "
        f"{count(found.clues, 'doubtful')} doubtful",
        f"{len(found.pressings)} pressings of titles in both books: "
        f"{count(found.pressings, 'same')} the same, "
        f"{count(found.pressings, 'new')} new, {count(found.pressings, 'doubtful')} doubtful",
    ]
    lines += [f"the same question: {one.theirs.id} ('{one.theirs.ask}') is {one.mine.id} ('{one.mine.ask}')"
              for one in found.clues if one.mine is not None and one.theirs.ask != one.mine.ask]  # fmt: skip
    lines += [f"'{one.mine.ask}' gets the answer '{answer.text}'"
              for one in found.clues if one.mine is not None
              for answer, _ in one.added()[0]]  # fmt: skip
    lines += [f"left out, no digit is left for it: the answer {one}" for one in found.no_digit]
    lines += [
        f"{one.title.theirs.title}, {one.mine.name}: {name}: yours {mine}, theirs {theirs}"
        for one in found.pressings
        if one.mine is not None
        for name, mine, theirs in one.differs
    ]
    return lines + [f"asked: {line}" for line in found.asked]
