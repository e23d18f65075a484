"""A book, scale or faults file spoilt at random ends in one clear line, never in a traceback."""

import random
from collections.abc import Callable
from pathlib import Path

import pytest

from benchtui.base.errors import BenchError
from benchtui.books import faults, scales
from benchtui.books.check import check_books
from benchtui.books.library import Library

VALUES = [
    "1",
    "-1",
    "1.5",
    "true",
    "[]",
    "{}",
    '""',
    '"x"',
    "[1]",
    '["a"]',
    "{a=1}",
    "1979-05-27",
    "nan",
    "inf",
]
TRIES = 15


def mangled(text: str, rng: random.Random) -> str:
    """The text with one to three lines spoilt."""
    lines = text.split("\n")
    for _ in range(rng.randint(1, 3)):
        at = rng.randrange(len(lines))
        key, equals, _ = lines[at].partition("=")
        how = rng.random()
        if equals and how < 0.6:
            lines[at] = f"{key}= {rng.choice(VALUES)}"
        elif how < 0.7:
            lines.insert(at, rng.choice(lines))
        elif how < 0.8:
            lines[at] = lines[at].replace("[[", "[").replace("]]", "]")
        elif lines[at]:
            spot = rng.randrange(len(lines[at]))
            lines[at] = lines[at][:spot] + rng.choice('[]{}"=,.\x00aé#') + lines[at][spot + 1 :]
    return "\n".join(lines)


def opened(folder: Path) -> None:
    library = Library.open([folder])
    library.title("t-tide")
    list(library.titles())
    if library.aside:  # nothing keeps the rest from being used: what is said is what is left out
        raise BenchError(library.aside[0])


def refusal(read: Callable[[Path], object], folder: Path) -> str:
    """The one line with which reading ends, "" where it goes well; any other exception fails the test."""
    try:
        read(folder)
    except BenchError as error:
        return error.one_line()
    return ""


@pytest.mark.parametrize(
    ("name", "read"),
    [
        ("tarrowick.toml", opened),
        ("scales.toml", lambda folder: scales.load_scales([folder])),
        ("faults.toml", lambda folder: faults.load_faults([folder])),
    ],
)
def test_what_cannot_be_read_is_one_line_and_check_tells_it_too(
    books: Path, name: str, read: Callable[[Path], object]
) -> None:
    shipped = {"scales.toml": scales.SHIPPED, "faults.toml": faults.SHIPPED}.get(name, books / name)
    text = shipped.read_text(encoding="utf-8")
    rng, refused = random.Random(7), 0
    for _ in range(TRIES):
        (books / name).write_text(mangled(text, rng), encoding="utf-8")
        problems = check_books([books])
        assert all("\n" not in problem.one_line() for problem in problems)
        if said := refusal(read, books):
            refused += 1
            assert "\n" not in said
            assert str(books / name) in said
            assert problems
    assert refused > TRIES / 10
