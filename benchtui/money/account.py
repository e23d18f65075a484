"""A consignor's account: the facts it follows from, and its lines as closings have them."""

from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property
from typing import Any, NamedTuple

from benchtui.model.money import Money
from benchtui.money.book import Parcels
from benchtui.money.causes import Facts
from benchtui.money.dated import is_dated, rows_of
from benchtui.money.entries import Closed
from benchtui.money.policy import Rates
from benchtui.money.since import Since
from benchtui.money.statement_line import Charge, Line, Theirs
from benchtui.money.statements import theirs_of

AMOUNTS = ("price", "commission", "charges", "vat", "paid_out")
_WORDS = (
    "record", "parcel", "stock", "came_in", "description", "grades", "state", "sold_on", "paid_on", "late",
)  # fmt: skip
Written = dict[str, list[Line]]
"""Record (or charge) -> its lines as they were written down."""


class Known(NamedTuple):
    """The day at whose end the facts were so, and of each parcel the day of this kind before."""

    day: str
    before: Mapping[str, str]


class Account:
    """Whose account it is, and all that it follows from; what was written down is read once. ``by_day``: see
    `since.Since`; ``known``: what day the facts are of, where it is not today."""

    def __init__(
        self,
        id: str,  # noqa: A002  (as the documents call it)
        sender: Mapping[str, Any],
        parcels: Parcels,
        settings: Mapping[str, Any],
        closed: Sequence[Closed] = (),
        by_day: bool = True,
        known: "Known | None" = None,
    ) -> None:
        self.id, self.sender, self.closed = id, sender, closed
        self.known = known
        self.since = Since({id: sender}, settings, closed, by_day)
        self.parcels, self.settings, self.rates = parcels, settings, Rates(settings)

    @cached_property
    def theirs(self) -> list[Theirs]:
        return theirs_of(self.id, self.sender, self.parcels, self.rates)

    @cached_property
    def together(self) -> bool:
        """Whether the commission is of all sales together, so that each line may move with any other."""
        over = self.sender.get("bands_over")
        return "statement" in ([value for _, value in rows_of(over)] if is_dated(over) else [over])

    @cached_property
    def days(self) -> dict[str, list[str]]:
        """Parcel ("": what is of none) -> the days since the last closing on which something was entered or
        changed that what is on the account of it for closed days goes by."""
        found = {"": sorted(self.since.of_rules.union(*self.since.of_terms.values()))}
        theirs = {head["id"] for head, _ in self.since.with_something_of(self.id, self.parcels)}
        for head, records in self.parcels:
            if head["id"] in theirs or any(one["id"] in self.written for one in records):
                found[head["id"]] = sorted(self.since.of_parcel(head, records, with_lives=True))
        return found

    @cached_property
    def written(self) -> Written:
        return written_lines(self.closed, self.id, self.rates.currency)

    @cached_property
    def facts(self) -> Facts:
        return {
            head["id"]: (head, {record["id"]: record for record in records}) for head, records in self.parcels
        }

    def in_order(self, keys: Iterable[str]) -> list[str]:
        """Records as they stand in their parcels, then what is for the whole."""
        place = {record["id"]: n for n, record in enumerate(one for _, mine in self.parcels for one in mine)}
        return sorted(keys, key=lambda key: place.get(key, len(place)))

    @cached_property
    def paid_to_others(self) -> dict[str, int]:
        """Record -> what was paid out for it to somebody else whose it was then, as was written down."""
        others = {sender for one in self.closed for sender in one.statements or {}} - {self.id}
        found: dict[str, int] = {}
        for other in others:
            for key, lines in _written(self.closed, other).items():
                if minor := sum(int(line.get("paid_out", 0)) for line in lines if line.get("record")):
                    found[key] = found.get(key, 0) + minor
        return found


def written_lines(closed: Sequence[Closed], sender: str, currency: str, as_of: str = "9999") -> Written:
    """The lines of that day as they were written down."""
    found = _written(closed, sender, as_of)
    return {key: [_line_of(doc, currency) for doc in docs] for key, docs in found.items() if docs}


def _written(
    closed: Sequence[Closed], sender: str, as_of: str = "9999"
) -> dict[str, Sequence[Mapping[str, Any]]]:
    """The same as closings keep them."""
    found: dict[str, Sequence[Mapping[str, Any]]] = {}
    for one in closed:
        for key, steps in ((one.statements or {}).get(sender) or {}).items():
            if by_then := [docs for on, docs in steps if on <= as_of]:
                found[key] = by_then[-1]
    return found


def minors(line: Line) -> dict[str, int]:
    """The line's amounts in whole minor units."""
    return {name: getattr(line, name).minor for name in AMOUNTS}


def less(line: Line, others: Sequence[Line]) -> Line:
    """The line less what stands on the others."""
    each, charged = minors(line), _charged_less(line, others)
    return with_minors(
        line._replace(charged=charged),
        {name: each[name] - sum(minors(one)[name] for one in others) for name in AMOUNTS},
    )


def _charged_less(line: Line, others: Sequence[Line]) -> tuple[Charge, ...] | None:
    """What is left of it by day; None where one of them does not say."""
    left: dict[tuple[str, str], int] = {}
    for sign, one in ((1, line), *((-1, other) for other in others)):
        if one.charged is None:
            return None
        for charge in one.charged:
            key = charge.on, charge.said
            left[key] = left.get(key, 0) + sign * charge.minor
    return tuple(Charge(on, minor, said) for (on, said), minor in left.items() if minor)


def with_minors(line: Line, each: Mapping[str, int]) -> Line:
    """The line with these amounts, and the net that they make."""
    currency = line.price.currency
    made = line._replace(**{name: Money(minor, currency) for name, minor in each.items()})  # type: ignore[arg-type]
    return made._replace(net=made.price - made.commission - made.vat - made.charges)


def doc_of(line: Line) -> dict[str, Any]:
    """As a closing keeps it: words and whole minor units, those that are not empty."""
    found = {name: value for name, value in line._asdict().items() if name in _WORDS and value}
    found |= {name: minor for name, minor in minors(line).items() if minor}
    says = line.charged is not None and (line.charged or line.charges.minor)
    return found | ({"charged": [list(one) for one in line.charged or ()]} if says else {})


def _line_of(doc: Mapping[str, Any], currency: str) -> Line:
    nothing = Money(0, currency)
    words = {name: str(doc.get(name, "")) for name in _WORDS}
    bare = Line(**words, **dict.fromkeys((*AMOUNTS, "net"), nothing))  # type: ignore[arg-type]
    charged = doc.get("charged", None if doc.get("charges") else ())
    bare = bare._replace(charged=None if charged is None else tuple(Charge(*one) for one in charged))
    return with_minors(bare, {name: int(doc.get(name, 0)) for name in AMOUNTS})
