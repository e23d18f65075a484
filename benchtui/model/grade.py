"""Grading scales and faults, as data that the books room reads from TOML."""

from dataclasses import dataclass, field
from typing import Literal, NamedTuple

Shade = Literal["", "+", "-"]
SHADES: tuple[Shade, ...] = ("", "+", "-")
AXES = {
    "surface": "under a lamp",
    "quiet": "quiet passages",
    "loud": "loud passages",
    "edge": "edge and hole",
    "structure": "structure",
    "face": "face",
}
"""What a grade is argued by, the same for every scale: four for a disc, two for a cover and all paper."""
_OF_DISC = ("surface", "quiet", "loud", "edge")


@dataclass(frozen=True, slots=True)
class Grade:
    """One step of a scale. ``key`` is the single key that gives it; ``factor`` the share of the top price.

    ``shade`` is "" for a step that its key gives alone, else the shade that makes it: the American VG+ has
    the key of VG and the shade "+". ``order`` counts from 0, the best. ``factor`` is exact decimal text.
    ``criterion`` is the grade in a few words, ``cover`` that for covers, inners, boxes and extras, ``axes``
    what is seen and heard along each of ``AXES``.
    """

    id: str
    name: str
    key: str
    order: int
    factor: str
    criterion: str
    source: str = ""
    shade: Shade = ""
    axes: dict[str, str] = field(default_factory=dict)
    cover: str = ""

    def brief(self, kind: str) -> str:
        """The grade in a few words for that kind of part."""
        return self.criterion if kind == "disc" else self.cover or self.criterion

    def criteria(self, kind: str) -> str:
        """What the grade asks of that kind of part, axis by axis; else the short criterion."""
        lines = [
            f"{name}: {text}"
            for axis, name in AXES.items()
            if (axis in _OF_DISC) == (kind == "disc") and (text := self.axes.get(axis))
        ]
        return "; ".join(lines) or self.brief(kind)


class Step(NamedTuple):
    """A grade with its shade, as records keep it: VG+ is ("VG", "+") whether or not a scale publishes it."""

    grade: str
    shade: Shade

    def text(self) -> str:
        """``VG+``."""
        return self.grade + self.shade


@dataclass(frozen=True, slots=True)
class Scale:
    """A published grading scale, or the shop's own. ``grades`` best first; a shaded step has its base's key.

    ``small`` is the lowest grade that a small fault still allows (see ``books.faults``). A shop's own scale
    may take the ceilings of the scale it is ``like``: ``alike`` maps that one's grades to its own.
    """

    id: str
    name: str
    grades: tuple[Grade, ...]
    source: str = ""
    small: str = ""
    like: str = ""
    alike: dict[str, str] = field(default_factory=dict)

    def by_id(self, grade_id: str) -> Grade | None:
        """The step of that id, or None."""
        return next((grade for grade in self.grades if grade.id == grade_id), None)

    def by_key(self, key: str) -> Grade | None:
        """The unshaded step a key gives, or None."""
        return next((grade for grade in self.grades if grade.key == key and not grade.shade), None)

    def step(self, grade: str, shade: Shade = "") -> Grade | None:
        """The step that a shaded grade is, or counts as: VG with "+" is VG+ where that is published, else VG.

        None where the scale has no such grade.
        """
        base = self.by_id(grade)
        return None if base is None else self._published(base, shade) or base

    def rank(self, grade: str, shade: Shade = "") -> int:
        """A total order over all grades and shades: higher is better.

        A shade that is no published step lies between its grade and the next one. ValueError for a grade of
        another scale.
        """
        base = self.by_id(grade)
        if base is None:
            known = ", ".join(step.id for step in self.grades)
            raise ValueError(f"the scale {self.id!r} has no grade {grade!r}; it has {known}")
        if published := self._published(base, shade):
            return -3 * published.order
        return -3 * base.order + (1 if shade == "+" else -1)

    def read(self, text: str) -> Step | None:
        """``VG+`` as the grade and the shade it is made of, or None where the scale has no such grade."""
        if found := self.by_id(text):
            base = self.by_key(found.key) if found.shade else found
            return Step(base.id if base else found.id, found.shade if base else "")
        for shade in SHADES[1:]:
            if text.endswith(shade) and self.by_id(text[:-1]):
                return Step(text[:-1], shade)
        return None

    def _published(self, base: Grade, shade: Shade) -> Grade | None:
        """The published step that a base and a shade make, if there is one."""
        if not shade:
            return base
        if base.shade:
            return None
        same = (grade for grade in self.grades if grade.key == base.key and grade.shade == shade)
        return next(same, None)


class Severity(NamedTuple):
    """How bad: ``digit`` picks it; ``ceilings`` scale id -> highest grade (with shade, e.g. "VG+") allowed.

    ``upto``: where the severity is measured (``unit``), the most of it that is still this severity;
    None for the worst one, and where nothing is measured. ``chore``: the work that this much of it asks
    for; None: what the fault asks for.
    """

    id: str
    digit: int
    text: str
    ceilings: dict[str, str]
    ground: str
    unit: str = ""
    upto: float | None = None
    chore: str | None = None


class Fault(NamedTuple):
    """A named defect of some kinds of part; ``key`` picks it in the fault menu of such a part.

    ``chore`` is the work it suggests, ``apart`` why it sets the record apart at once; "" for neither.
    ``cautions`` are ids of what to mind at any work on such a part (see ``books.cautions``); ``handling`` is
    what a shop's own fault says of its chore in words of its own.
    """

    id: str
    key: str
    text: str
    parts: tuple[str, ...]
    severities: tuple[Severity, ...]
    chore: str = ""
    apart: str = ""
    handling: str = ""
    cautions: tuple[str, ...] = ()

    def work(self, severity_id: str) -> str:
        """The work that so much of the fault asks for; "" for none. A severity's own word goes first."""
        found = next((one for one in self.severities if one.id == severity_id), None)
        return self.chore if found is None or found.chore is None else found.chore
