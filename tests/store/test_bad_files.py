"""Files that cannot be used: one clear line, nothing overwritten; the previous copy stands in if it can."""

import json
import os
import random
import sys
import zlib
from pathlib import Path

import pytest
from mutations import mutated, mutated_values
from same_parcel import canonical

from benchtui.base.errors import BenchError
from benchtui.store import Files, Shop
from benchtui.store import load as load_module


def note(parcel, text):
    with parcel.action("note") as change:
        change.head["note"] = text


def main_of(shop, parcel) -> Path:
    return shop.path / "parcels" / f"{parcel.id}.json"


def tree(folder: Path) -> dict[str, bytes]:
    """Every file's bytes but the locks', which say who came last."""
    files = [path for path in folder.rglob("*") if path.is_file() and path.suffix != ".lock"]
    return {str(path): path.read_bytes() for path in files}


@pytest.fixture
def alone(shop, parcel):
    """A parcel at rest, and no previous copy to fall back on."""
    parcel.close()
    for path in (shop.path / "parcels" / ".keep").iterdir():
        path.unlink()
    return main_of(shop, parcel)


def with_meta(path: Path, **fields) -> None:
    tables = json.loads(path.read_text())
    tables["_meta"]["1"].update(fields)
    tables["_meta"]["1"].pop("sum")
    path.write_text(json.dumps(tables))


@pytest.mark.parametrize("where", ["missing", "file", "empty folder", "other folder"])
def test_a_path_that_is_no_shop_is_refused(tmp_path, where):
    path = tmp_path / "x"
    if where == "file":
        path.write_text("hello")
    elif where != "missing":
        path.mkdir()
    if where == "other folder":
        (path / "letter.txt").write_text("hello")
    with pytest.raises(BenchError, match="no shop here") as told:
        Shop.open(path)
    assert ("make one here: benchtui --shop" in told.value.right) == (where not in ("file", "other folder"))
    if where in ("file", "other folder"):
        with pytest.raises(BenchError):
            Shop.create(path)
        assert "hello" in (path if where == "file" else path / "letter.txt").read_text()


@pytest.mark.parametrize("path", ["a\0b", "~nobody-of-that-name/x", "x" * 5000, "\udcff\ud800"])
def test_what_can_be_no_path_is_refused_in_one_line(path):
    with pytest.raises(BenchError) as told:
        Shop.open(path)
    assert "\n" not in str(told.value)
    str(told.value).encode()


@pytest.mark.parametrize("call", ["look", "names", "read", "lock"])
def test_a_folder_this_user_may_not_look_into_is_refused_in_one_line(shop, parcel, call):
    parcel.close()

    class Forbidden(Files):
        """A disk where one kind of call is denied."""

    def deny(self, path, *_):
        raise PermissionError(13, "Permission denied", str(path))

    setattr(Forbidden, call, deny)

    def look_through():
        listed = Shop.open(shop.path, files=Forbidden())
        listed.open_parcel(parcel.id)
        listed.parcels()

    with pytest.raises(BenchError) as told:
        look_through()
    assert "\n" not in str(told.value)
    assert "ermission denied" in str(told.value) or "may not be read" in str(told.value)


def test_a_shop_is_not_made_over_another(shop):
    before = tree(shop.path)
    with pytest.raises(BenchError, match="already a shop here"):
        Shop.create(shop.path)
    assert tree(shop.path) == before


@pytest.mark.parametrize(
    "parcel_id",
    ["../../x", "..", ".", "", "a/b", "a\\b", "/etc/passwd", "x\0y", "a" * 200, "C:x", "x.", "-x", "\n"],
)
def test_an_id_that_leads_elsewhere_is_refused(shop, parcel_id):
    with pytest.raises(BenchError, match="is no parcel"):
        shop.open_parcel(parcel_id)


def test_a_parcel_that_is_not_there_is_refused_and_not_made(shop):
    with pytest.raises(BenchError, match="there is no parcel 2020-01-01-1"):
        shop.open_parcel("2020-01-01-1")
    assert not list((shop.path / "parcels").glob("*.json"))


