"""The shop: settings, senders, titles, sales, stock numbers, lists and look-ups over all parcels."""

import os
import stat
import sys
from pathlib import Path

import pytest
from homes import beside

from benchtui.base.errors import BenchError
from benchtui.store import Held, Shop
from benchtui.store.backup import backup
from benchtui.store.log import line_of

pytestmark = pytest.mark.both_homes


def again(shop: Shop) -> Shop:
    return beside(shop, read_only=True)


def take_in(shop, parcel, at, title):
    record_id = parcel.records[at]["id"]
    with parcel.action("taken in") as change:
        record = change.record(record_id)
        record["title"] = {"id": f"t-{title}", "artist": "Ada Quill", "title": title, "catalogue": f"TW {at}"}
        record["stock"] = shop.reserve_stock(parcel.id, record_id)
        record["state"] = "taken-in"
        record["taken_in_at"] = "2026-11-25T09:00:00Z"
    return parcel.record(record_id)


def test_settings_have_defaults_and_keep_what_is_set(tmp_path):
    shop = Shop.create(tmp_path / "s", currency="EUR", scale="british", letter="C", name="Corner")
    shop.change_settings(vat_rate="19", hour_wage={"minor": 2000, "currency": "EUR"})
    settings = again(shop).settings
    assert (settings["currency"], settings["scale"], settings["letter"]) == ("EUR", "british", "C")
    assert settings["hour_wage"]["minor"] == 2000
    assert settings["threshold"] == 0.95


def test_senders_titles_picks_and_sales_are_kept(shop):
    sender = shop.add_sender("Ada Quill", email="a@example.org")
    shop.change_sender(sender, note="rings twice")
    title = shop.add_title({"artist": "A", "title": "B"})
    shop.note_pick(title, sender)
    shop.note_pick(title)
    (sale,) = shop.add_sales([{"title": title, "minor": 900, "currency": "GBP"}])
    seen = again(shop)
    assert seen.senders[sender] == {
        "id": sender,
        "name": "Ada Quill",
        "email": "a@example.org",
        "note": "rings twice",
    }
    assert seen.made_titles() == [{"id": title, "artist": "A", "title": "B"}]
    assert seen.picks()[title]["count"] == 2
    assert seen.picks()[title]["senders"] == {sender: 1}
    assert seen.sales_seen()[0]["id"] == sale


def test_an_unknown_sender_cannot_be_changed(shop):
    with pytest.raises(BenchError, match="no sender"):
        shop.change_sender("s-0", name="x")


def test_a_new_title_or_sender_is_seen_by_a_shop_that_was_open_before(shop):
    other = again(shop)
    assert other.senders == {}
    sender = shop.add_sender("Ada Quill")
    title = shop.add_title({"title": "B"})
    assert list(other.senders) == [sender]
    assert [doc["id"] for doc in other.made_titles()] == [title]


def test_a_record_has_one_stock_number_for_ever_and_the_series_has_no_gap(shop, parcel):
    ids = [record["id"] for record in parcel.records]
    numbers = [shop.reserve_stock(parcel.id, record_id) for record_id in (*ids, *ids)]
    assert numbers == ["A00001", "A00002", "A00003"] * 2
    parcel.close()
    shop.close()
    later = beside(shop)
    assert later.reserve_stock(parcel.id, ids[1]) == "A00002"
    assert later.reserve_stock(parcel.id, "r-other") == "A00004"
    later.close()


def test_undo_leaves_a_number_reserved(shop, parcel):
    record = take_in(shop, parcel, 0, "One")
    parcel.undo()
    assert parcel.record(record["id"])["stock"] is None
    assert take_in(shop, parcel, 1, "Two")["stock"] == "A00002"
    assert take_in(shop, parcel, 0, "One")["stock"] == "A00001"


def test_a_second_bench_has_the_next_letter_and_may_not_ask_for_the_first(shop):
    assert shop.letter == "A"
    second = beside(shop)
    assert second.letter == "B"
    assert second.reserve_stock("p", "r") == "B00001"
    with pytest.raises(Held, match="has it since"):
        beside(shop, letter="A")
    shop.close()
    third = beside(shop, letter="A")
    assert third.letter == "A"
    second.close()
    third.close()


