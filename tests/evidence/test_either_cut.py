"""Either of two cuts: typed as one answer, weighed as the sum, shown as typed, learnt from neither."""

from datetime import date
from typing import Any

import pytest

from benchtui.books.shape import Answer, BookTitle, Clue, Pressing
from benchtui.evidence import counts_of, cuts_of, read_runout, weigh
from benchtui.evidence.reference import Shelf
from benchtui.evidence.runout import other_side
from benchtui.model.span import Span, parse_edtf

CUT = Clue("cut", "Cut", "disc", "runout", (Answer("other", "other", 9),), form="cut", per_side=True)
TITLE = BookTitle(
    "t", "", "", Span(date(1970, 1, 1)), stems={"A": "WK 1 A/", "B": "WK 1 B/"},
    pressings=tuple(
        Pressing(name, name, parse_edtf("1970"), cuts=(((a, b), "usually"),))
        for name, a, b in (("one", "1", "1"), ("two", "2", "1"), ("three", "3", "2"))
    ),
)  # fmt: skip
SHELF = Shelf([TITLE], [CUT])


def odds(record: Any, **cuts: str) -> dict[str | None, float]:
    record["parts"][0]["sides"] = {side: {"typed": cut, "cut": cut} for side, cut in cuts.items()}
    return {one.id: one.p for one in weigh(record, SHELF).pressings}


def test_either_of_two_cuts_is_one_answer() -> None:
    found = read_runout("1|2", "A", TITLE, SHELF)
    assert (found.typed, found.cut, found.say) == ("1|2", "1|2", "cut 1 or 2")
    assert found.full == "WK 1 A/1 | WK 1 A/2"
    assert cuts_of(found.cut) == ["1", "2"]
    again = read_runout(found.full, "A", TITLE, SHELF)
    assert (again.cut, again.belongs) == ("1|2", True)
    assert other_side(found, "B", TITLE, SHELF).full == "WK 1 B/1 | WK 1 B/2"


@pytest.mark.parametrize("typed", ["1|", "|", "1|kept by hand", "WK 1 A/1 | WK 1 B/2"])
def test_what_is_no_cut_on_both_sides_of_the_stroke_is_kept_as_it_is(typed: str) -> None:
    found = read_runout(typed, "A", TITLE, SHELF)
    assert found.typed == typed
    assert "|" not in found.cut


def test_it_weighs_as_the_sum(record_of: Any) -> None:
    record = record_of(parts=("disc",))
    prior = odds(record)
    one, two, both = (odds(record, A=cut) for cut in ("1", "2", "1|2"))
    for name in ("one", "two", "three"):
        # L of a cut is its odds over the prior's, up to a factor that the sum over candidates sets
        apart = one[name] / prior[name] * _factor(prior, "1"), two[name] / prior[name] * _factor(prior, "2")
        assert both[name] / both["one"] == pytest.approx(
            sum(apart) * prior[name] / (_sum_for_one(prior, one, two)), rel=1e-6
        )


def _factor(prior: dict[str | None, float], cut: str) -> float:
    """P of the cut over all candidates, from the one that the book says most of."""
    from benchtui.evidence.candidates import candidates
    from benchtui.evidence.settings import ModelSettings

    model = candidates(TITLE, TITLE.first, {}, ModelSettings())
    table = model.cuts(CUT)
    assert table is not None
    return sum(p * x for p, x in zip(model.prior, table.column(cut, None), strict=True))


def _sum_for_one(
    prior: dict[str | None, float], one: dict[str | None, float], two: dict[str | None, float]
) -> float:
    return one["one"] * _factor(prior, "1") + two["one"] * _factor(prior, "2")


def test_it_teaches_neither(record_of: Any) -> None:
    record = record_of(parts=("disc",))
    record["pressing"] = {"id": "one", "how": "hand", "p": None, "learn": True}
    record["parts"][0]["sides"] = {"A": {"cut": "1|2"}, "B": {"cut": "1"}}
    assert counts_of([record])["one"]["cuts"] == {}
    record["parts"][0]["sides"]["A"]["cut"] = "1"
    assert counts_of([record])["one"]["cuts"] == {"1|1": 1}
