"""The one way bad input is told: what is wrong, where, and what would be right."""

from pathlib import Path


class BenchError(Exception):
    """Bad input or a file that cannot be used; ends a command with exit code 2.

    ``what`` is a full clause without a closing stop; ``where`` a file (with a
    line where known) or a field; ``right`` says what would be right.
    """

    def __init__(self, what: str, where: str | Path = "", right: str = "", line: int | None = None) -> None:
        self.what = what
        self.where = str(where)
        self.line = line
        self.right = right
        super().__init__(self.one_line())

    def one_line(self) -> str:
        """``where:line: what; what would be right`` on one line, whatever the parts hold."""
        place = self.where + (f":{self.line}" if self.line is not None else "")
        text = (f"{place}: " if place else "") + self.what + (f"; {self.right}" if self.right else "")
        return " ".join(text.split())
