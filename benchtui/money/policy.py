"""How this shop reckons: its settings, checked, with what holds where they are silent.

Every default that is not plain arithmetic is common practice, no source; the dealer sets them.
No rate of duty or tax is shipped: ``vat_rate`` has no default.
"""

from bisect import bisect_right
from collections.abc import Mapping
from fractions import Fraction
from typing import Any, Literal, NamedTuple, get_args

from benchtui.base.errors import BenchError
from benchtui.model.currencies import MINOR_UNITS, faulty_currency
from benchtui.model.money import ask_decimals, minor_units
from benchtui.money.dated import as_on, is_dated, rows_of
from benchtui.money.rounding import Rule, exact, money_of, percent, rule_named

Scheme = Literal["none", "item", "period"]
CommissionVat = Literal["none", "added", "included"]
LateCost = Literal["unsold", "expense"]
Step = tuple[int | None, int]
_STEPS = (("10", "0.50"), ("50", "1"), (None, "5"))
_BIG_STEPS = (("1000", "50"), ("5000", "100"), (None, "500"))  # where the unit itself is small money


class Policy(NamedTuple):
    """The shop's settings that money needs. ``price_steps``: below so many minor units, round to that step.

    ``half_life_days``: a sale seen so long ago counts half. ``disc_weight``: the disc's share of a copy's
    worth, the cover has the rest. ``missing_extra`` and ``swapped``: what the worth is multiplied by for each
    extra missing and each part that does not belong. ``vat_rate`` is a share of one, None where not set.
    ``commission_vat``: whether VAT comes on top of a commission or is in it. ``postage_in_margin``: whether
    postage charged to the buyer is part of the selling price (Directive 2006/112/EC, article 312(1), counts
    transport charged by the dealer in). ``late_cost``: where a bill after the closing goes.
    """

    currency: str
    conversion: Rule
    price_steps: tuple[Step, ...]
    half_life_days: int
    disc_weight: Fraction
    missing_extra: Fraction
    swapped: Fraction
    scheme: Scheme
    vat_rate: Fraction | None
    vat_rounding: Rule
    vat_period: str
    period_limit: int | None
    factors: Mapping[str, Mapping[str, Fraction]]
    commission_vat: CommissionVat = "none"
    postage_in_margin: bool = True
    late_cost: LateCost = "unsold"


def policy_of(settings: Mapping[str, Any], on: str = "") -> Policy:
    """The settings as the money room reads them, dated ones as of that day ("" is the clock's today).

    BenchError names the setting that cannot be right.
    """
    settings = as_on(settings, on)
    currency = _currency(settings)
    rate = settings.get("vat_rate")
    limit = settings.get("period_limit")
    return Policy(
        currency=currency,
        conversion=rule_named(
            settings.get("conversion_rounding") or "half-up", "setting conversion_rounding"
        ),
        price_steps=_steps(settings.get("price_steps"), currency),
        half_life_days=_days(settings.get("half_life_days") or 730),
        disc_weight=_share(settings, "disc_weight", "0.6"),
        missing_extra=_share(settings, "missing_extra", "0.9"),
        swapped=_share(settings, "swapped_part", "0.8"),
        scheme=_scheme(settings.get("margin_scheme")),
        vat_rate=None if rate in (None, "") else percent(rate, "the VAT rate", "setting vat_rate"),
        vat_rounding=rule_named(settings.get("vat_rounding") or "half-up", "setting vat_rounding"),
        vat_period=_one_of(
            settings.get("vat_period") or "quarter", ("month", "quarter", "year"), "vat_period"
        ),
        period_limit=None if limit in (None, "", "none") else _minor(limit, currency, "setting period_limit"),
        factors=_factors(settings.get("grade_factors") or {}),
        commission_vat=_one_of(
            settings.get("commission_vat") or "none", get_args(CommissionVat), "commission_vat"
        ),
        postage_in_margin=_one_of(
            settings.get("postage_in_margin") or "yes", ("yes", "no"), "postage_in_margin"
        )
        == "yes",
        late_cost=_one_of(settings.get("late_cost") or "unsold", get_args(LateCost), "late_cost"),
    )


