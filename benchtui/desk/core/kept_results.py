"""Results of pure work kept for the same facts: one key asks several times for a weighing and for a price."""

import json
from collections.abc import Callable
from typing import Any, Generic, TypeVar

from benchtui.model.record import RecordDoc

_T = TypeVar("_T")
_KEPT = 4
_UNWEIGHED = frozenset(
    ("price", "worked", "note", "chores", "stock", "state", "started_at", "taken_in_at", "no", "earlier")
)
"""What of a record no weighing reads: beginning it, pricing it or taking it in asks for no new one."""


class Kept(Generic[_T]):
    """The last few results, each with the facts it was worked out from."""

    def __init__(self) -> None:
        self._kept: list[tuple[tuple[Any, ...], _T]] = []

    def get(self, facts: tuple[Any, ...], work: Callable[[], _T]) -> _T:
        """The result for facts equal to these, or what ``work`` gives. Facts must not change afterwards."""
        for at, (known, result) in enumerate(self._kept):
            if known == facts:
                self._kept.insert(0, self._kept.pop(at))
                return result
        made = work()
        self._kept = [(facts, made), *self._kept[: _KEPT - 1]]
        return made

    def forget(self) -> None:
        self._kept.clear()


def weighed_of(record: RecordDoc) -> str:
    """Everything of a record that its weighing can depend on, as a text that later changes do not touch."""
    return json.dumps({key: value for key, value in record.items() if key not in _UNWEIGHED})
