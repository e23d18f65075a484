"""Reads the rows of a delimited text file one by one, so that a broken one costs itself only.

A reader run over a whole file takes an unclosed quote for the beginning of a long cell and swallows what
follows. Here a quote counts only at a cell's beginning (``Quern 7"`` is ordinary), and a row may go on over
further lines only where it then closes with as many cells as the header has; otherwise its first line alone
is refused.
"""

import csv
import re
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO, NamedTuple

LONGEST_LINE = 64_000
"""Bytes of a line; a longer one is refused unread."""
MOST_LINES = 20
"""Lines that one row may go over."""
DELIMITERS = ",;\t|"
SPACES = re.compile(" {2,}")


class Row(NamedTuple):
    """Cells of the row that begins at ``line`` (from 1), or why it is ``refused``; ``done`` is the share
    read.
    """

    line: int
    cells: list[str]
    refused: str = ""
    done: float = 0.0


class Line(NamedTuple):
    """One line of text, or why it is ``refused``; ``end``: where in the file it ends."""

    no: int
    text: str
    end: int
    refused: str = ""


class Lines:
    """The lines of a stream, decoded one by one. ``size``: bytes of the whole, for the share read."""

    def __init__(self, path: Path, stream: BinaryIO, encoding: str, size: int) -> None:
        self.path, self.encoding = path, encoding
        self._stream, self._size = stream, size
        self.spaced = False
        """Whether two spaces or more part the cells."""
        self.dittos = False
        """Whether a cell that is one bare quote repeats the cell above."""
        self._held: list[Line] = []
        self._no = self._at = 0

    def next(self) -> Line | None:
        """The next line, None at the end."""
        if self._held:
            return self._held.pop(0)
        raw = self._stream.readline(LONGEST_LINE)
        if not raw:
            return None
        self._no, size = self._no + 1, len(raw)
        if len(raw) == LONGEST_LINE and not raw.endswith(b"\n"):
            while raw and not raw.endswith(b"\n"):
                raw = self._stream.readline(LONGEST_LINE)
                size += len(raw)
            self._at += size
            return Line(self._no, "", self._at, f"{size:,} bytes long; the limit is {LONGEST_LINE:,}")
        self._at += size
        return self._decoded(raw)

    def give_back(self, lines: list[Line]) -> None:
        """Lines that were looked at too early; they come next again."""
        self._held = lines + self._held

    def share(self, line: Line) -> float:
        """How much of the file is read once that line is."""
        return min(1.0, line.end / max(1, self._size))

    def _decoded(self, raw: bytes) -> Line:
        try:
            text = raw.decode(self.encoding).rstrip("\r\n").removeprefix("\ufeff")
        except UnicodeDecodeError as error:
            said = f"byte {raw[error.start]:#04x} at place {error.start + 1} is not {self.encoding.upper()}"
            return Line(self._no, "", self._at, said)
        if self.spaced:
            text = SPACES.sub("\t", text.strip())
        return Line(self._no, "" if "\0" in text else text, self._at,
                    "it has a NUL character" if "\0" in text else "")  # fmt: skip


def rows_of(lines: Lines, delimiter: str, wide: int) -> Iterator[Row]:
    """Every row; empty lines are passed over, cells missing at the end are empty.

    ``wide``: how many cells the header has.
    """
    while (line := lines.next()) is not None:
        if line.refused:
            yield Row(line.no, [], line.refused, lines.share(line))
        elif line.text.strip(delimiter + " "):
            yield _row(lines, line, delimiter, wide)


def _row(lines: Lines, line: Line, delimiter: str, wide: int) -> Row:
    taken: list[Line] = []
    text, last = line.text, line
    if lines.dittos and len(cells_of(text, delimiter) or ()) != wide:
        bare = _bare_dittos(text, delimiter)
        if bare is not None and len(bare) == wide:
            return Row(line.no, bare, "", lines.share(line))
    while is_open(text, delimiter) and len(taken) < MOST_LINES and (more := lines.next()) is not None:
        taken.append(more)
        if more.refused:
            break
        text, last = text + "\n" + more.text, more
    cells = cells_of(text, delimiter)
    if cells is not None and (len(cells) == wide or (not taken and _fits(cells, wide))):
        return Row(line.no, (cells + [""] * wide)[:wide], "", lines.share(last))
    lines.give_back(taken)
    literal = line.text.split(delimiter)
    if cells is None and not taken and len(literal) == wide:  # "Quoted" words that begin a cell
        return Row(line.no, literal, "", lines.share(line))
    return Row(line.no, [], _why(line.text, delimiter, wide), lines.share(line))


def _bare_dittos(text: str, delimiter: str) -> list[str] | None:
    """The cells of a row in which a bare quote fills a whole cell; None where there is none, or they are not
    read even so."""
    if '"' not in text:
        return None
    sign = re.escape(delimiter)
    return cells_of(re.sub(f'(?:^|(?<={sign})) *" *(?={sign}|$)', '""""', text), delimiter)


def _fits(cells: list[str], wide: int) -> bool:
    """Whether cells are missing at the end only, or those too many are all empty."""
    return 1 < len(cells) < wide or (len(cells) > wide and not any(cell.strip() for cell in cells[wide:]))


def cells_of(text: str, delimiter: str) -> list[str] | None:
    """The cells of a row; None where its quotes do not fit."""
    if is_open(text, delimiter):
        return None
    try:
        cells = next(csv.reader([text], delimiter=delimiter))
        strict = next(csv.reader([text], delimiter=delimiter, strict=True))
    except (csv.Error, StopIteration):
        return None
    return cells if cells == strict else None


def is_open(text: str, delimiter: str) -> bool:
    """Whether a quote that opens a cell is not closed at the text's end."""
    at, begins = 0, True
    while at < len(text):
        if begins and text[at] == '"':
            at = _end_of_quoted(text, at + 1)
            if at < 0:
                return True
            begins = False
        else:
            begins = text[at] == delimiter
            at += 1
    return False


def _end_of_quoted(text: str, at: int) -> int:
    """The place after the closing quote (a doubled one is text); -1 where none closes."""
    while (at := text.find('"', at)) >= 0:
        if text[at + 1 : at + 2] != '"':
            return at + 1
        at += 2
    return -1


def _why(text: str, delimiter: str, wide: int) -> str:
    if is_open(text, delimiter):
        return "a quote is never closed"
    cells = cells_of(text, delimiter)
    if cells is None:
        return "a quote is in the wrong place"
    return f"{len(cells)} cells, but the header has {wide}"
