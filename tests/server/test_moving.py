"""The same shop in a folder and on a server: equal canonical documents and history, the same files."""

from pathlib import Path
from typing import Any

import pytest
from postgres import address_in, ask

from benchtui.base.errors import BenchError
from benchtui.base.shipped import shipped
from benchtui.bench.run import copy_demo
from benchtui.cli import main
from benchtui.server import ServerHome, to_server
from benchtui.server.documents import _put_whole
from benchtui.server.mirror import digest_of, names_in
from benchtui.store import Parcel, Shop, TwoVersions
from benchtui.store.codec import canonical, encode


def whole(shop: Shop) -> dict[str, Any]:
    """All that a shop holds, as one comparable value."""
    parcels = [shop.open_parcel(key, read_only=True) for key in shop.parcel_ids()]
    return {
        "shared": [canonical(shop.settings), canonical(shop.senders), canonical(shop.made_titles()),
                   canonical(shop.sales_seen()), canonical(shop.picks()), canonical(shop.invoices())],
        "stock": shop.stock_numbers(),
        "parcels": [canonical([each.head, each.records, [one.doc() for one in each.history]]) for each in parcels],
        "closings": canonical(shop.closings()),
        "files": {name: digest_of(shop.path / name) for name in names_in(shop.path)},
    }  # fmt: skip


def of(where: Any) -> dict[str, Any]:
    shop = Shop.open(where, read_only=True)
    try:
        return whole(shop)
    finally:
        shop.close()


@pytest.fixture
def demo(tmp_path: Path) -> Path:
    """The demo's shop with a closed period and a keymap and a layout of its own."""
    copy_demo(tmp_path / "folder")
    shop = Shop.open(tmp_path / "folder")
    shop.close_through({"through": "2026-09-30", "closed_at": "2026-10-01T09:00:00Z", "by": "Ada"})
    (shop.path / "keymaps").mkdir(exist_ok=True)
    (shop.path / "keymaps" / "own.toml").write_bytes((shipped("keymaps") / "two-hands.toml").read_bytes())
    shop.close()
    return tmp_path / "folder"


def test_a_shop_goes_to_the_server_and_back_as_a_backup_and_is_the_same(
    demo: Path, postgres: str, tmp_path: Path, capsys, monkeypatch
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    address = address_in(postgres)
    before = of(demo)
    assert main(["backup", str(tmp_path / "one.zip"), "--shop", str(demo)]) == 0
    assert main(["restore", str(tmp_path / "one.zip"), "--shop", address]) == 0
    assert main(["backup", str(tmp_path / "two.zip"), "--shop", address]) == 0
    assert main(["restore", str(tmp_path / "two.zip"), "--shop", str(tmp_path / "back")]) == 0
    assert of(ServerHome(address, tmp_path / "machine")) == before == of(tmp_path / "back")
    capsys.readouterr()
    assert main(["check", "--shop", address]) == 1
    told = capsys.readouterr().out  # the closing is no real one
    assert [line.partition(":")[0] for line in told.splitlines()] == ["books closed to 2026-09-30"] * 3
    assert main(["restore", str(tmp_path / "one.zip"), "--shop", address]) == 2
    assert "there is already a shop here" in capsys.readouterr().err


def test_versions_set_aside_are_in_a_backup_and_are_asked_about_where_it_is_restored(
    shop: Shop, parcel: Parcel, address: str, postgres: str, tmp_path: Path, capsys, monkeypatch
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    second = address_in(postgres)
    tables = parcel._storage.tables  # type: ignore[attr-defined]
    texts = {(table, key): encode(doc) for table, docs in tables.items() for key, doc in docs.items()}
    for kind, name in (("other", "other"), ("kept", "kept 1")):
        _put_whole(shop.home.session, f"{parcel.id} {name}", kind, texts)  # type: ignore[attr-defined]
    assert main(["backup", str(tmp_path / "one.zip"), "--shop", address]) == 0
    assert main(["restore", str(tmp_path / "one.zip"), "--shop", str(tmp_path / "back")]) == 0
    assert main(["check", "--shop", str(tmp_path / "back")]) == 0
    aside = sorted(path.name for path in (tmp_path / "back" / "aside").iterdir())
    assert aside == [f"{parcel.id} kept 1.json", f"{parcel.id} other.json"]
    assert main(["backup", str(tmp_path / "two.zip"), "--shop", str(tmp_path / "back")]) == 0
    assert main(["restore", str(tmp_path / "two.zip"), "--shop", second]) == 0
    listed = "SELECT kind, name, tbl, id, body FROM kept JOIN docs USING (name) ORDER BY name, place"
    assert ask(second, listed) == ask(address, listed)
    again = Shop.open(ServerHome(second, tmp_path / "again"))
    with pytest.raises(TwoVersions):
        again.open_parcel(parcel.id)
    assert list(names_in(again.path)) == list(names_in(shop.path))
    again.close()


def test_a_shop_that_cannot_be_read_whole_leaves_no_half_of_it_on_the_server(
    demo: Path, address: str, tmp_path: Path
) -> None:
    sorted((demo / "parcels").glob("*.json"))[-1].write_text("{")
    home = ServerHome(address, tmp_path / "machine")
    with pytest.raises(BenchError):
        to_server(demo, home)
    home.close()
    again = ServerHome(address, tmp_path / "machine")
    assert not again.made
    again.close()


def test_a_book_changed_on_one_machine_is_on_the_other_and_two_changes_are_both_kept(shop, bench) -> None:
    other = bench()
    (shop.path / "books" / "own.toml").write_text("one")
    (shop.path / "books" / "gone.toml").write_text("for a while")
    (shop.path / "books" / "own.toml.prepared").write_text("made by this machine for itself")
    assert not shop.home.exchange()
    other.home.heard()
    assert other.home.exchange()
    assert (other.path / "books" / "own.toml").read_text() == "one"
    (other.path / "books" / "gone.toml").unlink()
    (other.path / "books" / "own.toml").write_text("two")
    (shop.path / "books" / "own.toml").write_text("three")
    other.home.exchange()
    shop.home.heard()
    assert shop.home.exchange()
    assert sorted(names_in(shop.path)) == ["books/own.toml"]
    assert sorted(path.name for path in (other.path / "books").iterdir()) == ["own.toml"]
    assert (shop.path / "books" / "own.toml").read_text() == "two"
    (line,) = shop.news()
    assert Path(line.rpartition(": ")[2]).read_text() == "three"
