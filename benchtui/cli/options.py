"""Options that several commands have, and what they mean."""

import argparse
import os
from pathlib import Path

from platformdirs import user_data_path


def add_shop(parser: argparse.ArgumentParser) -> None:
    # SUPPRESS: a command's own default must not wipe out an option given before the command.
    parser.add_argument(
        "--shop", metavar="DIR", default=argparse.SUPPRESS, help="the shop's folder; also BENCHTUI_SHOP"
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
        "--plain", action="store_true", default=argparse.SUPPRESS, help="letters and punctuation only"
    )


def looks(args: argparse.Namespace) -> tuple[str | None, bool]:
    """The keymap chosen, and whether only plain signs are drawn."""
    return getattr(args, "keymap", None), getattr(args, "plain", False)


def shop_given(args: argparse.Namespace) -> str | None:
    """What ``--shop`` says."""
    return getattr(args, "shop", None)


def shop_path(args: argparse.Namespace) -> Path:
    """The shop folder: the option, BENCHTUI_SHOP, else the user's data folder."""
    chosen = shop_given(args) or os.environ.get("BENCHTUI_SHOP")
    return Path(chosen).expanduser() if chosen else home_shop()


def home_shop() -> Path:
    """The shop of whoever names none: in the user's data folder, which is made where it is missing."""
    return user_data_path("benchtui") / "shop"
