"""Another dealer's book beside mine, on the bench: what is the same, what is asked, all taken in at once."""

from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor, wait
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from typing import NamedTuple

from benchtui.base.errors import BenchError
from benchtui.books.blocks import LARGE
from benchtui.books.from_bench import OWN_BOOK
from benchtui.books.ladder import is_grown
from benchtui.books.library import Library
from benchtui.books.shape import BookHead, Pressing
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Choice, Desk, Menu, OpenLine, Page
from benchtui.desk.line.lines import LINES, LineKind, close_line, open_line, typed_path
from benchtui.desk.own_book.growing import books_changed
from benchtui.knowledge.asked import target_of
from benchtui.knowledge.merge import merge
from benchtui.knowledge.other import Beside, Comparison, Told, lines_of
from benchtui.knowledge.reading import other_book
from benchtui.model.span import dots_text

STEP = 0.01
"""Seconds that the bench waits at a time for a book that is being read."""
TOLD = {"new": "is one you do not have", "skip": "leave it out"}


@dataclass
class Merging:
    """Their book, what was said of it so far, and the comparison as it is with that, once it is made.

    ``lines``: the comparison in words.
    """

    path: Path
    head: BookHead
    beside: Beside
    told: dict[str, str] = field(default_factory=dict)
    found: Comparison | None = None
    lines: list[str] = field(default_factory=list)


class Item(NamedTuple):
    """A row that can be marked: one of theirs; ``mine``: id and name of each of mine that it may be."""

    key: str
    what: str
    words: str
    mine: tuple[tuple[str, str], ...] = ()
    said: str = ""


def merging_of(desk: Desk) -> Merging | None:
    """Their book, while its page is open."""
    page = desk.open.page
    return page.data.get("merging") if page is not None and page.name == "other-book" else None


@command(
    "book-beside",
    "bench",
    "compare another dealer's book with yours, and merge it in",
    short="merge a book",
    group="Book",
    also="diff merge other dealer book compare take in",
    changes="nothing",
    offered=165,
    order=2015,
)
def open_other(desk: Desk) -> None:
    """Ask for the file of their book."""
    desk.say("")
    about = "the path of the other dealer's book (.toml); nothing is written before you say so"
    open_line(desk, "other-book", "their book", about=about)


def _take_path(desk: Desk, line: OpenLine) -> None:
    path = typed_path(desk, line)
    if path is None:
        return
    if any(Path(one.path).resolve() == path.resolve() for one in desk.library.books()):
        raise BenchError(
            f"{path.stem} is one of the shop's books already", path, "name another dealer's file"
        )
    large = path.is_file() and path.stat().st_size > LARGE
    book = None if large else other_book(str(path), desk.shop.path / "books")
    close_line(desk)
    desk.open.page = Page("other-book", data={"done": 0.0})
    desk.say("")
    desk.place()
    desk.background.job = _beside(desk, path, book)


def _beside(desk: Desk, path: Path, book: tuple[Library, BookHead] | None) -> Iterator[None]:
    """Their book read, a large one in a thread of its own, and then compared."""
    page = desk.open.page
    yield  # the page says that it is being read before it is
    if book is None:
        pool = ThreadPoolExecutor(1)
        reading = pool.submit(other_book, str(path), desk.shop.path / "books")
        pool.shutdown(wait=False)
        while not reading.done():
            wait([reading], STEP)
            yield
            if desk.open.page is not page:
                return
        book = reading.result()
    if page is not None and desk.open.page is page:
        theirs, head = book
        merging = Merging(path, head, Beside(desk.library, theirs, head.id))
        page.data["merging"] = merging
        yield from _comparing(desk, merging.beside.look(Told(merging.told)))


def _comparing(desk: Desk, steps: Iterator[float]) -> Iterator[None]:
    """The comparison, a step at a time; it ends where the page is left."""
    page, merging = desk.open.page, merging_of(desk)
    for done in steps:
        if page is None or desk.open.page is not page:
            return
        page.data["done"] = done
        yield
    if page is not None and merging is not None:
        page.data["done"] = 1.0
        _show(desk, merging)


def _show(desk: Desk, merging: Merging) -> None:
    merging.found = merging.beside.found
    merging.lines = lines_of(merging.found)
    left = len(merging.found.asked)
    desk.say(f"nothing is written yet; {left} to decide" if left else "nothing is written yet")


def _said(desk: Desk, merging: Merging, theirs: str) -> None:
    """The comparison with what was just said of one of theirs: what is asked at once, the rest meanwhile."""
    page = desk.open.page
    steps = merging.beside.again(Told(merging.told), theirs)
    if next(steps, None) is not None and page is not None:
        page.data["done"] = 0.0
        desk.background.job = _comparing(desk, steps)
    _show(desk, merging)


