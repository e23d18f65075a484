"""Faults from TOML, and the highest grade that the faults of a part still allow."""

from collections.abc import Iterable, Sequence
from os.path import lexists
from pathlib import Path
from typing import NamedTuple

from benchtui.books.cautions import cautions
from benchtui.books.row import Faults, Row, one_of
from benchtui.books.scales import open_rows, usable_rows
from benchtui.model.grade import Fault, Scale, Severity, Shade, Step
from benchtui.model.record import BOX_HALVES, PART_KINDS, FaultDoc, PartDoc

SHIPPED = Path(__file__).parent / "faults.toml"
FILE = "faults.toml"
CHORES = ("", "clean", "dry", "repair", "play-test", "photograph", "find an insert")
APART = ("", "mould", "smell")
SMALL_PER_STEP = 3
"""This many small faults on one part take one published step off ..."""
MOST_STEPS = 2
"""... but small faults never take off more than this: a stated rule, common practice knows none."""


class Ceiling(NamedTuple):
    """The highest grade allowed, and the fault that sets it in words (``seam split, up to 8 cm``)."""

    grade: str
    shade: Shade
    fault: str


def fault_files(folders: Sequence[Path]) -> list[Path]:
    """The shipped faults, then ``faults.toml`` of each folder that has one."""
    return [SHIPPED, *(path for folder in folders if lexists(path := folder / FILE))]


def load_faults(folders: Sequence[Path] = ()) -> tuple[Fault, ...]:
    """Every fault, one in a later folder replacing an earlier one of its id.

    BenchError with file and line for the first fault in the files, two faults of a part on one key included.
    """
    found: dict[str, Fault] = {}
    for path in fault_files(folders):
        top, faults = open_rows(path)
        for fault, row in read_faults(top):
            found[fault.id] = fault
            _keys_once(found.values(), fault, row)
        faults.raise_first()
    return tuple(found.values())


def usable_faults(folders: Sequence[Path] = ()) -> tuple[tuple[Fault, ...], list[str]]:
    """The same without what cannot be read of the folders' files (a fault, or a whole file that is no TOML),
    and a line for each: the bench opens with the shipped ones.
    """
    found = {fault.id: fault for fault in load_faults()}

    def read(row: Row) -> Fault:
        fault = _fault(row)
        _keys_once(found.values(), fault, row)
        return fault

    told = usable_rows(
        fault_files(folders)[1:],
        lambda top: top.rows("fault"),
        read,
        lambda fault: found.update({fault.id: fault}),
    )
    return tuple(found.values()), told


def check_faults(path: Path) -> Faults:
    """Everything that is wrong with one faults file by itself."""
    top, faults = open_rows(path)
    seen: list[Fault] = []
    for fault, row in read_faults(top):
        if any(fault.id == other.id for other in seen):
            row.wrong("id", f"the fault {fault.id!r} is defined twice", "give each fault an id of its own")
        _keys_once(seen, fault, row)
        seen.append(fault)
    return faults


def read_faults(top: Row) -> list[tuple[Fault, Row]]:
    """The ``[[fault]]`` tables of a file with their rows."""
    rows = list(top.rows("fault"))
    top.done()
    return [(_fault(row), row) for row in rows]


def _fault(row: Row) -> Fault:
    unit, ground = row.text("unit"), row.text("ground", "common practice, no source")
    identifier = row.need("id")
    fault = Fault(
        id=identifier,
        key=row.need("key"),
        text=row.text("text", identifier),
        parts=row.texts("parts"),
        severities=tuple(
            _severity(entry, digit, unit, ground) for digit, entry in enumerate(row.rows("severity"), 1)
        ),
        chore=row.choice("chore", CHORES, ""),
        apart=row.choice("apart", APART, ""),
        handling=row.text("handling"),
        cautions=row.texts("cautions"),
    )
    for one in fault.cautions:
        if one not in cautions():
            row.wrong("cautions", f"there is no caution {one!r}", one_of(one, sorted(cautions())))
    if len(fault.key) != 1 or not ("a" <= fault.key <= "z"):
        row.wrong("key", f"key = {fault.key!r} is not one lower-case letter", "use one of a to z")
    for part in fault.parts:
        if part not in PART_KINDS:
            row.wrong("parts", f"there is no part {part!r}", one_of(part, PART_KINDS))
    if not fault.parts or not fault.severities:
        row.wrong("id", f"{fault.id} has no part or no severity", "write parts = [...] and severity = [...]")
    row.done()
    return fault


def _severity(row: Row, digit: int, unit: str, ground: str) -> Severity:
    ceilings = row.map("ceilings")
    if not all(isinstance(grade, str) for grade in ceilings.values()):
        row.wrong("ceilings", "a ceiling is not text", 'write ceilings = { american = "VG+" }')
        ceilings = {}
    severity = Severity(
        id=row.need("id"),
        digit=digit,
        text=row.need("text"),
        ceilings=ceilings,
        ground=row.text("ground", ground),
        unit=unit,
        upto=row.number("upto", None, 0),
        chore=row.choice("chore", CHORES, "") if row.has("chore") else None,
    )
    row.done()
    return severity


