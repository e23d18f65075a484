"""For any record whatever: what is claimed stands on an entry, and doubt has no words but the fixed ones."""

import re
from types import SimpleNamespace
from typing import Any

from claimed import entry
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from benchtui.books.faults import load_faults
from benchtui.books.scales import load_scales
from benchtui.evidence.results import Agreement, Likely, PartSpan
from benchtui.export.claims import CLAIMS, NO_FACTS, say
from benchtui.export.describe import describe, load_templates
from benchtui.export.intake import intake
from benchtui.export.wording import Wording
from benchtui.model.span import parse_edtf

WORDS = Wording.of(load_scales(()), load_faults(()))
TEMPLATES = load_templates()
KINDS = ("disc", "cover", "box", "inner", "wrap", "extra")
SPANS = st.sampled_from(["", "1967", "[1963-07..1968]", "[1971..]", "[..1968-02-29]"]).map(parse_edtf)
OTHER_DOUBT = re.compile(
    r"\b(maybe|perhaps|possibl[ey]|presumabl[ey]|likely|appears?|seems?|believed)\b", re.I
)


VALUES = st.sampled_from([None, 7, "typed"])


def answer(part: str, how: str, value: Any) -> dict[str, Any]:
    wording = {"answer": "a", "text": "Label: gold", "book": "b", "at": ""}
    return {"part": part, "place": "label A", "clue": "c", "how": how, "value": value} | wording


@st.composite
def parts(draw: st.DrawFn, make: Any) -> list[Any]:
    made = []
    for at in range(draw(st.integers(0, 5))):
        kind = draw(st.sampled_from(KINDS))
        steps = st.sampled_from(["M", "NM", "VG+", "VG", "VG-", "G", "X"])
        sides = st.sampled_from(["", "A", "B"]) if kind == "disc" else st.just("")
        whens = st.sampled_from(["arrived", "cleaned", "played"])
        grades = draw(st.lists(st.builds(make.grade, steps, sides, whens), max_size=3))
        known = [fault for fault in WORDS.faults.values() if kind in fault.parts]
        faults = []
        wanted: bool = draw(st.booleans())
        if known and wanted:
            fault = draw(st.sampled_from(known))
            faults.append(make.fault(fault.id, draw(st.sampled_from(fault.severities)).id, "side A", "3"))
        part = make.part(kind, f"p{at}", *grades, faults=tuple(faults))
        part["state"] = draw(st.sampled_from(["present", "missing", "unknown"]))
        part["origin"] = draw(st.sampled_from([None, None, {"record": "r-9"}]))
        part["gone"] = draw(st.sampled_from([None, None, None, {"to": "r-9"}]))
        if kind == "disc" and draw(st.booleans()):
            part["sides"] = {"A": {"typed": "1 2G"}, "B": {}}
        made.append(part)
    return made


@st.composite
def items(draw: st.DrawFn, make: Any) -> Any:
    record = make.record(parts=draw(parts(make)))
    ids = [part["id"] for part in record["parts"]]
    rulings = st.sampled_from(["own", "swapped", "unsure"])
    record["rulings"] = {ident: draw(rulings) for ident in ids if draw(st.booleans())}
    hows = st.sampled_from(["seen", "copied", "predicted"])
    record["answers"] = [answer(ident, draw(hows), draw(VALUES)) for ident in ids if draw(st.booleans())]
    named = draw(st.sampled_from([None, "q/1", "q/2"]))
    how = draw(st.sampled_from(["leader", "hand"])) if named else "open"
    record["pressing"] = {
        "id": named,
        "how": how,
        "p": draw(st.sampled_from([None, 0.3, 0.97])),
        "learn": False,
    }
    record["title"] = draw(st.sampled_from([None, record["title"]]))
    record["channels"] = draw(st.sampled_from(["", "mono", "both"]))
    chance = draw(st.sampled_from([0.3, 0.6, 0.9, 0.99]))
    leader = Likely(draw(st.sampled_from([None, "q/1"])), "first mono", chance, kind="promotional")
    weighed = make.weighing(
        parts={ident: PartSpan(draw(SPANS), draw(SPANS)) for ident in ids},
        agreement={ident: Agreement(draw(st.sampled_from([0.1, 0.6, 0.9])), 0.0, "") for ident in ids},
        pressings=draw(st.sampled_from([(), (leader,)])),
        settled=draw(st.booleans()),
    )
    return make.item(record, draw(st.sampled_from([None, weighed])))


@settings(max_examples=120, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_every_claim_of_any_record_stands_on_an_entry(data: st.DataObject, make: SimpleNamespace) -> None:
    item = data.draw(items(make))
    for field in CLAIMS:
        said = say(field, item, WORDS)
        assert bool(said.text) <= bool(said.entries), field
        for path in said.entries if said.text else ():
            assert entry(item.record, path) is not None
        if field not in NO_FACTS:
            assert not OTHER_DOUBT.search(said.text), said.text


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_any_record_can_be_described_and_exported(data: st.DataObject, make: SimpleNamespace) -> None:
    item = data.draw(items(make))
    for name, template in TEMPLATES.items():
        told = describe(item, WORDS, template, name)
        assert "\n" not in told.title + told.text
        for part in item.record["parts"]:
            faults = part["faults"] if not part.get("gone") and part["state"] != "missing" else []
            names = [WORDS.fault_name(fault).removeprefix(f"{part['kind']} ") for fault in faults]
            assert all(name in told.text for name in names)
    assert len(intake([item], WORDS).rows) == 1
