"""A list as dealers have them, whatever it is written in: its columns, and its rows one by one.

What a file is, its first bytes say and not its name: a spreadsheet (.xlsx, .ods, .xls), text parted by
commas, semicolons, tabs or bars, JSON lines, plain lines ``Artist - Title (Number) Year``, each also packed
by gzip or as the only file of a zip. Heading lines above the columns' names are passed over.
"""

import gzip
import io
import json
import tempfile
import zipfile
import zlib
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import islice
from pathlib import Path
from typing import BinaryIO, NamedTuple, cast

from benchtui.base.errors import BenchError
from benchtui.base.reading import check_ordinary
from benchtui.titles import encoding as encodings
from benchtui.titles.columns import COLUMNS
from benchtui.titles.header import IN_ONE, Header, guessed_columns, header_of, names_columns
from benchtui.titles.lines import DELIMITERS, SPACES, Line, Lines, Row, cells_of, rows_of
from benchtui.titles.oneline import HEADER as LINE_HEADER
from benchtui.titles.oneline import cells_of_line, is_plain
from benchtui.titles.workbook import rows_of_workbook

MOST_BYTES = 500_000_000
"""Bytes of a list, unpacked; a million titles have some 100 million."""
LOOKED_AT = 2_000
"""Lines that tell encoding and delimiter."""
HEADINGS = 20
"""Rows among which the one that names the columns is looked for."""
SAMPLE = 3
OURS = ",".join(COLUMNS)
WORKBOOK = frozenset({"xl/workbook.xml", "xl/workbook.bin", "mimetype"})
GZIP, ZIP, OLE = b"\x1f\x8b", b"PK\x03\x04", b"\xd0\xcf\x11\xe0"


FindHeader = Callable[[Sequence[Row], Sequence[str], Path], Header]
"""Among the first rows, with names that are known to be in it."""


class _Naming(NamedTuple):
    """By what the header is known: names that somebody says are in it, and how it is looked for."""

    known: tuple[str, ...]
    find: FindHeader = header_of
    dittos: bool = False
    """Whether a bare quote in a cell repeats the cell above."""


@dataclass
class Sheet:
    """``header`` names the columns; ``encoding`` and ``certain`` say how it was read; ``said`` what a person
    has to know of the reading, line by line.
    """

    path: Path
    header: list[str]
    rows: Callable[[], Iterator[Row]]
    encoding: str = "utf-8"
    said: list[str] = field(default_factory=list)
    close: Callable[[], None] = lambda: None


def open_sheet(
    path: Path,
    encoding: str | None = None,
    mapping: Mapping[str, str] | None = None,
    find: FindHeader = header_of,
    dittos: bool = False,
) -> Sheet:
    """The list in that file. ``encoding``: as somebody says, else guessed; ``mapping``: their names that
    stand for ours, so that they are known in the header; ``find``: which of the first rows is the header;
    ``dittos``: a cell that is one bare quote repeats the cell above, and is no quote that is never closed.

    BenchError where the file or its header cannot be read.
    """
    size = check_ordinary(path, MOST_BYTES, "name a list: a spreadsheet, CSV or text")
    try:
        stream: BinaryIO = path.open("rb")
    except OSError as error:
        raise BenchError(f"cannot be read: {error.strerror}", path, "name a list") from error
    try:
        return _opened(path, stream, size, encoding, _Naming(tuple(mapping or ()), find, dittos))
    except BaseException:
        stream.close()
        raise


def _opened(
    path: Path, stream: BinaryIO, size: int, encoding: str | None, naming: _Naming, packed: bool = False
) -> Sheet:
    start = stream.read(4)
    stream.seek(0)
    if start == OLE or (start == ZIP and _is_workbook(path, stream)):
        return _workbook(path, stream, naming)
    if not start.startswith(GZIP) and start != ZIP:
        return _text(path, stream, size, encoding, naming)
    if packed:
        raise BenchError("it is packed twice", path, "unpack it")
    inside = _unzipped(path, stream) if start == ZIP else _ungzipped(path, stream)
    try:
        size = inside.seek(0, io.SEEK_END)
        inside.seek(0)
        return _opened(path, inside, size, encoding, naming, packed=True)
    except BaseException:
        inside.close()
        raise


def _ungzipped(path: Path, stream: BinaryIO) -> BinaryIO:
    with stream, gzip.GzipFile(fileobj=stream) as packed:
        return _unpacked(path, cast(BinaryIO, packed))


