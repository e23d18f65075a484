"""The constants of the evidence model and the shop's own settings; changing one never changes a formula."""

from collections.abc import Mapping
from fractions import Fraction
from typing import Any, NamedTuple

from benchtui.books.ladder import LAG_YEARS

# {pressing id: {"n": copies, "clues": {clue id: {answer id: times}}, "cuts": {"a|b": times},
# "runouts": {"whole a|whole b": times}}}, the last only where there are any; plain JSON.
Counts = Mapping[str, Any]

LIKELY_ELSEWHERE = 0.75
"""From here on a part is taken for another copy's: it dates nothing but itself and is asked nothing more."""


class ModelSettings(NamedTuple):
    """Constants of the likelihoods. Times in years unless named otherwise.

    ``strength`` S: how many confirmed copies a book's word is worth. ``book_weight`` theta: how many copies
    a book's shares are worth; ``discount`` d of the prior (prior.py). ``pool``: counts are pooled where a
    book is silent. ``none``: prior of a pressing nobody knows, None: as the title's completeness has it.
    ``repeat``: what each further clue of a group adds to its divisor. ``coupling`` l: weight of named pairs
    of cuts. ``lag``: mean age of a cover or inner when used. ``open_years``: length given to an open period;
    ``none_years``: how long after the first issue an unknown pressing may have been made where the company's
    years are not known, ``all_years`` where no pressing of the title is. ``stretches``: how many its time is
    parted into at most; ``covered``: how likely it falls into one that a known pressing covers, against one
    that none does; ``near``: in how many years from the nearest known one it becomes e times less likely.
    """

    strength: float = 4.0
    pool: bool = True
    misread: float | None = None
    none: float | None = None
    repeat: float = 0.3
    coupling: float = 0.8
    book_weight: float = 10.0
    discount: float = 0.5
    dates: bool = True
    cells: int = 24
    lag: float = LAG_YEARS
    firm: float = 0.5
    soft: float = 2.0
    open_years: float = 10.0
    none_years: float = 10.0
    all_years: float = 30.0
    stretches: int = 12
    covered: float = 0.1
    near: float = 3.0
    swap_inner: float = 0.10
    swap_extra: float = 0.05
    swap_wrap: float = 0.05
    swap_cover: float = 0.03
    swap_disc: float = 0.01
    stampers: bool = True

    def misread_of(self, clue_misread: float | None) -> float:
        """m of a clue: this setting where given (tests turn it off), else the clue's own, else .015."""
        if self.misread is not None:
            return self.misread
        return 0.015 if clue_misread is None else clue_misread

    def swap(self, kind: str) -> float:
        """s, the odds before looking that a part of that kind came from another copy of the title."""
        table = {
            "inner": self.swap_inner,
            "extra": self.swap_extra,
            "wrap": self.swap_wrap,
            "cover": self.swap_cover,
            "box": self.swap_cover,
        }
        return table.get(kind, self.swap_disc)


class WeighSettings(NamedTuple):
    """The shop's side of a weighing. Money in minor units of ``currency`` ("" means the book's own).

    ``price_factor`` turns a book price into this record's: what its grades leave of it. ``told_factor`` is
    that of the prices shown, where it is another: all of it before every part has its grade. ``rates``:
    what a minor unit of another currency is worth in minor units of ``currency``; where a book's has none,
    nothing is said of money.
    ``threshold`` None: what five minutes of the dealer's hour cost. ``dear`` None: an hour's wage; a leader
    that costs as much is not settled before a tell-tale clue of its known imitations was looked at.
    ``contradicted``: how likely a leader must be against which an "always" speaks. ``unknown``: how likely a
    pressing that nobody has described may still be while a clue is left that tells ``unknown_bits`` of it.
    ``seconds_to_take_up``: seconds to take up a part that is not in the hand. ``stock_years``: how much older
    than its disc a sleeve may be that was printed in stock; ``late_cover``: how much newer, where discs lay
    waiting (both from memory).
    """

    model: ModelSettings = ModelSettings()
    settle: float = 0.95
    contradicted: float = 0.99
    unknown: float = 0.01
    unknown_bits: float = 0.005
    hour: int = 2000
    threshold: int | None = None
    return_cost: int = 800
    dear: int | None = None
    price_factor: float = 1.0
    told_factor: float | None = None
    currency: str = ""
    seconds_to_take_up: float = 4.0
    least_bits: float = 0.01
    stock_years: float = 3.0
    late_cover: float = 1.0
    rates: tuple[tuple[str, Fraction], ...] = ()

    @property
    def look_again(self) -> float:
        """The cost, in minor units, above which a second look is raised."""
        return self.hour / 12 if self.threshold is None else float(self.threshold)

    @property
    def dear_from(self) -> float:
        """The price, in minor units, from which a leader counts as dear."""
        return float(self.hour if self.dear is None else self.dear)

    def wage(self, seconds: float) -> float:
        """What so many seconds of looking cost, in minor units."""
        return self.hour * seconds / 3600


DEFAULTS = WeighSettings()
