"""``benchtui titles FILE.csv``: takes in a list, or undoes the last one."""

from collections.abc import Callable, Iterable, Sequence
from pathlib import Path

from benchtui.base.errors import BenchError
from benchtui.titles.columns import COLUMNS
from benchtui.titles.lists import undo_take_in
from benchtui.titles.piece import Piece
from benchtui.titles.report import CHOICES, Choice
from benchtui.titles.takein import take_in


def run(
    shop: Path,
    file: str | None,
    maps: Sequence[str] = (),
    doubtful: str | None = None,
    undo: bool = False,
    known: Iterable[Piece] = (),
    say: Callable[[str], object] = print,
    progress: Callable[[float], object] | None = None,
    encoding: str | None = None,
) -> int:
    """Does it for the shop in that folder and returns the exit code: 1 where lines were refused, or doubtful
    ones left undecided; raises BenchError for bad input.

    ``maps``: texts ``THEIRS=OURS``. ``known``: titles that stand in no list (books, made on the bench).
    The report goes to ``say`` line by line, the share done to ``progress``; what that raises stops it, and
    nothing is taken in.
    """
    folder = shop / "titles"
    if undo:
        if file:
            raise BenchError("--undo takes no file", "", "leave out the file: it takes out the last list")
        say(f"{undo_take_in(folder)} was taken out again")
        return 0
    if not file:
        raise BenchError("which list?", "benchtui titles", "name a list, or say --undo")
    report = take_in(
        Path(file), folder, read_maps(maps), _choice(doubtful or "keep"), known, progress, encoding=encoding
    )
    for line in report.told():
        say(line)
    left = report.doubts and doubtful is None
    if left:
        say("doubtful ones are kept as titles of their own: --doubtful merge or skip decides otherwise")
    return 1 if left or report.refused else 0


def read_maps(maps: Sequence[str]) -> dict[str, str]:
    """``THEIRS=OURS`` texts as a dictionary; several may be parted by commas."""
    pairs: dict[str, str] = {}
    for text in (part for one in maps for part in one.split(",")):
        theirs, _, ours = text.rpartition("=")
        if not theirs.strip() or not ours.strip():
            right = f"write THEIRS=OURS; ours are {', '.join(COLUMNS)}, or a country's code"
            raise BenchError(f"{text!r} does not map a column", "--map", right)
        pairs[theirs.strip()] = ours.strip()
    return pairs


def _choice(doubtful: str) -> Choice:
    for choice in CHOICES:
        if choice == doubtful:
            return choice
    raise BenchError(f"{doubtful!r} is not a rule", "--doubtful", "use keep, merge or skip")
