"""``benchtui book export BOOK FILE``: a book as a table of pressings."""

import argparse
from pathlib import Path

from benchtui.base.errors import BenchError
from benchtui.base.signs import print_visible
from benchtui.books.library import Library
from benchtui.books.text import replace_file
from benchtui.cli.declare import command
from benchtui.cli.options import shop_path
from benchtui.knowledge.table import csv_text, rows_of_book
from benchtui.store import Shop


def _options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("book", metavar="BOOK", help="the book's file name without .toml")
    parser.add_argument("file", metavar="FILE", help="the CSV file to write")


@command("write a book as a table of pressings: CSV", _options)
def export(args: argparse.Namespace) -> int:
    shop = Shop.open(shop_path(args), read_only=True)
    shop.close()
    library = Library.open([shop.path / "books"])
    heads = {head.id: head for head in library.books()}
    if args.book not in heads:
        raise BenchError(f"there is no book {args.book!r}", shop.path / "books", "one of " + ", ".join(heads))
    rows = rows_of_book(library, args.book)
    path = Path(args.file).expanduser()
    replace_file(path, "\ufeff" + csv_text(rows))
    print_visible(f"{path}: {len(rows) - 1} rows; benchtui book take {path} takes changes in again")
    return 0
