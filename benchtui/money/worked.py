"""The worked price: what sales seen elsewhere say that this copy, as it is, should ask."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction
from typing import Any, Literal, NamedTuple

from benchtui.base.errors import BenchError
from benchtui.model.money import Money, minor_units
from benchtui.model.wear import read_asked
from benchtui.money.condition import Condition, Scales, condition_worn, factor_of
from benchtui.money.days import day
from benchtui.money.median import FULL, faded, weighted_quantile
from benchtui.money.policy import Policy, policy_of
from benchtui.money.price_index import inflation
from benchtui.money.rounding import exact, money_of, rate_of, to_int

ENOUGH = 3
"""Fewer sales than this are an anecdote: the base price of the pressing is asked instead."""
_FRESH = Fraction(3, 2)
_ONE = "few: one sale outweighs all the others"
_UNLIKELY = Fraction(1, 20)
_TOO_WORN = Fraction(1, 10)


@dataclass(frozen=True, slots=True)
class Worked:
    """A worked price on the shop's price steps. ``how`` says where it comes from; ``say`` is for the screen:
    how many sales of which age, the middle half of them, what is to be minded of them.
    """

    price: Money | None
    how: Literal["sales seen", "base price", "asked before", "ask"]
    say: str


class _Sale(NamedTuple):
    """A sale made equal: what a perfect complete copy would have fetched, in minor units of the shop."""

    top: Fraction
    age: int
    of: str
    raised: bool = False
    """Whether the shop's table of prices changed it."""


def worked_price(
    wanted: str | Mapping[str, Any],
    sales: Iterable[Mapping[str, Any]],
    grades: Condition | tuple[Any, Any],
    book_price: Money | None,
    settings: Mapping[str, Any],
    today: date,
    *,
    title_id: str | None = None,
    scales: Scales | None = None,
    policy: Policy | None = None,
    asked: Iterable[str] = (),
) -> Worked:
    """The price of a copy in this condition.

    ``wanted`` is a title id (every sale of that title counts) or pressing id -> probability; the sales of one
    pressing together then weigh as much as that pressing is likely, and pressings under 5 % are left out.
    ``title_id`` lets sales that name no pressing help when there are fewer than three others.
    ``book_price`` is the pressing's base price at the top grade; ``scales`` has the grades that sales name;
    ``policy`` goes before what the settings say (see ``learnt.with_learnt``); ``asked``: what was asked by
    hand for other copies of the pressing (`benchtui.model.wear`), by which nothing goes but the last resort.
    """
    policy = policy or policy_of(settings)
    condition = grades if isinstance(grades, Condition) else Condition(_factor(grades[0]), _factor(grades[1]))
    worth = condition.worth(policy)
    chances = _chances(wanted)
    alike, left_out = _made_equal(sales, chances, title_id, policy, scales or {}, settings, today)
    used = [sale for sale in alike if sale.of in chances]
    if len(used) < ENOUGH and title_id is not None:
        used, chances = alike, {**chances, "": max(chances.values(), default=Fraction(1))}
    if worth is None:
        return Worked(None, "ask", "not graded yet: grade it, or set the price by hand")
    ages = tuple(sorted(sale.age for sale in used))
    if len(used) >= ENOUGH:
        made = _from_sales(used, chances, worth, policy, ages, left_out)
        if not _one_outweighs(_weighed(used, chances, policy)):
            return made
        base = _from_book(book_price, worth, policy, settings, ages, left_out)
        return replace(base if base.price else made, say=f"{base.say if base.price else made.say}; {_ONE}")
    base = _from_book(book_price, worth, policy, settings, ages, left_out)
    return base if base.price else _as_before(asked, worth, policy, scales or {}, ages) or base


def to_step(minor: Fraction, policy: Policy) -> Money:
    """Rounded to the shop's price steps, halves up; what is worth anything asks at least one step."""
    step = next(step for below, step in policy.price_steps if below is None or minor < below)
    steps = to_int(minor / step)
    return Money(step * (max(1, steps) if minor > 0 else 0), policy.currency)


def _factor(grade: Any) -> Fraction | None:
    return None if grade is None else exact(grade, "the grade factor", "worked price")


def _chances(wanted: str | Mapping[str, Any]) -> dict[str, Fraction]:
    """Pressing id -> probability, or the whole title as one. Probabilities may be floats: no money."""
    if isinstance(wanted, str):
        return {wanted: Fraction(1)}
    return {one: Fraction(p) for one, p in wanted.items() if one and Fraction(p) >= _UNLIKELY}


