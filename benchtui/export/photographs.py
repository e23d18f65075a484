"""Photographs from a camera's folder, matched to the records they show.

Each record's slip is photographed first, so every picture after it is that record's until the next slip: the
same order as the shot list (``shots``). A slip is known by the bar code on it, or a file by its name where
that begins with a stock number. A slip that cannot be read would give its record's pictures to the one before
it; so a record that has more pictures than its shot list is not matched, and asked about.
"""

import hashlib
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal

from benchtui.base.errors import BenchError

SUFFIXES = frozenset({".jpg", ".jpeg", ".png", ".tif", ".tiff", ".webp", ".bmp", ".gif"})
UNREADABLE = "?"
"""What a reader says of a bar code that is there and cannot be read."""
NOBODY = "-"
"""Said by a person in place of a stock number: a picture of no record, such as a slip that was not read."""
Reader = Callable[[Path], str]
"""The text of the bar code in a picture; "" for none, ``UNREADABLE`` for one that cannot be read."""
Why = Literal[
    "",
    "left out",
    "no slip before it",
    "a slip that cannot be read",
    "an unknown number",
    "more than its list",
]


@dataclass(slots=True)
class Group:
    """The pictures of one slip. ``number``: of the record, "" where no slip told; ``slip``: the file of the
    slip; ``pictures`` in their order; ``why`` they are asked about, "" where they are matched.
    """

    number: str
    slip: Path | None = None
    pictures: list[Path] = field(default_factory=list)
    why: Why = ""
    chosen: bool = False


def pictures_in(folder: Path) -> list[Path]:
    """The pictures of a folder in the order of their names, numbers by value. BenchError if unreadable."""
    try:
        found = [path for path in folder.iterdir() if path.suffix.lower() in SUFFIXES and path.is_file()]
    except OSError as error:
        raise BenchError(f"the folder cannot be read: {error.strerror or error}", folder) from error
    return sorted(found, key=lambda path: _by_number(path.name))


def _by_number(name: str) -> list[tuple[int, str]]:
    return [
        (int(one), "") if one.isdecimal() else (-1, one) for one in re.split(r"([0-9]+)", name.casefold())
    ]


def matched(
    files: Sequence[Path], read: Reader, expected: Mapping[str, int], given: Mapping[str, str]
) -> list[Group]:
    """The pictures in groups, each of one record.

    ``expected``: stock number -> how many pictures its shot list has, the slip left out; ``given``: name of a
    file -> the number of which it is the first picture, or ``NOBODY``, as a person said.
    """
    groups: list[Group] = []
    for path in files:
        if path.name in given:
            groups.append(Group(given[path.name], pictures=[path], chosen=True))
            continue
        number, is_slip = _number_of(path, read, expected)
        if number and not (groups and groups[-1].number == number and not is_slip):
            groups.append(Group(number, path if is_slip else None))
        if not is_slip:
            (groups or _first(groups))[-1].pictures.append(path)
    for group in groups:
        group.why = _why(group, expected)
    return groups


def _first(groups: list[Group]) -> list[Group]:
    groups.append(Group(""))
    return groups


def _number_of(path: Path, read: Reader, expected: Mapping[str, int]) -> tuple[str, bool]:
    """The stock number that a picture names, and whether it is a picture of a slip."""
    text = read(path).strip()
    if text:
        return text, True
    named = next((one for one in expected if path.name.upper().startswith(f"{one.upper()}-")), "")
    return named, False


def _why(group: Group, expected: Mapping[str, int]) -> Why:
    if group.number == NOBODY:
        return "left out"
    if group.number == UNREADABLE:
        return "a slip that cannot be read"
    if not group.number:
        return "no slip before it"
    if group.number not in expected:
        return "an unknown number"
    if len(group.pictures) > expected[group.number] and not group.chosen:
        return "more than its list"
    return ""


def digest_of(path: Path) -> str:
    """SHA-256 of a file, as hexadecimal digits. BenchError where it cannot be read."""
    try:
        with path.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()
    except OSError as error:
        raise BenchError(f"the picture cannot be read: {error.strerror or error}", path) from error


def bar_codes() -> Reader:
    """Reads the bar code of a slip (Code 128) by zxing-cpp. BenchError where that is not installed."""
    try:
        import zxingcpp
        from PIL import Image, UnidentifiedImageError
    except ImportError as error:
        right = "pip install 'benchtui[photographs]', or name the files by the shot list and add --by-name"
        raise BenchError("the reader of bar codes is not installed", right=right) from error

    def read(path: Path) -> str:
        try:
            with Image.open(path) as picture:
                codes = zxingcpp.read_barcodes(
                    picture.convert("L"),
                    formats=zxingcpp.BarcodeFormats(zxingcpp.BarcodeFormat.Code128),
                    return_errors=True,
                )
        except (OSError, UnidentifiedImageError, ValueError, Image.DecompressionBombError) as error:
            raise BenchError(f"this is no picture that can be read: {error}", path) from error
        good = [code.text for code in codes if code.valid and code.text]
        return good[0] if good else UNREADABLE if codes else ""

    return read


def by_name(path: Path) -> str:
    """No bar codes are read: only names of files tell."""
    return ""


def lines_of(groups: Iterable[Group], names: Mapping[str, str]) -> list[str]:
    """What became of each group, in a line, and of those asked about what to type. ``names``: by number."""
    told = []
    for group in groups:
        count = len(group.pictures)
        pictures = "1 picture" if count == 1 else f"{count} pictures"
        first = group.pictures[0].name if group.pictures else ""
        if not group.why:
            name = names.get(group.number, "")
            told.append(f"{group.number} {name}: {pictures}".replace(" :", ":"))
            continue
        if group.why == "left out":
            told.append(f"left out: {first}, {pictures}")
            continue
        after = f" after {group.slip.name}" if group.slip else ""
        told.append(f"ASKED: {pictures}{after}: {_said(group)}")
        if first:
            last = f" to {group.pictures[-1].name}" if count > 1 else ""
            told.append(
                f"  {first}{last}: say --first {first}=NUMBER, once for each record's first picture;"
                f" {NOBODY} in place of NUMBER leaves out a slip"
            )
    return told


def _said(group: Group) -> str:
    if group.why == "more than its list":
        return f"{group.number} has more than its shot list, a slip may not have been read"
    if group.why == "an unknown number":
        return f"no record in stock has the number {ascii(group.number)[1:-1][:40]}"
    return group.why
