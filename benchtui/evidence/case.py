"""One weighing under way: what its steps share."""

from dataclasses import dataclass
from fractions import Fraction

from benchtui.books.passed_on import taught_of
from benchtui.books.shape import BookTitle, Pressing
from benchtui.evidence.candidates import candidates
from benchtui.evidence.elsewhere import elsewhere
from benchtui.evidence.names import part_names
from benchtui.evidence.posterior import Posterior, agreement, posterior
from benchtui.evidence.rates import rates
from benchtui.evidence.reference import Reference
from benchtui.evidence.results import Agreement
from benchtui.evidence.second import Costs
from benchtui.evidence.seen import Seen, read
from benchtui.evidence.settings import Counts, WeighSettings
from benchtui.model.money import Money, minor_units
from benchtui.model.record import RecordDoc
from benchtui.model.span import Span
from benchtui.model.title import first_issued


@dataclass(slots=True)
class Case:
    """A record, what was seen on it, what follows for its pressing, and the prices at stake.

    ``currency`` "" where the book has none, or one that the shop has no rate for: then nothing is said of
    money. ``elsewhere``: parts of another copy, ``doubted`` those of them by their dates alone; ``agreement``
    says so, and what is known of the other parts.
    """

    record: RecordDoc
    library: Reference
    settings: WeighSettings
    title: BookTitle | None
    first: Span
    seen: Seen
    post: Posterior
    names: dict[str, str]
    costs: Costs
    currency: str
    elsewhere: frozenset[str]
    doubted: frozenset[str]
    agreement: dict[str, Agreement]
    counts: Counts

    def money(self, minor: float) -> Money:
        """An expectation, rounded to the minor unit at the border."""
        return Money(round(minor), self.currency)

    def book_price(self, pressing: Pressing) -> Money | None:
        """What the book says at the top grade, in its own currency."""
        theirs = (self.library.currency(self.title.book) if self.title else "") or self.currency
        return Money(pressing.price, theirs) if pressing.price is not None and theirs else None

    def asked(self, pressing: Pressing) -> tuple[str, ...]:
        """What was asked by hand for other copies of it."""
        lines = taught_of(self.counts, pressing).get("asked", {})
        return tuple(line for line, times in lines.items() if times > 0)

    def pressing(self, h: int) -> Pressing | None:
        """The pressing of that place; None is "none of these"."""
        known = self.post.model.pressings
        return known[h] if h < len(known) else None

    @property
    def named(self) -> int | None:
        """The place of the pressing that the dealer named; None where they left it to the odds, and where no
        book has it any longer.
        """
        called = self.record["pressing"]
        if called["how"] != "hand" or called["id"] is None:
            return None
        known = enumerate(self.post.model.pressings)
        return next((h for h, one in known if called["id"] in (one.id, *one.was)), None)

    @property
    def chosen(self) -> int | None:
        """The same, "none of these" (the last place of the odds) included."""
        called = self.record["pressing"]
        if called["how"] == "hand" and called["id"] is None:
            return len(self.post.model.pressings)
        return self.named

    def lead(self) -> int:
        """The place of what leads: the dealer's choice, else the likeliest."""
        odds = self.post.odds
        return max(range(len(odds)), key=odds.__getitem__) if self.chosen is None else self.chosen


def open_case(record: RecordDoc, library: Reference, counts: Counts, settings: WeighSettings) -> Case:
    """Reads the record and works out the odds."""
    ref = record["title"]
    title = library.title(ref["id"]) if ref else None
    first = _first(record, title)
    nearby = rates(title, first, library.peers(title) if title else ())
    model = candidates(title, first, counts, settings.model, nearby)
    seen = read(record, title, library)
    post = posterior(record, seen, model, library)
    rate = _rate(title, library, settings)
    costs = Costs(model, settings, float(rate or 1))
    currency = _currency(title, library, settings) if rate is not None else ""
    names = part_names(record)
    away, doubted, agree = elsewhere(record, seen, first, settings, agreement(record, post, names), names)
    return Case(
        record,
        library,
        settings,
        title,
        first,
        seen,
        post,
        names,
        costs,
        currency,
        away,
        doubted,
        agree,
        counts,
    )


def _first(record: RecordDoc, title: BookTitle | None) -> Span:
    """When the title was first issued: the book's date, else the list's, else unknown."""
    if title is not None and title.first.known:
        return title.first
    return first_issued(record["title"])


def _rate(title: BookTitle | None, library: Reference, settings: WeighSettings) -> Fraction | None:
    """What a minor unit of the book's prices is worth in the shop's money; None where no rate is known."""
    theirs = (library.currency(title.book) if title else "") or settings.currency
    return Fraction(1) if settings.currency in ("", theirs) else dict(settings.rates).get(theirs)


def _currency(title: BookTitle | None, library: Reference, settings: WeighSettings) -> str:
    currency = settings.currency or (library.currency(title.book) if title else "") or ""
    try:
        minor_units(currency)
    except ValueError:
        return ""  # a book without prices, or one the check has already refused
    return currency
