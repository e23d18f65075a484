"""``benchtui book diff A B``: two books of one field side by side."""

import argparse

from benchtui.base.signs import print_visible
from benchtui.cli.declare import command
from benchtui.cli.options import shop_folder
from benchtui.knowledge.other import compare, lines_of
from benchtui.knowledge.reading import other_book


def _options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("mine", metavar="A", help="a book's file, or its name in the shop")
    parser.add_argument("theirs", metavar="B", help="the other book")


@command("show what two books have in common, and where they differ", _options)
def diff(args: argparse.Namespace) -> int:
    with shop_folder(args) as folder:
        mine, head = other_book(args.mine, folder / "books")
        theirs, other = other_book(args.theirs, folder / "books")
    for line in lines_of(compare(mine, theirs, other.id, own=(head.id,))):
        print_visible(line)
    return 0
