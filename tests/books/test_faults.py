"""Faults, and the ceilings they set."""

from itertools import pairwise
from pathlib import Path

import pytest

from benchtui.base.errors import BenchError
from benchtui.books.faults import (
    MOST_STEPS,
    SMALL_PER_STEP,
    above,
    allowed,
    ceiling,
    ceiling_of,
    load_faults,
    severity_for,
)
from benchtui.books.scales import load_scales
from benchtui.model.grade import Scale
from benchtui.model.record import PART_KINDS, FaultDoc, new_part

CATALOGUE = load_faults()
SCALES = load_scales()
AMERICAN, BRITISH = SCALES["american"], SCALES["british"]


def noted(fault: str, severity: str, place: str = "") -> FaultDoc:
    return {"fault": fault, "severity": severity, "place": place, "at": ""}


def of(*faults: FaultDoc, scale: Scale = AMERICAN, side: str = "") -> tuple[str, str, str] | None:
    found = ceiling_of(faults, scale, CATALOGUE, side)
    return (found[0], found[1], found[2]) if found else None


@pytest.mark.parametrize("scale", SCALES.values(), ids=lambda scale: scale.id)
def test_every_severity_sets_the_ceiling_it_names_and_says_on_what_ground(scale: Scale) -> None:
    for fault in CATALOGUE:
        for severity in fault.severities:
            found = of(noted(fault.id, severity.id), scale=scale)
            assert found is not None, (fault.id, severity.id)
            assert found[0] + found[1] == severity.ceilings[scale.id], (fault.id, severity.id)
            assert found[2].startswith(fault.text)
            assert severity.ground


@pytest.mark.parametrize("scale", SCALES.values(), ids=lambda scale: scale.id)
def test_a_worse_severity_never_allows_more(scale: Scale) -> None:
    for fault in CATALOGUE:
        steps = [allowed(severity, scale) for severity in fault.severities]
        ranks = [scale.rank(*step) for step in steps if step]
        assert ranks == sorted(ranks, reverse=True), fault.id
        # lifted, glued again, botched, off: a neat repair is no worse than the damage was
        assert fault.id == "flap" or all(worse < better for better, worse in pairwise(ranks)), fault.id


@pytest.mark.parametrize("kind", PART_KINDS)
def test_a_key_gives_one_fault_of_each_kind_of_part(kind: str) -> None:
    keys = [fault.key for fault in CATALOGUE if kind in fault.parts]
    assert keys
    assert len(set(keys)) == len(keys)


def test_severities_are_picked_by_digits_from_one() -> None:
    for fault in CATALOGUE:
        digits = [severity.digit for severity in fault.severities]
        assert digits == list(range(1, len(digits) + 1))
        assert len(digits) <= 9


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        *[
            (name, "disc")
            for name in ("hairlines", "scuffs", "scratch", "pressing-fault", "warp", "edge-chip")
        ],
        *[(name, "disc") for name in ("spindle-wear", "label-writing", "label-tear", "residue")],
        *[
            (name, "cover")
            for name in ("seam-split", "ring-wear", "corners", "spine", "lamination", "writing")
        ],
        *[(name, "cover") for name in ("sticker", "tape", "stain", "mould-cover", "cut", "flap", "smell")],
    ],
)
def test_the_faults_a_dealer_names_are_there(name: str, kind: str) -> None:
    assert name in {fault.id for fault in CATALOGUE if kind in fault.parts}


def test_mould_and_smell_set_the_record_apart_and_nothing_else_does() -> None:
    apart = {fault.id: fault.apart for fault in CATALOGUE if fault.apart}
    assert apart == {
        "mould-disc": "mould",
        "mould-cover": "mould",
        "paper-mould": "mould",
        "smell": "smell",
        "paper-smell": "smell",
    }


