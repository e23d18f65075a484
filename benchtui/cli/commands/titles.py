"""``benchtui titles FILE``: a list taken in, or the last one taken out again."""

import argparse

from benchtui.base.longwork import long_work
from benchtui.books.library import Library
from benchtui.cli.declare import command
from benchtui.cli.options import shop_path
from benchtui.desk.own_book.known_titles import known_titles
from benchtui.store import Shop
from benchtui.titles.build import build_piece
from benchtui.titles.command import run


def _options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("file", nargs="?", metavar="FILE", help="a spreadsheet, CSV, JSON lines or text")
    parser.add_argument("--encoding", metavar="NAME", help="encoding of a text file, if guessed wrong")
    parser.add_argument(
        "--map",
        action="append",
        default=[],
        metavar="THEIRS=OURS",
        help="a column by its name or place, or a country: --map 3=title --map Holland=NL",
    )
    parser.add_argument(
        "--doubtful",
        metavar="RULE",
        help="titles that look like known ones: keep, merge or skip",
    )
    parser.add_argument("--undo", action="store_true", help="take the last list out again")


@command("take in a title list, or take the last one out again", _options)
def titles(args: argparse.Namespace) -> int:
    shop = Shop.open(shop_path(args), read_only=True)
    try:
        known = [build_piece(known_titles(shop, Library.open([shop.path / "books"])))]
        with long_work("titles", f"nothing from {args.file} was taken in") as progress:
            return run(
                shop.path,
                args.file,
                args.map,
                args.doubtful,
                args.undo,
                known,
                progress=progress,
                encoding=args.encoding,
            )
    finally:
        shop.close()
