"""``benchtui restore FILE.zip``."""

import argparse
from pathlib import Path

from benchtui.base.longwork import long_work
from benchtui.base.signs import print_visible
from benchtui.cli.declare import command
from benchtui.cli.options import shop_path
from benchtui.store.backup import restore as unpack


def _options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("file", metavar="FILE.zip")


@command("check a backup and unpack it into a new shop folder", _options)
def restore(args: argparse.Namespace) -> int:
    target = shop_path(args)
    with long_work("restore", f"nothing was restored to {target}") as progress:
        summary = unpack(Path(args.file).expanduser(), target, progress)
    print_visible(summary)
    return 0