def _unzipped(path: Path, stream: BinaryIO) -> BinaryIO:
    with stream, zipfile.ZipFile(stream) as archive:
        name = _only_name(archive, path)
        try:
            with archive.open(name) as inside:
                return _unpacked(path, cast(BinaryIO, inside))
        except (RuntimeError, NotImplementedError):  # so says zipfile
            raise BenchError("the zip has a password or is packed in a way not known here", path,
                             "unpack it") from None  # fmt: skip


def _workbook(path: Path, stream: BinaryIO, naming: _Naming) -> Sheet:
    with stream:
        name, rows = rows_of_workbook(stream, path)
    first = list(islice(rows, HEADINGS))
    header = naming.find(first, naming.known, path)
    wide = len(header.names)

    def full() -> Iterator[Row]:
        for row in (*first[header.after :], *rows):
            if any(cell.strip() for cell in row.cells):
                beyond = any(cell.strip() for cell in row.cells[wide:])
                why = f"{len(row.cells)} cells, but the header has {wide}" if beyond else ""
                yield Row(row.line, [] if why else (row.cells + [""] * wide)[:wide], why, row.done)

    said = [f"sheet read: {name}"] if name else []
    return Sheet(path, header.names, full, "utf-8", said + header.said)


def _is_workbook(path: Path, stream: BinaryIO) -> bool:
    """Whether the zip is a spreadsheet."""
    try:
        with zipfile.ZipFile(stream) as archive:
            names = set(archive.namelist())
    except (zipfile.BadZipFile, NotImplementedError) as error:
        raise BenchError(f"the zip cannot be read: {error}", path, "zip it again, or unpack it") from None
    stream.seek(0)
    if "[Content_Types].xml" in names and WORKBOOK.isdisjoint(names):
        right = "copy its list into a spreadsheet, or save it as plain text"
        raise BenchError("this is an office document, but no spreadsheet", path, right)
    return not WORKBOOK.isdisjoint(names)


def _only_name(archive: zipfile.ZipFile, path: Path) -> str:
    """The name of the one file that a zip holds, beside those that some systems put in by themselves."""
    names = [
        one
        for one in archive.namelist()
        if not one.endswith("/") and not one.startswith("__MACOSX/") and not Path(one).name.startswith(".")
    ]
    if len(names) != 1:
        raise BenchError(f"the zip holds {len(names)} files", path, "put one list in it, or unpack it")
    return names[0]


def _unpacked(path: Path, packed: BinaryIO) -> BinaryIO:
    """The unpacked text in a file of its own that goes when it is closed."""
    whole = tempfile.TemporaryFile()  # noqa: SIM115 - it is closed with the sheet
    size = 0
    try:
        while piece := packed.read(1 << 20):
            size += len(piece)
            if size > MOST_BYTES:
                raise BenchError(f"unpacked it has over {MOST_BYTES:,} bytes", path, "use a smaller list")
            whole.write(piece)
    except (OSError, EOFError, zipfile.BadZipFile, zlib.error) as error:
        whole.close()
        raise BenchError(f"it cannot be unpacked: {error}", path, "zip it again") from None
    except BenchError:
        whole.close()
        raise
    whole.seek(0)
    return cast(BinaryIO, whole)


def _text(path: Path, stream: BinaryIO, size: int, encoding: str | None, naming: _Naming) -> Sheet:
    start = stream.read(4)
    stream.seek(0)
    sample = list(islice(stream, LOOKED_AT))
    stream.seek(0)
    if sample and sample[0].count(b"\r") > 1 and sample[0].count(b"\r\n") < 2:
        stream, sample = _with_line_ends(stream)
    _refuse_page(sample, path)
    said: list[str] = []
    name, certain = encodings.by_mark(start), True
    if encoding:
        name = encodings.chosen(encoding, path)
    elif not name:
        name, certain = ("utf-8", True) if _is_ours(sample) else encodings.guess(sample)
    if name.startswith("utf-16"):
        stream, name = _as_utf8(path, stream, name), "utf-8"
        sample = list(islice(stream, LOOKED_AT))
        stream.seek(0)
        said.append("read as UTF-16")
    elif not certain:
        said.append(f"encoding guessed: {name}; --encoding says another. Look at these lines:")
        beyond = [line for line in sample if not line.isascii()]
        said += ["  " + line.decode(name, "replace").strip()[:120] for line in beyond[:SAMPLE]]
    elif encoding:
        said.append(f"read as {name}")
    if next((line for line in sample if line.strip()), b"").lstrip(b"\xef\xbb\xbf \t").startswith(b"["):
        return _json_array(path, stream, name, said)
    lines = Lines(path, stream, name, size)
    lines.dittos = naming.dittos
    sheet = _sheet_of(path, lines, [line.decode(name, "replace") for line in sample], naming)
    sheet.encoding, sheet.close = name, stream.close
    sheet.said = said + sheet.said
    return sheet


