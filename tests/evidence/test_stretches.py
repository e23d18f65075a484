"""A pressing nobody has described was made in one stretch of its company's time, all its parts together."""

from dataclasses import replace
from datetime import date
from itertools import pairwise
from typing import Any

import pytest

from benchtui.books.shape import Answer, BookTitle, Clue, Pressing
from benchtui.evidence import weigh
from benchtui.evidence.cells import YEAR
from benchtui.evidence.rates import rates
from benchtui.evidence.reference import Shelf
from benchtui.evidence.settings import DEFAULTS, ModelSettings
from benchtui.evidence.stretches import stretches
from benchtui.model.span import Span, parse_edtf

FIRST = Span(date(1960, 1, 1))
LABEL = Clue("label", "Label", "disc", "front", (Answer("old", "old", 1), Answer("new", "new", 2)))
COVER = Clue("fold", "Fold", "cover", "front", (Answer("old", "old", 1), Answer("new", "new", 2)))


def pressing(name: str, years: str, state: str) -> Pressing:
    said: Any = {"label": {state: "always"}, "fold": {state: "always"}}
    return Pressing(name, name, parse_edtf(years), expect=said)


def title(name: str, *pressings: Pressing) -> BookTitle:
    return BookTitle(name, "", name, FIRST, company="C", pressings=pressings)


PEERS = [
    title(f"p{n}", pressing(f"p{n}/1", "[1960..1964]", "old"), pressing(f"p{n}/2", "[1966..1971]", "new"))
    for n in range(4)
]
MINE = title("t", pressing("t/1", "[1960..1963]", "old"), pressing("t/2", "[1970..1971]", "new"))


def day(year: int) -> float:
    return float(date(year, 1, 1).toordinal())


def test_the_stretches_follow_each_other_and_share_out_the_whole() -> None:
    periods = [(day(1960), day(1961)), (day(1961), day(1962)), (day(1970), day(1972))]
    found = stretches(periods, FIRST, rates(MINE, FIRST, PEERS), ModelSettings())
    assert len(found) == 12, "of a year, as its pressings are"
    assert found[0].low == day(1960)
    assert found[-1].high == day(1972)
    assert all(before.high == after.low for before, after in pairwise(found))
    assert sum(one.share for one in found) == pytest.approx(1)
    under, beside, far = (
        next(one for one in found if one.low <= day(y) < one.high) for y in (1960, 1962, 1966)
    )
    assert beside.share == pytest.approx(10 * under.share, rel=0.05)
    assert far.share < beside.share, "pressings follow each other"


def test_no_stretch_is_shorter_than_pressings_of_unknown_years() -> None:
    """Else it would fit by its dates alone what they cannot."""
    found = stretches([(day(1960), day(1990))] * 3, FIRST, rates(MINE, FIRST, PEERS), ModelSettings())
    assert len(found) == 1


def test_one_stretch_of_all_the_years_where_no_other_title_speaks() -> None:
    found = stretches([(day(1960), day(1964))], FIRST, rates(MINE, FIRST, []), ModelSettings())
    assert [one.share for one in found] == [1.0]
    assert found[0].high == pytest.approx(day(1960) + 10 * YEAR)


def test_none_of_these_is_one_line_however_many_its_stretches(record_of: Any, saw: Any) -> None:
    record = record_of()
    saw(record, "disc-1", "label", "new")
    found = weigh(record, Shelf([MINE, *PEERS], (LABEL, COVER)))
    assert [one.id for one in found.pressings].count(None) == 1
    assert sum(one.p for one in found.pressings) == pytest.approx(1)
    assert sum(line.decibans for line in found.why) == pytest.approx(_whole(found), abs=0.01)


def _whole(found: Any) -> float:
    from math import log10

    first, second = found.pressings[:2]
    return 10 * log10(first.p / second.p)


def test_parts_of_one_time_that_no_pressing_shows_speak_for_none_of_these_together(
    record_of: Any, saw: Any
) -> None:
    """An early disc in a late cover is of no stretch; both late are of one, though the book has neither."""
    early = replace(MINE, pressings=MINE.pressings[:1])
    shelf = Shelf([early, *PEERS], (LABEL, COVER))
    record, odd = record_of(parts=("disc", "cover")), record_of(parts=("disc", "cover"))
    for one, cover in ((record, "new"), (odd, "old")):
        saw(one, "disc-1", "label", "new")
        saw(one, "cover-1", "fold", cover)

    def of_none(settings: ModelSettings) -> list[float]:
        used = DEFAULTS._replace(model=settings)
        return [
            next(one.p for one in weigh(doc, shelf, settings=used).pressings if one.id is None)
            for doc in (record, odd)
        ]

    both, mixed = of_none(ModelSettings())
    flat_both, flat_mixed = of_none(ModelSettings(stretches=1))
    assert both > flat_both
    assert mixed < both
    assert both - mixed > flat_both - flat_mixed


def test_what_a_question_tells_follows_a_ruling_there_and_back(record_of: Any, saw: Any) -> None:
    """Kept chances of a part rest on how far it may come from another copy: a ruling takes and gives that."""
    shelf = Shelf([MINE, *PEERS], (LABEL, COVER))
    record = record_of(parts=("disc", "cover"))
    saw(record, "disc-1", "label", "new")

    def bits() -> float:
        return next(one.bits for one in weigh(record, shelf).next["cover-1"] if one.clue.id == "fold")

    before = bits()
    record["rulings"]["cover-1"] = "own"
    assert bits() > before, "it cannot be another copy's any more"
    del record["rulings"]["cover-1"]
    assert bits() == before
