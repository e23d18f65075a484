"""What is in stock already is said where it helps: in the pick list, the search, the work list."""

import shutil
from pathlib import Path
from typing import Any

import pytest
from bench_hands import Hands, Sit

from benchtui.base.errors import BenchError
from benchtui.bench.pieces import text_of
from benchtui.store import Shop


def _first(hands: Hands, typed: str) -> str:
    """The first line of the list under the title line, as it is read."""
    hands.type(typed)
    assert hands.desk.open.line is not None
    return text_of([list(hands.desk.open.line.picks[0].spans)])


def _in_stock(hands: Hands) -> str:
    """One record taken in; its stock number."""
    hands.ready("baf").do("take-in")
    return str(hands.at(1)["stock"])


def _life(hands: Hands, *events: dict[str, Any]) -> None:
    assert hands.desk.work.parcel is not None
    with hands.desk.work.parcel.action("a record's life") as change:
        change.record(hands.at(1)["id"])["life"] += [
            {"n": n, "at": "2026-11-25", **one} for n, one in enumerate(events, 1)
        ]


def test_the_pick_list_says_what_stands_in_this_parcel_and_what_in_stock(parcel: Hands) -> None:
    stock = _in_stock(parcel)
    line = _first(parcel, "baf")
    assert "in this parcel" in line
    assert f"in stock {stock} VG+/VG+ 12.00" in line


def test_a_copy_of_another_parcel_is_in_stock_and_not_in_this_one(parcel: Hands) -> None:
    stock = _in_stock(parcel)
    parcel.do("line-leave").new_parcel(2)
    line = _first(parcel, "baf")
    assert f"in stock {stock} VG+/VG+ 12.00" in line
    assert "in this parcel" not in line


def test_of_several_copies_the_newest_is_named_and_the_others_counted(parcel: Hands) -> None:
    _in_stock(parcel)
    parcel.ready("baf").do("take-in")
    assert f"in stock {parcel.at(2)['stock']} VG+/VG+ 12.00 and 1 more" in _first(parcel, "baf")


@pytest.mark.parametrize("what", ["sold", "handed back", "scrapped"])
def test_what_left_the_shop_is_not_in_stock(parcel: Hands, what: str) -> None:
    _in_stock(parcel)
    _life(parcel, {"what": what})
    assert "in stock" not in _first(parcel, "baf")


@pytest.mark.parametrize(
    "events",
    [
        [{"what": "sold"}, {"what": "returned"}],
        [{"what": "sold"}, {"what": "corrected", "of": 1, "now": None}],
        [{"what": "held"}, {"what": "released"}],
    ],
)
def test_what_came_back_or_never_left_is_in_stock(parcel: Hands, events: list[dict[str, Any]]) -> None:
    stock = _in_stock(parcel)
    _life(parcel, *events)
    assert f"in stock {stock}" in _first(parcel, "baf")


def test_what_is_set_apart_is_not_in_stock(parcel: Hands) -> None:
    _in_stock(parcel)
    assert parcel.desk.work.parcel is not None
    with parcel.desk.work.parcel.action("set apart") as change:
        change.record(parcel.at(1)["id"])["set_apart"] = {"why": "unofficial", "note": "", "at": ""}
    assert "in stock" not in _first(parcel, "baf")


def test_undo_of_the_taking_in_takes_it_out_of_stock(parcel: Hands) -> None:
    _in_stock(parcel)
    parcel.do("line-leave", "undo")
    while parcel.at(1)["state"] == "taken-in":
        parcel.do("undo")
    assert parcel.desk.shop.stock_by_title() == {}


def test_the_index_is_made_again_when_it_is_lost(parcel: Hands, sit: Sit, tmp_path: Path) -> None:
    _in_stock(parcel)
    stock, waiting = parcel.desk.shop.stock_by_title(), parcel.desk.shop.waiting()
    parcel.leave()
    copy = Path(shutil.copytree(parcel.desk.shop.path, tmp_path / "copy"))
    for kept in (copy / ".keep").glob("index*"):
        kept.unlink()
    again = Shop.open(copy)
    assert (again.stock_by_title(), again.waiting()) == (stock, waiting)
    assert len(stock) == 1
    again.close()


def test_the_search_finds_by_the_sender_s_name(demo: Hands) -> None:
    demo.do("line-leave", "search").type("dovrick baff")
    assert demo.desk.open.line is not None
    assert demo.desk.open.line.picks
    for pick in demo.desk.open.line.picks:
        assert "Dovrick" in pick.value.sender
        assert "baff" in f"{pick.value.artist} {pick.value.title}".casefold()


def test_a_word_of_the_record_itself_comes_before_one_of_its_sender(parcel: Hands) -> None:
    parcel.type("Una Marr - Weir Songs").do("line-new", "later").find("baf").do("search").type("una")
    assert parcel.desk.open.line is not None
    assert parcel.desk.open.line.picks[0].value.artist == "Una Marr"
    assert len(parcel.desk.open.line.picks) > 1


def test_the_work_list_opens_no_parcel(parcel: Hands, monkeypatch: pytest.MonkeyPatch) -> None:
    parcel.find("baf").do("chore").key("c")
    record = parcel.record
    chore = record["chores"][0]
    parcel.do("line-leave") if parcel.desk.open.line else None
    parcel.new_parcel(1)

    def refuse(*_: Any, **__: Any) -> Any:
        raise AssertionError("a parcel was opened")

    monkeypatch.setattr(Shop, "open_parcel", refuse)
    parcel.do("line-leave") if parcel.desk.open.line else None
    parcel.do("chores-page")
    work = parcel.desk.open.page.data["chores"] if parcel.desk.open.page else []
    assert [(one.chore, one.record, one.what) for one in work] == [(chore["id"], record["id"], chore["what"])]


def test_parcels_that_cannot_be_looked_through_leave_the_title_line_at_work(
    parcel: Hands, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: Any) -> Any:
        raise BenchError("the folder cannot be read")

    monkeypatch.setattr(Shop, "stock_by_title", refuse)
    assert "Breakwater" in _first(parcel.do("line-leave", "find-title"), "baf")
