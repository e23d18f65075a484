"""What it costs to call the copy what the leader says, and what a look saves (evidence.md: *Second look*)."""

from itertools import accumulate
from operator import mul

from benchtui.evidence.candidates import Candidates
from benchtui.evidence.settings import WeighSettings
from benchtui.evidence.words import Row


class Costs:
    """cost(a) = sum over h of P(h) times:

    [max(0, price(h)-price(a)) + (if price(h) < price(a)) (price(a)-price(h) + return)].

    All in minor units as floats: these are expectations, made money at the border. Candidates without a
    price, "none of these" among them, add 0 and cannot be what the copy is called.
    """

    def __init__(self, model: Candidates, settings: WeighSettings) -> None:
        factor = settings.price_factor
        self.prices = [None if p.price is None else p.price * factor for p in model.pressings]
        priced = [(price, h) for h, price in enumerate(self.prices) if price is not None]
        priced.sort()
        self.back = float(settings.return_cost)
        self._order = [h for _, h in priced]
        self._levels = sorted({price for price, _ in priced})
        starts = {price: i for i, (price, _) in reversed(list(enumerate(priced)))}
        self._starts = [starts[level] for level in self._levels]
        self._sorted = [price for price, _ in priced]

    @property
    def priced(self) -> bool:
        """Whether there are two prices to confuse."""
        return len(self._levels) > 1

    def price(self, h: int) -> float | None:
        """The candidate's price at this record's grades, or None."""
        return self.prices[h] if h < len(self.prices) else None

    def calling(self, p: Row, h: int) -> float | None:
        """cost(h), or None where the candidate has no price."""
        mine = self.price(h)
        if mine is None:
            return None
        return sum(
            p[other] * (price - mine if price >= mine else mine - price + self.back)
            for other, price in zip(self._order, self._sorted, strict=True)
        )

    def least(self, p: Row) -> float:
        """The least cost over all names the copy could be given; ``p`` need not add up to 1."""
        if not self._levels:
            return 0.0
        mass = [p[h] for h in self._order]
        below = [0.0, *accumulate(mass)]
        value = [0.0, *accumulate(map(mul, mass, self._sorted))]
        total, worth = below[-1], value[-1]
        # Above and at the level: value - level*mass; below it: level*mass - value + return*mass.
        costs = (
            (worth - value[i]) - level * (total - below[i]) + (level + self.back) * below[i] - value[i]
            for level, i in zip(self._levels, self._starts, strict=True)
        )
        return float(min(costs))
