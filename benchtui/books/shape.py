"""What a book holds once read: clues, titles, pressings, ciphers. Frozen values, no behaviour but look-up."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Literal, NamedTuple

from benchtui.model.span import Span

Hardness = Literal["hard", "firm", "soft", "none"]
SOFTNESS: dict[Hardness, int] = {"hard": 0, "firm": 1, "soft": 2, "none": 3}
Word = Literal["always", "usually", "sometimes", "rarely", "never"]
ClueForm = Literal["choice", "number", "titles", "cut", "dated"]
PressingKind = Literal[
    "ordinary", "promotional", "test", "lacquer", "club", "export", "counterfeit", "pirate"
]  # fmt: skip
Completeness = Literal["", "all", "most", "some"]
"""How many of a title's pressings its book has; "" where it does not say."""
Known = Literal["written", "grown"]
"""How a pressing is known: from a book, or grown out of the shop's own work."""
NOT_BY_THE_COMPANY: tuple[PressingKind, ...] = ("counterfeit", "pirate")
"""A counterfeit passes itself off as a pressing of the company; a pirate hides nothing, and pays nobody."""
WORD_WEIGHT: dict[Word, float] = {
    "always": 0.96,
    "usually": 0.80,
    "sometimes": 0.30,
    "rarely": 0.05,
    "never": 0.005,
}


def hardness_text(span: Span, ends: tuple[Hardness, Hardness]) -> str:
    """How sure a bound is, in the words a dealer types (``firm``, ``soft``; what a book calls hard is
    ``certain``): ``certain, end soft`` where its latest end is of another hardness.
    """
    start, end = ("certain" if one == "hard" else one for one in ends)
    if span.latest is None or start == end:
        return start
    return end if span.earliest is None else f"{start}, end {end}"


class Answer(NamedTuple):
    """One answer to a clue. ``span`` bounds when the *part* was made (None: no bound).

    ``hardness`` is that of the earliest end, ``to_hardness`` that of the latest ("": the same): old plates
    and stock outlive a rule that no copy can be older than. ``times``: where the bound is several spans
    apart (a tax rate in force twice) each of them in order; ``span`` then reaches from first to last.
    ``caps_sale``: the answer's latest end says when the copy was already sold (a price sticker, a
    postmark, a dated inscription), so it caps the whole copy. ``low``/``high`` are the bracket of a
    number clue, inclusive. ``absent``: this answer is "looked, it is not there". ``neutral``: "cannot tell".
    ``tells``: an answer that gives the pressing kind away ("counterfeit", "promotional") by rule.
    ``slips``: words it was called by mistake; a record that says them says its words of today. ``passes_to``:
    the id of the answer of the same clue that this one is; ``was``: the ids that passed to this one; in no
    file.
    """

    id: str
    text: str
    digit: int
    span: Span | None = None
    hardness: Hardness = "none"
    caps_sale: bool = False
    looks_like: str | None = None
    low: float | None = None
    high: float | None = None
    absent: bool = False
    neutral: bool = False
    tells: str = ""
    source: str = ""
    to_hardness: Hardness | Literal[""] = ""
    times: tuple[Span, ...] = ()
    slips: tuple[str, ...] = ()
    passes_to: str = ""
    was: tuple[str, ...] = ()

    @property
    def ends(self) -> tuple[Hardness, Hardness]:
        """How hard the earliest and the latest end are."""
        return self.hardness, self.to_hardness or self.hardness

    @property
    def spans(self) -> tuple[Span, ...]:
        """Each time the part may be of; none where nothing bounds it."""
        return self.times or ((self.span,) if self.span is not None else ())


class Clue(NamedTuple):
    """One observable question about a place of a kind of part, with a few answers of fixed digits.

    ``places`` names each place it can be asked at on that part (``label``, ``front`` ...); a per-side clue
    (``per_side``) is asked for side A of a disc unless volunteered for another side, its place then being
    e.g. ``label A``. ``countries`` / ``companies`` / ``sizes`` / ``materials`` empty: applies anywhere.
    ``seconds`` to look when the part is in the hand. ``misread`` None: the default .015.
    ``form`` number: answers are brackets (``unit`` "g", "copy"), ``error`` the scale's error.
    ``form`` titles: the answer is found by picking titles advertised; the bound is the newest of them.
    ``form`` dated: the answer is a date typed by hand, with its hardness and reason.
    ``form`` cut: asked through the runout line; answers are cut ids.
    ``expect``: answer id -> word for pressings of titles whose book says nothing of this clue (a barcode is
    usually not there); where it is empty too, all answers are as likely.
    ``not_in``: countries whose own clue says it better; ``instead_of``: ids of clues that ask the same, which
    are not asked by themselves where this one applies. ``volunteer``: never asked by itself, only when the
    dealer jumps to it ("I just saw this").
    ``slips``: words that it was asked in before; records and tables that say them mean it as it is now.
    """

    id: str
    ask: str
    part: str
    place: str
    answers: tuple[Answer, ...]
    per_side: bool = False
    form: ClueForm = "choice"
    unit: str = ""
    error: float = 0.0
    seconds: float = 3.0
    volunteer: bool = False
    group: str = ""
    misread: float | None = None
    countries: tuple[str, ...] = ()
    companies: tuple[str, ...] = ()
    sizes: tuple[int, ...] = ()
    materials: tuple[str, ...] = ()
    titles: tuple[str, ...] = ()
    not_in: tuple[str, ...] = ()
    instead_of: tuple[str, ...] = ()
    expect: Mapping[str, Word] = MappingProxyType({})
    help: str = ""
    source: str = ""
    book: str = ""
    slips: tuple[str, ...] = ()

    def answer(self, answer_id: str) -> Answer | None:
        """The answer of that id, or the one that it passed to; None where the book has lost it."""
        return next((one for one in self.answers if one.id == answer_id or answer_id in one.was), None)

    @property
    def seen_where(self) -> str:
        """``disc, label``, and whose records it is asked of where it is not all: two companies may have a
        question of the same words.
        """
        return f"{self.part}, {self.place}" + (f"; {', '.join(self.companies)}" if self.companies else "")


