"""What changed since the intake was handed out last: only that is handed out, with a word for each row.

Each hand-out of a layout, or of the plain intake, is noted by number in ``exports/handed-out``: of every
record in it a digest of its row, and its price. A dealer who lists in several places has a layout for each,
and so a series for each: a record sold comes as ``gone`` in the next hand-out of every one.
"""

import hashlib
import json
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import NamedTuple

from benchtui.base.errors import BenchError
from benchtui.export.files import write_whole
from benchtui.export.table import Column, Row, Table

FOLDER = Path("exports") / "handed-out"
CHANGE = Column("change", "text", "new, changed, price, gone: what happened since the last export")
LAST = "last"
PRICE = ("money_price", "money_currency")
UNSTEADY = ("pressing_chance", "money_price_how")
"""Columns that may differ though nothing happened to the record."""
NAMED = ("stock_number", "title_artist", "title_name")


class Listed(NamedTuple):
    """One record of a hand-out: digest of its row without the price, the price, and what it is called."""

    row: str
    price: str
    named: tuple[str, ...]


class HandOut(NamedTuple):
    """Hand-out ``number`` of a series, with the records that were in it by stock number."""

    number: int
    records: Mapping[str, Listed]


def listed(rows: Iterable[Mapping[str, str]]) -> dict[str, Listed]:
    """What a hand-out of these rows of the intake notes, by stock number."""
    found = {}
    for row in rows:
        steady = [f"{name}\0{cell}" for name, cell in row.items() if name not in (*PRICE, *UNSTEADY)]
        digest = hashlib.sha256("\0\0".join(steady).encode("utf-8", "surrogatepass")).hexdigest()[:32]
        price = " ".join(row[name] for name in PRICE)
        found[row["stock_number"]] = Listed(digest, price, tuple(row[name] for name in NAMED))
    return found


def changed(before: Mapping[str, Listed], now: Mapping[str, Listed]) -> dict[str, str]:
    """Stock number -> ``new``, ``changed``, ``price`` or ``gone``, of those that are not as they were."""
    words = {}
    for number, one in now.items():
        old = before.get(number)
        if old is None:
            words[number] = "new"
        elif old.row != one.row:
            words[number] = "changed"
        elif old.price != one.price:
            words[number] = "price"
    return words | {number: "gone" for number in before if number not in now}


def changes_table(
    table: Table,
    numbers: Sequence[str],
    words: Mapping[str, str],
    before: Mapping[str, Listed],
    takes: Mapping[str, str],
) -> Table:
    """The rows that changed with their word in front, then what is gone, by name only.

    ``numbers``: the stock number of each row; ``takes``: column -> the column of the intake it shows.
    """
    rows: list[Row] = [
        (words[number], *row) for number, row in zip(numbers, table.rows, strict=True) if number in words
    ]
    for number in sorted(number for number, word in words.items() if word == "gone"):
        names = dict(zip(NAMED, before[number].named, strict=True))
        rows.append(("gone", *(names.get(takes.get(column, column), "") for column in table.names)))
    return Table((CHANGE, *table.columns), tuple(rows))


def series(shop: Path, name: str) -> Path:
    """The folder of the hand-outs of a layout, or of the plain intake."""
    return shop / FOLDER / name


def hand_out_since(shop: Path, name: str, since: str) -> HandOut:
    """The hand-out to compare with: ``last``, or its number; number 0 holds nothing, and is the first one's.

    BenchError for what is neither, for one that is not there, and for a note that cannot be read.
    """
    there = _numbers(series(shop, name))
    number = there[-1] if since == LAST and there else 0 if since == LAST else _number(since)
    if number == 0:
        return HandOut(0, {})
    if number not in there:
        right = f"give last, or {there[0]} to {there[-1]}" if there else "give last: nothing was exported yet"
        raise BenchError(f"there is no export {number} of {name}", "--changes-since", right)
    path = series(shop, name) / f"{number}.json"
    try:
        kept = json.loads(path.read_text(encoding="utf-8"))
        records = {str(key): Listed(row, price, tuple(named)) for key, (row, price, named) in kept.items()}
    except (OSError, ValueError, TypeError, AttributeError) as error:
        raise BenchError(
            f"the note of export {number} cannot be read", path, "give an earlier number"
        ) from error
    return HandOut(number, records)


def _number(text: str) -> int:
    if not text.isdecimal() or len(text) > 6:
        raise BenchError(
            f"{text[:40]!r} is not the number of an export", "--changes-since", "give last, or its number"
        )
    return int(text)


def _numbers(folder: Path) -> list[int]:
    return sorted(int(path.stem) for path in folder.glob("*.json") if path.stem.isdecimal())


def note(shop: Path, name: str, records: Mapping[str, Listed]) -> int:
    """Notes a hand-out, once its file is written; gives its number."""
    folder = series(shop, name)
    number = (_numbers(folder) or [0])[-1] + 1
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise BenchError(f"the folder cannot be made: {error.strerror or error}", folder) from error
    kept = {key: [one.row, one.price, one.named] for key, one in records.items()}
    write_whole(folder / f"{number}.json", json.dumps(kept, ensure_ascii=False, indent=0).encode())
    return number
