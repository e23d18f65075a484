"""The command line. Textual is imported only by the commands that open or play the bench."""

import argparse
import gc
import os
import sys
from collections.abc import Callable
from contextlib import suppress
from typing import NoReturn

from benchtui import __version__
from benchtui.base.errors import BenchError
from benchtui.cli import commands


def main(argv: list[str] | None = None) -> int:
    """Run a command: 0 done, 1 found wanting, 2 bad usage or input, 130 stopped; said in a line on stderr."""
    _whatever_is_printed()
    try:
        args = _parser().parse_args(argv)
        run: Callable[[argparse.Namespace], int] = getattr(args, "run", _bench)
        return run(args)
    except BenchError as error:
        print(f"benchtui: {error.one_line()}", file=sys.stderr)
        return 2
    except KeyboardInterrupt as stopped:
        said = str(stopped)
        print(f"benchtui: stopped{': ' if said else ''}{said}", file=sys.stderr)
        return 130
    except BrokenPipeError:
        # The reader has gone; Python would complain once more when it flushes at the end.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except OSError as error:  # a name too long, a disk that has gone: whatever no room has said more clearly
        told = BenchError(error.strerror or str(error), str(error.filename or ""))
        print(f"benchtui: {told.one_line()}", file=sys.stderr)
        return 2


def _whatever_is_printed() -> None:
    """A sign that the terminal's encoding does not have is shown by its number; it ends no command."""
    for name in ("stdout", "stderr"):
        if getattr(sys, name) is None:  # closed by whoever started us: then nobody reads it
            setattr(sys, name, open(os.devnull, "w", encoding="utf-8"))  # noqa: SIM115
    with suppress(AttributeError, ValueError):  # replaced by another stream, as test runners do
        sys.stdout.reconfigure(errors="backslashreplace")  # type: ignore[union-attr]


class _Parser(argparse.ArgumentParser):
    """Bad usage in one line."""

    def error(self, message: str) -> NoReturn:
        told = BenchError(message, right="run 'benchtui --help' for a list")
        print(f"benchtui: {told.one_line()}", file=sys.stderr)
        raise SystemExit(2)


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(
        prog="benchtui",
        description="A keyboard bench for second-hand record dealers. Without a command it opens the bench.",
    )
    parser.add_argument("--version", action="version", version=f"benchtui {__version__}")
    _bench_options(parser)
    made = parser.add_subparsers(dest="command", parser_class=_Parser, metavar="COMMAND")
    demo = _command(made, "demo", "open the bench on a fresh copy of the demo shop", _demo)
    _bench_options(demo, shop=False)
    play = _command(
        made, "play", "press a key script's keys without a terminal; one JSON object at the end", _play
    )
    _bench_options(play, shop=False)
    play.add_argument("keys", metavar="KEYS", help="a key script, or one shipped: fifteen, resume")
    play.add_argument("--size", default="120x40", help="columns x rows")
    play.add_argument("--shots", metavar="DIR", help="where the script's pictures go, as SVG")
    commands.add(made, _command)
    return parser


def _command(
    made: "argparse._SubParsersAction[_Parser]",
    name: str,
    words: str,
    run: Callable[[argparse.Namespace], int],
) -> argparse.ArgumentParser:
    """A command of its own, with the shop's option."""
    parser = made.add_parser(name, help=words, description=words)
    parser.set_defaults(run=run)
    _shop_option(parser)
    return parser


def _shop_option(parser: argparse.ArgumentParser) -> None:
    # SUPPRESS: a command's own default must not wipe out an option given before the command.
    parser.add_argument(
        "--shop", metavar="DIR", default=argparse.SUPPRESS, help="the shop's folder; also BENCHTUI_SHOP"
    )


def _bench_options(parser: argparse.ArgumentParser, shop: bool = True) -> None:
    if shop:
        _shop_option(parser)
    parser.add_argument(
        "--keymap",
        metavar="NAME",
        default=argparse.SUPPRESS,
        help="two-hands, left-hand, number-pad or the shop's own",
    )
    parser.add_argument(
        "--plain", action="store_true", default=argparse.SUPPRESS, help="letters and punctuation only"
    )


def _look(args: argparse.Namespace) -> tuple[str | None, bool]:
    return getattr(args, "keymap", None), getattr(args, "plain", False)


def _bench(args: argparse.Namespace) -> int:
    gc.disable()  # nothing made at a start is waste; the app collects from its first screen on
    from benchtui.bench.run import open_bench

    return open_bench(commands.shop_path(args), *_look(args))


def _demo(args: argparse.Namespace) -> int:
    from benchtui.bench.run import open_demo

    return open_demo(getattr(args, "shop", None), *_look(args))


def _play(args: argparse.Namespace) -> int:
    from benchtui.bench.run import play_keys

    return play_keys(args.keys, getattr(args, "shop", None), args.size, args.shots, *_look(args))


if __name__ == "__main__":
    sys.exit(main())
