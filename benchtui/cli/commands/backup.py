"""``benchtui backup FILE.zip``: the whole shop as one zip file."""

import argparse

from benchtui.base.longwork import long_work
from benchtui.base.paths import path_from
from benchtui.base.signs import print_visible
from benchtui.cli.declare import command
from benchtui.cli.options import shop_path
from benchtui.server import as_folder
from benchtui.store import Shop
from benchtui.store.backup import backup as write_backup


def _options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("file", metavar="FILE.zip", help="a new file, best on another disk")


@command("write the whole shop into one zip file", _options)
def backup(args: argparse.Namespace) -> int:
    where = shop_path(args)
    shop = Shop.open(where, read_only=True)
    said = f"no backup was written to {args.file}"
    try:
        with long_work("backup", said) as progress, as_folder(where) as folder:
            summary = write_backup(folder, path_from(args.file), progress)
    finally:
        shop.close()
    print_visible(summary)
    return 0
