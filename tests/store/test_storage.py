"""Our storage under TinyDB: what it reads by, what changes it, over the disk; what a change costs."""

from pathlib import Path
from typing import Any

import pytest
from simdisk import Faulty, SimDisk
from tinydb import Query
from tinydb.table import Document

from benchtui.base.errors import BenchError
from benchtui.store.files import Stamp
from benchtui.store.place import Place
from benchtui.store.storage import KeptStorage
from benchtui.store.tables import KeptDB
from benchtui.store.watch import SETTLED_NS, Watch, by_day
from benchtui.store.writer import SMALL_LOG

PLACE = Place(Path("/sim/x.json"))


def kept(files, begin=True) -> KeptDB:
    db = KeptDB(PLACE, "shop", files, storage=KeptStorage)
    if begin:
        db.storage.begin({})
        db.storage.fold()
    else:
        db.storage.load()
    return db


def test_documents_are_put_and_dropped_by_us_and_found_by_tinydb():
    db = kept(SimDisk())
    table: Any = db.kept("records")
    for name, number in (("a", 1), ("b", 2), ("c", 3)):
        table.put(f"r-{name}", {"name": name, "n": number})
    where = Query()
    assert [doc["name"] for doc in table.search(where.n >= 2)] == ["b", "c"]
    assert table.get(doc_id="r-a") == {"name": "a", "n": 1}
    table.drop("r-c")
    assert sorted(doc["name"] for doc in table) == ["a", "b"]
    assert len(table) == table.count(where.n.exists()) == 2
    assert db.tables() == {"records"}


def test_tinydbs_verbs_that_change_are_refused_and_change_nothing():
    disk = SimDisk()
    db = kept(disk)
    table: Any = db.kept("t")
    table.put("r-1", {"n": 1})
    for change in (
        lambda: table.insert(Document({"n": 2}, doc_id=2)),
        lambda: table.update({"n": 2}),
        lambda: table.remove(doc_ids=["r-1"]),
        lambda: db.drop_table("t"),
        db.drop_tables,
    ):
        with pytest.raises(TypeError, match="put and drop"):
            change()
    assert db.docs("t") == kept(disk, begin=False).docs("t") == {"r-1": {"n": 1}}


def test_what_goes_wrong_in_a_change_leaves_memory_and_disk_alone():
    disk = SimDisk()
    db = kept(disk)
    db.kept("t").put("r-1", {"n": 1})
    with pytest.raises(BenchError):
        db.kept("t").put("r-1", {"n": {1, 2}})
    assert db.docs("t") == kept(disk, begin=False).docs("t") == {"r-1": {"n": 1}}


def test_changes_held_together_are_one_write():
    disk = SimDisk()
    counting = Faulty(disk, -1, "none")
    db = kept(counting)
    table = db.kept("t")
    table.put("0", {"n": 0})
    before = counting.made
    with db.storage.hold():
        for number in range(20):
            table.put(str(number), {"n": number})
    held = counting.made - before
    table.put("99", {"n": 99})
    assert held == counting.made - before - held
    assert held <= 3


def test_a_change_of_one_document_does_not_grow_with_the_others():
    sizes = []
    for others in (1, 400):
        disk = SimDisk()
        db = kept(disk)
        table = db.kept("t")
        with db.storage.hold():
            for number in range(others):
                table.put(str(number), {"n": number, "text": "x" * 100})
        db.storage.fold()
        table.put("0", {"n": 7, "text": "x" * 100})
        before = len(disk.read(PLACE.log))
        table.put("0", {"n": 8, "text": "x" * 100})
        sizes.append(len(disk.read(PLACE.log)) - before)
    assert abs(sizes[0] - sizes[1]) <= 4


def test_the_log_is_folded_in_before_it_outgrows_the_file():
    disk = SimDisk()
    table = kept(disk).kept("t")
    for number in range(400):
        table.put("1", {"n": number, "text": "x" * 1000})
        assert disk.look(PLACE.log) is None or len(disk.read(PLACE.log)) < 2 * SMALL_LOG
    assert kept(disk, begin=False).docs("t")["1"]["n"] == 399


def test_where_links_fail_the_previous_copy_is_a_copy():
    class NoLinks(SimDisk):
        def link(self, source, target):
            raise OSError(1, "no links on this file system")

    disk = NoLinks()
    db = kept(disk)
    db.kept("t").put("1", {"n": 1})
    db.storage.fold()
    before = disk.read(PLACE.main)
    db.kept("t").put("2", {"n": 2})
    db.storage.fold()
    assert disk.read(PLACE.previous) == before


def test_a_parcel_is_noticed_as_changed_with_and_without_looking_at_every_file():
    disk = SimDisk()
    folder = Path("/sim/parcels")
    for key in ("2026-11-25-1", "2026-11-25-2"):
        for path in (folder / f"{key}.json", folder / ".keep" / f"{key}.json.log"):
            disk.close(disk.create(path))

    class Folders(SimDisk):
        """Folders with a time long past, as on a shop nobody has changed lately."""

        looked = 0
        folder_time = 1_000_000_000

        def look(self, path):
            if path in (folder, folder / ".keep"):
                return Stamp(1, 1, self.folder_time)
            Folders.looked += 1
            return super().look(path)

    quiet = Folders(**vars(disk))
    watch = Watch(folder, quiet)
    first = dict(watch.look([])[0])
    Folders.looked = 0
    assert watch.look([]) == (first, False)
    assert Folders.looked == 0
    handle = quiet.extend(folder / ".keep" / "2026-11-25-2.json.log")
    quiet.write(handle, b"a change")
    again, at_all = watch.look(["2026-11-25-2"])
    assert not at_all
    assert again["2026-11-25-2"] != first["2026-11-25-2"]
    assert again["2026-11-25-1"] == first["2026-11-25-1"]
    quiet.remove(folder / "2026-11-25-1.json")
    quiet.folder_time += SETTLED_NS
    assert watch.look([]) == ({"2026-11-25-2": again["2026-11-25-2"]}, True)


def test_a_folder_that_changed_just_now_is_looked_through_each_time(tmp_path):
    from benchtui.store.files import DISK

    (tmp_path / ".keep").mkdir()
    watch = Watch(tmp_path, DISK)
    assert watch.look([]) == ({}, True)
    for number in range(50):  # faster than a folder's clock
        (tmp_path / f"2026-11-25-{number}.json").write_text("x")
        assert len(watch.look([])[0]) == number + 1


def test_with_a_pause_only_the_parcels_in_use_are_looked_at_until_it_is_over_or_all_are_asked_for(tmp_path):
    from benchtui.store.files import DISK

    (tmp_path / ".keep").mkdir()
    (tmp_path / "2026-11-25-1.json").write_text("x")
    watch = Watch(tmp_path, DISK)
    watch.pause = 3600.0
    assert watch.look([])[1]
    (tmp_path / "2026-11-25-1.json").write_text("xy")
    (tmp_path / "2026-11-25-2.json").write_text("x")
    stamps, at_all = watch.look(["2026-11-25-1"])
    assert (list(stamps), at_all) == (["2026-11-25-1"], False)
    assert stamps["2026-11-25-1"].split()[1] == "2"
    watch.forget()
    assert len(watch.look([])[0]) == 2


def test_ids_are_ordered_by_day_and_number():
    ids = ["2026-11-25-10", "other", "2026-11-25-9", "2026-11-24-11"]
    assert sorted(ids, key=by_day) == ["2026-11-24-11", "2026-11-25-9", "2026-11-25-10", "other"]
