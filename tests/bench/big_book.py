"""Opening, editing and saving a book of 60 titles beside one of 5,000 titles and 20,000 pressings.

Run by hand: ``python tests/bench/big_book.py``. Prints seconds; medians of three.
"""

import statistics
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from benchtui.books.edit import open_edit, save
from benchtui.books.library import Library
from benchtui.books.prepared import prepare

HEAD = '[book]\nname = "Mossgate"\ncompany = "Mossgate"\ncurrency = "GBP"\n'
CLUES = "".join(
    f'\n[[clue]]\nid = "mg-{no}"\nask = "Question {no}"\npart = "disc"\nplace = "label"\n'
    + "".join(f'[[clue.answer]]\nid = "a{k}"\ntext = "answer {k}"\n' for k in range(4))
    for no in range(12)
)


def book_text(titles: int) -> str:
    """Four pressings a title, twelve answers a pressing."""
    made = [HEAD, CLUES]
    for no in range(titles):
        made.append(
            f'\n[[title]]\nid = "t{no}"\nartist = "Artist {no}"\ntitle = "Title {no}"\ncatalogues = ["MS {no}"]\n'
        )
        for p in range(4):
            made.append(
                f'\n[[title.pressing]]\nid = "t{no}/{p}"\nname = "pressing {p}"\nperiod = "[{1960 + p}..{1962 + p}]"\n'
            )
            made.append(
                "[title.pressing.expect]\n" + "".join(f'mg-{c} = "a{(no + p + c) % 4}"\n' for c in range(12))
            )
    return "".join(made)


def median(work: Callable[[], object], times: int = 3) -> float:
    """Seconds of the middle one of so many."""
    found = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        found.append(time.perf_counter() - start)
    return statistics.median(found)


def measured(titles: int) -> dict[str, float]:
    """Each step with a book of so many titles."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "big.toml"
        path.write_text(book_text(titles))
        cache = Path(folder) / "cache"
        found = {
            "first opening": median(lambda: prepare(path, cache), 1),
            "opening again": median(lambda: Library.open([path.parent], cache=cache)),
            "opening to edit": median(lambda: open_edit(path)),
        }
        book, middle, change = open_edit(path), f"t{titles // 2}", iter(range(9))
        found["one pressing changed"] = median(
            lambda: book.change_pressing(middle, f"{middle}/1", {"note": str(next(change))})
        )
        found["saving"] = median(lambda: save(book), 1)
        found["opening after that"] = median(lambda: prepare(path, cache), 1)
        return found


def main() -> None:
    """Both sizes, side by side."""
    small, large = measured(60), measured(5_000)
    print(f"{'':24}{'60 titles':>12}{'5,000':>12}")
    for name in small:
        print(f"{name:24}{small[name] * 1000:9.1f} ms{large[name] * 1000:9.1f} ms")


if __name__ == "__main__":
    main()
