"""Records are looked up by the server's index as in a folder, and little of the shop is read for it."""

from collections.abc import Iterator
from pathlib import Path

import psycopg
import pytest
from postgres import address_in, ask

from benchtui.bench.run import copy_demo
from benchtui.evidence import counts_of
from benchtui.server import ServerHome, to_server
from benchtui.server.found import grams_of
from benchtui.store import Shop


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    """The demo's shop in a folder."""
    copy_demo(folder := tmp_path_factory.mktemp("demo") / "shop")
    shop = Shop.open(folder, read_only=True)
    yield shop
    shop.close()


@pytest.fixture(scope="module")
def there(demo: Shop, postgres: str, tmp_path_factory: pytest.TempPathFactory) -> str:
    """The address of the same shop on the server."""
    home = ServerHome(address := address_in(postgres), tmp_path_factory.mktemp("made"))
    to_server(demo.path, home)
    home.close()
    return address


def fresh(address: str, folder: Path) -> Shop:
    """As a bench on a new machine has it, before it has read any parcel."""
    shop = Shop.open(ServerHome(address, folder), read_only=True)
    shop.read_in_steps(counts_of)
    shop._index.patient = True  # as in a shop of more parcels than the demo's
    return shop


def searches(demo: Shop) -> list[str]:
    """What a dealer may type: whole and cut numbers, names and runouts, of every kind of record there is."""
    found = ["", "a", "e", "th", "%", "_", "\\", "no such record", "A0000", "\0"]
    records = [record for key in demo.parcel_ids() for record in demo.read_parcel(key)[1] if record["title"]]
    for record in records[:: max(1, len(records) // 6)]:
        title = record["title"]
        assert title is not None
        found += [record["stock"] or "", title["catalogue"], title["artist"].upper(), title["title"][2:7]]
        found += [f"{title['title'][:4]} {title['artist'][-4:]}"]
        found += [side["typed"][1:9] for part in record["parts"] for side in part.get("sides", {}).values()
                  if side.get("typed")]  # fmt: skip
    first = records[0]["title"]
    assert first is not None
    for sender in demo.senders.values():
        found += [sender["name"], f"{sender['name'][:4]} a", f"{first['title']} {sender['name']}"]
    return found


@pytest.mark.parametrize("limit", [50, 2])
def test_every_look_up_finds_what_it_finds_in_a_folder(demo, there, tmp_path, limit) -> None:
    shop, found = fresh(there, tmp_path / "new"), 0
    for text in searches(demo):
        shop._index._behind.update(dict.fromkeys(shop.parcel_ids(), "not read"))
        shop._index._entries.clear()
        assert shop.find(text, limit) == demo.find(text, limit), text
        found += bool(shop.find(text, limit))
    assert found > 20
    shop.close()


def test_what_is_asked_of_a_title_is_answered_as_in_a_folder_before_the_shop_is_read(
    demo, there, tmp_path
) -> None:
    """Its copies in stock, those the shop ever had, and what was learnt of them."""
    shop, stock, learnt = fresh(there, tmp_path / "new"), 0, 0
    records = [record for key in demo.parcel_ids() for record in demo.read_parcel(key)[1]]
    titles = {record["title"]["id"]: record["title"] for record in records if record["title"]}
    for key, title in titles.items():
        shop._index._behind.update(dict.fromkeys(shop.parcel_ids(), "not read"))
        shop._index._entries.clear()
        artist, name = title["artist"], title["title"].upper()
        assert shop.stock_by_title().get(key) == demo.stock_by_title().get(key)
        stock += key in shop.stock_by_title()
        assert shop.records_of_title(artist, name) == demo.records_of_title(artist, name) != []
        so_far, whole = shop.counts_so_far(artist, name), demo.counts(counts_of)
        for pressing in {one["pressing"]["id"] for one in records if one["title"] == title} & whole.keys():
            assert so_far[pressing] == whole[pressing]
            learnt += 1
    assert stock
    assert learnt
    assert "no such title" not in shop.stock_by_title()
    assert shop.records_of_title("no such", "title") == []
    shop.close()


def test_only_the_parcels_that_hold_it_are_read_also_where_the_whole_shop_is_asked(
    demo, there, tmp_path
) -> None:
    shop = fresh(there, tmp_path / "new")
    stock = next(iter(demo.stock_numbers()))
    assert [one.stock for one in shop.find(stock, whole=True)] == [stock]
    assert [each.id for each in shop.parcels() if each.state != "not read yet"] == [
        demo.stock_numbers()[stock][0]
    ]
    shop.close()


def test_the_index_is_one_that_the_search_can_use(there) -> None:
    with psycopg.connect(there) as session:
        session.execute("SELECT set_config('search_path', current_setting('search_path'), true)")
        session.execute("SET enable_seqscan = off")
        said = session.execute(
            "EXPLAIN SELECT name FROM docs WHERE tbl = 'records' AND grams(found) @> %s::text[]",
            (grams_of(["night"]),),
        ).fetchall()
    assert any("docs_found" in line for (line,) in said)


def test_a_shop_made_before_there_was_an_index_gets_one(demo, postgres, tmp_path) -> None:
    home = ServerHome(address := address_in(postgres), tmp_path / "made")
    to_server(demo.path, home)
    home.close()
    for older in (
        "ALTER TABLE docs DROP COLUMN found, DROP COLUMN held",
        "DROP FUNCTION grams",
        "UPDATE shop SET version = 1",
    ):
        ask(address, older)
    shop = fresh(address, tmp_path / "new")
    stock = next(iter(demo.stock_numbers()))
    assert shop.find(stock) == demo.find(stock) != []
    shop.close()


def test_what_a_key_changed_is_found_at_once(shop, parcel, bench) -> None:
    other = bench(read_only=True)
    other._index.patient = True
    stock = shop.reserve_stock(parcel.id, parcel.records[0]["id"])
    for title in ("Ferry", "Lamp"):
        with parcel.action("a title") as change:
            doc = change.record(parcel.records[0]["id"])
            doc["stock"], doc["state"], doc["taken_in_at"] = stock, "taken-in", "2026-11-25T10:00:00Z"
            doc["title"] = {"id": title, "artist": "Quill", "title": title, "catalogue": ""}
        other.home.session.look_at_all()
        other._index.look_again()
        assert [one.title for one in other.find("quill", whole=True)] == [title]
        other._index._behind.update(dict.fromkeys(other.parcel_ids(), "not read"))
        for known, is_now in (("Ferry", title == "Ferry"), ("Lamp", title == "Lamp")):
            assert (known in other.stock_by_title()) == is_now
            assert bool(other.records_of_title("quill", known)) == is_now
            assert bool(other.find(known, whole=True)) == is_now
