"""What to do next about the books, on the bench: advice by worth, and what one key can do about it."""

from bisect import insort
from collections.abc import Callable, Iterator
from functools import partial
from typing import Any

from benchtui.books.as_table import words_value
from benchtui.books.edit import BookEdit
from benchtui.books.ladder import lanes_of, proposed
from benchtui.books.shape import Clue, Pressing
from benchtui.desk.book.book_changes import change, home_of_clue, home_of_pressing
from benchtui.desk.book.book_columns import open_cell
from benchtui.desk.book.book_merge import make_one
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Choice, Desk, Menu, Page
from benchtui.knowledge.coach import Advice, pair_key, reviewing
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
    found: list[Advice] = page.data["advices"]
    for one, done in reviewing(desk.library, stock_of(desk.shop, desk.library)):
        if desk.open.page is not page:
            return
        page.data["done"] = done
        if one is not None:
            insort(found, one, key=lambda each: -each.worth)
        yield
    page.data["done"] = 1.0


def open_advice(desk: Desk) -> None:
    """What can be done about the marked one."""
    one = desk.open.marked_of(advices(desk))
    if one is None:
        return
    desk.open.menu = Menu(one.words, (*_choices(desk, one), *_places(desk, one)), one.deal, "coach")


def _choices(desk: Desk, one: Advice) -> tuple[Choice, ...]:
    """What one key does about it at once."""
    clue = desk.library.clue(one.clue)
    if one.kind in ("grown", "proposed"):
        return (
            Choice("1", "they are one", partial(_one if one.kind == "grown" else _in_stretch, desk, one)),
            Choice("2", "they are two: do not ask again", partial(_two, desk, one)),
        )
    if one.kind == "inseparable":
        found = [_pressing(desk, one, each) for each in one.pressings]
        return tuple(
            Choice(str(no), f"the two are one: retire '{each.name}'", partial(_one, desk, one, no == 2))
            for no, each in enumerate(found, 1)
            if each is not None
        )
    if one.kind == "unanswered" and clue is not None:
        return (Choice("1", "ask it only when jumped to", partial(_volunteer, desk, one, clue)),)
    if one.kind in ("cell", "stock") and clue is not None:
        answers = [answer for answer in clue.answers if answer.id in one.answers][:9]
        word = "always" if one.kind == "cell" else "usually"
        return tuple(
            Choice(str(no), f"it {word} shows {answer.text}", partial(_expect, desk, one, {answer.id: word}))
            for no, answer in enumerate(answers, 1)
        )
    return ()


def _places(desk: Desk, one: Advice) -> tuple[Choice, ...]:
    """Where else it can be dealt with: the cell on the title's page, the pressing's time."""
    if not one.title:
        return ()
    pressing, found = one.pressings[0] if one.pressings else "", []
    if one.kind == "inseparable" and one.clue:
        silent = [
            each for each in one.pressings if (p := _pressing(desk, one, each)) and one.clue not in p.expect
        ]
        pressing = (silent or [pressing])[0]
    clue = desk.library.clue(one.clue)
    if clue is not None:
        words = f"go to '{clue.ask}' on the title's page"
        found.append(Choice("g", words, partial(open_cell, desk, one.title, pressing, clue.id)))
    else:
        found.append(Choice("g", "go to the title's page", partial(open_cell, desk, one.title, pressing, "")))
    if one.kind == "contradiction":
        words = "go to when it was made, on the title's page"
        found.append(Choice("m", words, partial(open_cell, desk, one.title, pressing, "period")))
    return tuple(found)


def _pressing(desk: Desk, one: Advice, pressing_id: str) -> Pressing | None:
    title = desk.library.title(one.title)
    return next((each for each in title.pressings if each.id == pressing_id), None) if title else None


def _expect(desk: Desk, one: Advice, words: dict[str, str]) -> None:
    pressing = _pressing(desk, one, one.pressings[0])
    known: dict[str, Any] = dict(pressing.expect) if pressing else {}
    told = {clue: words_value(said) for clue, said in {**known, one.clue: words}.items()}
    _change(desk, one, one.pressings[0], lambda book: book.change_pressing(
        one.title, one.pressings[0], {"expect": told}))  # fmt: skip


def _one(desk: Desk, one: Advice, second: bool = False) -> None:
    """The first (or the second) of the two is retired and passes to the other."""
    title, found = desk.library.title(one.title), [_pressing(desk, one, each) for each in one.pressings]
    given, kept = reversed(found) if second else found
    if title is None or given is None or kept is None:
        desk.refuse("the book has changed since: that pressing is no longer in it")
        return
    if make_one(desk, title, given, kept, f"{title.title}: '{given.name}' and '{kept.name}' are one"):
        _done(desk, one)


def _in_stretch(desk: Desk, one: Advice) -> None:
    """It takes the place of the stretch that the ladder proposes: it was made then."""
    title, grown = desk.library.title(one.title), _pressing(desk, one, one.pressings[0])
    every = proposed(title, lanes_of(desk.library.clues(), title.company)) if title else ()
    stretch = next((each for each in every if each.id == one.pressings[1]), None)
    made = grown.period.meet(stretch.period) if grown and stretch else None
    if made is None:
        desk.refuse("the ladder has changed since: it proposes no such pressing any more")
        return
    _change(desk, one, one.pressings[0], lambda book: book.change_pressing(
        one.title, one.pressings[0], {"period": made.edtf()}))  # fmt: skip


def _two(desk: Desk, one: Advice) -> None:
    """Kept in the shop's settings: the two are not asked about again."""
    asked = desk.settings.get("asked")
    key = pair_key(*one.pressings)
    desk.shop.change_settings(asked={**(asked if isinstance(asked, dict) else {}), key: "two"})
    _taken_off(desk, one)
    desk.say("two pressings; not asked again", "done")


def _change(desk: Desk, one: Advice, pressing_id: str, edit: Callable[[BookEdit], object]) -> None:
    home = home_of_pressing(desk, one.title, pressing_id)
    if home is None:
        desk.refuse("that pressing is in a book that is not the shop's own")
        return
    change(desk, one.words, home, edit, one.title)
    _done(desk, one)


def _volunteer(desk: Desk, one: Advice, clue: Clue) -> None:
    home = home_of_clue(desk, clue)
    if home is None:
        desk.refuse(f"the question '{clue.ask}' is in a book that is not the shop's own")
        return
    change(desk, f"{clue.ask}: asked only when jumped to", home,
           lambda book: book.change_clue(clue.id, {"volunteer": True}))  # fmt: skip
    _done(desk, one)


def _taken_off(desk: Desk, one: Advice) -> None:
    page = desk.open.page
    if page is not None and page.name == "coach":
        page.data["advices"][:] = [each for each in page.data["advices"] if each is not one]


def _done(desk: Desk, one: Advice) -> None:
    _taken_off(desk, one)
    desk.say(f"written into the book; {desk.key('page-undo')} takes it back", "done")
