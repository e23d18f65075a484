"""Everything that is wrong with the books, scales and faults of some folders, told with file and line."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from benchtui.base.errors import BenchError
from benchtui.books.check_clues import (
    check_answers_added,
    check_cipher,
    check_clue,
    check_instead,
    check_numbering,
)
from benchtui.books.check_scales import check_scales, problem_of
from benchtui.books.check_titles import check_passing, check_pressing, check_title
from benchtui.books.library import book_files
from benchtui.books.read import book_faults, read_answers, read_cipher, read_clues, read_head, read_numbering
from benchtui.books.read_titles import read_pressing, read_title
from benchtui.books.row import Faults, Problem, Row, one_of
from benchtui.books.shape import BookHead, BookTitle, Clue
from benchtui.books.toml_file import parse_toml, read_bytes
from benchtui.books.whole import read_added

__all__ = ["Problem", "check_books"]


@dataclass
class Seen:
    """What all books together know, for what one book says of another's."""

    clues: dict[str, Clue] = field(default_factory=dict)
    whole: dict[str, Clue] = field(default_factory=dict)
    """The same, each with the answers that other books add to it."""
    titles: dict[str, BookTitle] = field(default_factory=dict)
    pressings: dict[str, str] = field(default_factory=dict)
    added: set[str] = field(default_factory=set)
    """Pressings that a book adds to another's title."""
    ciphers: set[str] = field(default_factory=set)
    made: frozenset[str] = frozenset()
    """Titles that the shop has and no book."""


@dataclass
class _Book:
    """One file while it is checked."""

    top: Row
    faults: Faults
    head: BookHead
    clues: list[tuple[Row, Clue]]
    titles: list[tuple[Row, BookTitle]]


def check_books(folders: Sequence[Path] = (), made: Collection[str] = ()) -> list[Problem]:
    """Every fault of the universal book, of the folders' books, and of the scales and faults that hold there.

    Opening a library raises the first fault that keeps a book from being read; this tells those and also
    what can be read but cannot be meant: unknown answers, a pressing before its title, a letter twice in a
    cipher ... ``made``: ids of titles that no book has and a question may be asked of all the same.
    """
    problems: list[Problem] = []
    books: list[_Book] = []
    for path in book_files(folders):
        try:
            books.append(_read(path))
        except BenchError as error:
            problems.append(problem_of(error))
    seen = Seen(made=frozenset(made))
    for book in books:
        _gather(book, seen)
    seen.whole = dict(seen.clues)
    for book in books:
        _gather_added(book, seen)
    for book in books:
        _check(book, seen)
        problems += book.faults.problems()
    return list(dict.fromkeys(problems + check_scales(folders)))


def _read(path: Path) -> _Book:
    data = read_bytes(path)
    faults = Faults(path, lambda: data.decode("utf-8-sig"))
    top = book_faults(parse_toml(data, path), faults)
    head = read_head(top.one("book"), path.stem, str(path), "")
    clues = [(row, clue) for row in top.rows("clue") for clue in read_clues(row, head)]
    titles = [(row, read_title(row, head)) for row in top.rows("title")]
    return _Book(top, faults, head, clues, titles)


def _gather(book: _Book, seen: Seen) -> None:
    """Ids are told where they come a second time, in this book or in another."""
    for row, clue in book.clues:
        if clue.id in seen.clues:
            other = seen.clues[clue.id].book
            row.wrong(
                "id", f"the clue {clue.id!r} is defined twice, also in {other!r}", "give it an id of its own"
            )
        seen.clues.setdefault(clue.id, clue)
    for row, title in book.titles:
        if title.id in seen.titles:
            other = seen.titles[title.id].book
            row.wrong(
                "id",
                f"the title {title.id!r} is defined twice, also in {other!r}",
                "give it an id of its own",
            )
        seen.titles.setdefault(title.id, title)
        for entry, pressing in zip(row.rows("pressing"), title.pressings, strict=True):
            if pressing.id in seen.pressings:
                where = f"also under {seen.pressings[pressing.id]!r}"
                what = f"the pressing {pressing.id!r} is defined twice, {where}"
                entry.wrong("id", what, "give it an id of its own")
            seen.pressings.setdefault(pressing.id, title.id)
    for row in book.top.rows("cipher"):
        seen.ciphers.add(row.text("id"))
    for row in book.top.rows("add"):
        seen.added |= {entry.text("id") for entry in row.rows("pressing")}


def _gather_added(book: _Book, seen: Seen) -> None:
    """Answers that the book adds to clues of other books."""
    for row in book.top.rows("add"):
        if (clue := seen.whole.get(row.text("clue"))) is not None:
            seen.whole[clue.id] = clue._replace(answers=(*clue.answers, *read_answers(row)))


def _check(book: _Book, seen: Seen) -> None:
    for row, clue in book.clues:
        if clue.id == row.text("id"):  # a clue asked of several parts is checked once
            check_clue(row, clue, seen.whole[clue.id], seen.titles.keys() | seen.made)
            check_instead(row, clue, seen.clues)
    for row in book.top.rows("cipher"):
        check_cipher(row, read_cipher(row))
    rules = [(row, read_numbering(row, book.head)) for row in book.top.rows("numbering")]
    check_numbering(rules)
    every = seen.pressings.keys() | seen.added
    for row, title in book.titles:
        check_title(row, title, seen.whole, seen.ciphers)
        for entry, pressing in zip(row.rows("pressing"), title.pressings, strict=True):
            check_pressing(entry, pressing, title, seen.whole)
            check_passing(entry, pressing, every)
    _check_added(book, seen, every)


def _check_added(book: _Book, seen: Seen, every: Collection[str]) -> None:
    read_added(book.top, book.head)
    for row in book.top.rows("add"):
        clue, title = row.text("clue"), row.text("title")
        if clue and clue not in seen.clues:
            row.wrong("clue", f"no book has a clue {clue!r}", one_of(clue, sorted(seen.clues)))
        elif clue:
            check_answers_added(row, seen.clues[clue], seen.whole[clue])
        elif title and title not in seen.titles:
            row.wrong("title", f"no book has a title {title!r}", "use the id of a title in a book")
        elif title:
            for entry in row.rows("pressing"):
                pressing = read_pressing(entry, book.head)
                check_pressing(entry, pressing, seen.titles[title], seen.whole)
                check_passing(entry, pressing, every)
