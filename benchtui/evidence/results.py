"""What a weighing says: frozen values, nothing to compute."""

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property
from math import log10
from typing import Any, Literal, NamedTuple

from benchtui.books.shape import Clue, Hardness, hardness_text
from benchtui.evidence.stop import NO_STOP, Stop
from benchtui.model.money import Money
from benchtui.model.record import (
    AnswerDoc,
    PressingRef,
    RecordDoc,
    called_by_hand,
    is_looked_at,
    is_touched,
    part_of,
)
from benchtui.model.span import UNKNOWN, Span, days_text, hull


class PartSpan(NamedTuple):
    """``certain`` from hard bounds only, ``likely`` with firm and soft ones in their grace; None: a clash."""

    certain: Span | None = UNKNOWN
    likely: Span | None = UNKNOWN


class CopyDate(NamedTuple):
    """When the whole copy was made: the shortest run of months that ``held`` nine tenths of the odds.

    ``unknown``: the odds of "none of these", which has no time and is left out; ``certain`` stands beside it.
    """

    run: Span
    held: float
    unknown: float
    certain: Span | None

    def say(self) -> str:
        """``1966-05 to 1968-03, nine in ten; none of these (4%) left out``."""
        aside = f"; none of these ({self.unknown:.0%}) left out" if self.unknown >= 0.005 else ""
        return f"{days_text(self.run)}, nine in ten{aside}"


class Clash(NamedTuple):
    """Two clues that exclude each other; ``doubt`` is the clue to look at again ("": either).

    ``also``: further parts that the same contradiction touches. ``ends``: part and clue of all that clash.
    ``hard``: what is impossible was seen, or something older than the title.
    """

    part_a: str
    clue_a: str
    part_b: str
    clue_b: str
    say: str
    doubt: str
    also: tuple[str, ...] = ()
    ends: tuple[tuple[str, str], ...] = ()
    hard: bool = False

    @property
    def parts(self) -> tuple[str, ...]:
        """Every part it touches."""
        return (self.part_a, self.part_b, *self.also)

    @property
    def within(self) -> str:
        """The part both clues are of, "" where they are of two."""
        return self.part_a if self.part_a == self.part_b else ""


class Likely(NamedTuple):
    """A pressing and its probability; ``id`` None is "none of these". ``price``: the book's, at this record's
    grades; ``book_price``: at the top grade, in the currency of the book. ``catalogue``: its own
    number. ``was``: ids of retired pressings that passed to it. ``asked``: what was asked by hand for other
    copies of it, a line each (`benchtui.model.wear`).
    """

    id: str | None
    name: str
    p: float
    price: Money | None = None
    kind: str = "ordinary"
    catalogue: str = ""
    was: tuple[str, ...] = ()
    book_price: Money | None = None
    asked: tuple[str, ...] = ()

    def is_called(self, pressing_id: str | None) -> bool:
        """Whether a record that names that pressing is of this one."""
        return self.id is not None and (pressing_id == self.id or pressing_id in self.was)

    def by_hand(self) -> PressingRef:
        """What a record is called that the dealer says is this one."""
        return called_by_hand(self.id, self.name, self.catalogue, round(self.p, 4))


Standing = Literal["", "main", "consistent", "open", "unseen"]


class Agreement(NamedTuple):
    """Whether a part came from another copy of the title: probability, Bayes factor in decibans, in words.

    ``stands``: what the words come to, "" where they speak against the part or the dealer or a rule decides.
    ``apart``: of a cover that by firm dates ended before its disc began, though old stock may explain it.
    """

    p_swapped: float
    decibans: float
    say: str
    by_rule: bool = False
    stands: Standing = ""
    apart: str = ""


class NextClue(NamedTuple):
    """A question still open: bits it should tell, seconds of looking, money it should save."""

    clue: Clue
    place: str
    bits: float
    seconds: float
    worth: Money | None = None
    worthwhile: bool = True

    @property
    def points(self) -> float:
        """The same in decibans, the unit of every other weight that is shown."""
        return self.bits * 10 * log10(2)