def test_numbers_used_twice_not_reserved_or_left_out_are_named(shop, parcel):
    first, second, third = (record["id"] for record in parcel.records)
    take_in(shop, parcel, 0, "One")
    take_in(shop, parcel, 1, "Two")
    assert shop.number_faults() == []
    with parcel.action("by hand") as change:
        change.record(second)["stock"] = "A00001"
        change.record(third)["stock"] = "Z00009"
    with shop.shared.change() as table:
        table("stock").put("Z/x", {"letter": "Z", "parcel": "x", "numbers": {"r": 3}})
    assert shop.number_faults() == [
        f"A00001 is on record {second} of {parcel.id} and on {first} of {parcel.id}",
        f"Z00009 of record {third} in {parcel.id} was not reserved for it",
        "series Z is missing 2 numbers, the first Z00001",
    ]


@pytest.mark.parametrize("letter", ["a", "", "AB", "1", "É"])
def test_a_letter_is_a_capital(tmp_path, letter):
    shop = Shop.create(tmp_path / "s", letter=letter)
    with pytest.raises(BenchError, match="A to Z"):
        shop.reserve_stock("p", "r")


def test_lists_and_look_ups_see_every_parcel_also_those_still_open(shop, parcel):
    record = take_in(shop, parcel, 0, "Night Ferry")
    second = shop.new_parcel({"opened": "2026-11-26", "sender": "s-1", "terms": "consigned"}, 2)
    take_in(shop, second, 1, "Day Ferry")
    first_line, second_line = shop.parcels()
    assert first_line.counts == {"taken-in": 1, "empty": 2}
    assert (second_line.sender, second_line.terms, second_line.expected) == ("s-1", "consigned", 2)
    assert [hit.record for hit in shop.find(record["stock"].lower())] == [record["id"]]
    assert {hit.title for hit in shop.find("quill ferry")} == {"Night Ferry", "Day Ferry"}
    assert shop.find("tw 1")[0].title == "Day Ferry"
    assert shop.find("nothing of the kind") == shop.find("  ") == []
    assert shop.taken_in("2026-11-25") == [parcel.id, second.id]
    assert shop.taken_in("2026-11-26") == []


@pytest.mark.parametrize("damage", ["lost", "old", "damaged", "torn", "of another shape"])
def test_the_index_is_made_again_whenever_it_cannot_be_used(shop, parcel, damage):
    take_in(shop, parcel, 0, "Night Ferry")
    assert shop.find("ferry")
    shop.close()
    kept = shop.path / ".keep" / "index.lines"
    whole = kept.read_bytes()
    if damage == "lost":
        kept.unlink()
    elif damage == "old":
        kept.write_bytes(line_of({"version": 0}) + whole.partition(b"\n")[2])
    elif damage == "damaged":
        kept.write_bytes(whole[:-9] + b"\xff" + whole[-8:])
    elif damage == "torn":
        kept.write_bytes(whole[:-9])
    else:
        kept.write_bytes(
            whole + line_of([parcel.id, [["x"], 1]]) + line_of([parcel.id, [[1], 2, 3]]) + line_of(5)
        )
    assert [hit.title for hit in again(shop).find("ferry")] == ["Night Ferry"]
    assert again(shop).parcels() == shop.parcels()


@pytest.mark.files_only
def test_a_parcel_taken_away_is_no_longer_listed(shop, parcel):
    assert [each.id for each in shop.parcels()] == [parcel.id]
    parcel.close()
    (shop.path / "parcels" / f"{parcel.id}.json").unlink()
    assert shop.parcels() == []


def tally(records):
    counts: dict[str, dict[str, int]] = {}
    for record in records:
        counts.setdefault("by state", {}).setdefault(record["state"], 0)
        counts["by state"][record["state"]] += 1
    return {**counts, "records": len(records)}


def test_learnt_counts_are_counted_once_a_revision_and_equal_a_rebuild(shop, parcel):
    second = shop.new_parcel({}, 2)
    counted = []

    def count(records):
        counted.append(len(records))
        return tally(records)

    assert shop.counts(count)["records"] == 5
    take_in(shop, second, 0, "One")
    assert shop.counts(count)["by state"] == {"empty": 4, "taken-in": 1}
    assert shop.counts(count)["records"] == 5
    assert counted == [3, 2, 2]
    second.undo()
    assert shop.counts(count) == {"by state": {"empty": 5}, "records": 5}
    assert again(shop).counts(tally) == shop.counts(count)
    shop.close()
    assert again(shop).counts(tally) == shop.counts(tally)
    (shop.path / ".keep" / "counts.json").unlink()
    assert again(shop).counts(tally) == shop.counts(count)
    assert again(shop).counts(lambda records: {"n": 1}, rule="other") == {"n": 2}


