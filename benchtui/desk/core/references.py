"""What the desk works by and never changes, and the shop's side of a weighing."""

from collections.abc import Callable, Mapping
from typing import Any, NamedTuple

from benchtui.base.errors import BenchError
from benchtui.books.library import Library
from benchtui.desk.core.keymap import Keymap
from benchtui.evidence import WeighSettings
from benchtui.model.grade import Fault, Scale
from benchtui.model.record import RecordDoc
from benchtui.money.condition import condition_of, is_graded
from benchtui.money.policy import Policy
from benchtui.money.worked import rates_of


class References(NamedTuple):
    """What the desk reads and never changes: books, scales, faults, keys."""

    library: Library
    scales: dict[str, Scale]
    faults: tuple[Fault, ...]
    keymap: Keymap


def settings_for(
    record: RecordDoc,
    settings: dict[str, Any],
    currency: str,
    scales: Mapping[str, Scale],
    policy: Callable[[], Policy],
) -> WeighSettings:
    """Wage, threshold, and what the record's grades do to a price, as the shop has them.

    ``policy`` is what the worked price goes by, with the grade factors learnt; it may raise BenchError.
    """
    try:
        wage = settings.get("hour_wage") or {}
        return WeighSettings(
            settle=float(settings.get("threshold") or 0.95),
            hour=int(wage.get("minor", 2000)),
            price_factor=_worth(record, scales, policy),
            told_factor=None if is_graded(record) else 1.0,
            currency=currency,
            rates=rates_of(settings),
        )
    except (AttributeError, TypeError, ValueError):  # a setting edited into nonsense: check names it
        return WeighSettings()


def _worth(record: RecordDoc, scales: Mapping[str, Scale], policy: Callable[[], Policy]) -> float:
    """What the record's grades leave of a price; all of it where that cannot be said."""
    try:
        now = policy()
        worth = condition_of(record, scales, now).worth(now)
    except BenchError:
        return 1.0
    return 1.0 if worth is None else float(worth)
