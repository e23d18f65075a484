"""Several benches in one shop on a server: who has what, what others see, numbers without a gap."""

import json
import time
from threading import Thread

import psycopg
import pytest
from postgres import ask

from benchtui.base.errors import BenchError
from benchtui.server import ServerHome, schema
from benchtui.store import Held, ParcelHeld, Shop


def test_a_parcel_is_held_by_one_bench_and_given_on(shop, parcel, bench) -> None:
    other = bench()
    with pytest.raises(ParcelHeld, match=r"\(process \d+\) has it since"):
        other.open_parcel(parcel.id)
    with pytest.raises(Held):
        Shop.open(ServerHome(shop.home.address, other.path), letter=shop.letter)
    assert (shop.letter, other.letter) == ("A", "B")
    parcel.close()
    assert not other.open_parcel(parcel.id).read_only


def test_a_bench_that_lost_its_parcel_without_knowing_saves_nothing_more(shop, parcel, address) -> None:
    """As when its machine slept: the token was counted up by whoever took the parcel since."""
    ask(address, "UPDATE kept SET token = token + 1 WHERE name = %s", parcel.id)
    with parcel.action("too late") as change:
        change.head["note"] = "too late"
    assert "another bench has changed it meanwhile" in parcel.trouble
    assert "too late" not in str(ask(address, "SELECT body FROM docs WHERE name = %s", parcel.id))


def test_what_one_bench_changes_others_hear_of_within_a_second(shop, parcel, bench) -> None:
    other = bench()
    seen = other.open_parcel(parcel.id, read_only=True)
    other.home.heard()
    parcel.place(cursor={"record": parcel.records[0]["id"]})
    with parcel.action("a note") as change:
        change.record(parcel.records[0]["id"])["note"] = "x"
    sender = shop.add_sender("Ada")
    second = shop.new_parcel({"opened": "2026-11-25"})
    end = time.monotonic() + 1
    while not seen.refresh() and time.monotonic() < end:
        time.sleep(0.01)
    assert seen.records[0]["note"] == "x"
    assert list(other.senders) == [sender]
    assert [each.id for each in other.parcels()] == [parcel.id, second.id]


def test_drafts_are_saved_and_nobody_is_told(shop, parcel, bench) -> None:
    other = bench()
    other.home.heard()
    parcel.place(draft={"line": "note", "text": "half a wo"})
    time.sleep(0.05)
    assert not other.home.heard()
    assert other.open_parcel(parcel.id, read_only=True).head["draft"]["text"] == "half a wo"


def test_numbers_taken_by_three_benches_at_once_have_no_gap_and_no_twin(shop, bench) -> None:
    benches = [shop, bench(), bench()]
    taken: list[str] = []

    def work(one: Shop) -> None:
        mine = one.new_parcel({"opened": "2026-11-25"}, 4)
        for record in mine.records:
            taken.append(one.take_invoice("#", f"{mine.id} {record['id']}", {}))
            one.reserve_stock(mine.id, record["id"])

    threads = [Thread(target=work, args=(one,)) for one in benches]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(taken) == [f"{number:04}" for number in range(1, 13)]
    seen = bench()
    assert sorted(seen.stock_numbers()) == [f"{letter}0000{n}" for letter in "ABC" for n in range(1, 5)]
    assert len(seen.parcel_ids()) == 3


def test_an_older_shop_is_brought_up_to_date_when_no_bench_is_at_work_and_a_newer_one_refused(
    shop, address, tmp_path, monkeypatch
) -> None:
    monkeypatch.setattr(schema, "STEPS", (*schema.STEPS, "ALTER TABLE benches ADD COLUMN more text"))
    monkeypatch.setattr(schema, "VERSION", schema.VERSION + 1)
    with pytest.raises(BenchError, match="benches are at work"):
        ServerHome(address, tmp_path / "newer")
    shop.close()
    newer = Shop.open(ServerHome(address, tmp_path / "newer"))
    newer.close()
    assert ask(address, "SELECT version FROM shop") == [(schema.VERSION,)]
    monkeypatch.undo()
    said = rf"newer version .{schema.VERSION + 1}. than this program knows .{schema.VERSION}."
    with pytest.raises(BenchError, match=said):
        ServerHome(address, tmp_path / "older")


def test_documents_of_an_older_program_are_read_as_todays_and_written_so_with_the_next_key(
    shop, parcel, bench, address
) -> None:
    with parcel.action("first") as change:
        change.head["note"] = "x"
    parcel.close()
    old = [["head", "note"], "", "x"]  # schema 1: before and after without a box
    ask(address, "UPDATE docs SET body = %s WHERE tbl = 'history'",
        json.dumps({"n": 1, "say": "first", "at": "", "ops": [old]}))  # fmt: skip
    ask(address, "UPDATE kept SET documents = 1 WHERE name = %s", parcel.id)
    again = bench().open_parcel(parcel.id)
    assert again.history[0].ops == [[["head", "note"], [""], ["x"]]]
    assert again.undo() == "first"
    assert again.trouble is None
    assert ask(address, "SELECT documents FROM kept WHERE name = %s", parcel.id) == [(2,)]
    (body,) = ask(address, "SELECT body FROM docs WHERE tbl = 'history'")[0]
    assert json.loads(body)["ops"] == [[["head", "note"], [""], ["x"]]]
    again.close()
    ask(address, "UPDATE kept SET documents = 9 WHERE name = %s", parcel.id)
    with pytest.raises(BenchError, match="written by a newer program"):
        bench().open_parcel(parcel.id)


def test_what_the_server_broke_off_for_anothers_sake_is_done_again(shop) -> None:
    line, times = shop.home.session.line, []

    def work(session: object) -> list[tuple[int]]:
        times.append(1)
        if len(times) < 3:
            raise psycopg.errors.DeadlockDetected if len(times) == 1 else psycopg.errors.SerializationFailure
        return [(1,)]

    assert line.do(work) == [(1,)]
    assert len(times) == 3
