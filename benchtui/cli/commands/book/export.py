"""``benchtui book export BOOK FILE``: a book as a table of pressings, or as a book to give away."""

import argparse
from pathlib import Path

from benchtui.base.errors import BenchError
from benchtui.base.paths import path_from
from benchtui.base.signs import print_visible
from benchtui.books.edit import open_edit
from benchtui.books.library import Library
from benchtui.books.text import replace_file
from benchtui.cli.declare import command
from benchtui.cli.options import shop_path
from benchtui.knowledge.giving import text_to_give
from benchtui.knowledge.table import csv_text, rows_of_book
from benchtui.store import Shop


def _options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("book", metavar="BOOK", help="the book's file name without .toml")
    parser.add_argument("file", metavar="FILE", help="a .csv table, or a .toml book to give away")
    parser.add_argument(
        "--no-prices", action="store_true", help="leave the prices out of a book to give away"
    )


@command("write a book as a table of pressings (.csv), or as a book to give away (.toml)", _options)
def export(args: argparse.Namespace) -> int:
    shop = Shop.open(shop_path(args), read_only=True)
    shop.close()
    library = Library.open([shop.path / "books"])
    heads = {head.id: head for head in library.books()}
    if args.book not in heads:
        raise BenchError(f"there is no book {args.book!r}", shop.path / "books", "one of " + ", ".join(heads))
    path = path_from(args.file)
    if path.suffix.lower() == ".toml":
        replace_file(path, text_to_give(open_edit(Path(heads[args.book].path)), not args.no_prices))
        print_visible(f"{path}: written without remarks, notes and what comes from your own copies")
        return 0
    rows = rows_of_book(library, args.book)
    replace_file(path, "\ufeff" + csv_text(rows))
    print_visible(f"{path}: {len(rows) - 1} rows; benchtui book take {path} takes changes back in")
    return 0
