"""One damaged line of a log gives up no other: all that can be read is written as a copy, the shop untouched."""

from pathlib import Path

import pytest

from benchtui.base.errors import BenchError
from benchtui.cli import main
from benchtui.store import Shop
from benchtui.store.salvage import salvage


def note(parcel, text):
    with parcel.action(text) as change:
        change.head["note"] = text


def files_in(folder: Path) -> dict[str, bytes]:
    return {str(path): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


@pytest.fixture
def damaged(shop, parcel) -> Path:
    """A killed sitting: each record got a note, then the parcel one; the line of the first record is spoilt."""
    note(parcel, "the first")
    parcel._storage.fold()
    for record in parcel.records:
        with parcel.action(f"note {record['no']}") as change:
            change.record(record["id"])["note"] = f"of {record['no']}"
    note(parcel, "the last")
    parcel._storage.release()
    parcel._lock.free()
    log = shop.path / "parcels" / ".keep" / f"{parcel.id}.json.log"
    log.write_bytes(log.read_bytes().replace(b"of 1", b"OF 1"))
    shop.add_sender("Una Dovrick")
    return shop.path


def salvaged(folder: Path) -> tuple[list[str], str]:
    parcel = Shop.open(folder, read_only=True).open_parcel("2026-11-25-1")
    assert parcel.notice == ""
    return [record["note"] for record in parcel.records], parcel.head["note"]


def test_every_line_but_the_damaged_one_is_in_the_copy_and_the_shop_is_as_it_was(damaged, tmp_path, capsys):
    before = files_in(damaged)
    assert main(["check", "--salvage", str(tmp_path / "copy"), "--shop", str(damaged)]) == 0
    assert "3 changes read from its log, 1 line lost" in capsys.readouterr().out
    assert files_in(damaged) == before
    assert salvaged(tmp_path / "copy") == (["", "of 2", "of 3"], "the last")
    assert len(Shop.open(tmp_path / "copy", read_only=True).senders) == 1


def test_also_once_the_bench_has_gone_on_without_them(damaged, tmp_path):
    shop = Shop.open(damaged)
    parcel = shop.open_parcel("2026-11-25-1")
    assert "the last 4 changes" in parcel.notice
    note(parcel, "goes on")
    shop.close()
    told = salvage(damaged, tmp_path / "copy")
    assert salvaged(tmp_path / "copy")[1] == "goes on"
    aside = tmp_path / "copy" / "aside" / "2026-11-25-1.json.log.damaged-1.json"
    assert any(str(aside) in line and "3 changes read from its log, 1 line lost" in line for line in told)
    assert '"note":"of 3"' in aside.read_text()
    assert '"note":"the last"' in aside.read_text()


def test_a_spoilt_header_gives_up_nothing(damaged, tmp_path):
    log = damaged / "parcels" / ".keep" / "2026-11-25-1.json.log"
    log.write_bytes(b"#" + log.read_bytes()[1:])
    salvage(damaged, tmp_path / "copy")
    assert salvaged(tmp_path / "copy") == (["", "of 2", "of 3"], "the last")


def test_a_lost_file_is_read_from_its_previous_copy_and_both_logs(damaged, tmp_path):
    (damaged / "parcels" / "2026-11-25-1.json").write_bytes(b"{")
    salvage(damaged, tmp_path / "copy")
    assert salvaged(tmp_path / "copy") == (["", "of 2", "of 3"], "the last")


@pytest.mark.parametrize("where", [".", "inside", "parcels/inside"])
def test_the_shop_is_no_place_for_the_copy(damaged, where):
    before = files_in(damaged)
    with pytest.raises(BenchError, match="own folder"):
        salvage(damaged, damaged / where)
    assert files_in(damaged) == before


def test_a_folder_that_is_there_is_not_written_into(damaged, tmp_path):
    with pytest.raises(BenchError, match="something here already"):
        salvage(damaged, tmp_path)


def test_no_shop_no_copy(tmp_path, capsys):
    assert main(["check", "--salvage", str(tmp_path / "copy"), "--shop", str(tmp_path / "none")]) == 2
    assert "no shop here" in capsys.readouterr().err
    assert not (tmp_path / "copy").exists()