def _made_equal(
    sales: Iterable[Mapping[str, Any]],
    chances: Mapping[str, Fraction],
    title_id: str | None,
    policy: Policy,
    scales: Scales,
    settings: Mapping[str, Any],
    today: date,
) -> tuple[list[_Sale], int]:
    """The sales of these pressings or that title as top-grade sales, and how many could not be made equal."""
    alike: list[_Sale] = []
    left_out = 0
    for sale in sales:
        pressing, title = sale.get("pressing"), sale.get("title")
        of = next((one for one in (pressing, title) if one and one in chances), None)
        if of is None and (pressing or title is None or title != title_id):
            continue
        try:
            on = day(sale.get("date"), "the day of the sale seen")
            age = (today - on).days
            top = _top(sale, policy, scales, settings)
            rise = inflation(settings, on, today)
            top = top * rise if top is not None else None
        except BenchError:  # edited from outside: `check` names it, and it must not stop the pricing
            top, age, rise = None, 0, Fraction(1)
        if top is None or age < 0:
            left_out += 1
        else:
            alike.append(_Sale(top, age, of or "", rise != 1))
    return alike, left_out


def _top(
    sale: Mapping[str, Any], policy: Policy, scales: Scales, settings: Mapping[str, Any]
) -> Fraction | None:
    """What the copy sold would have fetched in the top grade; None without its grade or rate."""
    scale = str(sale.get("scale") or settings.get("scale") or "")
    disc = factor_of(scale, str(sale.get("disc") or ""), scales, policy)
    cover = factor_of(scale, str(sale.get("cover") or ""), scales, policy)
    worth = Condition(disc, cover, sale.get("missing") or 0, sale.get("swapped") or 0).worth(policy)
    where = f"sale seen {sale.get('id', '')}".strip()
    paid = in_shop_currency(money_of(sale, where), sale.get("rate"), policy, settings, where)
    return None if worth is None or worth < _TOO_WORN or paid is None else paid / worth


def in_shop_currency(
    money: Money, rate: Any, policy: Policy, settings: Mapping[str, Any], where: str
) -> Fraction | None:
    """Exact minor units of the shop's currency, by the rate given, else the shop's own; else None."""
    if money.currency == policy.currency:
        return Fraction(money.minor)
    rate = rate or (settings.get("rates") or {}).get(money.currency)
    if not rate:
        return None
    shift = minor_units(policy.currency) - minor_units(money.currency)
    return money.minor * rate_of(rate, where) * Fraction(10) ** shift


def rates_of(settings: Mapping[str, Any]) -> tuple[tuple[str, Fraction], ...]:
    """What a minor unit of each currency that the shop has a rate for is worth in its own minor units.

    One that cannot be right is left out: where a price needs it, the worked price says what is wrong.
    """
    found = []
    given = settings.get("rates")
    for code in given if isinstance(given, Mapping) else ():
        try:
            one = in_shop_currency(Money(1, code), None, policy_of(settings), settings, "rates")
        except (BenchError, ValueError):
            continue
        found += [(code, one)] if one is not None else []
    return tuple(found)


def _from_sales(
    used: list[_Sale],
    chances: Mapping[str, Fraction],
    worth: Fraction,
    policy: Policy,
    ages: tuple[int, ...],
    left_out: int,
) -> Worked:
    pairs = _weighed(used, chances, policy)
    low, price, high = (
        to_step(weighted_quantile(pairs, Fraction(quarter, 4)) * worth, policy) for quarter in (1, 2, 3)
    )
    say = f"{_counted(ages)}; half of them between {low.plain()} and {high.show()}{_missed(left_out)}"
    said = [
        say,
        "made equal by your price index" if any(sale.raised for sale in used) else "",
        _few_or_old(used, pairs, policy),
        _trend(used, worth, policy),
        _far_off(used, price, worth, policy),
    ]
    return Worked(price, "sales seen", "; ".join(filter(None, said)))


def effective_number(weights: Sequence[int]) -> Fraction:
    """How many equal sales these weights are worth: the square of their sum over the sum of their squares.

    Source: L. Kish, Survey Sampling (1965), the effective sample size under unequal weights.
    """
    squares = sum(weight * weight for weight in weights)
    return Fraction(sum(weights) ** 2, squares) if squares else Fraction(0)


def _one_outweighs(pairs: Sequence[tuple[Fraction, int]]) -> bool:
    """Whether a single sale has more than half of the weight: the median is then that sale, an anecdote."""
    return 2 * max(weight for _, weight in pairs) > sum(weight for _, weight in pairs)


def _few_or_old(used: list[_Sale], pairs: list[tuple[Fraction, int]], policy: Policy) -> str:
    """Kish sees unequal weights and not a common age, so both are asked."""
    number = effective_number([weight for _, weight in pairs])
    fresh = Fraction(sum(faded(sale.age, policy.half_life_days) for sale in used), FULL)
    few = f"few: they count as {_tenths(number)} equal sales" if number < ENOUGH else ""
    old = "old: together worth less than one and a half of today" if fresh < _FRESH else ""
    return "; ".join(filter(None, (few, old)))


