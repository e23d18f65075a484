"""``benchtui book cite BOOK``: the sources of a book's claims."""

import argparse

from benchtui.base.errors import BenchError
from benchtui.base.signs import print_visible
from benchtui.books.library import Library
from benchtui.cli.declare import command
from benchtui.cli.options import shop_path
from benchtui.evidence import counts_of
from benchtui.knowledge.cite import lines_of, sources_of
from benchtui.store import Shop


def _options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("book", metavar="BOOK", help="the book's file name without .toml")
    parser.add_argument("--claims", type=int, default=8, metavar="N", help="claims shown of each source (8)")


@command("list the sources of a book, what each is cited for, and how far your copies agree", _options)
def cite(args: argparse.Namespace) -> int:
    shop = Shop.open(shop_path(args), read_only=True)
    try:
        counts = shop.counts(counts_of)
    finally:
        shop.close()
    library = Library.of_shop(shop.path, shop.settings)
    names = [head.id for head in library.books()]
    if args.book not in names:
        raise BenchError(f"there is no book {args.book!r}", shop.path / "books", "one of " + ", ".join(names))
    for line in lines_of(sources_of(library, args.book, library.counted_now(counts)), args.claims):
        print_visible(line)
    return 0
