"""``benchtui book review [BOOK]``: what to do next about a book, the most worth first."""

import argparse

from benchtui.base.errors import BenchError
from benchtui.base.longwork import long_work
from benchtui.base.signs import print_visible
from benchtui.books.library import Library
from benchtui.cli.declare import command
from benchtui.cli.options import shop_path
from benchtui.knowledge.coach import Advice, reviewing
from benchtui.knowledge.stock import stock_of
from benchtui.store import Shop


def _options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("book", nargs="?", default="", metavar="BOOK", help="one book; else all of the shop")
    parser.add_argument("--most", type=int, default=30, metavar="N", help="how many lines to show (30)")


@command("show what to do next about a book: pressings it cannot tell apart, gaps, contradictions", _options)
def review(args: argparse.Namespace) -> int:
    shop = Shop.open(shop_path(args), read_only=True)
    try:
        library = Library.of_shop(shop.path, shop.settings)
        stock = stock_of(shop, library)
    finally:
        shop.close()
    names = [head.id for head in library.books()]
    if args.book and args.book not in names:
        raise BenchError(f"there is no book {args.book!r}", shop.path / "books", "one of " + ", ".join(names))
    found: list[Advice] = []
    with long_work("review", "nothing is said") as progress:
        for one, done in reviewing(library, stock, args.book):
            found += [one] if one is not None else []
            progress(done)
    found.sort(key=lambda one: -one.worth)
    for one in found[: args.most]:
        print_visible(f"{one.worth:7.1f}  {one.name}: {one.words}; {one.deal}")
    if len(found) > args.most:
        print_visible(f"... and {len(found) - args.most} more, worth less; --most shows more of them")
    if not found:
        print_visible("nothing to do: every pressing can be told apart, and nothing contradicts itself")
    return 0
