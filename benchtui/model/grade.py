"""Grading scales and faults, as data that the books room reads from TOML."""

from dataclasses import dataclass
from typing import Literal

Shade = Literal["", "+", "-"]


@dataclass(frozen=True, slots=True)
class Grade:
    """One step of a scale. ``key`` is the single key that gives it; ``factor`` the share of the top grade's price.

    ``shades`` maps "+" and "-" to the id of the step a shaded grade *is* under this scale (the American
    VG with "+" is its own step VG+), or is empty where the scale has no such step.
    """

    id: str
    name: str
    key: str
    order: int
    factor: str
    criterion: str
    source: str = ""


@dataclass(frozen=True, slots=True)
class Scale:
    """A published grading scale, or the shop's own. ``grades`` best first; shaded steps carry the key of their base."""

    id: str
    name: str
    grades: tuple[Grade, ...]
    source: str = ""

    def by_id(self, grade_id: str) -> Grade | None:
        """The step of that id, or None."""
        return next((grade for grade in self.grades if grade.id == grade_id), None)

    def by_key(self, key: str) -> Grade | None:
        """The step a key gives, or None."""
        return next((grade for grade in self.grades if grade.key == key), None)


@dataclass(frozen=True, slots=True)
class Severity:
    """How bad: ``digit`` picks it; ``ceilings`` scale id -> highest grade (with shade, e.g. "VG+") allowed."""

    id: str
    digit: int
    text: str
    ceilings: dict[str, str]
    ground: str
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Fault:
    """A named defect of some kinds of part; ``key`` picks it in the fault menu of such a part."""

    id: str
    key: str
    text: str
    parts: tuple[str, ...]
    severities: tuple[Severity, ...]
    chore: str = ""
    apart: str = ""