def test_the_last_parcel_opened_is_remembered(shop, parcel):
    second = shop.new_parcel({}, 1)
    assert again(shop).last_parcel() == second.id
    parcel.close()
    shop.open_parcel(parcel.id)
    assert again(shop).last_parcel() == parcel.id


def test_a_parcel_opened_in_passing_is_not_the_one_returned_to(shop, parcel):
    second = shop.new_parcel({}, 1)
    parcel.close()
    shop.open_parcel(parcel.id, passing=True)
    assert again(shop).last_parcel() == second.id


def test_each_bench_returns_to_its_own_parcel_and_a_new_one_to_the_shop_s_own(shop, parcel):
    second = beside(shop)
    assert second.last_parcel() == parcel.id, "B was never here"
    theirs = second.new_parcel({}, 1)
    assert (shop.last_parcel(), second.last_parcel()) == (parcel.id, theirs.id)
    shop.close()
    second.close()
    first, second = beside(shop, letter="A"), beside(shop, letter="B")
    assert (first.last_parcel(), second.last_parcel()) == (parcel.id, theirs.id)
    assert again(shop).last_parcel() == parcel.id
    first.close()
    second.close()


def test_the_one_last_parcel_of_an_older_shop_becomes_that_of_the_shop_s_own_letter(shop, parcel):
    with shop.shared.change() as table:
        table("settings").put("settings", {"letter": "A", "last_parcel": parcel.id, "currency": "EUR"})
    assert shop.last_parcel() == parcel.id
    second = beside(shop)
    theirs = second.new_parcel({}, 1)
    settings = again(shop).settings
    assert settings["last_parcels"] == {"A": parcel.id, "B": theirs.id}
    assert "last_parcel" not in settings
    assert settings["currency"] == "EUR"
    second.close()


@pytest.mark.parametrize("damage", [5, "2026-11-25-1", ["A"], None])
def test_a_last_parcel_that_was_edited_into_nonsense_is_none(shop, damage):
    shop.change_settings(last_parcels=damage)
    assert shop.last_parcel() is None


@pytest.mark.files_only
@pytest.mark.skipif(sys.platform == "win32", reason="POSIX file modes")
def test_a_copied_shop_that_stands_open_is_closed_to_others(shop):
    shop.close()
    shop.path.chmod(0o755)
    beside(shop, read_only=True)
    assert stat.S_IMODE(shop.path.stat().st_mode) == 0o755
    beside(shop).close()
    assert stat.S_IMODE(shop.path.stat().st_mode) == 0o700


@pytest.mark.skipif(sys.platform == "win32", reason="POSIX file modes")
def test_files_and_folders_are_private(shop, parcel):
    old = os.umask(0)
    try:
        parcel.place(draft={"line": "note", "text": "x", "at": 1})
        shop.add_sender("Ada Quill")
        shop.find("x")
        parcel.close()
    finally:
        os.umask(old)
    for path in [shop.path, *shop.path.rglob("*")]:
        assert stat.S_IMODE(path.stat().st_mode) == (0o700 if path.is_dir() else 0o600), path


def test_the_store_needs_no_screen():
    import subprocess

    code = "import sys, benchtui.store; sys.exit(any(name.startswith('textual') for name in sys.modules))"
    assert (
        subprocess.run([sys.executable, "-c", code], cwd=Path(__file__).parents[2], check=False).returncode
        == 0
    )


def test_a_folder_without_a_shop_says_how_one_is_made(tmp_path: Path) -> None:
    with pytest.raises(BenchError) as told:
        Shop.open(tmp_path / "my shop")
    assert f"make one here: benchtui --shop '{tmp_path / 'my shop'}'" in told.value.one_line()
    with pytest.raises(BenchError) as told:
        backup(tmp_path, tmp_path / "all.zip")
    assert f"make one here: benchtui --shop {tmp_path}" in told.value.one_line()
