"""What it costs to call the copy what the leader says, and what a look saves."""

from collections.abc import Callable
from itertools import accumulate, pairwise
from operator import itemgetter

from benchtui.evidence.candidates import Candidates
from benchtui.evidence.settings import WeighSettings
from benchtui.evidence.word_weights import Row


def _all_of(order: list[int]) -> Callable[[Row], tuple[float, ...]]:
    """``itemgetter`` for fewer than two places, of which it would not make a tuple."""
    return lambda p: tuple(p[h] for h in order)


def _times(model: Candidates, factor: float) -> list[float | None]:
    return [None if p.price is None else p.price * factor for p in model.pressings]


class Costs:
    """cost(a) = sum over h of P(h) times:

    [max(0, price(h)-price(a)) + (if price(h) < price(a)) (price(a)-price(h) + return)].

    All in minor units as floats: these are expectations, made money at the border. Candidates without a
    price, "none of these" among them, add 0 and cannot be what the copy is called.
    """

    def __init__(self, model: Candidates, settings: WeighSettings, rate: float = 1.0) -> None:
        factor, told = settings.price_factor, settings.told_factor
        self.prices = _times(model, factor * rate)
        self.told = self.prices if told is None else _times(model, told * rate)
        """Those that are shown."""
        priced = [(price, h) for h, price in enumerate(self.prices) if price is not None]
        priced.sort()
        self.back = float(settings.return_cost)
        self._order = [h for _, h in priced]
        self._pick: Callable[[Row], tuple[float, ...]] = (
            itemgetter(*self._order) if len(priced) > 1 else _all_of(self._order)
        )
        self._sorted = [price for price, _ in priced]
        self._levels = sorted(set(self._sorted))
        starts = [*(self._sorted.index(level) for level in self._levels), len(priced)]
        self._each_level = [
            (level, 2 * level + self.back, start, end)
            for level, (start, end) in zip(self._levels, pairwise(starts), strict=True)
        ]

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
        below = list(accumulate(self._pick(p), initial=0.0))
        total, value, best = below[-1], 0.0, float("inf")
        # At and above a level: value - level*mass; below it: level*mass - value + return*mass.
        for level, twice, start, end in self._each_level:
            best = min(best, twice * below[start] - level * total - 2 * value)
            value += level * (below[end] - below[start])
        return value + best
