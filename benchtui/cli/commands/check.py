"""``benchtui check``: names every mistake in a shop's files; its options."""

import argparse
import sys
from pathlib import Path

from benchtui.base.errors import BenchError
from benchtui.base.paths import path_from
from benchtui.base.signs import print_visible
from benchtui.cli.check_shop import check_shop
from benchtui.cli.declare import command
from benchtui.cli.options import shop_path
from benchtui.server import ServerHome
from benchtui.store.salvage import salvage


def _options(parser: argparse.ArgumentParser) -> None:
    about = "write what can be read of damaged files into a new folder; the shop stays as it is"
    parser.add_argument("--salvage", metavar="DIR", help=about)


@command("every file of the shop, book and keymap: what is wrong, and where", _options)
def check(args: argparse.Namespace) -> int:
    if args.salvage:
        return _salvage(shop_path(args), path_from(args.salvage))
    problems = check_shop(shop_path(args))
    for problem in problems:
        print_visible(problem)
    found = "1 error found" if len(problems) == 1 else f"{len(problems)} errors found"
    print(found if problems else "nothing wrong", file=sys.stderr)
    return 1 if problems else 0


def _salvage(shop: Path | ServerHome, target: Path) -> int:
    if not isinstance(shop, Path):
        right = "name a shop's folder; whoever runs the server has its backups"
        raise BenchError("only damaged files can be salvaged", shop.where, right)
    if not (shop / "parcels").is_dir():
        raise BenchError("there is no shop here", shop, "name a shop's folder")
    for line in salvage(shop, target):
        print(line)
    print(
        f"look through it with: benchtui --shop {target}; books and lists stay in the shop", file=sys.stderr
    )
    return 0
