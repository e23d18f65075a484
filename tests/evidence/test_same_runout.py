"""Of a title without stems the same whole inscription on both sides as on a copy seen before tells something."""

from dataclasses import replace
from typing import Any

import pytest

from benchtui.books.shape import BookTitle, Pressing
from benchtui.evidence import counts_of, weigh
from benchtui.evidence.reference import Shelf
from benchtui.model.span import Span

TITLE = BookTitle("t", "", "", Span(), pressings=tuple(Pressing(one, one, Span()) for one in "abc"))
RUNOUTS = ("QX-70 A <Hob>", "QX-70 B <Hob>@4")


def copy_of(record_of: Any, pressing: str = "", runouts: tuple[str, str] = RUNOUTS) -> Any:
    record = record_of()
    record["parts"][0]["sides"] = {s: {"typed": r} for s, r in zip("AB", runouts, strict=True)}
    record["pressing"] = {
        "id": pressing or None,
        "how": "hand" if pressing else "open",
        "learn": bool(pressing),
    }
    return record


def odds(record: Any, confirmed: list[Any], title: BookTitle = TITLE) -> dict[str | None, float]:
    """How many times likelier each is than without any of the runouts that were written."""
    bare: Any = {**record, "parts": [{**part, "sides": {}} for part in record["parts"]]}
    counts = counts_of(confirmed)
    with_it, without = (weigh(one, Shelf([title]), counts=counts).pressings for one in (record, bare))
    before = {one.id: one.p for one in without}
    ratio = {one.id: one.p / before[one.id] for one in with_it}
    return {key: value / ratio[None] for key, value in ratio.items()}


@pytest.mark.parametrize("copies", [1, 6])
def test_it_speaks_for_that_copys_pressing_four_to_one_however_many_there_were(
    record_of: Any, copies: int
) -> None:
    seen = [copy_of(record_of, "b", ("qx 70a hob", "QX70 B <HOB>"))] * copies
    assert odds(copy_of(record_of), seen) == pytest.approx({"a": 1, "b": 4, "c": 1, None: 1})


def test_two_pressings_that_both_showed_it_are_not_told_apart_by_it(record_of: Any) -> None:
    found = odds(copy_of(record_of), [copy_of(record_of, one) for one in "ab"])
    assert found == pytest.approx({"a": 4, "b": 4, "c": 1, None: 1})


@pytest.mark.parametrize(
    "runouts", [("QX-70 A", "QX-70 B"), (RUNOUTS[0], ""), (RUNOUTS[0], "QX-70 B <Hob>|QX-70 B"), ("<Hob>", "<Hob>")]
)  # fmt: skip
def test_another_half_or_doubtful_inscription_says_nothing(record_of: Any, runouts: tuple[str, str]) -> None:
    seen = [copy_of(record_of, "b", one) for one in (RUNOUTS, runouts) if one != ("QX-70 A", "QX-70 B")]
    assert set(odds(copy_of(record_of, "", runouts), seen).values()) == {1.0}


def test_a_copy_whose_pressing_is_not_sure_teaches_nothing_of_it(record_of: Any) -> None:
    assert set(odds(copy_of(record_of), [copy_of(record_of)]).values()) == {1.0}


def test_a_copy_is_not_its_own_witness(record_of: Any) -> None:
    taught = copy_of(record_of, "b")
    assert set(odds(taught, [taught]).values()) == {1.0}


def test_where_a_stem_is_known_the_cuts_speak_and_not_the_whole(record_of: Any) -> None:
    stems = replace(TITLE, stems={"A": "QX 70 A"})
    assert set(odds(copy_of(record_of), [copy_of(record_of, "b")], stems).values()) == {1.0}