class SecondLook(NamedTuple):
    """Money at stake in the leader, and the clue worth most per second ("" and None: no clue is left).

    ``imitation``: it is wanted because imitations are known, not for the money. ``stake``: the
    beginning of ``say``, without the question that it names.
    """

    cost: Money
    clue: Clue | None
    place: str
    part: str
    say: str
    imitation: bool = False
    stake: str = ""

    def is_first(self, record: RecordDoc) -> bool:
        """Whether nobody has looked at the part that it names (at the record, where it names none) so far."""
        part = part_of(record, self.part)
        return not (is_looked_at(record) if part is None else is_touched(record, part))


HeldBack = Literal["", "runout", "unlike", "cuts", "contradicted", "new"]


class Surprise(NamedTuple):
    """An answer seen that the leader hardly ever shows: by how many decibans another was likelier.

    ``ask``: what was asked, in few words; ``text``: what was seen; ``always``: another is always shown.
    """

    part: str
    place: str
    clue: str
    ask: str
    text: str
    decibans: float
    always: bool = False


class Fit(NamedTuple):
    """``p``: the mid-p of the copy among drawn ones; below ``threshold`` it does not fit."""

    p: float
    threshold: float
    surprises: tuple[Surprise, ...] = ()

    @property
    def holds(self) -> bool:
        """Whether the copy looks like its leader."""
        return self.p >= self.threshold

    @property
    def contradicted(self) -> bool:
        """Whether something was seen instead of what the leader always shows."""
        return any(one.always for one in self.surprises)


class WhyLine(NamedTuple):
    """Decibans for the leader against the runner-up, of one clue or of what speaks only together."""

    label: str
    part: str
    clue: str
    decibans: float
    source: str


class DateLine(NamedTuple):
    """One answer that bounds the time of its part: its spans, how hard their ends are, its source."""

    part: str
    clue: str
    label: str
    spans: tuple[Span, ...]
    ends: tuple[Hardness, Hardness]
    caps_sale: bool
    source: str

    def when(self) -> str:
        """The spans in EDTF."""
        return " or ".join(span.edtf() for span in self.spans)

    def hardness(self) -> str:
        """How hard the ends are, in words."""
        return hardness_text(hull(self.spans), self.ends)


class Apart(NamedTuple):
    """A clue that tells two pressings apart: what each of them shows, and what was ``seen``, if anything.

    ``points``: decibans that a look makes between the two on average.
    """

    part: str
    place: str
    ask: str
    one: str
    other: str
    points: float
    seen: str


class Proof(NamedTuple):
    """An answer to an open question that would speak for a pressing (``proves``), or against it.

    ``after``: the pressing's share of the odds then; ``chance``: how likely that answer is.
    """

    part: str
    place: str
    ask: str
    text: str
    after: float
    chance: float
    proves: bool


class Unusual(NamedTuple):
    """What was seen, and what share of the likeliest pressing's copies show it."""

    part: str
    label: str
    share: float


class Compare(NamedTuple):
    """What the evidence can be asked beyond the odds; each is worked out when called.

    ``apart`` of two pressings (None: none of these), ``proofs`` of one, ``unusual`` for one.
    """

    apart: Callable[[str | None, str | None], tuple[Apart, ...]] = lambda one, other: ()
    proofs: Callable[[str | None], tuple[Proof, ...]] = lambda pressing: ()
    unusual: Callable[[str | None], tuple[Unusual, ...]] = lambda pressing: ()


def _no_lines() -> tuple[WhyLine, ...]:
    return ()


def _no_date() -> CopyDate | None:
    return None


def _no_fit() -> Fit | None:
    return None


def _no_witness(pressing: str) -> dict[str, Any]:
    return {"leader": None, "p": 0.0, "groups": {}}


def _no_clues(part: str) -> tuple[NextClue, ...]:
    return ()


