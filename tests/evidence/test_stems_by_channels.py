"""Mono and stereo of a title may have runout stems of their own: the one read speaks for its channels."""

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from benchtui.books.shape import Answer, BookTitle, Clue, Pressing
from benchtui.evidence import read_runout, weigh
from benchtui.evidence.reference import Shelf
from benchtui.knowledge.values import stems_of, stems_text
from benchtui.model.span import Span, parse_edtf

STEMS = {"A": "WK 1041 A/", "B": "WK 1041 B/", "stereo A": "WKS 1041 A/", "stereo B": "WKS 1041 B/"}
FRONT = Clue(
    "front", "Front", "cover", "front", (Answer("m", "MONO", 1), Answer("s", "STEREO", 2), Answer("n", "nothing", 3))
)  # fmt: skip
TITLE = BookTitle(
    "t", "", "", Span(date(1960, 1, 1)), stems=STEMS,
    pressings=tuple(Pressing(one, one, parse_edtf("1960"), channels=one) for one in ("mono", "stereo")),
)  # fmt: skip
SHELF = Shelf([TITLE], [FRONT])


@pytest.mark.parametrize(
    ("typed", "cut", "channels", "belongs"),
    [
        ("WKS 1041 A/2", "2", "stereo", True),
        ("WK 1041 A/1", "1", "mono", True),
        ("WKS-1041-A 1|WKS-1041-A 2", "1|2", "stereo", True),
        ("WKS 1041 B/1", "", "", False),
        ("1", "1", "", None),
    ],
)
def test_the_stem_tells_side_cut_and_channels(
    typed: str, cut: str, channels: str, belongs: bool | None
) -> None:
    found = read_runout(typed, "A", TITLE, SHELF)
    assert (found.cut, found.channels, found.belongs) == (cut, channels, belongs)


def test_shorthand_invents_no_stem_where_there_are_two() -> None:
    assert read_runout("1", "A", TITLE, SHELF).full == "1"
    plain = replace(TITLE, stems={"A": "WK 1041 A/"})
    assert read_runout("1", "A", plain, SHELF).full == "WK 1041 A/1"
    assert read_runout("WK 1041 A/1", "A", plain, SHELF).channels == ""


def with_runout(record: Any, typed: str) -> Any:
    record["parts"][0]["sides"] = {"A": {"typed": typed, "cut": "1"}}
    return record


@pytest.mark.parametrize(("typed", "leads"), [("WKS 1041 A/1", "stereo"), ("WK 1041 A/1", "mono")])
def test_it_speaks_for_the_pressings_of_its_channels(record_of: Any, typed: str, leads: str) -> None:
    found = weigh(with_runout(record_of(), typed), SHELF)
    assert found.leader is not None
    assert found.leader.id == leads
    other = next(one for one in found.pressings if one.id not in (leads, None))
    assert found.leader.p / other.p == pytest.approx(0.985 / 0.015)
    assert any(line.label == f"disc: runout stem {leads}" for line in found.why)


def test_a_mono_disc_in_a_stereo_cover_is_noticed_by_its_stem(record_of: Any, saw: Any) -> None:
    record = with_runout(record_of(), "WK 1041 A/1")
    saw(record, "cover-1", "front", "s")
    assert "it says stereo, the disc mono" in weigh(record, SHELF).agreement["cover-1"].say


def test_a_table_s_cell_keeps_them() -> None:
    assert stems_of(stems_text(STEMS)) == STEMS
    assert stems_of("WK 1 A/") == {"A": "WK 1 A/"}
    with pytest.raises(ValueError, match="is not a stem"):
        stems_of("quad A = X")
