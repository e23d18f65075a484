"""Fixtures of the store's tests; the helpers beside this file are also used by tests/bench/store_*.py."""

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from unsynced import Unsynced

from benchtui.store import Parcel, Shop


@pytest.fixture
def shop(tmp_path):
    opened = Shop.create(tmp_path / "shop", files=Unsynced())
    yield opened
    opened.close()


@pytest.fixture
def parcel(shop) -> Parcel:
    return shop.new_parcel({"opened": "2026-11-25"}, 3)


@pytest.fixture
def reopened(shop):
    """The parcel as the disk has it, read beside the open one."""

    def read(parcel: Parcel) -> Parcel:
        return Shop.open(shop.path, read_only=True).open_parcel(parcel.id)

    return read
