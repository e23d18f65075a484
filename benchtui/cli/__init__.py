"""The command line, a file a command."""

import sys

from benchtui.bench.raw import raw_terminal

_WITH_A_WORD = ("--shop", "--keymap")


def main(argv: list[str] | None = None) -> int:
    """Run a command: 0 done, 1 found wanting, 2 bad usage or input, 130 stopped; said in a line on stderr.

    Where it opens the bench, the terminal is raw before anything else is loaded: see `raw_terminal`.
    """
    words = sys.argv[1:] if argv is None else argv
    if not opens_bench(words):
        return _run(words)
    with raw_terminal():
        return _run(words)


def opens_bench(words: list[str]) -> bool:
    """Whether these words open the bench, as far as can be told without the parser."""
    left = [word for at, word in enumerate(words) if at == 0 or words[at - 1] not in _WITH_A_WORD]
    commands = [word for word in left if not word.startswith("-")]
    told = {"-h", "--help", "--version"} & set(left)
    return not told and commands in ([], ["demo"])


def _run(words: list[str]) -> int:
    from benchtui.cli.program import main as run  # not before the terminal is raw

    return run(words)
