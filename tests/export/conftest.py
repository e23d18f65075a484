"""Records for the exports, built by hand: invented artists and titles only."""

import sys
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from benchtui.evidence.results import Agreement, Likely, PartSpan, Weighing
from benchtui.export.items import Item
from benchtui.export.wording import Wording
from benchtui.model.grade import Fault, Grade, Scale, Severity
from benchtui.model.parcel import new_head
from benchtui.model.record import RecordDoc, empty_record, new_part
from benchtui.model.span import parse_edtf

sys.path.insert(0, str(Path(__file__).parent))  # for claimed.py beside this file

# Noon on the clock of whatever machine this runs on: days are the dealer's own.
AT = datetime(2026, 11, 25, 12).astimezone().isoformat()


def grade(
    step: str, side: str = "", when: str = "arrived", scale: str = "american", at: str = AT
) -> dict[str, Any]:
    base = step.rstrip("+-")
    return {"when": when, "side": side, "grade": base, "shade": step[len(base) :], "scale": scale, "at": at}


def fault(
    name: str, severity: str, place: str = "", amount: str | None = None, note: str = ""
) -> dict[str, Any]:
    return {"fault": name, "severity": severity, "place": place, "amount": amount, "note": note, "at": AT}


def part(kind: str, ident: str, *grades: Any, faults: tuple[Any, ...] = (), **fields: Any) -> Any:
    made = new_part(kind, id=ident, **fields)  # type: ignore[arg-type]
    made["grades"] = list(grades)
    made["faults"] = list(faults)
    return made


def plain_record(no: int = 1, stock: str | None = "A00001", **fields: Any) -> RecordDoc:
    """A mono disc in its cover, taken in at noon, priced; every field may be replaced."""
    record = empty_record(no)
    record["id"] = f"r-{no}"
    record["state"] = "taken-in"
    record["stock"] = stock
    record["title"] = {
        "id": "t-1",
        "artist": "The Lantern Quire",
        "title": "Moths at Noon",
        "catalogue": "TW 1041",
        "first": "1967-05",
        "company": "Tarrowick",
        "country": "XV",
    }
    record["channels"] = "mono"
    record["size_in"] = 12
    sides = {"A": {"typed": "1", "full": "DV 1041 A/1", "cut": "1"}, "B": {"typed": "2u", "cut": "2"}}
    record["parts"] = [
        part("disc", "d1", grade("VG+"), sides=sides),
        part("cover", "c1", grade("VG"), faults=(fault("seam-split", "cm", "bottom", "4"),)),
        part("inner", "i1", grade("G")),
        part("extra", "e1", name="poster", expected=True, state="present"),
    ]
    record["pressing"] = {
        "id": "q/1",
        "how": "leader",
        "p": 0.97,
        "learn": False,
        "name": "first mono, gold label",
    }
    record["price"] = {"minor": 2400, "currency": "GBP", "how": "hand"}
    record["taken_in_at"] = AT
    record.update(fields)  # type: ignore[typeddict-item]
    return record


def weighing(**fields: Any) -> Weighing:
    """What the evidence room would say, given by hand."""
    spans = PartSpan(parse_edtf("[1963..]"), parse_edtf("[1967-05..1968-02]"))
    leader = Likely("q/1", "first mono, gold label", 0.97)
    known: dict[str, Any] = {
        "parts": {"d1": spans, "c1": spans},
        "disc_span": spans,
        "copy_span": PartSpan(parse_edtf("[1963..]"), parse_edtf("[1967-05..]")),
        "pressings": (leader,),
        "agreement": {"i1": Agreement(0.9, 12.0, "probably from another copy")},
        "settled": True,
    }
    return Weighing(**(known | fields))


def scale() -> Scale:
    steps = (("NM", "n"), ("VG+", "v"), ("VG", "v"), ("G", "g"), ("P", "p"))
    made = tuple(
        Grade(name, name.lower(), key, at, "1", "", shade="+" if name.endswith("+") else "")
        for at, (name, key) in enumerate(steps)
    )
    return Scale("american", "American", made)


def words() -> Wording:
    split = Severity("cm", 1, "split", {}, "common practice, no source", unit="cm")
    light = Severity("light", 1, "light", {}, "common practice, no source")
    faults = (
        Fault("seam-split", "s", "seam split", ("cover",), (split,)),
        Fault("hairlines", "h", "hairlines", ("disc",), (light,)),
    )
    return Wording.of({"american": scale()}, faults)


def an_item(
    record: RecordDoc | None = None, weighed: Any = None, sender: str = "A. Collector", **head: Any
) -> Item:
    """An item of a parcel whose head fields may be replaced."""
    top = new_head("2026-11-25-1", expected=1)
    top["delivered"] = "2026-11-24"
    top.update(head)  # type: ignore[typeddict-item]
    return Item(top, record or plain_record(), sender, weighed)


@pytest.fixture
def make() -> SimpleNamespace:
    """Everything above, for tests: ``make.record(...)``, ``make.item(...)``."""
    builders: dict[str, Callable[..., Any]] = {
        "record": plain_record,
        "item": an_item,
        "part": part,
        "grade": grade,
        "fault": fault,
        "weighing": weighing,
        "words": words,
        "scale": scale,
    }
    return SimpleNamespace(**builders)