def _with_line_ends(stream: BinaryIO) -> tuple[BinaryIO, list[bytes]]:
    """The text with the line ends of today in the place of bare carriage returns, and its first lines."""
    whole = tempfile.TemporaryFile()  # noqa: SIM115 - it is closed with the sheet
    while piece := stream.read(1 << 20):
        whole.write(piece.replace(b"\r\n", b"\n").replace(b"\r", b"\n"))
    stream.close()
    whole.seek(0)
    sample = list(islice(whole, LOOKED_AT))
    whole.seek(0)
    return cast(BinaryIO, whole), sample


def _refuse_page(sample: list[bytes], path: Path) -> None:
    """BenchError where the file is a web page, as some programs save one under a spreadsheet's name."""
    start = b"".join(sample[:5]).lstrip(b"\xef\xbb\xbf \t\r\n")[:200].lower()
    if start.startswith((b"<!doctype html", b"<html", b"<table", b"<?xml")):
        right = "open it in a spreadsheet and save it as .xlsx or CSV"
        raise BenchError("this is a web page, whatever its name says", path, right)


def _json_array(path: Path, stream: BinaryIO, encoding: str, said: list[str]) -> Sheet:
    """One JSON array of objects; a row's line is its place in the array."""
    try:
        with stream:
            found = json.loads(stream.read().decode(encoding).removeprefix("\ufeff"))
    except (ValueError, RecursionError) as error:
        raise BenchError(
            f"it is not whole JSON: {error}", path, "write an array of objects, or CSV"
        ) from None
    objects = [one if isinstance(one, dict) else None for one in found]
    header = list(dict.fromkeys(name for one in objects for name in one or ()))
    if not header:
        raise BenchError("the JSON array has no objects in it", path, "write an array of objects, or CSV")

    def rows() -> Iterator[Row]:
        for no, one in enumerate(objects, 1):
            why = "" if one is not None else "this is no JSON object"
            yield Row(no, [_worded((one or {}).get(name)) for name in header], why, no / len(objects))

    return Sheet(path, header, rows, encoding, [*said, "one JSON array; a line is a place in it"])


def _is_ours(sample: list[bytes]) -> bool:
    """Whether the list was written by this program: then nothing in it is guessed."""
    return bool(sample) and sample[0].strip() == OURS.encode()


def _as_utf8(path: Path, stream: BinaryIO, encoding: str) -> BinaryIO:
    whole = tempfile.TemporaryFile()  # noqa: SIM115 - it is closed with the sheet
    try:
        with io.TextIOWrapper(stream, encoding, newline="") as text:
            while piece := text.read(1 << 20):
                whole.write(piece.encode("utf-8", "replace"))
    except UnicodeError as error:
        whole.close()
        raise BenchError(f"it is not whole UTF-16: {error}", path, "save it as UTF-8") from None
    whole.seek(0)
    return cast(BinaryIO, whole)


def _sheet_of(path: Path, lines: Lines, sample: list[str], naming: _Naming) -> Sheet:
    """By what its first lines look like: JSON lines, delimited text or plain lines."""
    full = [line for line in sample if line.strip()]
    if not full:
        raise BenchError("there is nothing in this file", path, "a list of titles, one a line")
    if full[0].strip() == OURS:
        header = _header(path, lines, ",", _Naming(()))
        return Sheet(path, header.names, lambda: rows_of(lines, ",", len(header.names)))
    if full[0].lstrip().startswith("{"):
        return _json_lines(path, lines, full)
    said_by_itself = _separator(full[0])
    if said_by_itself:
        while (line := lines.next()) is not None and not line.text.strip():
            pass
    elif is_plain(full) and not (_has_header(full, naming) or _has_cells(full)):
        plain = ["lines of the form Artist - Title (Number) Year"]
        return Sheet(path, list(LINE_HEADER), lambda: _plain_rows(lines), "utf-8", plain)
    delimiter = said_by_itself or _delimiter(full)
    if not said_by_itself and _is_spaced(full):
        lines.spaced, delimiter = True, "\t"
    header = _header(path, lines, delimiter, naming)
    return Sheet(
        path, header.names, lambda: rows_of(lines, delimiter, len(header.names)), "utf-8", header.said
    )


