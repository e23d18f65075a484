"""What is done from the command line to a shop on a server: a person forgotten, photographs kept."""

from pathlib import Path

import pytest
from postgres import ask

from benchtui.cli import main
from benchtui.server.documents import _put_whole
from benchtui.store import Parcel, Shop
from benchtui.store.codec import encode

NAME = "Ada Quillfeather"


@pytest.fixture(autouse=True)
def data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where this machine keeps its copies."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    return tmp_path / "data"


def test_a_person_is_forgotten_in_every_row_and_what_was_set_aside_or_closed_is_named(
    shop: Shop, parcel: Parcel, address: str, capsys: pytest.CaptureFixture[str]
) -> None:
    with parcel.action(f"asked about by {NAME}") as change:
        change.record(parcel.records[0]["id"])["note"] = f"promised to {NAME}"
    shop.add_sender(NAME, address="Oakum Yard 9")
    tables = parcel._storage.tables
    texts = {(table, key): encode(doc) for table, docs in tables.items() for key, doc in docs.items()}
    _put_whole(shop.home.session, f"{parcel.id} kept 1", "kept", texts)  # type: ignore[attr-defined]
    shop.close_through({"through": "2026-09-30", "closed_at": "2026-10-01T09:00:00Z", "by": NAME})
    shop.close()
    assert main(["forget", NAME, "--yes", "--shop", address]) == 0
    said = capsys.readouterr().out
    assert "still names them: closed/2026-09-30.json" in said
    assert f"still names them: {parcel.id} kept 1" in said
    named = "SELECT DISTINCT name FROM docs WHERE body ILIKE %s OR found ILIKE %s"
    assert ask(address, named, f"%{NAME}%", f"%{NAME}%") == [(f"{parcel.id} kept 1",)]


def test_photographs_copied_into_the_shop_are_on_the_server_and_on_every_machine(
    shop: Shop, parcel: Parcel, bench, address: str, tmp_path: Path
) -> None:
    record = parcel.records[0]["id"]
    stock = shop.reserve_stock(parcel.id, record)
    with parcel.action("taken in") as change:
        doc = change.record(record)
        doc["stock"], doc["state"], doc["taken_in_at"] = stock, "taken-in", "2026-11-25T10:00:00Z"
    parcel.close()
    (tmp_path / "camera").mkdir()
    for name in "ab":
        (tmp_path / "camera" / f"{name}.jpg").write_bytes(b"picture " + name.encode())
    command = ["photographs", str(tmp_path / "camera"), "--by-name", "--first", f"a.jpg={stock}"]
    assert main([*command, "--keep", "--copy", "--shop", address]) == 0
    other = bench(read_only=True)
    kept = other.read_parcel(parcel.id)[1][0]["photographs"]
    there = {path.stem: path.read_bytes() for path in (other.path / "photographs").iterdir()}
    assert there == {one["digest"]: Path(one["file"]).read_bytes() for one in kept}
    assert len(there) == 2
