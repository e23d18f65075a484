"""The part in the hand: cover, discs with their sides, inners, boxes, wraps, extras; what did not come."""

import pytest
from bench_hands import Hands
from seen import record_rows, seen

from benchtui.bench.pieces import FANCY, text_of, width_of
from benchtui.bench.widgets.stack import stack_title
from benchtui.desk.ask.asking import HERE, ahead
from benchtui.desk.hand.hand import add_part, next_part
from benchtui.model.record import anchor_of, part_of


def test_one_key_takes_each_kind_of_part(breakwater: Hands) -> None:
    for action, kind in (("take-disc", "disc"), ("take-inner", "inner"), ("take-cover", "cover")):
        breakwater.do(action)
        assert breakwater.part["kind"] == kind
        assert breakwater.desk.asking.order, "with the order of its questions"


def test_the_extras_have_a_key_of_their_own_that_goes_through_them(breakwater: Hands) -> None:
    breakwater.do("take-extra")
    assert breakwater.refused
    assert breakwater.said.startswith("record 1 has no extra: a adds one")
    for name in ("obi", "postcard"):
        breakwater.do("add-part").key("6").enter(name).grade("VG")
    names = []
    for _ in range(3):
        breakwater.do("take-extra")
        names.append(breakwater.part["name"])
    assert names == ["obi", "postcard", "obi"]
    breakwater.do("take-cover", "take-extra").grade("G")
    assert breakwater.part["name"] == "obi"
    assert breakwater.part["grades"][-1]["grade"] == "G"


def test_the_next_part_goes_round_all_of_them(parcel: Hands) -> None:
    parcel.find("salt")
    seen = [parcel.part["id"]]
    for _ in range(6):
        parcel.do("next-part")
        seen.append(parcel.part["id"])
    assert set(seen) == {part["id"] for part in parcel.record["parts"]}
    parcel.do("next-part")
    assert parcel.part["id"] in seen


def test_the_disc_key_goes_from_disc_to_side_to_side_to_the_next_disc(parcel: Hands) -> None:
    parcel.find("salt").do("take-disc")
    places = []
    for _ in range(7):
        places.append((parcel.part["number"], parcel.desk.work.side))
        parcel.do("take-disc")
    assert places == [(1, ""), (1, "A"), (1, "B"), (2, ""), (2, "C"), (2, "D"), (1, "")]


def test_the_inner_key_goes_through_several_inners(parcel: Hands) -> None:
    parcel.find("salt").do("take-inner", "take-inner")
    assert parcel.part["number"] == 2
    parcel.do("take-inner")
    assert parcel.part["number"] == 1


@pytest.mark.parametrize(("key", "kind"), [("1", "disc"), ("2", "cover"), ("4", "inner"), ("5", "wrap")])
def test_a_part_is_added_and_stands_in_the_hand(breakwater: Hands, key: str, kind: str) -> None:
    before = breakwater.kinds().count(kind)
    breakwater.do("add-part").key(key)
    assert breakwater.part["kind"] == kind
    assert breakwater.kinds().count(kind) == before + 1
    if kind in ("disc", "inner"):
        assert breakwater.part["number"] == before + 1


def test_a_box_comes_instead_of_an_untouched_cover(parcel: Hands) -> None:
    parcel.find("four p").do("add-part").key("3")
    assert parcel.part["kind"] == "box"
    assert "cover" not in parcel.kinds()
    assert parcel.kinds().count("disc") == 3
    parcel.do("take-cover")
    assert parcel.part["kind"] == "box"


def test_a_cover_that_was_graded_stays_beside_a_box(breakwater: Hands) -> None:
    breakwater.grade("VG").do("add-part").key("3")
    assert {"cover", "box"} <= set(breakwater.kinds())


def test_an_extra_is_added_by_name_and_is_there(breakwater: Hands) -> None:
    breakwater.do("add-part").key("6").enter("signed photograph")
    assert (breakwater.part["kind"], breakwater.part["name"]) == ("extra", "signed photograph")
    assert breakwater.part["state"] == "present"
    assert breakwater.part["expected"] is False


def test_an_added_extra_keeps_the_keys_until_it_is_graded(breakwater: Hands) -> None:
    breakwater.do("add-part").key("6").enter("lyric poster")
    assert "lyric poster ─ its grade?" in text_of(seen(breakwater.desk, (80, 24)).prompt)
    breakwater.grade("VG")
    graded = [part.get("name") for part in breakwater.record["parts"] if part["grades"]]
    assert graded == ["lyric poster"]


def test_after_one_extra_is_graded_the_next_is_asked_for_whatever_else_is_open(parcel: Hands) -> None:
    parcel.find("salt").do("take-extra").grade("VG")
    following = ahead(parcel.desk)
    assert following is not None
    assert (following.part["kind"], following.asked) == ("extra", HERE)
    parcel.do("answer-2")
    extras = [part for part in parcel.record["parts"] if part["kind"] == "extra"]
    assert [part.get("state") for part in extras] == ["present", "missing"]


def test_the_key_for_extras_goes_to_one_that_was_not_looked_for_first(parcel: Hands) -> None:
    parcel.find("salt").do("take-extra")
    first = parcel.part["id"]
    parcel.grade("VG").do("take-cover", "take-extra")
    assert parcel.part["id"] != first
    assert parcel.part["state"] == "unknown"
    parcel.do("take-extra")
    assert parcel.part["id"] == first, "again: the next one"


def test_an_extra_without_a_name_is_no_extra(breakwater: Hands) -> None:
    breakwater.do("add-part").key("6").enter()
    assert "extra" not in breakwater.kinds()


