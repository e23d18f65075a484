"""Grade factors as the sales that the shop entered bear them out: the scale's own are where it starts.

A sale teaches about a grade where its disc and cover have that one grade, nothing was missing or swapped, and
better copies of the same pressing were sold too. Its *share* is what it fetched over the median of what those
fetched, each made equal to the top grade. A grade's factor is the median of its shares, drawn to the starting
point as if ``STARTING`` sales had borne that out:

    (n * median + STARTING * start) / (n + STARTING)      and never above the factor of the step before

Grades are taken best first, so that the better copies are made equal by what was learnt of their grades. A
grade that the shop's own setting names keeps that figure.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from datetime import date
from fractions import Fraction
from typing import Any, NamedTuple

from benchtui.base.errors import BenchError
from benchtui.model.grade import Scale
from benchtui.money.condition import Scales
from benchtui.money.days import day
from benchtui.money.median import faded, weighted_median
from benchtui.money.policy import Policy
from benchtui.money.rounding import money_of, to_int
from benchtui.money.worked import in_shop_currency

STARTING = 5
"""So many sales weigh as much as the starting point: ours, no source."""


class _Even(NamedTuple):
    """A sale of a complete copy of one grade throughout: the step's place in its scale, minor units paid."""

    scale: str
    order: int
    paid: Fraction
    on: date


class Learnt(NamedTuple):
    """A grade's factor as learnt, the point it started from, and how many sales taught it."""

    factor: Fraction
    start: Fraction
    sales: int

    def say(self, grade: str) -> str:
        """``VG+ 0.57 of the top price (starting point 0.60, 4 sales)``."""
        sales = "1 sale" if self.sales == 1 else f"{self.sales} sales"
        start = f"starting point {_hundredths(self.start)}"
        return f"{grade} {_hundredths(self.factor)} of the top price ({start}, {sales})"


def _hundredths(share: Fraction) -> str:
    whole, rest = divmod(to_int(share * 100), 100)
    return f"{whole}.{rest:02}"


def with_learnt(
    policy: Policy, sales: Iterable[Mapping[str, Any]], scales: Scales, settings: Mapping[str, Any]
) -> Policy:
    """The policy with the factors that these sales teach; unchanged where they teach nothing."""
    factors = dict(policy.factors)
    for scale_id, grades in learnt_factors(policy, sales, scales, settings).items():
        figures = {grade: learnt.factor for grade, learnt in grades.items()}
        factors[scale_id] = figures | dict(policy.factors.get(scale_id, {}))
    return policy._replace(factors=factors)


def learnt_factors(
    policy: Policy, sales: Iterable[Mapping[str, Any]], scales: Scales, settings: Mapping[str, Any]
) -> dict[str, dict[str, Learnt]]:
    """Scale id -> grade id -> what these sales teach about it. A grade whose factor the shop set is left out.

    Sales that cannot be read, or whose grade or rate is unknown, teach nothing.
    """
    groups = _even(sales, scales, policy, settings)
    by_scale: dict[str, list[list[_Even]]] = defaultdict(list)
    for (scale_id, _), group in groups.items():
        if len({one.order for one in group}) > 1:
            by_scale[scale_id].append(group)
    return {one: _of_scale(scales[one], by_scale[one], policy) for one in sorted(by_scale)}


def _even(
    sales: Iterable[Mapping[str, Any]], scales: Scales, policy: Policy, settings: Mapping[str, Any]
) -> dict[tuple[str, str], list[_Even]]:
    """Those that teach, by scale and pressing; a sale that names none may be of any, and teaches nothing."""
    groups: dict[tuple[str, str], list[_Even]] = defaultdict(list)
    for sale in sales:
        try:
            found = _one(sale, scales, policy, settings)
        except BenchError:  # edited from outside: `check` names it
            continue
        if found is not None and sale.get("pressing"):
            groups[found.scale, str(sale["pressing"])].append(found)
    return groups


def _one(
    sale: Mapping[str, Any], scales: Scales, policy: Policy, settings: Mapping[str, Any]
) -> _Even | None:
    disc, cover = str(sale.get("disc") or ""), str(sale.get("cover") or "")
    scale = scales.get(str(sale.get("scale") or settings.get("scale") or ""))
    step = scale.by_id(disc) if scale else None
    if scale is None or step is None or cover not in (disc, "") or sale.get("missing") or sale.get("swapped"):
        return None
    where = f"sale seen {sale.get('id', '')}".strip()
    paid = in_shop_currency(money_of(sale, where), sale.get("rate"), policy, settings, where)
    return None if not paid else _Even(scale.id, step.order, paid, day(sale.get("date"), where))


def _of_scale(scale: Scale, groups: list[list[_Even]], policy: Policy) -> dict[str, Learnt]:
    """Best step first; ``tops`` are the factors of the steps so far, after the 1 that none may pass."""
    learnt: dict[str, Learnt] = {}
    tops = [Fraction(1)]
    own = policy.factors.get(scale.id, {})
    for step in scale.grades:
        start = own.get(step.id, Fraction(step.factor))
        shares = [
            share
            for group in groups
            for one in group
            if one.order == step.order and (share := _share(one, group, tops, policy)) is not None
        ]
        factor = start
        if shares and step.id not in own:
            n, middle = len(shares), weighted_median([(share, 1) for share in shares])
            factor = min(tops[-1], (n * middle + STARTING * start) / (n + STARTING))
            learnt[step.id] = Learnt(factor, start, n)
        tops.append(factor)
    return learnt


def _share(one: _Even, group: list[_Even], tops: list[Fraction], policy: Policy) -> Fraction | None:
    """What it fetched over what better copies fetched, those sold about the same time counting most."""
    better = [
        (other.paid / tops[other.order + 1], faded(abs((other.on - one.on).days), policy.half_life_days))
        for other in group
        if other.order < one.order and tops[other.order + 1]
    ]
    return min(Fraction(1), one.paid / weighted_median(better)) if better else None
