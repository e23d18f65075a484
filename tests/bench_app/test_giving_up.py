"""A parcel begun by mistake is given up and taken up again; one with anything in it stays."""

from datetime import date
from pathlib import Path

from bench_hands import Hands, Sit

from benchtui.cli.check_shop import check_shop
from benchtui.desk.keyboard.perform import why_not
from benchtui.desk.line.fields import read_charges
from benchtui.desk.parcel.giving_up import what_is_in
from benchtui.model.parcel import is_given_up, new_head
from benchtui.model.record import empty_record


def _ids(hands: Hands) -> list[str]:
    return [one.id for one in hands.desk.shop.parcels()]


def _choose(hands: Hands, words: str) -> Hands:
    return hands.do("page-more").enter(words)


def test_it_leaves_the_list_and_comes_back_with_all_that_was_typed(
    empty: Hands, empty_path: Path, sit: Sit
) -> None:
    empty.new_parcel(2).key("escape").do("parcel-page")
    given = str(empty.head["id"])
    _choose(empty, "give up").key("g")
    assert (_ids(empty), empty.desk.work.parcel) == ([], None), empty.said
    empty.leave()
    assert check_shop(empty_path) == []
    again = sit(empty_path)
    assert again.desk.work.parcel is None, "a start does not open it"
    again.new_parcel(1).key("escape").do("parcels-page")
    assert again.head["id"] != given, "its number is not given again"
    _choose(again, "take up again")
    assert given in _ids(again)
    assert again.desk.shop.read_parcel(given)[0]["sender"] is not None
    assert why_not(again.desk, "parcels-take-up") == "no parcel was given up"


def test_one_that_is_marked_in_the_list_is_given_up_and_the_bench_keeps_its_own(empty: Hands) -> None:
    empty.new_parcel(1).key("escape")
    empty.new_parcel(1).key("escape")
    mine = str(empty.head["id"])
    empty.do("parcels-page", "page-up")
    _choose(empty, "give up").key("g")
    assert (_ids(empty), empty.head["id"]) == ([mine], mine), empty.said


def test_what_is_in_it_keeps_it_and_is_named(parcel: Hands) -> None:
    parcel.ready().do("parcel-page")
    _choose(parcel, "give up")
    assert parcel.refused
    assert parcel.desk.open.menu is None
    assert "holds 1 record" in parcel.said


def test_every_thing_that_counts_is_named_and_an_older_version_s_record_shows_it_again() -> None:
    head, places = new_head("2026-11-25-1"), [empty_record(1)]
    assert what_is_in(head, places) == []
    head["list"] = [
        {"line": "x", "artist": "", "title": "", "catalogue": "", "grade": "", "record": None}
    ] * 2
    head["charges"] = read_charges("fees")("2 + 3", "GBP", date(2026, 11, 25))
    head["late"], head["seller"] = [{}], {"name": "N"}
    assert what_is_in(head, places) == [
        "2 costs",
        "1 late bill",
        "2 lines of the sender's list",
        "a private seller",
    ]
    head["given_up"] = "2026-11-25T10:00:00Z"
    assert is_given_up(head, places)
    assert not is_given_up(head, [*places, {**empty_record(2), "state": "started"}])