class Cipher(NamedTuple):
    """Stamper letters that stand for digits: ``letters[i]`` is digit ``digits[i]``."""

    id: str
    letters: str
    digits: str
    source: str = ""


class Numbering(NamedTuple):
    """Catalogue numbers ``prefix low`` to ``prefix high`` of a company were first issued in ``first``."""

    prefix: str
    low: int
    high: int
    first: Span
    company: str = ""
    source: str = ""


@dataclass(frozen=True, slots=True)
class Said:
    """What another book says of a pressing, kept beside what this one says: whose word it is, and what."""

    source: str
    name: str = ""
    period: str = ""
    price: str = ""
    expect: dict[str, dict[str, Word]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Pressing:
    """One manufactured variant of a title.

    ``expect``: clue id -> answer id -> word. ``share``: how many of ten copies, say, are this one (relative).
    ``cuts``: pairs of the two sides' cuts with their words, ``(("1", "1"), "usually")``.
    ``price``: minor units in the book's currency at the scale's top grade; None where unknown. ``retired``:
    why no record is weighed against it any more; its id lives on in records that name it. ``passes_to``: the
    id of the pressing whose copies a retired one's are from then on; ``was``: the ids that passed to this
    one; in no file. ``known``:
    ``grown`` rests on copies seen here; of such a one ``differs`` are the clues that the dealer marked as
    what sets it apart, all else it shows may be chance. ``said``: what other books say of it; nothing is
    weighed by that. ``stretch``: the share of that stretch of its company's ladder whose place a grown one
    takes; ``trust``: what its sources' words are worth by question ("": the others), 1 the usual; in no file.
    """

    id: str
    name: str
    period: Span
    kind: PressingKind = "ordinary"
    share: float = 1.0
    catalogue: str = ""
    country: str = ""
    channels: str = ""
    expect: dict[str, dict[str, Word]] = field(default_factory=dict)
    cuts: tuple[tuple[tuple[str, str], Word], ...] = ()
    extras: tuple[str, ...] = ()
    price: int | None = None
    imitates: str | None = None
    note: str = ""
    source: str = ""
    retired: str = ""
    passes_to: str = ""
    known: Known = "written"
    differs: tuple[str, ...] = ()
    said: tuple[Said, ...] = ()
    stretch: float = 0.0
    trust: dict[str, float] = field(default_factory=dict)
    was: tuple[str, ...] = ()

    def trust_of(self, clue: str) -> float:
        """What its word on that question is worth, 1 the usual."""
        return self.trust.get(clue, self.trust.get("", 1.0)) if self.trust else 1.0


@dataclass(frozen=True, slots=True)
class BookTitle:
    """A title with its pressings. ``stems`` maps side letter -> matrix stem, e.g. {"A": "DV 301 A/"};
    "stereo A" or "mono A" is the stem that pressings of these channels bear instead.

    ``complete``: whether all, most or some of its pressings are known; "" where the book does not say.
    """

    id: str
    artist: str
    title: str
    first: Span
    company: str = ""
    country: str = ""
    catalogues: tuple[str, ...] = ()
    barcode: str = ""
    size_in: int = 12
    discs: int = 1
    channels: str = ""
    material: str = "vinyl"
    stems: dict[str, str] = field(default_factory=dict)
    extras: tuple[str, ...] = ()
    inners: int = 1
    box: bool = False
    """It came in a box, not in a cover."""
    pressings: tuple[Pressing, ...] = ()
    clues: tuple[str, ...] = ()
    cipher: str = ""
    book: str = ""
    complete: Completeness = ""


class BookHead(NamedTuple):
    """What a book says of itself. ``id`` is the file's name without ``.toml``; ``digest`` of its bytes.

    ``strangers``: names of books merged into it, whose word is worth less until copies bear it out.
    """

    id: str
    path: str
    digest: str
    name: str = ""
    company: str = ""
    country: str = ""
    currency: str = ""
    strangers: tuple[str, ...] = ()
