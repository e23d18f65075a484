"""``benchtui weigh TITLE CLUE=ANSWER ...``: what the evidence says of one copy."""

import argparse

from benchtui.base.paths import path_from
from benchtui.base.signs import print_visible
from benchtui.books.library import UNIVERSAL, Library
from benchtui.books.prepared import prepare
from benchtui.cli.declare import command
from benchtui.cli.options import shop_path
from benchtui.evidence import counts_of
from benchtui.evidence.command import run_weigh
from benchtui.store import Shop


def _options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("title", metavar="TITLE", help="an id, a title or a catalogue number")
    parser.add_argument(
        "answers", nargs="*", metavar="CLUE=ANSWER", help="what was seen, by ids; also CLUE@part.place=ANSWER"
    )
    parser.add_argument("--book", metavar="FILE", help="this book instead of the shop's")
    parser.add_argument("--json", action="store_true", help="the figures as JSON")


@command("weigh the clues of a title: dates, likely pressings, what to look at next", _options)
def weigh(args: argparse.Namespace) -> int:
    if args.book:
        library = Library([prepare(UNIVERSAL), prepare(path_from(args.book))])
        print_visible(run_weigh(library, args.title, args.answers, json_out=args.json))
        return 0
    shop = Shop.open(shop_path(args), read_only=True)
    try:
        library = Library.of_shop(shop.path, shop.settings)
        counts = library.counted_now(shop.counts(counts_of))
        print_visible(run_weigh(library, args.title, args.answers, json_out=args.json, counts=counts))
    finally:
        shop.close()
    return 0
