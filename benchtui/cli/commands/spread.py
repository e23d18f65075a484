"""``benchtui spread PARCEL``: what a parcel cost, and each record's share."""

import argparse

from benchtui.base.signs import print_visible
from benchtui.cli.declare import command
from benchtui.cli.options import shop_path
from benchtui.money.command import spread_command
from benchtui.store import Shop


def _options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("parcel", metavar="PARCEL", help="its number, such as 2026-11-25-1")
    parser.add_argument("--json", action="store_true", help="the figures as JSON")


@command("what a parcel cost to get here, and each record's share", _options)
def spread(args: argparse.Namespace) -> int:
    shop = Shop.open(shop_path(args), read_only=True)
    try:
        parcel = shop.open_parcel(args.parcel, read_only=True)
        text = spread_command(
            parcel.head, parcel.records, shop.settings, as_json=args.json, senders=shop.senders
        )
        print_visible(text.removesuffix("\n"))
    finally:
        shop.close()
    return 0
