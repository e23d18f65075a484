"""Fixtures of the store's tests; the helpers beside this file are also used by tests/bench/store_*.py."""

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from homes import beside, close_beside, new_shop

from benchtui.store import Parcel


def pytest_configure(config):
    config.addinivalue_line("markers", "both_homes: runs in a folder and on a server")
    config.addinivalue_line("markers", "files_only: but not this one: about files, or long")


def pytest_generate_tests(metafunc):
    both, not_this = map(metafunc.definition.get_closest_marker, ("both_homes", "files_only"))
    if "home" in metafunc.fixturenames and both and not not_this:
        metafunc.parametrize("home", ["folder", "server"])


@pytest.fixture
def home():
    return "folder"


@pytest.fixture
def shop(tmp_path, home):
    opened = new_shop(home, tmp_path / "shop")
    yield opened
    close_beside()
    opened.close()


@pytest.fixture
def parcel(shop) -> Parcel:
    return shop.new_parcel({"opened": "2026-11-25"}, 3)


@pytest.fixture
def reopened(shop):
    """The parcel as the disk has it, read beside the open one."""

    def read(parcel: Parcel) -> Parcel:
        return beside(shop, read_only=True).open_parcel(parcel.id)

    return read
