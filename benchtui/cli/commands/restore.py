"""``benchtui restore FILE.zip``: a shop out of its backup."""

import argparse
import tempfile
from pathlib import Path

from benchtui.base.longwork import long_work
from benchtui.base.paths import path_from
from benchtui.base.signs import print_visible
from benchtui.cli.declare import command
from benchtui.cli.options import shop_path
from benchtui.server import ServerHome, to_server
from benchtui.store.backup import Progress
from benchtui.store.backup import restore as unpack


def _options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("file", metavar="FILE.zip", help="a file that backup wrote")


def _to_server(file: Path, home: ServerHome, progress: Progress) -> str:
    """The backup is checked and unpacked here, then goes to the server as one transaction."""
    try:
        with tempfile.TemporaryDirectory(prefix="benchtui-") as above:
            folder = Path(above) / "shop"
            summary = unpack(file, folder, lambda done: progress(done / 2))
            to_server(folder, home, lambda done: progress(0.5 + done / 2))
        return summary.replace(str(folder), home.where)
    finally:
        home.close()


@command("check a backup and unpack it into a new shop folder", _options)
def restore(args: argparse.Namespace) -> int:
    target = shop_path(args)
    with long_work("restore", f"nothing was restored to {target}") as progress:
        if isinstance(target, Path):
            summary = unpack(path_from(args.file), target, progress)
        else:
            summary = _to_server(path_from(args.file), target, progress)
    print_visible(summary)
    return 0
