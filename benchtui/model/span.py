"""Spans: made at some moment between two ends, either of which may be open."""

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class Span:
    """``earliest`` and ``latest`` inclusive days; None is an open end. Never reversed."""

    earliest: date | None = None
    latest: date | None = None

    def __post_init__(self) -> None:
        if self.earliest and self.latest and self.earliest > self.latest:
            raise ValueError(f"reversed span: {self.earliest} is after {self.latest}")