def _header(path: Path, lines: Lines, delimiter: str, naming: _Naming) -> Header:
    """The header among the first lines; those after it come again as rows."""
    looked = [line for line in (lines.next() for _ in range(HEADINGS)) if line is not None]
    cells = [None if line.refused else cells_of(line.text, delimiter) for line in looked]
    rows = [Row(line.no, found or []) for line, found in zip(looked, cells, strict=True)]
    if looked and looked[0].refused:
        raise BenchError(f"the header cannot be read: {looked[0].refused}", path, "save it as UTF-8", 1)
    header = naming.find(rows, naming.known, path)
    lines.give_back(looked[header.after :])
    return header


def _has_header(full: list[str], naming: _Naming) -> bool:
    """Whether one of the first lines names columns, whatever sign parts them."""
    rows = ((cells_of(line, sign) or [] for sign in DELIMITERS) for line in full[:HEADINGS])
    return any(names_columns(cells, naming.known) for several in rows for cells in several)


def _has_cells(full: list[str]) -> bool:
    """Whether a sign makes cells of the lines: of artist and title, of number or year. A comma parts words
    too: it does where each line has as many, and a column is of numbers.
    """
    sign = _delimiter(full)
    rows = [cells_of(line, sign) or [] for line in full[:HEADINGS]]
    if min(map(len, rows)) < 2:
        return False
    names = guessed_columns(rows) or []
    regular = len(set(map(len, rows))) == 1 and len(rows[0]) > 2 and len(rows) > 1
    return IN_ONE in names and (sign != "," or (regular and "catalogue" in names))


def _separator(first: str) -> str:
    """The delimiter that a first line ``sep=;`` says, as spreadsheets write it."""
    text = first.removeprefix("\ufeff").strip().lower()
    return text[4:5] if text.startswith("sep=") and len(text) <= 5 else ""


def _delimiter(lines: list[str]) -> str:
    """The sign that parts most of the first lines into the same number of cells."""

    def regular(sign: str) -> tuple[int, int]:
        rows = (cells_of(line, sign) for line in lines[:200])  # a sign within quotes parts nothing
        counts = Counter(len(cells) for cells in rows if cells and len(cells) > 1)
        times, of = max(((times, count) for count, times in counts.items()), default=(0, 0))
        return times, of

    return max(DELIMITERS, key=regular)


def _is_spaced(lines: list[str]) -> bool:
    """Whether runs of spaces part the cells of most lines, and nothing else does."""
    spaced = sum(bool(SPACES.search(line.strip())) for line in lines)
    parted = sum(any(sign in line for sign in DELIMITERS) for line in lines)
    return spaced * 10 >= len(lines) * 8 and parted * 2 < len(lines)


def _json_lines(path: Path, lines: Lines, full: list[str]) -> Sheet:
    names: dict[str, None] = {}
    for text in full:
        found = _object(text)
        names |= dict.fromkeys(found or ())
    if not names:
        raise BenchError("its first line is no JSON object", path, "write one JSON object a line, or CSV")
    header = list(names)
    return Sheet(path, header, lambda: _json_rows(lines, header), "utf-8", ["one JSON object a line"])


def _object(text: str) -> dict[str, object] | None:
    try:
        found = json.loads(text)
    except (ValueError, RecursionError):
        return None
    return found if isinstance(found, dict) else None


def _json_rows(lines: Lines, header: list[str]) -> Iterator[Row]:
    while (line := lines.next()) is not None:
        if not line.refused and not line.text.strip():
            continue
        found = None if line.refused else _object(line.text)
        why = line.refused or ("" if found is not None else "this is no JSON object")
        cells = [_worded((found or {}).get(name)) for name in header]
        yield Row(line.no, [] if why else cells, why, lines.share(line))


def _worded(value: object) -> str:
    if value is None or isinstance(value, dict):
        return ""
    return ", ".join(map(_worded, value)) if isinstance(value, list) else str(value)


def _plain_rows(lines: Lines) -> Iterator[Row]:
    while (line := lines.next()) is not None:
        if line.refused:
            yield Row(line.no, [], line.refused, lines.share(line))
        elif line.text.strip():
            yield _plain_row(lines, line)


def _plain_row(lines: Lines, line: Line) -> Row:
    cells = cells_of_line(line.text)
    why = "" if cells else "no ' - ' between artist and title"
    return Row(line.no, cells or [], why, lines.share(line))