def is_comparing(desk: Desk) -> bool:
    """Whether the comparison is still being made."""
    page = desk.open.page
    return page is not None and float(page.data.get("done", 1.0)) < 1


def items(desk: Desk) -> list[Item]:
    """First what writes it all, then what is asked, then what was decided."""
    merging = merging_of(desk)
    if merging is None or merging.found is None:
        return []
    asked = list(_asked(merging.found, desk.library))
    left = f"{len(asked)} left out until decided" if asked else "all is decided"
    if out := merging.found.no_digit:
        left = f"{left}; no digit is left, left out: {'; '.join(out)}"
    decided = [
        Item(f"said:{one}", "decided", f"{one}: {TOLD.get(mine, f'is {mine}')}", said=one)
        for one, mine in merging.told.items()
    ]
    return [Item("write", "take it in", left), *asked, *decided]


def _asked(found: Comparison, mine: Library) -> Iterator[Item]:
    for title in found.titles:
        if title.how == "doubtful":
            known = [(card.id, mine.title(card.id)) for card in title.maybe]
            may = tuple((one, f"{it.artist} - {it.title}" if it else one) for one, it in known)
            yield Item(title.theirs.id, "title", f"{title.theirs.artist} - {title.theirs.title}", may)
    for clue in found.clues:
        if clue.how == "doubtful":
            may = tuple((one.id, f"{one.ask} ({one.part}, {one.place})") for one in clue.maybe)
            answers = " / ".join(answer.text for answer in clue.theirs.answers[:5])
            yield Item(clue.theirs.id, "question", f"{clue.theirs.ask}: {answers}", may)
    for pressing in found.pressings:
        if pressing.how == "doubtful":
            may = tuple((one.id, _told_apart(one)) for one in pressing.maybe)
            named = (
                f"{pressing.title.theirs.title}: {pressing.theirs.name}, {dots_text(pressing.theirs.period)}"
            )
            yield Item(pressing.theirs.id, "pressing", named, may)


def _told_apart(one: Pressing) -> str:
    """Of one grown here: that it passes to theirs, with its copies."""
    grown = ", grown here: its copies are theirs then" if is_grown(one) else ""
    return f"{one.name}, {dots_text(one.period)}{grown}"


def open_item(desk: Desk) -> None:
    """What can be decided of the marked row."""
    one, merging = desk.open.marked_of(items(desk)), merging_of(desk)
    if merging is None or one is None:
        return
    if one.said:
        merging.told.pop(one.said, None)
        _said(desk, merging, one.said)
    elif one.key == "write" and is_comparing(desk):
        desk.refuse("the books are still being compared: a moment")
    elif one.key == "write":
        choices = (Choice("1", "take it in: nothing of yours is overwritten", partial(_write, desk)),
                   Choice("2", "not yet", partial(desk.say, "")))  # fmt: skip
        desk.open.menu = Menu(
            f"{merging.head.name or merging.head.id}: {one.words}", choices, "", "other-book"
        )
    else:
        same = [(key, f"is '{name}'") for key, name in one.mine]
        told = [*same, ("new", TOLD["new"]), ("skip", TOLD["skip"])]
        made = tuple(
            Choice(str(no), words, _say(desk, one.key, key)) for no, (key, words) in enumerate(told, 1)
        )
        desk.open.menu = Menu(f"Their {one.what} '{one.words}'", made, "", "other-book")


def _say(desk: Desk, theirs: str, mine: str) -> Callable[[], object]:
    def decide() -> None:
        merging = merging_of(desk)
        if merging is not None:
            merging.told[theirs] = mine
            _said(desk, merging, theirs)

    return decide


def _write(desk: Desk) -> None:
    merging = merging_of(desk)
    if merging is None or merging.found is None:
        return
    desk.shop.presence.check()
    target = target_of(desk.shop.path / "books", Path(OWN_BOOK).stem, currency=desk.currency)
    merge(merging.found, desk.library, merging.head, desk.shop.path, target)
    books_changed(desk)
    desk.open.page = None
    undo = desk.key("page-undo")
    out = merging.found.no_digit
    left = f"; left out, no digit is left: {'; '.join(out)}" if out else ""
    said = f"{merging.path.name} is taken in; {undo} on the book page takes it out{left}"
    desk.say(said, "clash" if out else "done")
    desk.place()


LINES["other-book"] = LineKind(_take_path)