def _always(part: str, clue: Clue) -> bool:
    return True


def _no_part() -> str | None:
    return None


def _no_order(part: str) -> list[tuple[str, str]]:
    return []


@dataclass(frozen=True)
class Weighing:
    """All that follows from one record's answers. ``why`` is worked out when first asked for."""

    parts: dict[str, PartSpan] = field(default_factory=dict)
    disc_span: PartSpan = field(default_factory=PartSpan)
    copy_span: PartSpan = field(default_factory=PartSpan)
    dates: tuple[DateLine, ...] = ()
    clashes: tuple[Clash, ...] = ()
    pressings: tuple[Likely, ...] = ()
    settled: bool = False
    nothing_left: bool = False
    agreement: dict[str, Agreement] = field(default_factory=dict)
    elsewhere: frozenset[str] = frozenset()
    """Parts of another copy, by the dealer's word, by rule or likely so: they date nothing but themselves."""
    second_look: SecondLook | None = None
    fit: Fit | None = None
    held: HeldBack = ""
    torn: bool = False
    """What was seen contradicts itself, and leaves the leader in doubt."""
    stop: Stop = NO_STOP
    suspect: str = ""
    lost: tuple[AnswerDoc, ...] = ()
    explain: Callable[[], tuple[WhyLine, ...]] = field(default=_no_lines, repr=False, compare=False)
    find_fit: Callable[[], Fit | None] = field(default=_no_fit, repr=False, compare=False)
    order: Callable[[str], list[tuple[str, str]]] = field(default=_no_order, repr=False, compare=False)
    timely: Callable[[str, Clue], bool] = field(default=_always, repr=False, compare=False)
    """Whether any candidate may show the clue at its date on the part of that id."""
    ask_next: Callable[[str], tuple[NextClue, ...]] = field(default=_no_clues, repr=False, compare=False)
    """What to look at next on a part, best first; what is asked of no part is never worked out."""
    find_next_part: Callable[[], str | None] = field(default=_no_part, repr=False, compare=False)
    dating: Callable[[], CopyDate | None] = field(default=_no_date, repr=False, compare=False)
    compare: Compare = field(default=Compare(), repr=False, compare=False)
    witness: Callable[[str], dict[str, Any]] = field(default=_no_witness, repr=False, compare=False)
    """What the copy says of the bench, were it named that pressing."""

    @property
    def leader(self) -> Likely | None:
        """The likeliest candidate, "none of these" included; None where there is no title."""
        return self.pressings[0] if self.pressings else None

    def named(self, called: PressingRef) -> Likely | None:
        """The one that the dealer named, "none of these" included; None where they named none of those."""
        if called["how"] != "hand":
            return None
        which = called["id"]
        fits = (one for one in self.pressings if (one.is_called(which) if which else one.id is None))
        return next(fits, None)

    @property
    def waits_for_look(self) -> bool:
        """Whether only a second look for money keeps the leader open: looked again, it is called so."""
        leader, second = self.leader, self.second_look
        likely = leader is not None and leader.id is not None and leader.p >= self.stop.at
        return likely and second is not None and not (second.imitation or self.held or self.torn)

    @cached_property
    def next(self) -> dict[str, tuple[NextClue, ...]]:
        """What to look at next on each part."""
        return {key: self.ask_next(key) for key in self.parts}

    @cached_property
    def next_part(self) -> str | None:
        """The part best taken up next; None where no other tells anything."""
        return self.find_next_part()

    @cached_property
    def copy_date(self) -> CopyDate | None:
        """When the whole copy was made; None where it fits no pressing of the title, or nothing was seen."""
        return self.dating()

    @cached_property
    def fit_now(self) -> Fit | None:
        """How the copy fits its leader, be that as unlikely as it may; worked out when first asked for."""
        return self.fit or self.find_fit()

    @cached_property
    def why(self) -> tuple[WhyLine, ...]:
        """The weight of evidence, clue by clue; with the prior the lines add up to the whole."""
        return self.explain()
