"""A deliberate upgrade at the bench: a part goes to another record, two change places, consent is asked."""

import pytest
from bench_hands import Hands

from benchtui.desk.record.describing import item_of, wording
from benchtui.export.claims import say
from benchtui.model.record import PartDoc, RecordDoc, is_here, new_part

ASSEMBLED = "copy assembled from more than one"


@pytest.fixture
def two(parcel: Hands) -> Hands:
    """Two records taken in, a third begun; the first is on the bench, its cover in the hand."""
    parcel.ready().do("take-in")
    parcel.ready().do("take-in")
    parcel.find("lo")
    return _at_cover(parcel, 1)


def _at_cover(hands: Hands, no: int) -> Hands:
    hands.do("jump-record").enter(str(no))
    hands.take("cover")
    return hands


def _here(record: RecordDoc, kind: str) -> list[PartDoc]:
    return [part for part in record["parts"] if part["kind"] == kind and is_here(part)]


def _claims(hands: Hands, record: RecordDoc) -> str:
    return say("assembled", item_of(hands.desk, record), wording(hands.desk)).text


def _without_cover(hands: Hands, no: int) -> Hands:
    hands.do("jump-record").enter(str(no))
    hands.take("cover")
    return hands.do("not-here")


def test_a_part_goes_to_the_record_of_that_number_and_the_description_says_assembled(two: Hands) -> None:
    _without_cover(two, 2)
    _at_cover(two, 1)
    cover = two.part["id"]
    two.do("record-page", "record-move").enter("2")
    assert [part["id"] for part in _here(two.at(2), "cover")] == [cover]
    assert _here(two.at(1), "cover") == []
    origin = _here(two.at(2), "cover")[0].get("origin")
    assert origin is not None
    assert origin["record"] == two.at(1)["id"]
    assert _claims(two, two.at(2)).startswith(ASSEMBLED)
    assert two.desk.work.part is not None, "the hand holds what is left"
    assert is_here(two.part)
    two.do("page-leave", "undo")
    assert [part["id"] for part in _here(two.at(1), "cover")] == [cover]
    assert _here(two.at(2), "cover") == []


def test_the_stock_number_finds_it_too_and_the_list_shows_what_it_is(two: Hands) -> None:
    _without_cover(two, 2)
    stock = two.at(2)["stock"]
    assert stock is not None
    _at_cover(two, 1).do("record-page", "record-move")
    two.type(stock[:3])
    assert two.desk.open.line is not None
    names = ["".join(text for text, _ in pick.spans) for pick in two.desk.open.line.picks]
    assert any(stock in name and "Bafflers on the Breakwater" in name for name in names)
    assert not any(str(two.record["stock"]) in name for name in names), "not the record it is in"
    two.type(stock[3:].lower()).do("line-accept")
    assert len(_here(two.at(2), "cover")) == 1


def test_where_the_place_is_taken_the_two_change_places_once_it_is_agreed(two: Hands) -> None:
    first, second = (_here(two.at(no), "cover")[0]["id"] for no in (1, 2))
    two.do("record-page", "record-move").enter("2")
    assert two.desk.open.menu is not None
    two.key("n")
    assert [_here(two.at(no), "cover")[0]["id"] for no in (1, 2)] == [first, second]
    two.do("record-move").enter("2").key("m")
    assert [_here(two.at(no), "cover")[0]["id"] for no in (1, 2)] == [second, first]
    assert "undo twice" in two.said
    for no in (1, 2):
        assert len(_here(two.at(no), "cover")) == 1
        assert _claims(two, two.at(no)).startswith(ASSEMBLED)
    two.do("page-leave", "undo", "undo")
    assert [_here(two.at(no), "cover")[0]["id"] for no in (1, 2)] == [first, second]
    assert _claims(two, two.at(1)) == ""


def test_a_part_s_grades_faults_and_open_work_go_with_it(two: Hands) -> None:
    _without_cover(two, 2)
    _at_cover(two, 1).do("chore").key("r").do("record-page", "record-move").enter("2")
    moved = _here(two.at(2), "cover")[0]
    assert moved["grades"][0]["grade"] == "VG"
    assert [chore["what"] for chore in two.at(2)["chores"]] == ["repair"]
    assert two.at(1)["chores"] == []


@pytest.mark.parametrize(
    ("text", "said"),
    [("1", "already"), ("99", "no record '99'"), ("Z00001", "no record"), ("[x]", "no record '[x]'")],
)
def test_where_it_cannot_go_is_said_and_the_text_stays(two: Hands, text: str, said: str) -> None:
    two.do("record-page", "record-move").enter(text)
    assert two.refused
    assert said in two.said
    assert two.desk.open.line is not None
    assert two.desk.open.line.text == text
    assert len(_here(two.at(1), "cover")) == 1


