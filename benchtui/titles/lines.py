"""Reads the rows of a CSV file one by one, so that a broken one costs itself only.

A CSV reader run over a whole file takes an unclosed quote for the beginning of a long cell and swallows
what follows. Here a row may go on over further lines only where it then closes with as many cells as the
header has; otherwise its first line alone is refused.
"""

import codecs
import csv
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from benchtui.base.errors import BenchError
from benchtui.base.reading import check_ordinary

LONGEST_LINE = 64_000
"""Bytes of a line; a longer one is refused unread."""
MOST_LINES = 20
"""Lines that one row may go over."""
MOST_BYTES = 500_000_000
"""Bytes of a list; a million titles have some 100 million."""
DELIMITERS = ",;\t"


@dataclass(frozen=True, slots=True)
class Row:
    """Cells of the row that begins at ``line`` (from 1), or why it is ``refused``; ``done`` is the share
    read.
    """

    line: int
    cells: list[str]
    refused: str = ""
    done: float = 0.0


@dataclass(frozen=True, slots=True)
class _Line:
    no: int
    text: str
    end: int
    refused: str = ""


class Sheet:
    """A CSV file: its encoding, delimiter and header are read at once, its rows as they are asked for."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._size = check_ordinary(path, MOST_BYTES, "name a CSV file")
        try:
            self._file: BinaryIO = path.open("rb")
        except OSError as error:
            raise BenchError(f"cannot be read: {error.strerror}", path, "name a CSV file") from error
        self._held: list[_Line] = []
        self._no = 0
        try:
            self.encoding = _encoding_of(self._file)
            self.delimiter, self.header = self._read_header()
        except BenchError:
            self.close()
            raise

    def close(self) -> None:
        """Lets go of the file."""
        self._file.close()

    def rows(self) -> Iterator[Row]:
        """Every row after the header; empty lines are passed over."""
        while (line := self._next()) is not None:
            if line.refused:
                yield Row(line.no, [], line.refused, self._share(line))
            elif line.text.strip():
                yield self._row(line)

    def _row(self, line: _Line) -> Row:
        taken: list[_Line] = []
        text, last = line.text, line
        while text.count('"') % 2 and len(taken) < MOST_LINES and (more := self._next()) is not None:
            taken.append(more)
            if more.refused:
                break
            text, last = text + "\n" + more.text, more
        cells = self._cells(text)
        if cells is not None and len(cells) == len(self.header):
            return Row(line.no, cells, "", self._share(last))
        self._held = taken + self._held
        return Row(line.no, [], self._why(line.text), self._share(line))

    def _cells(self, text: str) -> list[str] | None:
        if text.count('"') % 2:
            return None
        try:
            return next(csv.reader([text], delimiter=self.delimiter, strict=True))
        except (csv.Error, StopIteration):
            return None

    def _why(self, text: str) -> str:
        if text.count('"') % 2:
            return "a quote is opened and not closed"
        cells = self._cells(text)
        if cells is None:
            return "its quotes are out of place"
        return f"{len(cells)} cells where the header has {len(self.header)}"

    def _share(self, line: _Line) -> float:
        return min(1.0, line.end / max(1, self._size))

    def _next(self) -> _Line | None:
        if self._held:
            return self._held.pop(0)
        raw = self._file.readline(LONGEST_LINE)
        if not raw:
            return None
        self._no += 1
        no = self._no
        if len(raw) == LONGEST_LINE and not raw.endswith(b"\n"):
            size = len(raw)
            while raw and not raw.endswith(b"\n"):
                raw = self._file.readline(LONGEST_LINE)
                size += len(raw)
            return _Line(no, "", self._file.tell(), f"{size:,} bytes long; a line may have {LONGEST_LINE:,}")
        return self._decoded(no, raw)

    def _decoded(self, no: int, raw: bytes) -> _Line:
        end = self._file.tell()
        try:
            text = raw.decode(self.encoding).rstrip("\r\n").removeprefix("\ufeff")
        except UnicodeDecodeError as error:
            byte = raw[error.start]
            return _Line(
                no, "", end, f"byte {byte:#04x} at place {error.start + 1} is not {self.encoding.upper()}"
            )
        if "\0" in text:
            return _Line(no, "", end, "it holds a NUL character")
        return _Line(no, text, end)

    def _read_header(self) -> tuple[str, list[str]]:
        line = self._next()
        while line is not None and not line.text.strip() and not line.refused:
            line = self._next()
        if line is None:
            raise BenchError("there is nothing in this file", self.path, "the first line names the columns")
        if line.refused:
            raise BenchError(
                f"the header cannot be read: {line.refused}", self.path, "save it as UTF-8", line.no
            )
        delimiter = max(DELIMITERS, key=line.text.count)
        return delimiter, [cell.strip() for cell in next(csv.reader([line.text], delimiter=delimiter), [])]


def _encoding_of(file: BinaryIO) -> str:
    """UTF-8, unless nothing beyond ASCII in the first megabytes is: then the Windows code page old
    programs write.

    A file that mixes the two is read as UTF-8, and its other lines are refused by number.
    """
    start = file.read(4)
    if start.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        raise BenchError("this is UTF-16", file.name, "save it as CSV in UTF-8")
    file.seek(0)
    good = bad = 0
    for raw in file.read(1 << 22).splitlines()[:-1] or [b""]:
        if not raw.isascii():
            try:
                raw.decode("utf-8")
                good += 1
            except UnicodeDecodeError:
                bad += 1
    file.seek(0)
    return "cp1252" if bad and not good else "utf-8"
