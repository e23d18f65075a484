"""Choices in columns, read downwards: each with its key, its words, and a sign where it is the answer."""

from collections.abc import Sequence
from typing import NamedTuple

from rich.cells import cell_len

from benchtui.bench.packed import told_apart
from benchtui.bench.pieces import Line, Piece, cut, fill, width_of

MOST = 4
GAP = 2
SHORTEST = 6
"""Cells of a choice's words: fewer tell nobody what they stand for."""
LONG_ENOUGH = 18
"""Cells of a choice's words beside which what stands at the right is kept."""


class Entry(NamedTuple):
    """``key`` as it is shown, ``target`` what a click on it presses, ``sign`` behind the words."""

    key: str
    text: str
    target: str = ""
    sign: tuple[Piece, ...] = ()
    style: str = ""
    ends: tuple[str, ...] = ()
    """What stands at the right of its column: see ``Choice.ends``."""

    @property
    def cells(self) -> int:
        """Cells in which all of it can be read, the shortest of its ends among them."""
        end = min((cell_len(words) for words in self.ends if words), default=-2) + 2
        return self.lead + cell_len(self.text) + width_of(self.sign) + end

    @property
    def lead(self) -> int:
        return max(2, cell_len(self.key)) + 1


def rows_wanted(entries: Sequence[Entry], width: int) -> int:
    """Rows in which all of it can be read whole, in as many columns as are wide enough for that."""
    for count in range(MOST, 0, -1):
        rows = -(-len(entries) // count)
        widths = [max(one.cells for one in column) for column in _split(entries, rows)]
        if sum(widths) + GAP * (len(widths) - 1) <= width:
            return rows
    return len(entries)


def in_columns(entries: Sequence[Entry], width: int, rows: int) -> list[Line] | None:
    """At most so many rows, in the fewest columns; None where some of them could not be told apart."""
    if not entries:
        return []
    if rows < 1:
        return None
    count = -(-len(entries) // rows)
    while count <= MOST:
        columns = _split(entries, rows if count > 1 else len(entries))
        lines = _set(columns, width)
        if lines is not None:
            return lines
        count, rows = count + 1, max(1, rows - 1)
        if -(-len(entries) // rows) > MOST:
            return None
    return None


def _split(entries: Sequence[Entry], rows: int) -> list[Sequence[Entry]]:
    return [entries[at : at + rows] for at in range(0, len(entries), rows)]


def _set(columns: list[Sequence[Entry]], width: int) -> list[Line] | None:
    natural = [max(one.cells for one in column) for column in columns]
    spare = width - sum(natural) - GAP * (len(columns) - 1)
    if spare >= 0:
        each = [cells + min(spare // len(columns), 8) for cells in natural]
    else:
        each = _shared(natural, width - GAP * (len(columns) - 1))
    if len(columns) == 1:
        each = [width]
    drawn = [_column(column, cells) for column, cells in zip(columns, each, strict=True)]
    if any(column is None for column in drawn):
        return None
    lines: list[Line] = []
    for at in range(max(map(len, columns))):
        line: Line = []
        for column, cells in zip(drawn, each, strict=True):
            assert column is not None
            line += [*fill(column[at] if at < len(column) else [], cells), (" " * GAP, "")]
        lines.append(line[:-1])
    return lines


def _shared(natural: list[int], room: int) -> list[int]:
    """Cells of each column where not all can have what they want: those that want least have it."""
    each, left = [0] * len(natural), list(range(len(natural)))
    while left:
        share = room // len(left)
        content = [n for n in left if natural[n] <= share]
        for n in content or left:
            each[n] = min(natural[n], share)
            room -= each[n]
        left = [n for n in left if n not in content] if content else []
    return each


def _column(entries: Sequence[Entry], cells: int) -> list[Line] | None:
    texts = [one.text for one in entries]
    found: list[Line] = []
    said: set[str] = set()
    for one in entries:
        room = cells - one.lead - width_of(one.sign)
        shortest = min(one.ends, key=cell_len, default="")
        if shortest and room - cell_len(shortest) - 2 >= LONG_ENOUGH:  # what it allows is cut last
            room -= cell_len(shortest) + 2
        text = told_apart(one.text, texts, room) if room >= SHORTEST or cell_len(one.text) <= room else ""
        if not text or (text in said and text != one.text):
            return None
        said.add(text)
        target = f"@{one.target}" if one.target else ""
        row: Line = [(f"{one.key:<{one.lead}}", f"key{target}"), (text, one.style + target), *one.sign]
        end = _end(one.ends, cells - width_of(row) - 2)
        found.append([*fill(row, cells - width_of(end)), *end] if end else row)
    return found


def _end(ends: tuple[str, ...], left: int) -> Line:
    """What stands at the right in so many cells; nothing where too little of it could be read."""
    end = next((words for words in ends if cell_len(words) <= left), "")
    if not end and "" in ends and left >= LONG_ENOUGH:
        return cut([(min(filter(None, ends), key=cell_len), "dim")], left)
    return [(end, "dim")] if end else []