def test_nothing_goes_into_a_record_without_a_title(parcel: Hands) -> None:
    parcel.ready().do("take-in", "line-leave")
    _at_cover(parcel, 1).do("record-page", "record-move").enter("2")
    assert parcel.refused
    assert "no title yet" in parcel.said


def test_nothing_goes_out_of_or_into_what_has_left_the_shop(two: Hands) -> None:
    assert two.desk.work.parcel is not None
    with two.desk.work.parcel.action("scrapped") as change:
        change.record(two.at(2)["id"])["life"].append(
            {"n": 1, "what": "scrapped", "on": "2026-11-25", "at": "2026-11-25T10:00:00Z"}
        )
    two.do("record-page", "record-move").enter("2")
    assert two.refused
    assert "scrapped" in two.said
    two.do("line-leave", "page-leave")
    _at_cover(two, 2).do("record-page", "record-move")
    assert two.refused
    assert two.desk.open.line is None


def _consigned(hands: Hands) -> Hands:
    """A second parcel, Hester Quillow's on consignment, its one record with the cover in the hand."""
    hands.new_parcel(1, "Hester Quillow")
    hands.ready("lo")
    hands.take("cover")
    return hands


def test_a_sender_s_part_enters_bought_stock_with_consent_only(two: Hands) -> None:
    bought, stock = two.head["id"], two.at(2)["stock"]
    _without_cover(two, 2)
    _consigned(two)
    cover = two.part["id"]
    two.do("record-page", "record-move").enter(str(stock))
    assert two.desk.open.line is not None
    assert two.desk.open.line.name == "move-consent"
    two.enter("  ")
    assert two.refused
    assert two.desk.open.line.name == "move-consent"
    two.enter("by letter of [2] March")
    assert two.desk.open.menu is not None
    assert "move the part back" in two.desk.open.menu.about
    two.key("m")
    assert _here(two.record, "cover") == []
    parcel = two.desk.shop.open_parcel(bought, read_only=True)
    moved = _here(parcel.records[1], "cover")[0]
    parcel.close()
    assert moved["id"] == cover
    origin = moved.get("origin")
    assert origin is not None
    assert origin["consent"] == "by letter of [2] March"
    assert moved.get("owner") == two.head["sender"], "it is still the sender's"


def test_leaving_the_consent_open_moves_nothing(two: Hands) -> None:
    stock = two.at(2)["stock"]
    _consigned(two)
    two.do("record-page", "record-move").enter(str(stock)).do("line-leave")
    assert len(_here(two.record, "cover")) == 1


def test_a_bought_part_given_to_a_sender_s_record_needs_no_consent_but_the_one_that_comes_back_does(
    two: Hands,
) -> None:
    bought = two.head["id"]
    _consigned(two)
    two.do("take-in")
    stock = two.at(1)["stock"]
    two.do("parcels-page")
    assert two.desk.open.page is not None
    ids = [one.id for one in two.desk.shop.parcels()]
    two.desk.open.page.marked = ids.index(bought)
    two.do("page-enter")
    _at_cover(two, 1).do("record-page", "record-move").enter(str(stock))
    assert two.desk.open.line is not None
    assert two.desk.open.line.name == "move-consent", "the sender's cover would come into bought stock"


def test_a_parcel_that_another_bench_holds_cannot_receive(two: Hands) -> None:
    from benchtui.store import Shop

    bought, stock = two.head["id"], two.at(2)["stock"]
    _without_cover(two, 2)
    two.new_parcel(1)
    two.ready("lo")
    two.take("cover")
    other = Shop.open(two.desk.shop.path)
    held = other.open_parcel(bought)
    try:
        two.do("record-page", "record-move").enter(str(stock)).key("m")
        assert two.refused
        assert len(_here(two.record, "cover")) == 1
    finally:
        held.close()
        other.close()


def test_an_extra_joins_what_is_there(two: Hands) -> None:
    assert two.desk.work.parcel is not None
    with two.desk.work.parcel.action("posters") as change:
        for no in (1, 2):
            change.record(two.at(no)["id"])["parts"].append(new_part("extra", name="poster", state="present"))
    two.do("jump-record").enter("1")
    while two.part["kind"] != "extra":
        two.do("next-part")
    two.do("record-page", "record-move").enter("2")
    assert two.desk.open.menu is None
    assert len(_here(two.at(2), "extra")) == 2
