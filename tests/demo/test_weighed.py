"""The demo's records weighed: each leads to its pressing, and each trap is told for what it is."""

from datetime import date
from typing import Any

import pytest

from benchtui.books.library import Library
from benchtui.evidence import Weighing, WeighSettings, weigh
from benchtui.model.record import RecordDoc

Table = dict[str, Any]
SETTINGS = WeighSettings(hour=1800)


def facts_of(parcels: list[Table], no: int, parcel: int = 0) -> Table:
    found: Table = parcels[parcel]["record"][no - 1]
    return found


def named(record: RecordDoc, weighing: Weighing) -> dict[str, float]:
    """Part in words -> probability that it came from another copy."""
    kept = [part for part in record["parts"] if part["kind"] != "extra"]
    names = {part["id"]: f"{part['kind']} {part.get('number', '')}".strip() for part in kept}
    return {names[key]: found.p_swapped for key, found in weighing.agreement.items() if key in names}


@pytest.mark.parametrize(("parcel", "no"), [(0, n) for n in range(1, 16)] + [(1, n) for n in range(1, 7)])
def test_each_record_leads_to_its_pressing(
    parcel: int, no: int, parcels: list[Table], library: Library, build: Any
) -> None:
    facts = facts_of(parcels, no, parcel)
    weighing = weigh(build(facts), library, settings=SETTINGS)
    assert weighing.lost == ()
    assert weighing.leader is not None
    assert weighing.leader.id == facts["expect"]["pressing"]
    assert weighing.leader.p > 0.85
    if "settled" in facts["expect"]:
        assert weighing.settled == facts["expect"]["settled"]


@pytest.mark.parametrize("no", range(1, 16))
def test_the_parts_that_came_from_another_copy_are_told_and_no_others(
    no: int, parcels: list[Table], library: Library, build: Any
) -> None:
    facts = facts_of(parcels, no)
    record = build(facts)
    swapped = {part for part, p in named(record, weigh(record, library)).items() if p > 0.8}
    assert swapped == set(facts["expect"].get("swapped", []))


def test_the_inner_s_advertisements_alone_decide_between_two_mono_pressings(
    parcels: list[Table], library: Library, build: Any
) -> None:
    facts = facts_of(parcels, 2)
    without = facts["expect"]["without"]
    before = weigh(build(facts, without["clue"]), library)
    after = weigh(build(facts), library)
    wanted = facts["expect"]["pressing"]
    assert {one.id: one.p for one in before.pressings}[wanted] < 0.75
    assert {one.id: one.p for one in after.pressings}[wanted] > 0.85
    assert after.copy_span.certain is not None
    assert after.copy_span.certain.earliest == date(1973, 7, 1)


@pytest.mark.parametrize("no", [4, 8])
def test_a_part_younger_than_the_disc_is_told_once_and_dates_no_copy(
    no: int, parcels: list[Table], library: Library, build: Any
) -> None:
    weighing = weigh(build(facts_of(parcels, no)), library)
    assert weighing.clashes == ()
    assert weighing.elsewhere
    said = [weighing.agreement[key].say for key in weighing.elsewhere]
    assert any("another copy" in one and " from 19" in one and " only to 19" in one for one in said), said


def test_the_stereo_cover_by_itself_predicts_the_stereo_pressing_and_the_disc_corrects_it(
    parcels: list[Table], library: Library, build: Any
) -> None:
    facts = facts_of(parcels, 3)
    cover_only = {**facts, "part": [part for part in facts["part"] if part["kind"] == "cover"]}
    assert weigh(build(cover_only), library).pressings[0].id == "tw-barometer/stereo-1"
    assert weigh(build(facts), library).pressings[0].id == "tw-barometer/mono-1"


def test_the_imitation_is_suspected_and_the_rarity_is_not(
    parcels: list[Table], library: Library, build: Any
) -> None:
    imitation = weigh(build(facts_of(parcels, 9)), library)
    rarity = weigh(build(facts_of(parcels, 10)), library)
    assert imitation.suspect
    assert imitation.pressings[0].kind == "counterfeit"
    assert not rarity.suspect


def test_before_the_tell_tale_clues_are_looked_at_the_rarity_asks_for_a_second_look(
    parcels: list[Table], library: Library, build: Any
) -> None:
    facts = facts_of(parcels, 10)
    assert facts["expect"]["look"]
    early = weigh(
        build(facts, "bm-limpet", "bm-smallprint", "ul-ring", "bm-inner"), library, settings=SETTINGS
    )
    assert not early.settled
    assert early.second_look is not None


def test_the_imitation_taken_for_the_rarity_would_cost_dear(
    parcels: list[Table], library: Library, build: Any
) -> None:
    facts = facts_of(parcels, 9)
    telling = (
        "fd-shoe",
        "ul-ring",
        "fd-lamp",
        "fd-smallprint",
        "fd-card",
        "ul-weight",
        "fd-inner",
        "ul-dues",
    )
    weighing = weigh(build(facts, *telling), library, settings=SETTINGS._replace(currency="GBP"))
    assert not weighing.settled
    assert weighing.second_look is not None
    assert weighing.second_look.cost.minor > 2000


def test_a_second_copy_is_the_same_pressing_whatever_its_number(
    parcels: list[Table], library: Library, build: Any
) -> None:
    first, second = facts_of(parcels, 14), facts_of(parcels, 15)
    assert second["repeats"] == first["no"]
    numbers = {part["answers"]["fd-number"] for facts in (first, second) for part in facts["part"][:1]}
    assert len(numbers) == 2
    leaders = {weigh(build(facts), library).pressings[0].id for facts in (first, second)}
    assert leaders == {"fd-marble/first"}


def test_the_half_done_record_settles_on_the_numbered_set_once_disc_1_is_answered(
    parcels: list[Table], library: Library, build: Any
) -> None:
    facts = facts_of(parcels, 7)
    half = {**facts, "part": [p for p in facts["part"] if p.get("done") or p.get("in_hand")]}
    weighing = weigh(build(half), library, settings=SETTINGS)
    assert weighing.leader is not None
    assert weighing.leader.id == "tw-almanac/stereo-1"
