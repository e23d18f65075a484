"""Fixtures of a shop on a server."""

import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
sys.path.append(str(Path(__file__).parents[1] / "store"))  # for same_parcel.py
sys.path.append(str(Path(__file__).parents[1] / "titles"))  # for found.py

from postgres import address_in, server

from benchtui.server import ServerHome
from benchtui.store import Parcel, Shop

Bench = Callable[..., Shop]


@pytest.fixture(scope="session")
def postgres() -> str:
    """The address of a server."""
    return server()


@pytest.fixture
def address(postgres: str) -> str:
    """Where a shop may be made."""
    return address_in(postgres)


@pytest.fixture
def shop(address: str, tmp_path: Path) -> Iterator[Shop]:
    """A new shop on the server, open on the first machine."""
    made = Shop.create(ServerHome(address, tmp_path / "machine-1"))
    yield made
    made.close()


@pytest.fixture
def parcel(shop: Shop) -> Parcel:
    return shop.new_parcel({"opened": "2026-11-25"}, 3)


@pytest.fixture
def bench(shop: Shop, address: str, tmp_path: Path) -> Iterator[Bench]:
    """Opens the same shop on another machine, as often as called."""
    opened: list[Shop] = []

    def open_one(read_only: bool = False) -> Shop:
        home = ServerHome(address, tmp_path / f"machine-{len(opened) + 2}")
        opened.append(Shop.open(home, read_only=read_only))
        return opened[-1]

    yield open_one
    for each in opened:
        each.close()
