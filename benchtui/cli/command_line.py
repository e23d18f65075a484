"""The words of a command line, as far as they can be told without the parser and what it loads."""

from collections.abc import Sequence

BENCH = "bench"
"""The command that is meant where none is named."""
_WITH_A_WORD = ("--shop", "--keymap")
_ANSWERED_AT_ONCE = {"-h", "--help", "--version"}


def command_in(words: Sequence[str]) -> str:
    """The command named, the bench where none is; "" where something is asked about the whole program."""
    left = [word for at, word in enumerate(words) if at == 0 or words[at - 1] not in _WITH_A_WORD]
    named = next((word for word in left if not word.startswith("-")), BENCH)
    return "" if named == BENCH and _ANSWERED_AT_ONCE & set(left) else named


def opens_bench(words: Sequence[str]) -> bool:
    """Whether these words open the bench."""
    return not _ANSWERED_AT_ONCE & set(words) and command_in(words) in (BENCH, "demo")
