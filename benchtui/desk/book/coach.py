"""What to do next about the books, on the bench: advice by worth, and what one key can do about it."""

from collections.abc import Iterator
from functools import partial
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.books.as_table import words_value
from benchtui.desk.book.table_in import books_changed
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Choice, Desk, Menu, Page
from benchtui.knowledge.coach import Advice, reviewing
from benchtui.knowledge.put import journalled
from benchtui.knowledge.stock import stock_of


def advices(desk: Desk) -> list[Advice]:
    """Those found so far, the most worth first."""
    page = desk.open.page
    return list(page.data.get("advices", ())) if page is not None and page.name == "coach" else []


@command(
    "book-review",
    "bench",
    "what to do next about your books",
    short="review books",
    group="Book",
    also="coach advice inseparable empty cell contradiction",
    changes="nothing",
    offered=190,
    order=2030,
)
def open_review(desk: Desk) -> None:
    """Opens the page; it fills title by title."""
    desk.open.page = Page("coach", data={"advices": [], "done": 0.0})
    desk.say("")
    desk.place()
    desk.background.job = _reviewing(desk, desk.open.page)


def _reviewing(desk: Desk, page: Page) -> Iterator[None]:
    yield
    stock = stock_of(desk.shop)
    titles = max(1, sum(1 for _ in desk.library.titles()))
    found: list[Advice] = []
    for no, several in enumerate(reviewing(desk.library, stock)):
        if desk.open.page is not page:
            return
        found += several
        page.data["advices"] = sorted(found, key=lambda one: -one.worth)
        page.data["done"] = min(1.0, no / titles)
        yield
    page.data["done"] = 1.0


def open_advice(desk: Desk) -> None:
    """What can be done about the marked one."""
    found, page = advices(desk), desk.open.page
    if page is None or not found:
        return
    one = found[min(page.marked, len(found) - 1)]
    choices = _choices(desk, one)
    if not choices:
        desk.refuse(f"{one.deal}: on the book page")
        return
    desk.open.menu = Menu(one.words, choices, one.deal, "coach")


def _choices(desk: Desk, one: Advice) -> tuple[Choice, ...]:
    clue = desk.library.clue(one.clue)
    if one.kind == "grown":
        change: dict[str, Any] = {"retired": f"the same as {one.pressings[1]}"}
        return (Choice("1", "retire it: records that name it keep it", partial(_change, desk, one, change)),)
    if one.kind in ("cell", "stock") and clue is not None:
        answers = [answer for answer in clue.answers if answer.id in one.answers][:9]
        word = "always" if one.kind == "cell" else "usually"
        return tuple(
            Choice(str(no), f"it {word} shows {answer.text}", partial(_expect, desk, one, {answer.id: word}))
            for no, answer in enumerate(answers, 1)
        )
    return ()


def _expect(desk: Desk, one: Advice, words: dict[str, str]) -> None:
    title = desk.library.title(one.title)
    pressing = (
        next((each for each in title.pressings if each.id == one.pressings[0]), None) if title else None
    )
    known: dict[str, Any] = dict(pressing.expect) if pressing else {}
    told = {clue: words_value(said) for clue, said in {**known, one.clue: words}.items()}
    _change(desk, one, {"expect": told})


def _change(desk: Desk, one: Advice, fields: dict[str, Any]) -> None:
    desk.shop.presence.check()
    with journalled(desk.shop.path, one.words, desk.currency) as books:
        home = books.home_of(one.title, one.pressings[0])
        if home is None:
            raise BenchError(
                "no book of the shop has that pressing any more", "the books", "review them again"
            )
        home.change_pressing(one.title, one.pressings[0], fields)
    books_changed(desk)
    page = desk.open.page
    if page is not None and page.name == "coach":
        page.data["advices"] = [each for each in page.data["advices"] if each is not one]
    desk.say("written into the book; 'table out' takes it back", "done")
