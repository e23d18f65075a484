"""What the record's ids mean in words: grades and their order, faults, parts, days.

Everything an export says goes through here, so that the intake, the description and the report
never call one thing by two names.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

from benchtui.model.grade import Fault, Scale, Severity
from benchtui.model.record import (
    AnswerDoc,
    FaultDoc,
    GradeDoc,
    PartDoc,
    RecordDoc,
    half_words,
    parts_of,
)

_LOST = -(10**6)
WHEN_WORDS = {"arrived": "as arrived", "cleaned": "after cleaning", "played": "played"}


@dataclass(frozen=True, slots=True)
class Wording:
    """The shop's scales by id and faults by id. An id unknown to both is shown as it is."""

    scales: Mapping[str, Scale] = field(default_factory=dict)
    faults: Mapping[str, Fault] = field(default_factory=dict)

    @classmethod
    def of(cls, scales: Mapping[str, Scale], faults: Iterable[Fault]) -> "Wording":
        """From what the books room loads."""
        return cls(scales, {fault.id: fault for fault in faults})

    def rank(self, event: GradeDoc) -> int:
        """Higher is better within one scale; a grade whose scale is gone ranks below all others."""
        scale = self.scales.get(event["scale"])
        try:
            return scale.rank(event["grade"], event["shade"]) if scale else _LOST
        except ValueError:
            return _LOST

    def lowest(self, events: Iterable[GradeDoc]) -> GradeDoc | None:
        """The worst of some grades, the first of equals; None of none."""
        return min(events, key=self.rank, default=None)

    def scale_name(self, scale_id: str) -> str:
        """``American``, or the id where the scale is gone."""
        scale = self.scales.get(scale_id)
        return scale.name if scale else scale_id

    def severity(self, doc: FaultDoc) -> Severity | None:
        """The severity the document names, or None where the list has lost it."""
        fault = self.faults.get(doc["fault"])
        found = fault.severities if fault else ()
        return next((severity for severity in found if severity.id == doc["severity"]), None)

    def fault_text(self, doc: FaultDoc) -> str:
        """``seam split, 4 cm, bottom edge``: name, severity or measure, place."""
        return ", ".join([self.fault_name(doc), *self.fault_bits(doc)])

    def fault_name(self, doc: FaultDoc) -> str:
        """``seam split``, or the id where the list has lost it."""
        fault = self.faults.get(doc["fault"])
        return fault.text if fault else doc["fault"]

    def fault_bits(self, doc: FaultDoc) -> list[str]:
        """Severity or measure, place, note: what is known of them."""
        severity = self.severity(doc)
        degree = severity.text if severity else doc["severity"]
        # "scratch that is felt: felt, not heard" says one thing twice.
        degree = degree.removeprefix(self.fault_name(doc).rpartition(" ")[2] + ", ")
        bits = (self.measure(doc) or degree, half_words(doc["place"]), doc.get("note", ""))
        return [bit for bit in bits if bit]

    def measure(self, doc: FaultDoc) -> str:
        """``4 cm`` where the severity was measured, else ""."""
        amount = str(doc.get("amount") or "")
        severity = self.severity(doc)
        unit = severity.unit if severity else ""
        return f"{amount} {unit}".strip() if amount else ""


def is_number(value: Any) -> bool:
    """Whether an answer's value is a number that was read, or either of two."""
    several = value if isinstance(value, list) else [value]
    return bool(several) and all(type(one) in (int, float) for one in several)


def answer_words(answer: AnswerDoc) -> str:
    """The answer in the words shown. Parcels of before keep ``1972 in year`` and ``128 in g``."""
    text, value = answer["text"], answer["value"]
    if type(value) not in (int, float):
        return text
    lead, found, unit = text.rpartition(f"{value} in ")
    if not found or " " in unit:
        return text
    return f"{lead}{value}" if unit in ("year", "copy") else f"{lead}{value} {unit}"


def grade_text(event: GradeDoc | None) -> str:
    """``VG+``, or "" where nothing was graded."""
    return event["grade"] + event["shade"] if event else ""


def part_name(record: RecordDoc, part: PartDoc) -> str:
    """``cover``, ``disc 2`` (numbered only where there are several), ``poster``."""
    named = part.get("name", "")
    alike = parts_of(record, part["kind"])
    if named:
        return named if part["kind"] == "extra" or len(alike) < 2 else f"{part['kind']} {named}"
    if len(alike) < 2 or part not in alike:
        return part["kind"]
    return f"{part['kind']} {part.get('number') or alike.index(part) + 1}"


def each_part(record: RecordDoc, said: Iterable[tuple[PartDoc, str]]) -> str:
    """``disc 1: VG+; disc 2: VG``; where the record has one such part, only what is said of it."""
    spoken = [(part, text) for part, text in said if text]
    if len(spoken) == 1 and part_name(record, spoken[0][0]) == spoken[0][0]["kind"]:
        return spoken[0][1]
    return "; ".join(f"{part_name(record, part)}: {text}" for part, text in spoken)


def local_day(moment: str | None) -> date | None:
    """The day on the dealer's own clock of a UTC moment; a plain day is itself; None for neither."""
    if not moment:
        return None
    try:
        at = datetime.fromisoformat(moment)
    except ValueError:
        return None
    return at.astimezone().date() if at.tzinfo else at.date()