def _keys_once(others: Iterable[Fault], fault: Fault, row: Row) -> None:
    for other in others:
        if other.id == fault.id or other.key != fault.key:
            continue
        if both := [part for part in fault.parts if part in other.parts]:
            what = f"the key {fault.key!r} gives both {other.id} and {fault.id} on a {both[0]}"
            row.wrong("key", what, f"use a letter that no other fault of a {both[0]} has")


def severity_for(fault: Fault, amount: float) -> Severity | None:
    """The severity that a measured amount falls into; None where the fault is not measured."""
    measured = [(entry.upto, entry) for entry in fault.severities if entry.upto is not None]
    if not measured:
        return None
    within = (entry for upto, entry in measured if amount <= upto)
    beyond = (entry for entry in fault.severities if entry.upto is None)
    return next(within, None) or next(beyond, measured[-1][1])


def ceiling_of(
    faults: Sequence[FaultDoc], scale: Scale, catalogue: Sequence[Fault], side: str = ""
) -> Ceiling | None:
    """The highest grade these faults of one part allow under the scale, or None where they set no limit.

    The lowest single ceiling, or what many small faults come to (``SMALL_PER_STEP``, ``MOST_STEPS``) where
    that is lower. ``side``: leave out what is noted of another side. A fault or severity that the list has
    lost, or that sets no ceiling under this scale, is left out.
    """
    single = [found for doc in faults if _on(doc, side) and (found := _single(doc, scale, catalogue))]
    if not single:
        return None
    worst = min(single, key=lambda ceiling: scale.rank(ceiling.grade, ceiling.shade))
    summed = _small_ones(single, scale)
    if summed and scale.rank(summed.grade, summed.shade) < scale.rank(worst.grade, worst.shade):
        return summed
    return worst


def ceiling(part: PartDoc, catalogue: Sequence[Fault], scale: Scale, side: str = "") -> Ceiling | None:
    """The highest grade a part's faults allow; see ``ceiling_of``."""
    return ceiling_of(part["faults"], scale, catalogue, side)


def above(grade: str, shade: Shade, limit: Ceiling | None, scale: Scale) -> bool:
    """Whether a grade stands above the ceiling: allowed, but marked, with the fault named."""
    return limit is not None and scale.rank(grade, shade) > scale.rank(limit.grade, limit.shade)


def _on(doc: FaultDoc, side: str) -> bool:
    """Whether a fault counts for a side, a box's base or lid: its place names that one, or none at all."""
    words = doc["place"].split()
    last = words[-1] if words else ""
    named = last if (len(last) == 1 and last.isupper()) or last in BOX_HALVES else ""
    return not side or not named or named == side


def _single(doc: FaultDoc, scale: Scale, catalogue: Sequence[Fault]) -> Ceiling | None:
    fault = next((fault for fault in catalogue if fault.id == doc["fault"]), None)
    if fault is None:
        return None
    severity = next((entry for entry in fault.severities if entry.id == doc["severity"]), None)
    if severity is None:
        return None
    step = allowed(severity, scale)
    return Ceiling(step.grade, step.shade, words_for(fault, severity, doc)) if step else None


def allowed(severity: Severity, scale: Scale) -> Step | None:
    """The highest grade a severity allows under a scale, for a shop's own by the scale it is like."""
    own = severity.ceilings.get(scale.id)
    if own is None and scale.like:
        own = scale.alike.get(severity.ceilings.get(scale.like, ""))
    return scale.read(own) if own else None


def words_for(fault: Fault, severity: Severity, doc: FaultDoc) -> str:
    """``seam split, up to 8 cm (5 cm)``."""
    amount = doc.get("amount")
    measured = f" ({amount} {severity.unit})".replace(" )", ")") if amount else ""
    return f"{fault.text}, {severity.text}{measured}"


def _small_ones(single: Sequence[Ceiling], scale: Scale) -> Ceiling | None:
    """What the small faults of a part come to together; None where they are too few to count."""
    mark = scale.read(scale.small) if scale.small else None
    if mark is None:
        return None
    small = [one for one in single if scale.rank(one.grade, one.shade) >= scale.rank(*mark)]
    steps = min(len(small) // SMALL_PER_STEP, MOST_STEPS)
    if not steps:
        return None
    lowest = min(small, key=lambda one: scale.rank(one.grade, one.shade))
    # a shade that is no published step counts as the better of its two neighbours before steps come off
    order = max(0, -scale.rank(lowest.grade, lowest.shade) // 3) + steps
    reached = scale.grades[min(order, len(scale.grades) - 1)]
    step = scale.read(reached.id)
    return Ceiling(step.grade, step.shade, f"{len(small)} small faults together") if step else None