def test_expected_extras_are_asked_for_one_after_the_other(parcel: Hands) -> None:
    parcel.find("salt")
    while parcel.part["kind"] != "extra":
        parcel.do("next-part")
    first = parcel.part["name"]
    parcel.do("answer-2")
    second = parcel.part["name"]
    assert {first, second} == {"sea chart", "tide table"}
    parcel.do("answer-1")
    states = {part["name"]: part["state"] for part in parcel.record["parts"] if part["kind"] == "extra"}
    assert states == {first: "missing", second: "present"}


def test_an_extra_may_stay_unlooked_at(parcel: Hands) -> None:
    parcel.find("tin")
    while parcel.part["kind"] != "extra":
        parcel.do("next-part")
    parcel.do("answer-1", "previous-clue", "answer-3")
    assert next(part for part in parcel.record["parts"] if part["kind"] == "extra")["state"] == "unknown"


def test_a_digit_that_means_nothing_for_an_extra_is_refused(parcel: Hands) -> None:
    parcel.find("tin")
    while parcel.part["kind"] != "extra":
        parcel.do("next-part")
    parcel.do("answer-7")
    assert parcel.refused
    assert parcel.part["state"] == "unknown"


def test_a_cover_alone_has_the_cover_as_what_decides(parcel: Hands) -> None:
    parcel.find("wre").do("take-disc", "not-here", "take-inner", "not-here")
    assert [part.get("state") for part in parcel.record["parts"]] == [None, "missing", "missing"]
    anchor = anchor_of(parcel.record)
    assert anchor is not None
    assert anchor["kind"] == "cover"
    parcel.take("cover")
    assert next_part(parcel.desk, parcel.record) is None, "not the disc that is not there"
    parcel.do("next-part")
    assert parcel.refused
    parcel.grade("VG").do("price-hand").enter("25").do("take-in")
    assert parcel.at(1)["state"] == "taken-in", "nothing is missing of parts that did not come"


def test_a_disc_alone_is_graded_and_taken_in(parcel: Hands) -> None:
    parcel.find("cold").do("not-here", "take-inner", "not-here")
    parcel.take("disc")
    parcel.grade("VG", "+").do("price-hand").enter("5").do("take-in")
    assert parcel.at(1)["state"] == "taken-in"


def test_a_part_not_there_cannot_be_graded_and_the_key_again_brings_it_back(breakwater: Hands) -> None:
    breakwater.do("take-inner", "not-here", "take-inner").grade("VG")
    assert breakwater.refused
    assert breakwater.part["grades"] == []
    breakwater.do("not-here").grade("VG")
    assert breakwater.part["grades"][-1]["grade"] == "VG"
    assert "state" not in breakwater.part


def test_taking_a_part_is_no_history_and_nothing_to_take_back(breakwater: Hands) -> None:
    assert breakwater.desk.work.parcel is not None
    before = len(breakwater.desk.work.parcel.history)
    breakwater.do("take-disc", "take-disc", "take-inner", "next-part")
    assert len(breakwater.desk.work.parcel.history) == before


def test_a_kind_that_is_not_there_says_how_to_add_it(parcel: Hands) -> None:
    parcel.do("line-leave", "take-disc")
    assert parcel.refused
    parcel.do("add-part").key("1")
    assert parcel.part["kind"] == "disc"
    assert parcel.record["title"] is None, "parts may come before the title"


def test_a_part_added_by_mistake_is_taken_back_with_the_hand_on_one_that_is_there(breakwater: Hands) -> None:
    breakwater.do("add-part").key("5").do("undo")
    assert "wrap" not in breakwater.kinds()
    assert part_of(breakwater.record, breakwater.desk.work.part_id) is not None


def test_whose_a_record_is_may_differ_from_its_parcel(breakwater: Hands) -> None:
    breakwater.do("terms").key("3").enter("quil")
    owners = {part["owner"] for part in breakwater.record["parts"]}
    (owner,) = owners
    assert breakwater.desk.shop.senders[owner]["name"] == "Hester Quillow"
    assert breakwater.record["terms"] == "consigned"
    breakwater.do("add-part").key("4")
    assert breakwater.part["owner"] == owner, "a part found later is the same person's"
    breakwater.do("terms").key("1")
    assert {part["owner"] for part in breakwater.record["parts"]} == {"shop"}
    assert breakwater.record["terms"] == "bought"


def test_a_new_owner_is_made_in_the_same_line(breakwater: Hands) -> None:
    breakwater.do("terms").key("3").type("Quarl Jumble").do("line-new")
    (owner,) = {part["owner"] for part in breakwater.record["parts"]}
    assert breakwater.desk.shop.senders[owner]["name"] == "Quarl Jumble"


def test_a_long_row_of_extras_shortens_names_before_grades(breakwater: Hands) -> None:
    for name in ("a folded lyric sheet", "a numbered photograph", "poster of the whole orchestra"):
        add_part(breakwater.desk, "extra", name)
        breakwater.grade("VG")
    row = next(line for line in record_rows(breakwater.desk, 78, 12, FANCY) if "extras" in text_of([line]))
    assert text_of([row]).count(" VG") == 3
    assert width_of(row) <= 78


def test_the_heading_shortens_the_artist_before_title_and_number(breakwater: Hands) -> None:
    with breakwater.desk.act("a long artist") as change:
        title = breakwater.desk.changed(change)["title"]
        assert title is not None
        title["artist"], title["first"] = "The Ulmary Broadcasting Players, Wilm Alder " * 2, "[1967..1968]"
    title = breakwater.record["title"]
    assert title is not None
    heading = text_of([stack_title(breakwater.desk, 74)])
    assert title["title"] in heading
    assert title["catalogue"] in heading
    assert "first 1967 to 1968 · " in text_of([stack_title(breakwater.desk, 160)]), "no EDTF on the screen"