class Rates:
    """The shop's settings by day, read once for each stretch of days on which none of them changes."""

    def __init__(self, settings: Mapping[str, Any]) -> None:
        self._settings = settings
        dated = {name: value for name, value in settings.items() if is_dated(value)}
        starts = {start for name, value in dated.items() for start, _ in rows_of(value, f"setting {name}")}
        self._starts = sorted({"", *starts})
        self._known: dict[str, Policy] = {}
        self.currency = policy_of(settings).currency
        kept = settings.get("opening_margin")
        self.opening_margin = money_of(kept, "setting opening_margin", self.currency) if kept else None
        """Carried into the first period: a shortfall, or the value of the stock when the shop began."""

    def on(self, day: str) -> Policy:
        """The policy of that day. BenchError names the setting that cannot be right."""
        start = self._starts[bisect_right(self._starts, day) - 1]
        if start not in self._known:
            self._known[start] = policy_of(self._settings, start or "0001-01-01")
        return self._known[start]

    @property
    def starts(self) -> list[str]:
        """The days from which something else holds, the first "" for ever."""
        return self._starts

    def schemes(self, until: str) -> list[tuple[str, Scheme]]:
        """(day from which, margin scheme) up to a day; the first from ""."""
        found: list[tuple[str, Scheme]] = []
        for start in self._starts:
            if start <= until and (not found or found[-1][1] != self.on(start).scheme):
                found.append((start, self.on(start).scheme))
        return found


def _currency(settings: Mapping[str, Any]) -> str:
    """The shop's own, of our table or of the currencies it gives itself."""
    code, given = settings.get("currency") or "GBP", settings.get("currencies") or {}
    if not isinstance(given, Mapping):
        raise BenchError(f"{given!r} is not a table of currencies", "setting currencies", 'write {"XYZ": 2}')
    for other, decimals in given.items():
        if wrong := faulty_currency(other, decimals):
            raise BenchError(wrong, "setting currencies")
    if code not in MINOR_UNITS and code not in given:
        raise BenchError(ask_decimals(str(code)), "setting currency")
    return str(code)


def _one_of(value: Any, choices: tuple[Any, ...], name: str) -> Any:
    if value not in choices:
        right = "use one of " + ", ".join(map(str, choices))
        raise BenchError(f"there is no {name.replace('_', ' ')} {value!r}", f"setting {name}", right)
    return value


def _scheme(value: Any) -> Scheme:
    """Also a plain yes or no, yes being item by item."""
    if isinstance(value, bool) or not value:
        return "item" if value else "none"
    chosen: Scheme = _one_of(value, get_args(Scheme), "margin_scheme")
    return chosen


def _share(settings: Mapping[str, Any], name: str, silent: str) -> Fraction:
    value = exact(settings.get(name, silent), name.replace("_", " "), f"setting {name}")
    if value > 1:
        raise BenchError(
            f"{name.replace('_', ' ')} is {value}", f"setting {name}", "enter a number from 0 to 1"
        )
    return value


def _days(value: Any) -> int:
    days = exact(value, "the half-life", "setting half_life_days")
    if days.denominator != 1 or not 1 <= days <= 36525:
        raise BenchError(
            f"a half-life of {value} days", "setting half_life_days", "enter 1 to 36525 whole days"
        )
    return int(days)


def _minor(value: Any, currency: str, where: str) -> int:
    """Major units as decimal text, in minor units."""
    minor = exact(value, "the amount", where) * 10 ** minor_units(currency)
    if minor.denominator != 1:
        raise BenchError(f"{value} has more decimals than {currency}", where)
    return int(minor)


def _steps(steps: Any, currency: str) -> tuple[Step, ...]:
    """Rows of [below, step], or tables with these names, in major units as text; the last has no end."""
    where = "setting price_steps"
    right = 'write rows such as ["10", "0.50"], rising, the last with null'
    rows = steps or (_STEPS if minor_units(currency) else _BIG_STEPS)
    read: list[Step] = []
    for row in rows:
        pair = (row.get("below"), row.get("step")) if isinstance(row, Mapping) else row
        if not isinstance(pair, list | tuple) or len(pair) != 2:
            raise BenchError(f"the price step {row!r} is not a pair", where, right)
        below = None if pair[0] is None else _minor(pair[0], currency, where)
        read.append((below, _minor(pair[1], currency, where)))
    belows = [below for below, _ in read[:-1]]
    rising = all(below is not None for below in belows) and belows == sorted(set(belows))  # type: ignore[type-var]
    if not rising or read[-1][0] is not None or any(step < 1 for _, step in read):
        raise BenchError("the price steps do not rise to an open end", where, right)
    return tuple(read)


def _factors(factors: Any) -> dict[str, dict[str, Fraction]]:
    """Scale id -> grade id -> share of the top price, where the shop has its own idea of it."""
    where = "setting grade_factors"
    if not isinstance(factors, Mapping) or not all(
        isinstance(grades, Mapping) for grades in factors.values()
    ):
        raise BenchError("the grade factors are not a table", where, "write scale, grade and factor")
    return {
        scale: {
            grade: percent(
                exact(value, f"the factor of {grade}", where) * 100, f"the factor of {grade}", where
            )
            for grade, value in grades.items()
        }
        for scale, grades in factors.items()
    }
