"""``benchtui play KEYS``: plays a key script through the real app and times each key."""

import argparse

from benchtui.bench.run import play_keys
from benchtui.cli.declare import command
from benchtui.cli.options import add_looks, looks, shop_named


def _options(parser: argparse.ArgumentParser) -> None:
    add_looks(parser)
    parser.add_argument(
        "keys", metavar="KEYS", help="a key script, or one shipped: fifteen, resume, left-hand, number-pad"
    )
    parser.add_argument("--size", default="120x40", help="columns x rows")
    parser.add_argument("--shots", metavar="DIR", help="where the script's pictures go, as SVG")


@command("press a key script's keys without a terminal; one JSON object at the end", _options)
def play(args: argparse.Namespace) -> int:
    return play_keys(args.keys, shop_named(args), args.size, args.shots, *looks(args))
