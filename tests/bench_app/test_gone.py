"""The shop's folder goes away under the bench: said, kept in memory, saved by itself once it is back."""

from pathlib import Path

import pytest
from bench_hands import Hands
from same_parcel import canonical

from benchtui.base.errors import BenchError
from benchtui.desk.core.keeping import exports, save_again
from benchtui.store import Shop, presence
from benchtui.store.files import Files
from benchtui.store.load import Loaded, load
from benchtui.store.place import Place

GONE = "the shop is gone: NOT SAVED"


@pytest.fixture
def away(breakwater: Hands, tmp_path: Path) -> Path:
    """The folder was renamed; the disc of the first record is in the hand."""
    breakwater.take("disc")
    return breakwater.desk.shop.path.rename(tmp_path / "elsewhere")


def test_it_is_said_at_once_and_stays_in_sight(breakwater: Hands, away: Path) -> None:
    breakwater.grade("VG")
    assert GONE in breakwater.said
    assert breakwater.said.endswith(
        "Put its folder back where it was and work on: it is kept in memory and saved by itself"
    )
    assert breakwater.refused
    assert breakwater.desk.background.unsaved is not None
    assert breakwater.desk.background.unsaved.short() == "1 change"
    assert not breakwater.desk.shop.path.exists()


def test_the_work_goes_on_and_is_saved_once_the_folder_is_back(breakwater: Hands, away: Path) -> None:
    breakwater.grade("VG").grade("VG", "+")
    assert breakwater.desk.background.unsaved is not None
    away.rename(breakwater.desk.shop.path)
    assert save_again(breakwater.desk)
    assert "everything is saved again: 3 actions (record 1)" in breakwater.said
    parcel = breakwater.desk.work.parcel
    assert parcel is not None
    seen = Shop.open(breakwater.desk.shop.path, read_only=True).open_parcel(parcel.id)
    assert canonical(seen) == canonical(parcel)


def test_leaving_asks_and_nothing_is_written_meanwhile(breakwater: Hands, away: Path) -> None:
    breakwater.grade("VG")
    breakwater.do("quit")
    assert breakwater.desk.open.menu is not None
    assert breakwater.desk.open.menu.choices[0].words == "the shop is back: save and leave"
    assert not breakwater.desk.open.leaving
    with pytest.raises(BenchError, match="put the shop back"):
        exports(breakwater.desk)
    assert not breakwater.desk.shop.path.exists()


def test_in_a_copy_the_shop_s_file_is_read_once_to_see_that_it_is_there(
    demo: Hands, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A copy, as the demo is one, has no side files yet: each key read the whole file."""
    read: list[str] = []

    def reading(files: Files, place: Place, kind: str) -> Loaded:
        read.append(kind)
        return load(files, place, kind)

    monkeypatch.setattr(presence, "load", reading)
    demo.do("line-leave").grade("VG").grade("VG", "+")
    assert len(read) <= 1
