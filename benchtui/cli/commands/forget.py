"""``benchtui forget NAME``: a person taken out of the shop, as far as its books may be changed."""

import argparse
from datetime import datetime
from functools import partial

from benchtui.base.signs import print_visible
from benchtui.cli.declare import command
from benchtui.cli.options import shop_path
from benchtui.export.forget import forget as forget_person
from benchtui.export.forget import opened, person_of, still_named, told, would_forget
from benchtui.export.run import read_day
from benchtui.store import Shop


def _options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("name", metavar="NAME", help="the whole name, as it was typed")
    parser.add_argument("--yes", action="store_true", help="do it; without it you only see what would go")
    parser.add_argument(
        "--books-before",
        metavar="D",
        help="also entries of the books before that day, except in closed periods",
    )


@command("take a person out of the shop, as far as its books may be changed", _options)
def forget(args: argparse.Namespace) -> int:
    today, day = datetime.now().astimezone().date(), args.books_before
    shop = Shop.open(shop_path(args), read_only=not args.yes)
    try:
        before = read_day(day, today, "--books-before").isoformat() if day else ""
        person = person_of(shop, args.name, before)
        parcels, missed = would_forget(shop, person), list[str]()
        if args.yes:
            missed = forget_person(shop, person, parcels, partial(opened, shop))
        lines = [*told(person, parcels, args.yes), *(f"not done: {one}" for one in missed)]
        for line in [*lines, *(f"still names them: {one}" for one in still_named(shop, person))]:
            print_visible(line)
        if not args.yes:
            print("nothing is removed yet: the same command with --yes removes it for good")
        return 1 if missed else 0
    finally:
        shop.close()