def _trend(used: list[_Sale], worth: Fraction, policy: Policy) -> str:
    """The newer half against the older one, each by its median; nothing is said of fewer than four sales, or
    of less than a seventh up or down (ours, no source)."""
    by_age = sorted(used, key=lambda sale: sale.age)
    half = len(by_age) // 2
    if len(by_age) < 4 or by_age[half - 1].age == by_age[-half].age:
        return ""
    newer, older = (
        weighted_quantile([(sale.top, 1) for sale in part], Fraction(1, 2))
        for part in (by_age[:half], by_age[-half:])
    )
    if 6 * newer <= 7 * older and 6 * older <= 7 * newer:
        return ""
    way = "rising" if newer > older else "falling"
    now, then = (to_step(part * worth, policy).plain() for part in (newer, older))
    return f"{way}: the older half at {then}, the newer at {now}"


def _far_off(used: list[_Sale], price: Money, worth: Fraction, policy: Policy) -> str:
    """Sales at more than three times the price or under a third of it, once all are made equal."""
    far = [sale.top * worth for sale in used if not price.minor <= 3 * sale.top * worth <= 9 * price.minor]
    if not far:
        return ""
    named = ", ".join(to_step(each, policy).plain() for each in sorted(far)[:3])
    return f"far off the rest: {named}" + (" ..." if len(far) > 3 else "")


def _tenths(number: Fraction) -> str:
    whole, rest = divmod(number.numerator * 10 // number.denominator, 10)
    return f"{whole}.{rest}"


def _weighed(
    used: list[_Sale], chances: Mapping[str, Fraction], policy: Policy
) -> list[tuple[Fraction, int]]:
    """(value, weight): within one pressing faded by age, the pressings among them by how likely each is."""
    fresh = [faded(sale.age, policy.half_life_days) for sale in used]
    whole: dict[str, int] = {}
    for sale, weight in zip(used, fresh, strict=True):
        whole[sale.of] = whole.get(sale.of, 0) + weight
    return [
        (sale.top, max(1, to_int(FULL * chances[sale.of] * weight / whole[sale.of])))
        for sale, weight in zip(used, fresh, strict=True)
    ]


def _from_book(
    book_price: Money | None,
    worth: Fraction,
    policy: Policy,
    settings: Mapping[str, Any],
    ages: tuple[int, ...],
    left_out: int,
) -> Worked:
    seen, base = _few(ages), None
    if book_price is not None:
        base = in_shop_currency(book_price, None, policy, settings, "base price")
    if base is None:
        why = (
            f"the book price is in {book_price.currency} and no rate is set"
            if book_price
            else "no book price"
        )
        return Worked(None, "ask", f"{seen} and {why}: set the price by hand{_missed(left_out)}")
    say = f"book price at this grade; {seen}{_missed(left_out)}"
    return Worked(to_step(base * worth, policy), "base price", say)


def _as_before(
    asked: Iterable[str], worth: Fraction, policy: Policy, scales: Scales, ages: tuple[int, ...]
) -> Worked | None:
    """What the dealer asked for the copy before, at this one's grades; None where there is none to go by."""
    for one in sorted(map(read_asked, asked), reverse=True):
        then = condition_worn(one.wear, scales, policy).worth(policy)
        if one.currency == policy.currency and then is not None and then >= _TOO_WORN:
            before = Money(one.minor, one.currency)
            price = before if then == worth else to_step(before.minor * worth / then, policy)
            say = f"what you last asked by hand ({before.show()} on {one.day}), at this grade"
            return Worked(price, "asked before", f"{say}; {_few(ages)}")
    return None


def _few(ages: tuple[int, ...]) -> str:
    return f"{_counted(ages)}, too few" if ages else "no sale seen"


def _counted(ages: tuple[int, ...]) -> str:
    sales = "1 sale seen" if len(ages) == 1 else f"{len(ages)} sales seen"
    span = _age(ages[0]) if ages[0] == ages[-1] else f"{_age(ages[0])} to {_age(ages[-1])}"
    return f"{sales}, {span} old"


def _age(days: int) -> str:
    """Days up to two weeks, then weeks, months, years: as exact as one says it."""
    for size, unit in ((365, "year"), (30, "month"), (7, "week")):
        if days >= 2 * size:
            return f"{days // size} {unit}s"
    return "1 day" if days == 1 else f"{days} days"


def _missed(left_out: int) -> str:
    return f"; {left_out} left out (no grade, no rate)" if left_out else ""