DAMAGE = {
    "empty": lambda raw: b"",
    "truncated": lambda raw: raw[: len(raw) // 2],
    "one byte short": lambda raw: raw[:-3],
    "zeros": lambda raw: b"\0" * len(raw),
    "NUL inside": lambda raw: raw.replace(b"carrier", b"carr\0er"),
    "not UTF-8": lambda raw: raw.replace(b"carrier", b"carri\xff\xfe"),
    "a digit changed": lambda raw: raw.replace(b'"expected":3', b'"expected":4'),
    "a list": lambda raw: b"[]",
    "a number": lambda raw: b"7",
    "text": lambda raw: b"hello",
    "deep": lambda raw: b"[" * 200_000,
    "deep objects": lambda raw: b'{"a":' * 100_000,
    "huge whole number": lambda raw: raw.replace(b'"expected":3', b'"expected":' + b"9" * 100_000),
    "huge number": lambda raw: raw.replace(b'"expected":3', b'"expected":1e999'),
    "not a number": lambda raw: raw.replace(b'"expected":3', b'"expected":NaN'),
    "no meta": lambda raw: raw[raw.find(b"\n") + 1 :].join([b"{", b""]),
    "another program's": lambda raw: b'{"_default":{"1":{"a":1}}}',
}


@pytest.mark.parametrize("damage", DAMAGE)
def test_a_damaged_parcel_with_no_copy_is_refused_in_one_line_and_left_alone(shop, alone, damage):
    bad = DAMAGE[damage](alone.read_bytes())
    alone.write_bytes(bad)
    with pytest.raises(BenchError) as told:
        shop.open_parcel(alone.stem)
    assert alone.name in str(told.value)
    assert "\n" not in str(told.value)
    assert len(str(told.value)) < 400
    assert alone.read_bytes() == bad
    assert shop.parcels()[0].trouble == str(told.value)


@pytest.mark.parametrize("damage", DAMAGE)
def test_a_damaged_parcel_is_opened_from_the_previous_copy_and_the_log_and_says_so(shop, parcel, damage):
    note(parcel, "first")
    parcel.close()
    parcel = shop.open_parcel(parcel.id)
    note(parcel, "second")
    parcel.undo()
    parcel.redo()
    parcel.close()
    path = main_of(shop, parcel)
    before = canonical(parcel)
    bad = DAMAGE[damage](path.read_bytes())
    path.write_bytes(bad)
    again = shop.open_parcel(parcel.id)
    assert "opened from the previous copy" in again.notice
    assert canonical(again) == before
    assert path.read_bytes() == bad
    note(again, "third")
    again.close()
    aside = shop.path / "parcels" / ".keep" / f"{path.name}.damaged-1"
    assert aside.read_bytes() == bad
    assert shop.open_parcel(parcel.id).head["note"] == "third"


def test_a_vanished_parcel_is_opened_from_the_previous_copy(shop, parcel):
    note(parcel, "first")
    parcel.close()
    main_of(shop, parcel).unlink()
    again = shop.open_parcel(parcel.id)
    assert "no such file" in again.notice
    assert again.head["note"] == "first"
    note(again, "second")
    again.close()
    assert main_of(shop, parcel).exists()


def test_a_parcel_that_vanishes_while_it_is_open_is_written_anew_with_the_next_key(shop, parcel, reopened):
    note(parcel, "first")
    main_of(shop, parcel).unlink()
    (shop.path / "parcels" / ".keep" / f"{parcel.id}.json.log").unlink()
    note(parcel, "second")
    assert parcel.trouble is None
    assert reopened(parcel).head["note"] == "second"
    assert len(reopened(parcel).history) == 2


def test_a_parcel_changed_from_outside_while_it_is_open_is_kept_aside(shop, parcel, reopened):
    note(parcel, "first")
    main_of(shop, parcel).write_bytes(b"somebody else's")
    note(parcel, "second")
    assert reopened(parcel).head["note"] == "second"
    aside = shop.path / "parcels" / ".keep" / f"{parcel.id}.json.foreign-1"
    assert aside.read_bytes() == b"somebody else's"


@pytest.mark.parametrize("at", [0.1, 0.5, 0.95])
def test_a_damaged_log_gives_all_up_to_the_damage_and_says_what_is_lost(shop, parcel, at):
    for number in range(10):
        note(parcel, f"number {number}")
    parcel._storage.release()
    parcel._lock.free()  # as after a kill: nothing folded in
    log = shop.path / "parcels" / ".keep" / f"{parcel.id}.json.log"
    lines = log.read_bytes().split(b"\n")
    line = 1 + int(at * 10)
    lines[line] = lines[line].replace(b"number", b"numbed")
    log.write_bytes(b"\n".join(lines))
    again = shop.open_parcel(parcel.id)
    assert again.head["note"] == (f"number {line - 2}" if line > 1 else "")
    assert f"the last {11 - line} changes" in again.notice
    note(again, "goes on")
    again.close()
    assert shop.open_parcel(parcel.id).head["note"] == "goes on"
    assert (log.parent / f"{log.name}.damaged-1").exists()


def test_a_last_line_torn_after_it_was_accepted_is_told(shop, parcel):
    note(parcel, "first")
    note(parcel, "second")
    parcel._storage.release()
    parcel._lock.free()
    log = shop.path / "parcels" / ".keep" / f"{parcel.id}.json.log"
    log.write_bytes(log.read_bytes()[:-7])
    again = shop.open_parcel(parcel.id)
    assert again.head["note"] == "first"
    assert "the last change is missing" in again.notice


def test_a_torn_last_line_was_never_accepted_and_is_no_news(shop, parcel):
    note(parcel, "first")
    note(parcel, "second")
    parcel._storage.release()
    parcel._lock.free()
    log = shop.path / "parcels" / ".keep" / f"{parcel.id}.json.log"
    whole = log.read_bytes()
    log.write_bytes(whole + whole.splitlines()[-1][:-7])
    again = shop.open_parcel(parcel.id)
    assert again.head["note"] == "second"
    assert again.notice == ""
    note(again, "third")
    again.close()
    assert shop.open_parcel(parcel.id).head["note"] == "third"


def test_a_newer_version_is_refused_and_no_copy_stands_in(shop, parcel):
    note(parcel, "first")
    parcel.close()
    path = main_of(shop, parcel)
    with_meta(path, schema=99)
    before = tree(shop.path)
    with pytest.raises(BenchError, match="newer version"):
        shop.open_parcel(parcel.id)
    assert tree(shop.path) == before


def test_a_file_of_another_kind_is_refused(shop, alone):
    alone.write_bytes((shop.path / "titles.json").read_bytes())
    with pytest.raises(BenchError, match="a titles file"):
        shop.open_parcel(alone.stem)


def test_a_parcel_copied_under_another_name_is_refused(shop, alone):
    other = alone.with_name("2026-11-25-2.json")
    other.write_bytes(alone.read_bytes())
    with pytest.raises(BenchError, match="says that it is parcel"):
        shop.open_parcel("2026-11-25-2")


def test_a_byte_order_mark_is_no_damage(shop, alone):
    alone.write_bytes(b"\xef\xbb\xbf" + alone.read_bytes())
    assert len(shop.open_parcel(alone.stem).records) == 3


def test_a_file_edited_by_hand_is_read_once_its_checksum_is_taken_out(shop, alone):
    text = alone.read_text().replace('"carrier":""', '"carrier":"by hand"')
    alone.write_text(text)
    with pytest.raises(BenchError, match="checksum"):
        shop.open_parcel(alone.stem)
    with_meta(alone)
    assert shop.open_parcel(alone.stem).head["carrier"] == "by hand"


@pytest.mark.parametrize(
    ("key", "value"),
    [("parts", 5), ("parts", [5]), ("parts", [{"kind": "disc"}]), ("title", "x"), ("no", "1"), ("no", True),
     ("note", None), ("price", {"minor": 1.5, "currency": "GBP"}), ("rulings", []), ("answers", [{}]),
     ("id", "r-other"), ("looked", [[[[[]]]]])],
)  # fmt: skip
def test_a_record_of_the_wrong_shape_is_refused_naming_the_place(shop, alone, key, value):
    tables = json.loads(alone.read_text())
    next(iter(tables["records"].values()))[key] = value
    tables["_meta"]["1"].pop("sum")
    alone.write_text(json.dumps(tables))
    with pytest.raises(BenchError) as told:
        shop.open_parcel(alone.stem)
    assert "\n" not in str(told.value)
    assert key in str(told.value) or "calls itself" in str(told.value)


def test_what_an_older_file_leaves_out_is_filled_in(shop, alone):
    tables = json.loads(alone.read_text())
    record = next(iter(tables["records"].values()))
    for key in [key for key in record if key not in ("id", "no")]:
        del record[key]
    tables["head"]["head"] = {"id": alone.stem}
    tables["_meta"]["1"].pop("sum")
    alone.write_text(json.dumps(tables))
    parcel = shop.open_parcel(alone.stem)
    assert parcel.records[0]["state"] == "empty"
    note(parcel, "works")
    assert parcel.undo() == "note"


@pytest.mark.skipif(sys.platform == "win32", reason="links need rights there")
def test_a_link_in_the_place_of_a_file_is_refused_and_its_target_left_alone(shop, alone, tmp_path):
    target = tmp_path / "elsewhere.json"
    alone.rename(target)
    alone.symlink_to(target)
    before = target.read_bytes()
    with pytest.raises(BenchError, match="link"):
        shop.open_parcel(alone.stem)
    assert target.read_bytes() == before
    alone.unlink()
    (shop.path / "parcels" / ".keep" / f"{alone.name}.lock").unlink()
    (shop.path / "parcels" / ".keep" / f"{alone.name}.lock").symlink_to(target)
    target.rename(alone)
    target.write_text("not ours")
    with pytest.raises(BenchError, match="no lock"):
        shop.open_parcel(alone.stem)
    assert target.read_text() == "not ours"


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes with a name here")
def test_a_pipe_or_a_folder_in_the_place_of_a_file_does_not_hang(shop, alone):
    alone.unlink()
    os.mkfifo(alone)
    with pytest.raises(BenchError, match="not a plain file"):
        shop.open_parcel(alone.stem)
    alone.unlink()
    alone.mkdir()
    with pytest.raises(BenchError, match="not a plain file"):
        shop.open_parcel(alone.stem)


def test_a_file_far_too_large_is_refused_unread(shop, alone):
    with alone.open("r+b") as stream:
        stream.truncate(1024**3)  # a hole: takes no room
    with pytest.raises(BenchError, match="too large"):
        shop.open_parcel(alone.stem)
    assert load_module.LARGEST < 1024**3


@pytest.mark.parametrize("name", ["shop.json", "titles.json"])
def test_a_damaged_shared_file_is_opened_from_its_previous_copy(shop, name):
    shop.add_sender("Ada Quill")
    shop.add_title({"id": "t-1", "title": "B"})
    shop.close()
    (shop.path / name).write_bytes(b"{")
    again = Shop.open(shop.path)
    assert [doc["name"] for doc in again.senders.values()] == ["Ada Quill"]
    assert [doc["id"] for doc in again.made_titles()] == ["t-1"]
    assert name in again.notice
    again.close()


def test_a_file_with_a_right_checksum_over_bad_content_is_still_checked(shop, alone):
    body = b'"head":{"head":[]}}\n'
    meta = {"kind": "parcel", "schema": 2, "sum": f"{zlib.crc32(body):08x}"}
    alone.write_bytes(b'{"_meta":{"1":' + json.dumps(meta).encode() + b"},\n" + body)
    with pytest.raises(BenchError, match="head"):
        shop.open_parcel(alone.stem)


def test_mutated_files_are_opened_or_refused_and_never_changed(shop, parcel):
    note(parcel, "text to change")
    parcel.close()
    shop.close()
    files = [path for path in shop.path.rglob("*") if path.is_file() and path.suffix != ".lock"]
    chance = random.Random(7)
    for _ in range(150):
        path = chance.choice(files)
        good = path.read_bytes()
        path.write_bytes(mutated(good, chance))
        before = tree(shop.path)
        said = read_all(shop.path, parcel.id)
        assert said in ("text to change", "") or "json" in said
        assert "\n" not in said
        assert tree(shop.path) == before
        path.write_bytes(good)


def read_all(path: Path, parcel_id: str) -> str:
    """The parcel's note after everything was read, or what was said instead."""
    try:
        shop = Shop.open(path, read_only=True)
        _ = shop.settings, shop.made_titles(), shop.parcels(), shop.find("text")
        return shop.open_parcel(parcel_id).head["note"]
    except BenchError as error:
        return str(error)


def test_a_file_written_by_hand_with_wrong_values_is_refused_or_works(shop, alone):
    """Whatever opens can be worked on: an action, undone and redone to the beginning and back."""
    good = without_sum(alone)
    chance, opened = random.Random(4), 0
    for _ in range(120):
        alone.write_bytes(mutated_values(good, chance))
        said = work_on(shop, alone.stem)
        opened += said == ""
        assert "\n" not in said
        for path in (shop.path / "parcels" / ".keep").iterdir():
            path.unlink()
    assert 5 < opened < 115


def without_sum(path: Path) -> bytes:
    tables = json.loads(path.read_text())
    tables["_meta"]["1"].pop("sum")
    return json.dumps(tables).encode()


def work_on(shop: Shop, parcel_id: str) -> str:
    """What was said against it, "" for nothing."""
    try:
        parcel = shop.open_parcel(parcel_id)
    except BenchError as error:
        return str(error)
    try:
        note(parcel, "new")
        while parcel.undo():
            pass
        while parcel.redo():
            pass
    except BenchError as error:
        return str(error)
    finally:
        parcel.close()
    return ""
