"""A table of pressings written into a book, what its columns were said to be, and taking it out again."""

from functools import partial

from benchtui.base.errors import BenchError
from benchtui.desk.book.table_taking import Taking, read
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Choice, Desk, Menu
from benchtui.desk.core.needs import unless, way_on
from benchtui.desk.own_book.growing import books_changed
from benchtui.knowledge.columns import Meant
from benchtui.knowledge.folded import fold
from benchtui.knowledge.heads import NAMED
from benchtui.knowledge.plan import Decisions, Plan
from benchtui.knowledge.put import last_taken, put, still_taken, take_out

REMEMBERED = "table_columns"
"""The setting that holds what columns of a name were last said to be: its name, folded -> as in ``Meant``."""


BEFORE = "table_columns_before"
"""What was remembered before the table of ``table_columns_of``: once that is taken out again, it counts."""


OF = "table_columns_of"


def remembered(desk: Desk) -> dict[str, str]:
    """What columns were last said to be, by folded name."""
    out = desk.settings.get(OF) and not still_taken(desk.shop.path, str(desk.settings.get(OF)))
    return dict(desk.settings.get(BEFORE if out else REMEMBERED) or {})


def _remember(desk: Desk, taking: Taking, plan: Plan) -> None:
    """What the columns were said to be, for the next table that has them; nothing of one that is what its
    name says."""
    made = {fold(one.heading.full): one.clue.id for one in plan.columns if one.clue is not None}
    said = {name: made.get(name, "") if to == "new" else to
            for name, to in taking.decisions.meant.columns.items()}  # fmt: skip
    said |= {fold(name): to for name, to in taking.fixed.items() if to}
    before = remembered(desk)
    by_name = {fold(one.full) for one in plan.table.headings if one.fixed and one.full not in taking.fixed}
    kept = {**before, **{name: to for name, to in said.items() if to}}
    kept = {name: to for name, to in kept.items() if name not in by_name}
    last = last_taken(desk.shop.path)
    if kept != before or desk.settings.get(OF):
        desk.shop.change_settings(
            **{REMEMBERED: kept, BEFORE: before, OF: last.at if last is not None else ""}
        )


def recall(desk: Desk, taking: Taking) -> None:
    """What columns of these names were said to be in the table before; what this one says goes first."""
    if taking.planner is None:
        return
    headings, known = taking.planner.table.headings, remembered(desk)
    taken = {one.fixed for one in headings}
    columns: dict[str, str] = {}
    for one in headings:
        to = known.get(fold(one.full), "")
        if to in NAMED and to not in taken:
            taking.fixed[one.full] = to
            taken.add(to)
        elif to == "-" or desk.library.clue(to) is not None:
            columns[fold(one.full)] = to
            if one.fixed:
                taking.fixed[one.full] = ""
    taking.decisions = Decisions(Meant(columns))
    if not taking.fixed:
        return
    try:
        read(taking, desk)
    except BenchError:  # so read, no column of this one is a title's
        taking.fixed = {}


def write_words(plan: Plan) -> str:
    """What writing it would change, in counts."""
    lines = len(plan.table.refused)
    refused = f", {lines} line{'s' * (lines != 1)} refused" if lines else ""
    if plan.empty:
        return f"nothing new{refused}"
    titles, made = len(plan.new_titles), plan.count("new")
    new = f"{made} new pressing{'s' * (made != 1)}{refused}, {titles} new title{'s' * (titles != 1)}"
    clues = sum(one.how == "new" for one in plan.every_column)
    return f"{new}, {plan.count('changed')} changed, {clues} new questions"


def ask_write(desk: Desk, taking: Taking) -> None:
    """Ask once more before anything is written."""
    if taking.plan is None or taking.plan.empty:
        desk.refuse("there is nothing to write")
        return
    left = f"; {len(taking.plan.asked)} not decided stay out" if taking.plan.asked else ""
    desk.open.menu = Menu(
        f"Write it into {taking.target.path.name}?",
        (
            Choice("1", f"{write_words(taking.plan)}{left}", partial(_write, desk, taking)),
            Choice("2", "not yet", partial(desk.say, "")),
        ),
        "'take the last table out again' undoes it as a whole",
        "table-write",
    )


def _write(desk: Desk, taking: Taking) -> None:
    plan = taking.plan
    if plan is None:
        return
    desk.shop.presence.check()
    put(plan, desk.shop.path, taking.target.path, taking.target.text)
    books_changed(desk)
    desk.open.page = desk.open.table = None
    _remember(desk, taking, plan)
    undo = desk.key("page-undo")
    done = f"{taking.path.name} is taken into {taking.target.path.name}"
    desk.say(f"{done} ({undo} on the book page takes it out); {way_on(desk)}", "done")
    desk.place()


def _table_in(desk: Desk) -> str:
    return unless(last_taken(desk.shop.path), "no table was taken in")


@command(
    "book-undo",
    "bench",
    "take the last table (or merged book) out of the books again",
    short="undo table",
    group="Book",
    also="out remove table import merge book",
    needs=[_table_in],
    changes="nothing",
    offered=180,
    order=2020,
)
def ask_undo(desk: Desk) -> None:
    """Take out what was taken into the books last, as a whole, after asking."""
    last = last_taken(desk.shop.path)
    desk.open.menu = Menu(
        f"Take {last.what if last else 'it'} out again?",
        (
            Choice("1", "take it out, as a whole", partial(_undo, desk)),
            Choice("2", "leave it", partial(desk.say, "")),
        ),
        "what was changed in the books since stays; records keep what was answered",
        "table-out",
    )


def _undo(desk: Desk) -> None:
    try:
        lines = take_out(desk.shop.path)
    finally:
        books_changed(desk)
    desk.say("; ".join(lines), "done")
