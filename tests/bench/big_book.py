"""Opening, editing and saving a book of 60 titles beside one of 5,000 titles and 20,000 pressings.

Run by hand: ``python tests/bench/big_book.py`` (milliseconds on the clock; medians of three), and
``python tests/bench/big_book.py --bench``: what each key on the bench takes, and the longest single step of the
work between the keys (the coach, another dealer's book), in milliseconds of processor time.
"""

import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "bench_app"))

from bench_hands import Hands, sit_down

from benchtui.books.edit import open_edit, save
from benchtui.books.library import Library
from benchtui.books.prepared import prepare
from benchtui.desk.queue.background import work_on
from benchtui.store import Shop

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


MOST = 4.0
"""Seconds of the work between the keys that are looked at."""


class Timed:
    """Hands at a shop of such a book, whose keys are timed."""

    def __init__(self, folder: Path, titles: int) -> None:
        shop = folder / "shop"
        Shop.create(shop, currency="GBP").close()
        (shop / "books").mkdir(exist_ok=True)
        (shop / "books" / "own.toml").write_text(book_text(titles))
        theirs = book_text(titles).replace('"Mossgate"', '"Other"').replace("mg-", "og-")
        self.other = folder / "other.toml"
        self.other.write_text(theirs.replace('id = "t', 'id = "o'))
        self.found: dict[str, float] = {}
        start = time.process_time()
        self.hands = sit_down(shop)
        self.found["the bench opened first"] = time.process_time() - start
        if self.hands.desk.open.page is not None:
            self.hands.key("escape")

    def do(self, name: str, work: Callable[[Hands], object]) -> None:
        """A key, and the longest step of what goes on after it."""
        start = time.process_time()
        work(self.hands)
        self.found[name] = time.process_time() - start
        longest, begun, on = 0.0, time.process_time(), True
        while on and time.process_time() - begun < MOST:
            start = time.process_time()
            on = work_on(self.hands.desk)
            longest = max(longest, time.process_time() - start)
        if longest > 0.001:
            self.found[f"{name}: longest step"] = longest

    def find(self, words: str) -> Callable[[Hands], object]:
        """A command by its words."""
        return lambda hands: hands.do("commands").type(words).key("enter")


def at_the_bench(titles: int) -> dict[str, float]:
    """Keys of the book's pages, in seconds."""
    with tempfile.TemporaryDirectory() as folder:
        timed = Timed(Path(folder), titles)
        timed.do("all titles", timed.find("book titles"))
        timed.do("one found", lambda hands: hands.do("book-find").enter(f"title {titles // 2}"))
        timed.do("a cell", lambda hands: hands.key(*["right"] * 8, "enter").enter("a note"))
        timed.do("the next cell", lambda hands: hands.key("enter").enter("another"))
        timed.do("undo", lambda hands: hands.do("page-undo"))
        timed.do("a pressing", lambda hands: hands.key("insert").enter("late one"))
        told = "disc label: tint / green ..1963 / orange 1964.."
        timed.do("a question", lambda hands: hands.key(";").enter(told))
        timed.hands.key("escape")
        timed.do("a title", lambda hands: hands.key("insert").enter("Ada Quern - Dry Side - MS 99991 - 1962"))
        timed.hands.key("escape", "escape")
        timed.find("what came in when")(timed.hands)
        timed.do("a lane", lambda hands: hands.key(";").enter(told.replace("tint", "rim")))
        timed.do("a state", lambda hands: hands.key("insert").enter("gold 1970.."))
        timed.hands.key("escape")
        timed.do("the coach", timed.find("what to do next"))
        timed.hands.key("escape")
        timed.find("compare another")(timed.hands)
        timed.do("another book", lambda hands: hands.enter(str(timed.other)))
        timed.hands.leave()
    return timed.found


def main() -> None:
    """Both sizes, side by side."""
    work = at_the_bench if "--bench" in sys.argv else measured
    small, large = work(60), work(5_000)
    print(f"{'':34}{'60 titles':>12}{'5,000':>12}")
    for name in small | large:
        print(f"{name:34}" + "".join(f"{one.get(name, 0) * 1000:9.1f} ms" for one in (small, large)))


if __name__ == "__main__":
    main()
