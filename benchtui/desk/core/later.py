"""What the desk holds of work put off and of work done ahead."""

from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass

from benchtui.base.errors import BenchError
from benchtui.model.record import PartDoc, RecordDoc


class Later:
    """What nothing on the screen waits for: done once that is painted, and before the next key."""

    def __init__(self) -> None:
        self._acts: list[Callable[[], object]] = []

    def __bool__(self) -> bool:
        return bool(self._acts)

    def add(self, act: Callable[[], object]) -> None:
        self._acts.append(act)

    def do(self) -> None:
        """Do it now. What fails of it is not told: nobody was told of it either."""
        acts, self._acts = self._acts, []
        for act in acts:
            with suppress(BenchError):
                act()


@dataclass(slots=True)
class Foresight:
    """What taking the marked title would want (foresight.py): for which record and title that is being
    worked out, and with which parts it was.
    """

    steps: Iterator[bool] | None = None
    about: tuple[RecordDoc, str] | None = None
    parts: list[PartDoc] | None = None
