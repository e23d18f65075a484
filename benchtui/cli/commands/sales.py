"""``benchtui sales FILE.csv``: a CSV file of sales seen elsewhere, taken in."""

import argparse

from benchtui.base.longwork import long_work
from benchtui.base.paths import path_from
from benchtui.cli.declare import command
from benchtui.cli.options import shop_path
from benchtui.cli.sales_file import take_in_sales
from benchtui.store import Shop


def _options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("file", metavar="FILE.csv", help="one sale a row; a wrong header says which columns")


@command("take in a CSV file of sales seen elsewhere", _options)
def sales(args: argparse.Namespace) -> int:
    shop = Shop.open(shop_path(args))
    try:
        with long_work("sales", f"nothing from {args.file} was taken in") as progress:
            return take_in_sales(shop, path_from(args.file), progress)
    finally:
        shop.close()
