"""A book of 5,000 titles and 20,000 pressings: what it costs at the first start, at every start, and a title.

Run: ``python tests/bench/books_prepared.py``. Medians of several tries; the book is made up here.
"""

import os
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Mapping
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from benchtui.books.library import Library

TITLES, PRESSINGS, TRIES = 5_000, 4, 15

CLUES = "".join(
    f'[[clue]]\nid = "lg-{clue}"\nask = "Clue {clue}"\npart = "disc"\nplace = "label"\n'
    + "".join(f'[[clue.answer]]\nid = "a{answer}"\ntext = "answer {answer}"\n' for answer in range(4))
    for clue in range(40)
)


def large(titles: int) -> str:
    """A book of one company with forty clues."""
    parts = [f'[book]\nname = "Large"\ncompany = "Largo"\ncountry = "XV"\ncurrency = "GBP"\n{CLUES}']
    for title in range(titles):
        parts.append(
            f'[[title]]\nid = "lg-{title}"\nartist = "Voice {title % 700}"\ntitle = "Song {title}"\n'
            f'first = "{1955 + title % 30}"\ncatalogues = ["LG {title}"]\n'
            f'stems = {{ A = "XLG {title} A-", B = "XLG {title} B-" }}\n'
        )
        for pressing in range(PRESSINGS):
            year = 1955 + title % 30 + pressing
            expect = ", ".join(f'lg-{clue} = "a{(clue + pressing) % 4}"' for clue in range(0, 40, 4))
            parts.append(
                f'[[title.pressing]]\nid = "lg-{title}/{pressing}"\nname = "pressing {pressing}"\n'
                f'period = "[{year}..{year + 1}]"\nprice = "{10 + pressing}.00"\nexpect = {{ {expect} }}\n'
            )
    return "".join(parts)


def median_ms(work: Callable[[], object], tries: int = TRIES) -> float:
    """Median time of some tries in milliseconds."""
    times = []
    for _ in range(tries):
        start = time.perf_counter()
        work()
        times.append((time.perf_counter() - start) * 1000)
    return statistics.median(times)


def interleaved_ms(works: Mapping[str, Callable[[], object]], rounds: int = 40) -> dict[str, float]:
    """Medians of several works taken in turn, so that a busy machine slows all of them alike."""
    times: dict[str, list[float]] = {name: [] for name in works}
    for _ in range(rounds):
        for name, work in works.items():
            times[name].append(median_ms(work, 1))
    return {name: statistics.median(taken) for name, taken in times.items()}


def folder_with(parent: Path, titles: int) -> Path:
    """A folder with one book of so many titles."""
    folder = parent / f"books-{titles}"
    folder.mkdir()
    (folder / "large.toml").write_text(large(titles), encoding="utf-8")
    return folder


def main() -> None:
    """Prints one line a figure."""
    with tempfile.TemporaryDirectory() as name:
        cache = Path(name) / "cache"
        few, many = folder_with(Path(name), 50), folder_with(Path(name), TITLES)
        path = many / "large.toml"
        size = path.stat().st_size / 1e6
        print(f"book: {TITLES} titles, {TITLES * PRESSINGS} pressings, {size:.1f} MB of TOML")
        first = median_ms(lambda: Library.open([many], cache=cache), 1)
        print(f"first opening (reads the TOML, prepares): {first:.0f} ms")
        opened = {
            "the universal book alone": lambda: Library.open(cache=cache),
            "with a book of 50 titles": lambda: Library.open([few], cache=cache),
            "with a book of 5,000 titles": lambda: Library.open([many], cache=cache),
        }
        for what, taken in interleaved_ms(opened).items():
            print(f"opening {what}: {taken:.1f} ms")
        library = Library.open([many], cache=cache)
        numbers = iter(range(0, TITLES, 7))
        each = median_ms(lambda: library.title(f"lg-{next(numbers)}"), 300)
        print(f"one title with its pressings, first time: {each:.2f} ms")
        print(f"the same again: {median_ms(lambda: library.title('lg-7'), 300) * 1000:.1f} us")
        print(f"all rows for the completion: {median_ms(lambda: list(library.titles()), 5):.0f} ms")
        os.utime(path)
        touched = median_ms(lambda: Library.open([many], cache=cache), 1)
        print(f"touched, not changed: {touched:.0f} ms")


if __name__ == "__main__":
    main()
