"""What a copy that the dealer names says of the bench that judged it; kept with the record's pressing."""

from math import log2
from operator import mul
from typing import Any

from benchtui.evidence.case import Case
from benchtui.evidence.parts import PartEvidence, Weighed, group_of, product
from benchtui.evidence.repeats import STRENGTHS

_LEAST = 1e-6


def bits_under_each(case: Case, pressing: str) -> dict[str, dict[str, float]]:
    """Per group seen more than once on a part that belongs: -log2 P(pressing | all) under each r."""
    ids = [one.id for one in case.post.model.pressings]
    found: dict[str, dict[str, float]] = {}
    for key, part in case.post.parts.items():
        if part.swapped or key in case.elsewhere or pressing not in ids:
            continue
        for group in [one for one, times in part.factors.groups.items() if times > 1]:
            total = found.setdefault(group, dict.fromkeys(STRENGTHS, 0.0))
            for name, r in STRENGTHS.items():
                p = _odds(case, key, part, group, r)[ids.index(pressing)]
                total[name] = round(total[name] - log2(max(p, _LEAST)), 4)
    return found


def _odds(case: Case, key: str, part: PartEvidence, group: str, r: float) -> list[float]:
    """P of each candidate were the group's clues on this part divided by 1 + (n - 1) r."""
    model, n = case.post.model, part.factors.groups[group]
    power = model.divisor(group, n) / (1 + (n - 1) * r)
    weighed = [
        _to_power(one, power) if one.mark and group_of(one.mark.clue) == group else one
        for one in part.weighed
    ]
    _, _, a = product(weighed, model, part.seen.kind)
    other = part.swap * sum(map(mul, model.prior, a))
    mixed = [(1 - part.swap) * value + other for value in a]
    odds = list(map(mul, case.post.rest[key], mixed))
    total = sum(odds) or 1.0
    return [value / total for value in odds]


def _to_power(one: Weighed, power: float) -> Weighed:
    timed = {h: [value**power for value in row] for h, row in one.timed.items()}
    return Weighed([value**power for value in one.flat], timed, one.mark, one.label)


def witness(case: Case, pressing: str) -> dict[str, Any]:
    """The leader now and how likely it is, and the bits of each group were the copy that pressing."""
    odds = case.post.odds
    lead = max(range(len(odds)), key=odds.__getitem__)
    leader = case.pressing(lead)
    return {
        "leader": leader.id if leader is not None else None,
        "p": round(odds[lead], 6),
        "groups": bits_under_each(case, pressing),
    }
