"""The same shop in a folder and on a server: what the store promises holds in both."""

import sys
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1] / "server"))

from postgres import address_in, server
from unsynced import Unsynced

from benchtui.server import ServerHome
from benchtui.store import Shop

BESIDE: list[Shop] = []


def new_shop(home: str, path: Path) -> Shop:
    """A shop in that home; ``path``: where its plain files stand."""
    if home == "server":
        return Shop.create(ServerHome(address_in(server()), path))
    return Shop.create(path, files=Unsynced())


def beside(shop: Shop, **how: Any) -> Shop:
    """The same shop as another bench opens it, on the same machine; closed at the end of the test."""
    home = shop.home
    where = ServerHome(home.address, shop.path) if isinstance(home, ServerHome) else shop.path
    BESIDE.append(Shop.open(where, **how))
    return BESIDE[-1]


def close_beside() -> None:
    while BESIDE:
        BESIDE.pop().close()
