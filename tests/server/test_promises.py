"""What a shop on a server promises of its statements, locks, calls and files."""

import re
from typing import Any

import psycopg
import pytest
from found import load_lists
from postgres import ask
from test_line import away, note

from benchtui.server import ServerHome
from benchtui.server.hold import ServerLock
from benchtui.store import Shop


def test_a_key_is_one_statement_which_waits_for_the_disk(shop, parcel, monkeypatch) -> None:
    line, asked = shop.home.session.line, []
    ask_it = line.ask
    assert ask_it("SHOW synchronous_commit") == [("on",)]

    def counted(statement: str, values: Any = ()) -> Any:
        asked.append(statement)
        return ask_it(statement, values)

    monkeypatch.setattr(line, "ask", counted)
    note(parcel, "one")
    parcel.place(draft={"line": "note", "text": "half a wo"})
    parcel.undo()
    assert [statement.count("fence AS (") for statement in asked] == [1, 1, 1]


def test_the_server_calls_out_id_and_revision_and_nothing_else(shop, address) -> None:
    with psycopg.connect(address, autocommit=True) as ears:
        ears.execute(f'LISTEN "benchtui {shop.home.session.mark}"'.encode())
        parcel = shop.new_parcel({"opened": "2026-11-25", "carrier": "not told"}, 1)
        note(parcel, "not told")
        shop.add_sender("Not Told")
        shop.add_title({"artist": "not told", "title": "not told"})
        (shop.path / "books" / "own.toml").write_text("not told")
        shop.home.exchange()
        shop.close()
        calls = {call.payload for call in ears.notifies(timeout=0.1)}
    assert all(re.fullmatch(r"(parcel|shop|titles|files) [a-z0-9-]+ \d+", call) for call in calls), calls
    assert {call.split()[0] for call in calls} == {"parcel", "shop", "titles", "files"}


def test_no_action_is_there_twice(shop, parcel, address) -> None:
    note(parcel, "once")
    again = "INSERT INTO docs (name, tbl, id, body, action, revision) SELECT name, tbl, 'x', body, action, 1 FROM docs"
    with pytest.raises(psycopg.errors.UniqueViolation):
        ask(address, f"{again} WHERE tbl = 'history'")


def test_locks_are_waited_for_in_the_order_parcel_shop_titles(shop, monkeypatch) -> None:
    order = ("parcel", "shop", "titles")
    held: list[str] = []
    seen: list[str] = []
    wait, free = ServerLock.wait, ServerLock.free

    def waits(lock: ServerLock, *seconds: float) -> None:
        assert all(order.index(each) <= order.index(lock._kind) for each in held), (held, lock._kind)
        wait(lock, *seconds)
        held.append(lock._kind)
        seen.append(lock._kind)

    def frees(lock: ServerLock) -> None:
        if lock._kind in held:
            held.remove(lock._kind)
        free(lock)

    monkeypatch.setattr(ServerLock, "wait", waits)
    monkeypatch.setattr(ServerLock, "free", frees)
    parcel = shop.new_parcel({"opened": "2026-11-25"}, 1)
    record = parcel.records[0]["id"]
    shop.add_title({"artist": "Quill", "title": "Lamps"})
    shop.reserve_stock(parcel.id, record)
    shop.take_invoice("#", f"{parcel.id} {record}", {})
    note(parcel, "one")
    shop.close_through({"through": "2026-09-30", "closed_at": "2026-10-01T09:00:00Z", "by": "Ada"})
    parcel.close()
    assert set(seen) == {"shop", "titles"}


def test_what_others_changed_while_the_line_was_down_is_seen_once_it_is_back(
    shop, parcel, bench, monkeypatch
) -> None:
    other = bench()
    seen = other.open_parcel(parcel.id, read_only=True)
    other.home.heard()
    back = away(other, monkeypatch)
    note(parcel, "made meanwhile")
    sender = shop.add_sender("Ada")
    assert not other.home.heard()
    back()
    assert other.home.heard()
    assert seen.refresh()
    assert seen.records[0]["note"] == "made meanwhile"
    assert list(other.senders) == [sender]


def test_lists_keymaps_and_layouts_are_on_every_machine_and_an_index_is_made_on_each(
    shop: Shop, bench
) -> None:
    other = bench()
    files = {
        "titles/0001-list.csv": "id,artist,title\nl-1,Quill,Lamps\n",
        "keymaps/own.toml": "a",
        "exports/layouts/own.toml": "b",
    }
    for name, text in files.items():
        (shop.path / name).parent.mkdir(parents=True, exist_ok=True)
        (shop.path / name).write_text(text)
    assert len(load_lists(shop.path / "titles")) == 1
    shop.home.exchange()
    other.home.heard()
    assert other.home.exchange()
    assert {name: (other.path / name).read_text() for name in files} == files
    titles = other.path / "titles"
    assert [one.suffix for one in titles.iterdir()] == [".csv"]
    assert len(load_lists(titles)) == 1
    (index,) = titles.glob("*.index")
    made = index.stat()
    again = Shop.open(ServerHome(other.home.address, other.path), read_only=True)
    assert len(load_lists(titles)) == 1
    assert index.stat() == made
    again.close()
