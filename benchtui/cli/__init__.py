"""The command line, a file a command: see `commands`."""

import gc
import sys

from benchtui.bench.raw import raw_terminal
from benchtui.cli.command_line import opens_bench


def main(argv: list[str] | None = None) -> int:
    """Run a command: 0 done, 1 errors found, 2 bad usage or input, 130 stopped; said in a line on stderr.

    Where it opens the bench, the terminal is raw before anything else is loaded: see `raw_terminal`.
    """
    words = sys.argv[1:] if argv is None else argv
    if not opens_bench(words):
        return _run(words)
    gc.disable()  # nothing made at a start is waste; the app collects from its first screen on
    with raw_terminal():
        return _run(words)


def _run(words: list[str]) -> int:
    from benchtui.cli.program import main as run  # not before the terminal is raw

    return run(words)
