"""Options that several commands have, and what they mean."""

import argparse
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from platformdirs import user_data_path

from benchtui.base.paths import path_from
from benchtui.server import ServerHome, is_address


def add_shop(parser: argparse.ArgumentParser) -> None:
    # SUPPRESS: a command's own default must not wipe out an option given before the command.
    parser.add_argument(
        "--shop",
        metavar="DIR",
        default=argparse.SUPPRESS,
        help="the shop's folder, or postgresql://host/database; also BENCHTUI_SHOP",
    )


def add_looks(parser: argparse.ArgumentParser) -> None:
    """The options of a command that opens or plays the bench."""
    parser.add_argument(
        "--keymap",
        metavar="NAME",
        default=argparse.SUPPRESS,
        help="two-hands, left-hand, number-pad or the shop's own",
    )
    parser.add_argument(
        "--plain",
        action="store_true",
        default=argparse.SUPPRESS,
        help="draw with letters and punctuation only",
    )


def looks(args: argparse.Namespace) -> tuple[str | None, bool]:
    """The keymap chosen, and whether only plain signs are drawn."""
    return getattr(args, "keymap", None), getattr(args, "plain", False)


def shop_given(args: argparse.Namespace) -> str | None:
    """What ``--shop`` says."""
    return getattr(args, "shop", None)


def shop_path(args: argparse.Namespace) -> Path | ServerHome:
    """Where the shop is: the option, BENCHTUI_SHOP, else the user's data folder. An address is called at
    once: BenchError where nobody answers there.
    """
    chosen = shop_given(args) or os.environ.get("BENCHTUI_SHOP")
    return place_of(chosen) if chosen else home_shop()


def shop_named(args: argparse.Namespace) -> Path | ServerHome | None:
    """Where the option says that the shop is, if it says so."""
    given = shop_given(args)
    return place_of(given) if given else None


def place_of(given: str) -> Path | ServerHome:
    """What the name of a shop stands for: a folder, or a server by its address."""
    return ServerHome(given) if is_address(given) else path_from(given)


@contextmanager
def shop_folder(args: argparse.Namespace) -> Iterator[Path]:
    """The folder with the shop's books, lists and keymaps; a server gets what was changed in it."""
    where = shop_path(args)
    if isinstance(where, Path):
        yield where
        return
    where.found(read_only=False)
    try:
        yield where.folder
    finally:
        where.close()


def home_shop() -> Path:
    """The shop of whoever names none: in the user's data folder, which is made where it is missing."""
    return user_data_path("benchtui") / "shop"
