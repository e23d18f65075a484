"""``benchtui keymap new NAME``: a commented copy of a keymap to be changed."""

import argparse

from benchtui.base.errors import BenchError
from benchtui.base.reading import read_text
from benchtui.base.shipped import shipped
from benchtui.base.signs import print_visible
from benchtui.books.text import put_back
from benchtui.cli.declare import command
from benchtui.cli.new_file import new_file
from benchtui.cli.options import shop_path
from benchtui.desk.keyboard.keymap_copy import commented
from benchtui.desk.keyboard.keymap_file import MOST_BYTES, find_keymap, load_keymap
from benchtui.store import Shop


def _options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("name", metavar="NAME", help="letters, digits and dashes")
    parser.add_argument("--like", metavar="MAP", help="the map to copy; else the one in use")


@command("write a commented copy of a keymap into the shop, to be changed", _options)
def new(args: argparse.Namespace) -> int:
    shop = Shop.open(shop_path(args), read_only=True)
    try:
        used = str(shop.settings.get("keymap") or "two-hands")
    finally:
        shop.close()
    own = shop.path / "keymaps"
    path = new_file(args.name, own, "keymap")
    if (shipped("keymaps") / path.name).exists():
        raise BenchError(f"a keymap '{args.name}' comes with benchtui", "keymap new", "choose another name")
    source = find_keymap(args.like or getattr(args, "keymap", None) or used, [own, shipped("keymaps")])
    load_keymap(source, None)  # a map with a fault is told with its line, and not copied
    put_back(path, commented(read_text(source, MOST_BYTES, "a keymap"), source.stem, args.name).encode())
    print_visible(
        f"{path} written; benchtui --keymap {args.name} uses it, and benchtui check finds what is wrong"
    )
    return 0