@pytest.mark.parametrize(
    ("fault", "chore", "minded"),
    [
        ("dust", "clean", ("alcohol",)),
        ("mould-disc", "clean", ("mould", "alcohol")),
        ("flap", "repair", ()),
        ("scratch", "play-test", ()),
        ("sticker", "photograph", ("solvents",)),
        ("tape", "", ("blades",)),
        ("warp", "play-test", ("warp",)),
        ("crack", "", ("broken",)),
        ("bitten", "", ("pests",)),
        ("damp", "dry", ("damp",)),
    ],
)
def test_a_fault_suggests_its_chore_with_its_cautions(
    fault: str, chore: str, minded: tuple[str, ...]
) -> None:
    found = next(entry for entry in CATALOGUE if entry.id == fault)
    assert found.chore == chore
    assert found.cautions == minded


@pytest.mark.parametrize(
    ("fault", "severity", "work"),
    [
        ("scuffs", "light", ""),
        ("scuffs", "several", "play-test"),
        ("scratch", "silent", ""),
        ("scratch", "ticks-3", "play-test"),
        ("pressing-fault", "seen", ""),
        ("dust", "no such severity", "clean"),
    ],
)
def test_what_is_said_not_to_be_heard_asks_for_no_play_test(fault: str, severity: str, work: str) -> None:
    found = next(entry for entry in CATALOGUE if entry.id == fault)
    assert found.work(severity) == work


@pytest.mark.parametrize(
    ("fault", "amount", "severity"),
    [
        ("seam-split", 2, "cm-2"),
        ("seam-split", 2.1, "cm-8"),
        ("seam-split", 8, "cm-8"),
        ("seam-split", 12, "cm-more"),
        ("scratch", 0, "silent"),
        ("scratch", 3, "ticks-3"),
        ("scratch", 4, "ticks-10"),
        ("scratch", 11, "ticks-more"),
        ("warp", 5.5, "mm-more"),
    ],
)
def test_what_is_measured_falls_into_its_severity(fault: str, amount: float, severity: str) -> None:
    found = severity_for(next(entry for entry in CATALOGUE if entry.id == fault), amount)
    assert found is not None
    assert found.id == severity


def test_what_is_not_measured_has_no_severity_by_amount() -> None:
    assert severity_for(next(entry for entry in CATALOGUE if entry.id == "ring-wear"), 3) is None


def test_no_fault_no_ceiling() -> None:
    assert of() is None


def test_of_several_faults_the_lowest_ceiling_holds() -> None:
    found = of(noted("ring-wear", "faint"), noted("seam-split", "cm-8"), noted("writing", "small"))
    assert found == ("VG", "", "seam split, up to 8 cm")


def test_the_amount_is_named_with_the_fault() -> None:
    split = noted("seam-split", "cm-8")
    split["amount"] = "5"
    assert of(split) == ("VG", "", "seam split, up to 8 cm (5 cm)")


@pytest.mark.parametrize(
    ("small", "american", "british"),
    [
        (1, "VG+", "EX"),
        (2, "VG+", "EX"),
        (3, "VG", "VG"),
        (5, "VG", "VG"),
        (6, "G+", "G"),
        (9, "G+", "G"),
        (30, "G+", "G"),
    ],
)
def test_every_third_small_fault_takes_a_step_off_but_never_more_than_two(
    small: int, american: str, british: str
) -> None:
    faults = [noted("ring-wear", "faint")] * small
    assert (SMALL_PER_STEP, MOST_STEPS) == (3, 2)
    for scale, wanted in ((AMERICAN, american), (BRITISH, british)):
        found = of(*faults, scale=scale)
        assert found is not None
        assert found[0] + found[1] == wanted
        assert found[2] == (
            f"{small} small faults together" if small >= 3 else "ring wear, faint, in the light only"
        )


def test_small_faults_do_not_add_to_a_worse_one() -> None:
    found = of(*[noted("ring-wear", "faint")] * 6, noted("seam-split", "through"))
    assert found == ("G", "", "seam split, open from end to end")


