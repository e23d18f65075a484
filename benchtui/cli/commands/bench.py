"""``benchtui``, also without the word: opens the bench."""

import argparse

from benchtui.bench.run import open_bench
from benchtui.cli.declare import command
from benchtui.cli.options import add_looks, home_shop, looks, shop_path


@command("open the bench, as without a command", add_looks)
def bench(args: argparse.Namespace) -> int:
    return open_bench(shop_path(args), *looks(args), home_shop())
