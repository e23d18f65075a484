"""Grading scales as data."""

from decimal import Decimal
from itertools import pairwise
from pathlib import Path

import pytest

from benchtui.base.errors import BenchError
from benchtui.books.scales import load_scales, usable_scales
from benchtui.model.grade import AXES, Grade, Scale

SCALES = load_scales()
OWN = """
[[scale]]
id = "shop"
name = "Our own"
like = "american"
alike = { "NM" = "A", "VG+" = "A", "VG" = "B" }
[[scale.grade]]
id = "A"
key = "a"
factor = "1"
[[scale.grade]]
id = "B"
key = "b"
factor = "0.5"
"""


def test_translations_that_an_older_version_knew_keep_no_file_shut(tmp_path: Path) -> None:
    older = '[[translate]]\nfrom = "shop"\ngrade = "A"\nto = "american"\nas = "M"\n'
    (tmp_path / "scales.toml").write_text(OWN + older)
    assert "shop" in load_scales([tmp_path])
    assert "shop" in usable_scales([tmp_path])[0]
    assert usable_scales([tmp_path])[1] == []


@pytest.mark.parametrize(
    ("scale", "best_first"),
    [
        # common practice of the American and the British trade, no source
        ("american", ["M", "NM", "VG+", "VG", "G+", "G", "F", "P"]),
        ("british", ["M", "EX", "VG", "G", "F", "P", "B"]),
    ],
)
def test_the_trades_scales_have_their_steps_in_order(scale: str, best_first: list[str]) -> None:
    assert [grade.id for grade in SCALES[scale].grades] == best_first
    assert [grade.order for grade in SCALES[scale].grades] == list(range(len(best_first)))


@pytest.mark.parametrize("scale", SCALES.values(), ids=lambda scale: scale.id)
def test_every_grade_has_a_criterion_a_key_and_a_factor_no_better_than_the_one_above(scale) -> None:  # type: ignore[no-untyped-def]
    factors = [Decimal(grade.factor) for grade in scale.grades]
    assert factors == sorted(factors, reverse=True)
    assert factors[0] == 1
    assert all(factor > 0 for factor in factors)
    assert all(grade.criterion and len(grade.key) == 1 for grade in scale.grades)
    pairs = [(grade.key, grade.shade) for grade in scale.grades]
    assert len(set(pairs)) == len(pairs)


@pytest.mark.parametrize("scale", SCALES.values(), ids=lambda scale: scale.id)
def test_rank_is_a_strict_order_over_published_steps_and_shades_lie_between(scale) -> None:  # type: ignore[no-untyped-def]
    published = [scale.read(grade.id) for grade in scale.grades]
    ranks = [scale.rank(*step) for step in published]
    assert ranks == sorted(set(ranks), reverse=True)
    for better, worse in pairwise(published):
        if worse.shade:
            continue
        between = scale.rank(worse.grade, "+")
        assert scale.rank(*worse) < between <= scale.rank(*better)


def test_a_shade_is_its_own_step_only_where_it_is_published() -> None:
    american = SCALES["american"]
    assert american.step("VG", "+") is american.by_id("VG+")
    assert american.step("NM", "-") is american.by_id("NM")
    assert american.by_key("v") is american.by_id("VG")
    assert american.step("EX") is None
    assert american.rank("NM", "") > american.rank("NM", "-") > american.rank("VG", "+")


@pytest.mark.parametrize(
    ("american", "british"),
    [("M", "M"), ("VG+", "EX"), ("VG", "VG"), ("G+", "G"), ("G", "F"), ("F", "P"), ("P", "B")],
)
def test_grades_that_the_same_faults_allow_have_one_factor(american: str, british: str) -> None:
    """The pairs are those of the ceilings in faults.toml; the factors are our own starting point."""
    here, there = SCALES["american"].by_id(american), SCALES["british"].by_id(british)
    assert here is not None
    assert there is not None
    assert Decimal(here.factor) == Decimal(there.factor)


@pytest.mark.parametrize("scale", SCALES.values(), ids=lambda scale: scale.id)
def test_every_grade_is_argued_along_every_axis(scale: Scale) -> None:
    for grade in scale.grades:
        assert set(grade.axes) == set(AXES), grade.id
        assert grade.criteria("disc").count("; ") >= 3
        assert grade.criteria("cover").startswith(f"structure: {grade.axes['structure']}")
    for axis in AXES:
        texts = [grade.axes[axis] for grade in scale.grades if axis not in ("quiet", "loud")]
        assert len(set(texts)) == len(texts), axis


def test_a_scale_without_axes_is_told_by_its_criterion() -> None:
    plain = Grade(id="A", name="A", key="a", order=0, factor="1", criterion="as new")
    assert plain.criteria("disc") == plain.criteria("cover") == "as new"


def test_a_grade_of_another_scale_has_no_rank() -> None:
    with pytest.raises(ValueError, match="has no grade 'EX'; it has M, NM"):
        SCALES["american"].rank("EX")


def test_a_shops_own_scale_is_read_beside_the_shipped_ones(tmp_path: Path) -> None:
    (tmp_path / "scales.toml").write_text(OWN, encoding="utf-8")
    scales = load_scales([tmp_path])
    assert set(scales) == {"american", "british", "shop"}
    assert [grade.id for grade in scales["shop"].grades] == ["A", "B"]


@pytest.mark.parametrize(
    ("before", "after", "what"),
    [
        ('key = "b"', 'key = "a"', "the key 'a' gives both A and B"),
        ('key = "b"', 'key = "B"', "not one lower-case letter"),
        ('[[scale.grade]]\nid = "B"', '[[scale.grade]]\nid = "A"', "two grades are called 'A'"),
        ('factor = "0.5"', 'factor = "half"', "is not a share"),
        ('factor = "0.5"', "factor = 0.5", "wrong kind"),
        ('alike = { "NM" = "A"', 'alike = { "NM" = "C"', "not a grade of this scale"),
        ('key = "b"', 'key = "b"\nshade = "+"', "gives no grade by itself"),
    ],
)
def test_a_scale_that_contradicts_itself_is_refused_with_file_and_line(
    tmp_path: Path, before: str, after: str, what: str
) -> None:
    path = tmp_path / "scales.toml"
    changed = OWN.replace('"VG+" = "A", "VG" = "B"', '"VG+" = "A"').replace(before, after)
    assert after in changed
    path.write_text(changed, encoding="utf-8")
    with pytest.raises(BenchError) as caught:
        load_scales([tmp_path])
    line = changed[: changed.rindex(after) + len(after)].count("\n") + 1
    assert caught.value.one_line().startswith(f"{path}:{line}: scale shop")
    assert what in caught.value.one_line()


def test_every_grade_has_words_of_its_own_for_a_cover() -> None:
    for scale in load_scales().values():
        told = [grade.brief("cover") for grade in scale.grades]
        assert len(set(told)) == len(told)
        assert not any("play" in words for words in told), "a cover is not played"
        assert all(grade.brief("inner") == grade.cover != grade.brief("disc") for grade in scale.grades)
