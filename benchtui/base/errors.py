"""The one way bad input is told: what is wrong, where, and what to do."""

from pathlib import Path

from benchtui.base.signs import visible

MOST_SAID = 600
"""Signs of one part of a message; a file may hold a megabyte where a word should stand."""


class BenchError(Exception):
    """Bad input or a file that cannot be used; ends a command with exit code 2.

    ``what`` is a full clause without a closing stop; ``where`` a file (with a
    line where known) or a field; ``right`` says what to do.
    """

    def __init__(self, what: str, where: str | Path = "", right: str = "", line: int | None = None) -> None:
        self.what = what
        self.where = str(where)
        self.line = line
        self.right = right
        super().__init__(self.one_line())

    def one_line(self) -> str:
        """``where:line: what; what to do`` on one line of plain signs, whatever the parts hold."""
        place = _plain(self.where) + (f":{self.line}" if self.line is not None else "")
        right = _plain(self.right)
        return (f"{place}: " if place else "") + _plain(self.what) + (f"; {right}" if right else "")


def _plain(text: str) -> str:
    """On one line, not too long, and without signs that would move a terminal's cursor."""
    if len(text) > MOST_SAID:
        text = f"{text[: MOST_SAID - 60]} ... {text[-50:]}"
    return visible(" ".join(text.split()))
