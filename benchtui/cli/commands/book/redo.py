"""``benchtui book redo``: what was taken out of the books last, taken in again as it stood."""

import argparse

from benchtui.base.signs import print_visible
from benchtui.cli.declare import command
from benchtui.cli.options import shop_path
from benchtui.knowledge.put import take_again
from benchtui.store import Shop


@command("take the table or merged book that undo took out in again")
def redo(args: argparse.Namespace) -> int:
    shop = Shop.open(shop_path(args), read_only=True)
    shop.close()
    for line in take_again(shop.path):
        print_visible(line)
    return 0
