"""``benchtui book new NAME``: a commented skeleton of a new book."""

import argparse

from benchtui.base.signs import print_visible
from benchtui.books.skeleton import skeleton
from benchtui.books.text import put_back
from benchtui.cli.declare import command
from benchtui.cli.new_file import new_file
from benchtui.cli.options import shop_folder


def _options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("name", metavar="NAME", help="letters, digits and dashes")


@command("write a commented skeleton of a new book into the shop", _options)
def new(args: argparse.Namespace) -> int:
    with shop_folder(args) as folder:
        path = new_file(args.name, folder / "books", "book")
        put_back(path, skeleton(args.name).encode())
    print_visible(f"{path} written; its comments say what goes where, and benchtui check finds what is wrong")
    return 0
