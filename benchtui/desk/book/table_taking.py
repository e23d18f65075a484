"""A table of pressings on its way into a book: the file, what was decided of it, the plan with that."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

from benchtui.desk.core.desk import Desk
from benchtui.desk.core.field import facts_of_new, field_of
from benchtui.desk.core.pages import OwnUndo
from benchtui.desk.own_book.known_titles import in_no_book
from benchtui.knowledge.asked import Target, target_of
from benchtui.knowledge.plan import Decisions, Plan
from benchtui.knowledge.rows import read_table
from benchtui.knowledge.take import Planner


@dataclass
class Taking:
    """A table on its way in: the file, what was decided so far, and the plan as it is with that."""

    path: Path
    target: Target
    decisions: Decisions
    fixed: dict[str, str]
    planner: Planner | None = None
    plan: Plan | None = None
    stands: tuple[dict[str, str], Decisions] | None = None
    """What is said of columns and decided now."""
    past: list[tuple[dict[str, str], Decisions]] = field(default_factory=list)
    ahead: list[tuple[dict[str, str], Decisions]] = field(default_factory=list)
    """Taken back, the last of them last."""


def taking_of(desk: Desk) -> Taking | None:
    """The table on its way in, while its page is open."""
    page = desk.open.page
    return page.data.get("taking") if page is not None and page.name == "table" else None


def book_named(desk: Desk, name: str) -> Target:
    """The book of the shop that a table goes into; BenchError where the name is no book's."""
    return target_of(desk.shop.path / "books", name, currency=desk.currency)


def read(taking: Taking, desk: Desk) -> None:
    """Read the file anew, its columns as said so far; BenchError where it cannot be, or none is a title's."""
    here = field_of(desk.settings)
    companies = (here.company, *desk.library.companies)
    table = read_table(taking.path, taking.fixed, sounds=here.prefixes, companies=companies)
    usual = partial(facts_of_new, desk.settings, desk.library)
    made = in_no_book(desk.shop, desk.library)
    taking.planner = Planner(table, desk.library, taking.target.head, desk.currency, usual, made)


def planning(desk: Desk, taking: Taking) -> Iterator[None]:
    """The plan worked out between the keys, for a page that was just opened."""
    yield  # the page says that it is being read before it is
    plan_again(taking)
    taking.stands = taking.stands or (dict(taking.fixed), taking.decisions)
    desk.say("nothing is written yet: Enter on the first row writes it")


def plan_again(taking: Taking) -> None:
    """The plan with all that was decided so far."""
    if taking.planner is not None:
        taking.plan = taking.planner.plan(taking.decisions)


def _why_not_turn(desk: Desk, back: bool) -> str:
    taking = taking_of(desk)
    left = taking and (taking.past if back else taking.ahead)
    return "" if left else f"nothing to {'undo' if back else 'redo'} of what was decided here"


def _turn(desk: Desk, back: bool) -> None:
    """The last decision about the table taken back, or made again."""
    taking = taking_of(desk)
    if taking is None or taking.stands is None:
        return
    here, there = (taking.past, taking.ahead) if back else (taking.ahead, taking.past)
    there.append(taking.stands)
    taking.stands = here.pop()
    taking.fixed, taking.decisions = dict(taking.stands[0]), taking.stands[1]
    read(taking, desk)
    plan_again(taking)
    desk.say(f"{'taken back' if back else 'done again'}: the last decision about this table", "done")


OF_THE_TABLE = OwnUndo(_why_not_turn, _turn)