def test_three_faults_that_allow_near_mint_take_one_step_from_near_mint() -> None:
    found = of(*[noted("hairlines", "few")] * 3)
    assert found == ("VG", "+", "3 small faults together")


def test_a_fault_of_the_other_side_does_not_lower_this_side() -> None:
    scratch = noted("scratch", "ticks-10", "side B")
    assert of(scratch, side="A") is None
    assert of(scratch, side="B") == of(scratch) == ("VG", "-", "scratch that is felt, heard, up to 10 ticks")
    assert of(noted("warp", "mm-5"), side="A") == ("VG", "", "warp, edge lifts up to 5 mm, plays")


def test_a_fault_the_list_has_lost_sets_no_ceiling() -> None:
    assert of(noted("gone", "few"), noted("hairlines", "gone")) is None


def test_a_grade_above_the_ceiling_is_told_and_one_at_it_is_not() -> None:
    part = new_part("cover")
    part["faults"].append(noted("seam-split", "cm-2"))
    limit = ceiling(part, CATALOGUE, AMERICAN)
    assert above("NM", "-", limit, AMERICAN)
    assert not above("VG", "+", limit, AMERICAN)
    assert not above("NM", "", None, AMERICAN)


def test_a_shops_own_scale_takes_the_ceilings_of_the_scale_it_is_like(tmp_path: Path) -> None:
    (tmp_path / "scales.toml").write_text(
        '[[scale]]\nid = "shop"\nlike = "american"\nalike = { "VG+" = "A-", "VG" = "B" }\n'
        '[[scale.grade]]\nid = "A"\nkey = "a"\nfactor = "1"\n'
        '[[scale.grade]]\nid = "B"\nkey = "b"\nfactor = "0.4"\n',
        encoding="utf-8",
    )
    own = load_scales([tmp_path])["shop"]
    assert of(noted("seam-split", "cm-2"), scale=own) == ("A", "-", "seam split, up to 2 cm")
    assert of(noted("seam-split", "cm-8"), scale=own) == ("B", "", "seam split, up to 8 cm")
    assert of(noted("seam-split", "through"), scale=own) is None


OWN = """
[[fault]]
id = "seam-split"
key = "s"
text = "seam split"
parts = ["cover"]
severity = [
  { id = "any", text = "any", ceilings = { american = "G" } },
]
"""


def test_a_shop_replaces_a_shipped_fault_by_its_id(tmp_path: Path) -> None:
    (tmp_path / "faults.toml").write_text(OWN, encoding="utf-8")
    own = load_faults([tmp_path])
    assert len(own) == len(CATALOGUE)
    assert ceiling_of([noted("seam-split", "any")], AMERICAN, own) == ("G", "", "seam split, any")


@pytest.mark.parametrize(
    ("before", "after", "what"),
    [
        ('key = "s"', 'key = "r"', "the key 'r' gives both ring-wear and seam-split on a cover"),
        ('key = "s"', 'key = "S"', "not one lower-case letter"),
        ('parts = ["cover"]', 'parts = ["sleeve"]', "there is no part 'sleeve'"),
        ('text = "any", ceilings', 'text = "any", ceiling', "did you mean 'ceilings'"),
        ('parts = ["cover"]', 'parts = ["cover"]\nchore = "wash"', "'wash' is not known"),
        ('parts = ["cover"]', 'parts = ["cover"]\ncautions = ["damps"]', "there is no caution 'damps'"),
    ],
)
def test_a_faults_file_that_contradicts_itself_is_refused_with_file_and_line(
    tmp_path: Path, before: str, after: str, what: str
) -> None:
    path = tmp_path / "faults.toml"
    changed = OWN.replace(before, after)
    path.write_text(changed, encoding="utf-8")
    with pytest.raises(BenchError) as caught:
        load_faults([tmp_path])
    assert what in caught.value.one_line()
    assert caught.value.where == str(path)
    assert caught.value.line is not None
