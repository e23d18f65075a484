"""The disk is full: the bench says so, works on in memory, saves by itself, and is not left unasked."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from bench_hands import Hands
from full_disk import FillingDisk, sit_down_on
from same_parcel import canonical
from seen import middle_rows, queue_rows

from benchtui.bench.pieces import FANCY, text_of
from benchtui.bench.widgets.message import message_rows
from benchtui.cli import main
from benchtui.desk.core.keeping import save_again
from benchtui.desk.lists.titles_in import folder
from benchtui.desk.queue.background import work_on
from benchtui.store import Shop
from benchtui.titles.lists import lists_in


@pytest.fixture
def disk(monkeypatch: pytest.MonkeyPatch) -> FillingDisk:
    return FillingDisk(monkeypatch)


@pytest.fixture
def full(empty_path: Path, disk: FillingDisk) -> Iterator[Hands]:
    """A parcel of three, the first record with its title; from here on the disk is full."""
    hands = sit_down_on(empty_path, disk).new_parcel(3).find("baf")
    hands.take("disc")
    disk.full = True
    yield hands
    disk.full = False
    hands.leave()


def on_disk(hands: Hands) -> tuple[Shop, Any]:
    """Shop and parcel as another process finds them."""
    assert hands.desk.work.parcel is not None
    shop = Shop.open(hands.desk.shop.path, read_only=True)
    return shop, shop.open_parcel(hands.desk.work.parcel.id)


def strip(hands: Hands) -> str:
    return text_of(queue_rows(hands.desk, 80, FANCY))


def room(hands: Hands, disk: FillingDisk) -> Hands:
    """There is room again, and the bench has noticed by itself."""
    disk.full = False
    assert save_again(hands.desk)
    return hands


# -- said, and in sight ------------------------------------------------------------------------------


def test_it_is_said_at_once_behind_what_was_done_with_what_is_to_be_done(full: Hands) -> None:
    full.grade("VG")
    assert full.said.startswith("record 1, disc: VG. not saved (No space left on device): ")
    assert full.said.endswith("Free some space there (0.1 MB) and carry on; it will save by itself")
    assert full.refused
    assert full.desk.open.bell


def test_it_stays_in_sight_with_how_much_it_is_while_later_words_have_their_place(full: Hands) -> None:
    assert "NOT SAVED" not in strip(full)
    full.grade("VG").grade("VG", "+")
    assert full.said == "record 1, disc: VG+"
    assert "NOT SAVED: 3 changes" in strip(full)
    full.desk.open.message = ""
    assert "No space left" in text_of(message_rows(full.desk, 80, FANCY))


def test_room_again_is_said_with_what_is_saved_now_and_nothing_is_left_in_sight(
    full: Hands, disk: FillingDisk
) -> None:
    full.grade("VG")
    disk.full = False
    full.grade("G")
    assert full.said == "record 1, disc: G. everything is saved again: 2 actions (record 1)"
    assert full.desk.background.unsaved is None
    assert "NOT SAVED" not in strip(full)


# -- everything that writes ----------------------------------------------------------------------------


def test_records_new_titles_people_and_queue_are_worked_on_and_all_of_it_is_saved_later(
    full: Hands, disk: FillingDisk
) -> None:
    begun = len(full.desk.work.parcel.history)  # type: ignore[union-attr]
    full.ready("baf").do("price-hand").enter("14")
    full.do("take-in")
    assert full.at(1)["stock"] == "A00001"
    full.enter("The Quay Lanterns - Low Water - QL 7")  # a title nobody knows
    assert full.record["title"] is not None, full.said
    full.grade("VG").do("note").enter("writing on the back")
    full.do("take-in", "take-in")
    assert full.at(2)["stock"] == "A00002"
    full.do("line-leave", "parcel-page")
    assert full.desk.open.page is not None
    full.desk.open.page.marked = 0
    full.do("page-enter").enter("Zachary Holm")  # a sender nobody knows
    full.do("page-list").paste("The Quay Lanterns, Low Water, QL 7, VG\nSomebody, Something").do(
        "line-accept"
    )
    full.do("page-add", "parcel-page").mark(4).do("page-earlier").mark(2)
    full.do("page-undo", "page-undo", "page-redo", "page-leave")
    full.do(*(["line-leave"] if full.desk.open.line else []), "theme", "line-down", "line-accept")
    assert full.desk.settings["theme"] == "light"
    _, stale = on_disk(full)
    assert len(stale.history) == begun
    assert full.desk.background.unsaved is not None
    assert full.desk.background.unsaved.shared == 3  # title, sender, theme
    room(full, disk)
    shop, parcel = on_disk(full)
    assert full.desk.work.parcel is not None
    assert canonical(parcel) == canonical(full.desk.work.parcel)
    assert [entry.say for entry in parcel.history] == [entry.say for entry in full.desk.work.parcel.history]
    assert len(parcel.history) > begun + 15
    assert [title["title"] for title in shop.made_titles()] == ["Low Water"]
    assert shop.senders[parcel.head["sender"]]["name"] == "Zachary Holm"
    assert parcel.head["list"][0]["record"] == full.at(2)["id"]
    assert shop.settings["theme"] == "light"
    assert sorted(shop.stock_numbers()) == ["A00001", "A00002"]
    assert shop.number_faults() == []
    assert shop.picks(), "and what was picked ranks"


def test_what_stands_in_an_open_line_is_kept_and_saved_too(full: Hands, disk: FillingDisk) -> None:
    full.do("note").type("half a wor")
    assert "NOT SAVED: the open line" in strip(full)
    room(full, disk)
    _, parcel = on_disk(full)
    assert parcel.head["draft"]["text"] == "half a wor"


def test_a_sale_seen_counts_at_once_and_is_saved_later(full: Hands, disk: FillingDisk) -> None:
    full.do("sale-seen").enter("30 2026-10-02 VG+/VG fair")
    assert "sale noted" in full.said
    assert len(full.desk.shop.sales_seen()) == 1
    assert Shop.open(full.desk.shop.path, read_only=True).sales_seen() == []
    room(full, disk)
    assert len(Shop.open(full.desk.shop.path, read_only=True).sales_seen()) == 1


def test_people_known_only_in_memory_are_completed_and_not_made_twice(full: Hands, disk: FillingDisk) -> None:
    full.do("parcel-page")
    for _ in range(2):
        assert full.desk.open.page is not None
        full.desk.open.page.marked = 0
        full.do("page-enter").enter("Zachary Holm")
    room(full, disk)
    shop, _ = on_disk(full)
    assert [sender["name"] for sender in shop.senders.values()].count("Zachary Holm") == 1


def test_what_is_in_memory_only_is_found_by_its_number_and_its_work_is_on_the_list(
    full: Hands, disk: FillingDisk
) -> None:
    full.ready("baf").do("take-in").do("line-leave", "previous-record")
    full.do("chore").key(full.desk.open.menu.choices[0].key)  # type: ignore[union-attr]
    assert [one.no for one in full.desk.shop.find("a00001")] == [1]
    assert [one.stock for one in full.desk.shop.waiting()] == ["A00001"]
    full.do("search").enter("a00001")
    assert full.record["no"] == 1
    room(full, disk)
    assert [one.no for one in full.desk.shop.find("a00001")] == [1]


def test_an_export_is_refused_in_words_since_it_would_lack_what_is_in_memory(
    full: Hands, disk: FillingDisk
) -> None:
    full.grade("VG").do("export-day")
    assert full.refused
    assert "nothing can be exported meanwhile: 1 action (record 1) in memory only" in full.said
    assert list((full.desk.shop.path / "exports").iterdir()) == []
    room(full, disk).do("export-day")
    assert not full.refused, full.said


def test_the_shop_s_book_is_not_grown_and_the_wording_stays_in_the_line(
    full: Hands, disk: FillingDisk
) -> None:
    full.ask("label paper").answer("reed")
    full.do("why", "why-pressing").key("n").enter("second cover")
    assert full.refused
    assert "No space left" in full.said
    assert full.desk.open.line is not None
    assert full.desk.open.line.text == "second cover"
    disk.full = False
    full.do("line-accept")
    assert full.record["pressing"]["name"] == "second cover"


def test_a_title_list_is_not_taken_in_and_is_tried_again_by_a_key(
    full: Hands, disk: FillingDisk, tmp_path: Path
) -> None:
    (tmp_path / "more.csv").write_text("artist,title,catalogue\nThe Quay Lanterns,Low Water,QL 7\n")
    before = lists_in(folder(full.desk))
    full.do("parcels-page", "parcels-titles").enter(str(tmp_path / "more.csv"))
    while work_on(full.desk):
        pass
    full.do("page-enter")
    while work_on(full.desk):
        pass
    assert full.refused
    assert "the list cannot be written: No space left" in full.said
    assert lists_in(folder(full.desk)) == before
    disk.full = False
    full.do("page-enter")
    while work_on(full.desk):
        pass
    assert len(lists_in(folder(full.desk))) == len(before) + 1


def test_another_parcel_is_not_opened_and_this_one_not_let_go_while_it_is_not_saved(
    full: Hands, disk: FillingDisk
) -> None:
    here = full.desk.work.parcel
    assert here is not None
    full.grade("VG").do("parcels-page", "page-new")
    assert full.refused
    assert f"parcel {here.id} stays open: 1 action (record 1) in memory only" in full.said
    assert full.desk.work.parcel is here
    assert here.is_open
    room(full, disk).do("page-new")
    assert full.desk.work.parcel is not here
    shop = Shop.open(full.desk.shop.path, read_only=True)
    assert canonical(shop.open_parcel(here.id)) == canonical(here)


def test_an_event_in_another_parcel_is_entered_on_the_disk_or_not_at_all(
    demo_path: Path, disk: FillingDisk
) -> None:
    hands = sit_down_on(demo_path, disk).do("line-leave", "sell")
    disk.full = True
    hands.enter("a6; -1; 8.50; N. Reed; 26-0370")
    assert hands.refused
    assert "not saved (No space left" in hands.said or "meanwhile" in hands.said
    disk.full = False
    hands.do("line-leave")
    assert hands.desk.background.unsaved is None
    (sold,) = [one for one in hands.desk.shop.find("A00006") if one.stock == "A00006"]
    parcel = hands.desk.shop.open_parcel(sold.parcel, read_only=True)
    assert "sold" not in [event["what"] for event in parcel.record(sold.record)["life"]]
    hands.leave()


def test_a_new_parcel_that_cannot_be_made_leaves_the_bench_where_it_was(
    full: Hands, disk: FillingDisk
) -> None:
    here = full.desk.work.parcel
    full.do("parcels-page", "page-new")
    assert full.refused
    assert "No space left" in full.said
    assert full.desk.work.parcel is here
    assert len(full.desk.shop.parcels()) == 1


def test_a_parcel_is_not_closed_with_a_note_for_the_sender_that_cannot_be_written(full: Hands) -> None:
    full.do("parcel-page", "page-close", "page-leave")
    full.do("parcel-page", "page-close")
    full.key("1")
    assert full.refused
    assert full.head["state"] != "closed"
    assert len(full.desk.work.records) == 3, "and no empty place is gone"


def test_a_new_book_is_whole_or_not_there(full: Hands, disk: FillingDisk) -> None:
    shop = full.desk.shop.path
    assert main(["book", "new", "harbour", "--shop", str(shop)]) == 2
    assert not list((shop / "books").glob("harbour*"))
    disk.full = False
    assert main(["book", "new", "harbour", "--shop", str(shop)]) == 0


# -- leaving --------------------------------------------------------------------------------------------


def test_leaving_with_all_saved_asks_nothing_whatever_room_there_is(full: Hands) -> None:
    full.do("quit")
    assert full.desk.open.leaving


def test_leaving_is_held_and_says_how_much_would_be_lost(full: Hands) -> None:
    full.grade("VG").do("quit")
    assert not full.desk.open.leaving
    shown = text_of(middle_rows(full.desk, 80, 17, FANCY))
    assert "1 action (record 1) in memory only" in shown
    assert "g  leave without saving: it is lost" in shown
    full.do("menu-leave")
    assert not full.desk.open.leaving
    assert full.grade("VG", "+").said == "record 1, disc: VG+"


def test_the_quit_key_pressed_again_and_again_gives_nothing_up(full: Hands) -> None:
    full.grade("VG").do("quit", "quit", "quit")
    assert not full.desk.open.leaving


def test_leaving_over_an_open_line_can_be_thought_better_of_with_the_line_as_it_was(full: Hands) -> None:
    full.do("note").type("half a wor").do("quit").key("w")
    assert not full.desk.open.leaving
    assert full.desk.open.line is not None
    full.type("d")
    assert full.desk.open.line.text == "half a word"


@pytest.mark.parametrize("keymap", ["number-pad", "left-hand"])
def test_with_one_hand_it_is_answered_by_digits(demo_path: Path, disk: FillingDisk, keymap: str) -> None:
    hands = sit_down_on(demo_path, disk, keymap)
    disk.full = True
    hands.type("5").do("quit")  # the line of a runout was open
    assert hands.desk.open.menu is not None
    assert [choice.key for choice in hands.desk.open.menu.choices] == ["1", "2", "3"]
    hands.key(hands.desk.references.keymap.first_key("answer-2") or "2")
    assert not hands.desk.open.leaving
    hands.do("quit").key(hands.desk.references.keymap.first_key("answer-3") or "3")
    assert hands.desk.open.leaving
    disk.full = False
    hands.leave()


def test_room_made_meanwhile_saves_and_leaves_by_one_key(full: Hands, disk: FillingDisk) -> None:
    full.grade("VG").do("quit")
    disk.full = False
    full.key("s")
    assert full.desk.open.leaving
    assert full.desk.background.unsaved is None
    _, parcel = on_disk(full)
    assert canonical(parcel) == canonical(full.desk.work.parcel)


def test_no_room_yet_asks_again_and_only_its_own_key_gives_up(full: Hands) -> None:
    full.grade("VG").do("quit").key("s")
    assert not full.desk.open.leaving
    assert full.desk.open.menu is not None
    full.key("g")
    assert full.desk.open.leaving
    full.desk.shop.close()
    assert full.desk.shop.unsaved() is not None, "whoever closes the shop can tell what was lost"


def test_a_full_disk_at_the_very_end_loses_nothing_and_says_nothing(full: Hands, disk: FillingDisk) -> None:
    """The log has everything; only to fold it into the parcel's file there is no room."""
    full.desk.shop.close()
    assert full.desk.shop.unsaved() is None
    _, parcel = on_disk(full)
    assert canonical(parcel) == canonical(full.desk.work.parcel)
