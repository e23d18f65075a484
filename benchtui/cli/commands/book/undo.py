"""``benchtui book undo``: what was taken into the books last, taken out again."""

import argparse

from benchtui.base.signs import print_visible
from benchtui.cli.declare import command
from benchtui.cli.options import shop_path
from benchtui.knowledge.put import take_out
from benchtui.store import Shop


@command("take the last table or merged book out again")
def undo(args: argparse.Namespace) -> int:
    shop = Shop.open(shop_path(args), read_only=True)
    shop.close()
    for line in take_out(shop.path):
        print_visible(line)
    return 0
