"""Consignment: terms of a sender, and what they make of one sale."""

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any, Literal, NamedTuple

from benchtui.base.errors import BenchError
from benchtui.model.money import Money, minor_units
from benchtui.money.apportion import largest_remainder
from benchtui.money.dated import as_on
from benchtui.money.policy import Policy
from benchtui.money.rounding import exact, money_of, percent, to_int

Band = tuple[int | None, Fraction]


class ConsignTerms(NamedTuple):
    """What was agreed with a sender. ``bands``: up to so many minor units of the price, that share of it;
    the last without an end; a flat commission is one band. ``over``: graduated over each price or over the
    statement's gross. ``minimum``: least commission an item, never more than its price. ``per_sale`` and
    ``per_record``: charges an item sold, an item that came in; ``once``: (what, amount) for the statement.
    ``inbound``: who bears the postage of the parcel.
    """

    bands: tuple[Band, ...]
    over: Literal["item", "statement"]
    minimum: Money
    per_sale: Money
    per_record: Money
    once: tuple[tuple[str, Money], ...]
    inbound: Literal["shop", "sender"]

    def commission(self, gross: int) -> Fraction:
        """The exact commission on ``gross`` minor units, each part of it at its band's share."""
        due, start = Fraction(0), 0
        for end, share in self.bands:
            top = gross if end is None else min(gross, end)
            due += max(0, top - start) * share
            start = max(start, top)
        return due

    def on_sale(self, price: Money) -> Money:
        """The commission on one sale, rounded once, at least the minimum and at most the price."""
        due = to_int(self.commission(price.minor)) if self.over == "item" else 0
        return Money(min(price.minor, max(due, self.minimum.minor)), price.currency)

    def on_sales(self, prices: Sequence[Money]) -> list[Money]:
        """The commission on each of some sales, taken as all there are: where it is graduated over them
        together it is shared out by price, each part at least the minimum and at most its price."""
        each = [self.on_sale(price) for price in prices]
        minors = [price.minor for price in prices]
        if self.over == "item" or not sum(minors):
            return each
        parts = largest_remainder(to_int(self.commission(sum(minors))), minors)
        return [
            Money(min(price.minor, max(part, least.minor)), price.currency)
            for price, part, least in zip(prices, parts, each, strict=True)
        ]

    def say(self) -> str:
        """The terms in one line, for the head of the statement."""
        parts = [
            f"{percent_words(share)} %"
            + (f" up to {Money(end, self.minimum.currency).show()}" if end is not None else "")
            for end, share in self.bands
        ]
        words = "commission " + ", then ".join(parts)
        if len(parts) > 1:
            words += " of each price" if self.over == "item" else " of all sales together"
        for money, what in (
            (self.minimum, "at least"),
            (self.per_sale, "per sale"),
            (self.per_record, "per record"),
        ):
            words += f"; {what} {money.show()}" if money.minor else ""
        return words + f"; the {self.inbound} bears the inbound postage"


def terms_of(sender: Mapping[str, Any], policy: Policy, on: str = "") -> ConsignTerms:
    """The sender's terms as of that day ("" is the clock's today).

    From these of its fields: ``commission`` (percent as text) or ``bands`` (rows of [end in major units or
    null, percent]), ``bands_over``, ``minimum``, ``per_sale``, ``per_record`` (money), ``charges`` (rows of
    {"what", "minor", "currency"}), ``inbound``.

    BenchError: no commission agreed, one over 100 %, bands that do not rise, anything below zero.
    """
    sender = as_on(sender, on)
    where = f"sender {sender.get('name') or sender.get('id') or ''}".strip()
    nothing = Money(0, policy.currency)

    def amount(name: str) -> Money:
        return money_of(sender[name], f"{where}, {name}", policy.currency) if sender.get(name) else nothing

    return ConsignTerms(
        bands=_bands(sender, policy, where),
        over=_choice(sender.get("bands_over") or "item", ("item", "statement"), where, "bands over"),
        minimum=amount("minimum"),
        per_sale=amount("per_sale"),
        per_record=amount("per_record"),
        once=tuple(
            (str(row.get("what") or "charge"), money_of(row, f"{where}, charges", policy.currency))
            for row in sender.get("charges") or []
        ),
        inbound=_choice(sender.get("inbound") or "shop", ("shop", "sender"), where, "inbound postage"),
    )


def _bands(sender: Mapping[str, Any], policy: Policy, where: str) -> tuple[Band, ...]:
    rows: Sequence[Any] = sender.get("bands") or [[None, sender.get("commission")]]
    if rows[0] == [None, None] or rows[0] == [None, ""]:
        raise BenchError("No commission agreed yet", where, "enter a percentage, or bands of them")
    try:
        bands = tuple(
            (_end(end, policy, where), percent(share, "the commission", where)) for end, share in rows
        )
    except (TypeError, ValueError):
        raise BenchError("the bands are not pairs", where, 'write rows such as ["50", "30"]') from None
    ends = [end for end, _ in bands[:-1]]
    if bands[-1][0] is not None or any(end is None for end in ends) or ends != sorted(set(ends)):  # type: ignore[type-var]
        raise BenchError(
            "the bands do not rise to an open end", where, "write rising ends, the last one null"
        )
    return bands


def _end(end: Any, policy: Policy, where: str) -> int | None:
    if end is None:
        return None
    minor = exact(end, "the end of a band", where) * 10 ** minor_units(policy.currency)
    if minor.denominator != 1:
        raise BenchError(f"{end} has more decimals than {policy.currency}", where)
    return int(minor)


def _choice(value: Any, choices: tuple[Any, ...], where: str, what: str) -> Any:
    if value not in choices:
        raise BenchError(f"{what}: {value!r}", where, "use one of " + ", ".join(choices))
    return value


def percent_words(share: Fraction) -> str:
    """A share of one as a percentage without needless zeros."""
    hundredths = to_int(share * 10000)
    return f"{hundredths // 100}.{hundredths % 100:02}".rstrip("0").rstrip(".")
