"""The command line. Textual is imported only by the commands that open or play the bench."""

import argparse
import os
import sys
from pathlib import Path

from benchtui import __version__
from benchtui.errors import BenchError


def main(argv: list[str] | None = None) -> int:
    """Run a command: 0 done, 1 found wanting, 2 bad usage or input, said in one line on stderr."""
    try:
        return _run(_parser().parse_args(argv))
    except BenchError as error:
        print(f"benchtui: {error.one_line()}", file=sys.stderr)
        return 2
    except KeyboardInterrupt:
        return 130
    except BrokenPipeError:
        sys.stderr.close()
        return 0


def shop_path(given: str | None) -> Path:
    """The shop folder: the option, BENCHTUI_SHOP, else the user's data folder."""
    chosen = given or os.environ.get("BENCHTUI_SHOP")
    if chosen:
        return Path(chosen).expanduser()
    from platformdirs import user_data_path

    return user_data_path("benchtui") / "shop"


class _Parser(argparse.ArgumentParser):
    """Bad usage in one line."""

    def error(self, message: str) -> None:  # type: ignore[override]
        print(f"benchtui: {message}; 'benchtui --help' lists what there is", file=sys.stderr)
        raise SystemExit(2)


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(prog="benchtui", description="A keyboard bench for second-hand record dealers.")
    parser.add_argument("--version", action="version", version=f"benchtui {__version__}")
    _bench_options(parser)
    commands = parser.add_subparsers(dest="command", parser_class=_Parser)
    demo = commands.add_parser("demo", help="open the bench on a fresh copy of the demo shop")
    _bench_options(demo)
    play = commands.add_parser("play", help="press a key script's keys without a terminal")
    _bench_options(play)
    play.add_argument("keys", help="a key script, or the name of one shipped: fifteen, resume")
    play.add_argument("--size", default="120x40")
    play.add_argument("--shots", metavar="DIR")
    return parser


def _bench_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--shop", metavar="DIR", default=argparse.SUPPRESS, help="the shop's folder (else BENCHTUI_SHOP)"
    )
    parser.add_argument(
        "--keymap",
        metavar="NAME",
        default=argparse.SUPPRESS,
        help="two-hands, left-hand, number-pad or the shop's own",
    )
    parser.add_argument(
        "--plain", action="store_true", default=argparse.SUPPRESS, help="letters and punctuation only"
    )


def _run(args: argparse.Namespace) -> int:
    from benchtui.bench.run import open_bench, open_demo, play_keys

    shop = getattr(args, "shop", None)
    keymap, plain = getattr(args, "keymap", None), getattr(args, "plain", False)
    if args.command == "demo":
        return open_demo(shop, keymap, plain)
    if args.command == "play":
        return play_keys(args.keys, shop, args.size, args.shots, keymap, plain)
    return open_bench(shop_path(shop), keymap, plain)


if __name__ == "__main__":
    sys.exit(main())
