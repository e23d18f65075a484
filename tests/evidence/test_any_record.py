"""Whatever a record holds, weighing answers: odds add up to one, nothing raises, nothing of the record changes."""

import copy
import json
import math
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from benchtui.books.shape import Answer, BookTitle, Cipher, Clue, Pressing
from benchtui.evidence import counts_of, read_runout, weigh
from benchtui.evidence.command import as_json, as_text
from benchtui.evidence.reference import Shelf
from benchtui.model.record import empty_record, new_part
from benchtui.model.span import Span, parse_edtf

YES = Answer("yes", "yes", 1, parse_edtf("[1970..]"), "hard")
NO = Answer("no", "no", 2, parse_edtf("[..1960]"), "hard", caps_sale=True)
CLUES = [
    *(Clue(f"{kind}-{n}", f"{kind} {n}", kind, "front", (YES, NO), group="g" if n else "") for n in (0, 1)
      for kind in ("disc", "cover", "inner", "extra", "box", "wrap")),
    Clue("grams", "Weight", "disc", "whole", (Answer("a", "a", 1, low=0, high=5), Answer("b", "b", 2, low=6)), form="number"),
    Clue("adverts", "Adverts", "inner", "back", (Answer("none", "none", 0, absent=True),), form="titles"),
    Clue("cut", "Cut", "disc", "runout", (Answer("1", "1", 1),), per_side=True, form="cut"),
]  # fmt: skip
PRESSINGS = (
    Pressing(
        "a",
        "a",
        parse_edtf("1962"),
        expect={"disc-0": {"yes": "never"}},
        cuts=((("1", "1"), "always"),),
        price=100,
    ),
    Pressing("b", "b", parse_edtf("[..1964]"), share=0.0, expect={"cover-0": {"no": "always"}}, price=9000),
    Pressing("c", "c", Span(), "counterfeit", imitates="b"),
)
TITLES = [
    BookTitle(
        "t", "", "", parse_edtf("1962"), stems={"A": "XQ 10 A-"}, cipher="c", pressings=PRESSINGS, book="b"
    ),
    BookTitle("bare", "", "", Span()),
]
SHELF = Shelf(TITLES, CLUES, [Cipher("c", "ABCDEFGHIJ", "1234567890")], "GBP")
TEXT = st.sampled_from(["", "1", "yes", "no", "2u gr", "XQ 10 A-1", "x|y", "other", "\N{SNOWMAN}", "a" * 300])
VALUES: Any = (
    st.none() | st.floats() | st.integers(-5, 10**9) | TEXT | st.lists(TEXT, max_size=3) | st.booleans()
)


@st.composite
def records(draw: Any) -> Any:
    record = empty_record(1)
    title = draw(st.sampled_from(["t", "bare", "nobody", None]))
    if title is not None:
        first = draw(st.sampled_from(["", "1962", "soon"]))
        record["title"] = {"id": title, "artist": "", "title": "", "catalogue": "", "first": first}
    kinds = draw(st.lists(st.sampled_from(["disc", "cover", "box", "inner", "wrap", "extra"]), max_size=6))
    for kind in kinds:
        part = new_part(kind, number=1 + sum(p["kind"] == kind for p in record["parts"]))
        if draw(st.booleans()):
            part["sides"] = {"A": {"cut": draw(TEXT), "stamper": draw(TEXT)}}
        record["parts"].append(part)
    ids = [part["id"] for part in record["parts"]] + ["p-gone"]
    for _ in range(draw(st.integers(0, 8))):
        clue = draw(st.sampled_from([*(clue.id for clue in CLUES), "lost"]))
        how = draw(st.sampled_from(["seen", "seen", "copied"]))
        doc: Any = {"part": draw(st.sampled_from(ids)), "place": draw(TEXT), "clue": clue, "answer": draw(TEXT),
               "value": draw(VALUES), "how": how, "text": "", "book": "", "at": ""}  # fmt: skip
        record["answers"].append(doc)
    record["rulings"] = {
        i: draw(st.sampled_from(["own", "swapped", "unsure"])) for i in draw(st.lists(st.sampled_from(ids)))
    }
    record["anchor"] = draw(st.sampled_from([None, *ids]))
    record["pressing"]["id"], record["pressing"]["learn"] = "a", draw(st.booleans())
    return record


@settings(max_examples=150, deadline=None)
@given(records())
def test_any_record_is_weighed(record: Any) -> None:
    before = copy.deepcopy(record)
    weighing = weigh(
        record, SHELF, counts=counts_of([record]), in_hand=next((p["id"] for p in record["parts"]), None)
    )
    assert math.isclose(sum(one.p for one in weighing.pressings), 1.0, abs_tol=1e-9)
    assert all(0 <= one.p <= 1 for one in weighing.pressings)
    assert all(one.bits >= 0 and one.seconds > 0 for rows in weighing.next.values() for one in rows)
    for part in record["parts"]:
        assert len(weighing.order(part["id"])) == len(weighing.next.get(part["id"], ()))
    json.dumps(as_json(record, weighing))
    assert as_text(record, weighing)
    assert record == before


@settings(max_examples=200, deadline=None)
@given(st.text(max_size=40), st.sampled_from(["A", "B", "Z"]), st.sampled_from([None, *TITLES]))
def test_any_text_is_a_runout(typed: str, side: str, title: BookTitle | None) -> None:
    assert read_runout(typed, side, title, SHELF).typed == typed
