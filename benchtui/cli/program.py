"""Parsing the command line and dispatching to the file of the command."""

import argparse
import os
import sys
from collections.abc import Sequence
from contextlib import suppress
from typing import NoReturn

from benchtui import __version__
from benchtui.base.errors import BenchError
from benchtui.cli.command_line import BENCH, command_in
from benchtui.cli.declare import Command, is_group, names, read, words_of
from benchtui.cli.options import add_looks, add_shop


def main(argv: list[str] | None = None) -> int:
    """Run a command: 0 done, 1 found wanting, 2 bad usage or input, 130 stopped; said in a line on stderr."""
    _whatever_is_printed()
    try:
        words = sys.argv[1:] if argv is None else argv
        args = parser_of(words).parse_args(words)
        chosen: Command = getattr(args, "chosen", None) or read([BENCH])
        return chosen.run(args)
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
        fault = BenchError(error.strerror or str(error), str(error.filename or ""))
        print(f"benchtui: {fault.one_line()}", file=sys.stderr)
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
        fault = BenchError(message, right="run 'benchtui --help' for a list")
        print(f"benchtui: {fault.one_line()}", file=sys.stderr)
        raise SystemExit(2)


def parser_of(words: Sequence[str]) -> argparse.ArgumentParser:
    """The parser of a command line: with the one command that is named in it, else with all of them."""
    parser = _Parser(
        prog="benchtui",
        description="A keyboard bench for second-hand record dealers. Without a command it opens the bench.",
    )
    parser.add_argument("--version", action="version", version=f"benchtui {__version__}")
    add_shop(parser)
    add_looks(parser)
    named = command_in(words)
    _add(parser, [named] if named in names() else names())
    return parser


def _add(parser: argparse.ArgumentParser, wanted: Sequence[str], group: Sequence[str] = ()) -> None:
    """Add those commands to the parser, or to that of their group."""
    dest = "_".join(("command", *group))
    made = parser.add_subparsers(dest=dest, parser_class=_Parser, metavar="COMMAND", required=bool(group))
    for name in wanted:
        path = [*group, name]
        one = made.add_parser(name, help=words_of(path), description=words_of(path))
        if is_group(path):
            _add(one, names(path), path)
            continue
        found = read(path)
        one.set_defaults(chosen=found)
        add_shop(one)
        found.options(one)


if __name__ == "__main__":
    sys.exit(main())
