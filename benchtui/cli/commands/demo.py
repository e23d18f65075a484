"""``benchtui demo``: opens the bench on a fresh copy of the demo shop."""

import argparse

from benchtui.bench.run import open_demo
from benchtui.cli.declare import command
from benchtui.cli.options import add_looks, looks, shop_named


@command("open the bench on a fresh copy of the demo shop", add_looks)
def demo(args: argparse.Namespace) -> int:
    return open_demo(shop_named(args), *looks(args))
