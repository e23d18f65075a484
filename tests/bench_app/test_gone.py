"""The shop's folder goes away under the bench: said, kept in memory, saved by itself once it is back."""

from pathlib import Path

import pytest
from bench_hands import Hands

from benchtui.base.errors import BenchError
from benchtui.desk.keeping import exports, save_again
from benchtui.store import Shop

GONE = "the shop is gone: NOT SAVED"


@pytest.fixture
def away(slipway: Hands, tmp_path: Path) -> Path:
    """The folder was renamed; the disc of the first record is in the hand."""
    slipway.take("disc")
    return slipway.desk.shop.path.rename(tmp_path / "elsewhere")


def test_it_is_said_at_once_and_stays_in_sight(slipway: Hands, away: Path) -> None:
    slipway.grade("VG")
    assert GONE in slipway.said
    assert slipway.said.endswith(
        "Put its folder back where it was and work on: it is kept in memory and saved by itself"
    )
    assert slipway.refused
    assert slipway.desk.background.unsaved is not None
    assert slipway.desk.background.unsaved.short() == "1 change"
    assert not slipway.desk.shop.path.exists()


def test_the_work_goes_on_and_is_saved_once_the_folder_is_back(slipway: Hands, away: Path) -> None:
    slipway.grade("VG").grade("VG", "+")
    assert slipway.desk.background.unsaved is not None
    away.rename(slipway.desk.shop.path)
    assert save_again(slipway.desk)
    assert "everything is saved again: 3 actions (record 1)" in slipway.said
    parcel = slipway.desk.work.parcel
    assert parcel is not None
    seen = Shop.open(slipway.desk.shop.path, read_only=True).open_parcel(parcel.id)
    assert seen.canonical() == parcel.canonical()


def test_leaving_asks_and_nothing_is_written_meanwhile(slipway: Hands, away: Path) -> None:
    slipway.grade("VG")
    slipway.do("quit")
    assert slipway.desk.open.menu is not None
    assert slipway.desk.open.menu.choices[0].words == "the shop is back: save and leave"
    assert not slipway.desk.open.leaving
    with pytest.raises(BenchError, match="put the shop back"):
        exports(slipway.desk)
    assert not slipway.desk.shop.path.exists()
