"""A table of pressings on its way into a book: what it would change, before anything is written.

``plan_of`` reads nothing but what it is given and changes nothing; what a person decides (a column, a title,
an answer) goes into ``Decisions``, and the plan is made again. ``put.put`` writes it.
"""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from benchtui.books.as_table import answer_table, clue_table
from benchtui.books.from_bench import new_id
from benchtui.books.library import Library
from benchtui.books.shape import Answer, BookHead, BookTitle, Clue
from benchtui.knowledge.alike import Card, Shelf, card_of
from benchtui.knowledge.cells import read_cell
from benchtui.knowledge.columns import Column, column_of, knows, placed_words
from benchtui.knowledge.folded import fold
from benchtui.knowledge.plan import Decisions, Plan, TitlePlan, Unplaced
from benchtui.knowledge.pressings import TitleRows
from benchtui.knowledge.rows import Group, TableRead, groups_of


def plan_of(
    table: TableRead, library: Library, into: BookHead, decisions: Decisions | None = None, currency: str = ""
) -> Plan:
    """What the table would change. ``into``: the book that takes what is new, with its company, country and
    currency; ``currency``: of its prices where the book has none.
    """
    plan, decisions = Plan(table, into), decisions or Decisions()
    groups = groups_of(table.rows)
    _titles(plan, groups, library, decisions)
    _columns(plan, library, decisions)
    for title in plan.titles:
        if title.how in ("found", "new"):
            TitleRows(plan, title, library, decisions, currency or into.currency).read()
    _told_once(plan)
    return plan


# -- titles -----------------------------------------------------------------------------------------------


def _titles(plan: Plan, groups: Sequence[Group], library: Library, decisions: Decisions) -> None:
    known = {title.id: title for row in library.titles() if (title := library.title(row.id)) is not None}
    shelf = Shelf(card_of(title) for title in known.values())
    taken = set(known)
    claimed: set[str] = set()
    for group in groups:
        card = _usual(group.card, plan.into)
        same, maybe = shelf.find(card)
        same = [one for one in same if one.id not in claimed] or same
        one = TitlePlan(group, "new", "")
        if len(same) == 1:
            one.how, one.known = "found", known[same[0].id]
        elif same or maybe:
            one.how, one.maybe = "doubtful", tuple(same or maybe)
            _decide(one, known, decisions)
        one.id = one.known.id if one.known else new_id(f"{card.artist} {card.title}", taken)
        taken.add(one.id)
        claimed.add(one.id)
        group.card = card
        plan.titles.append(one)
        for line, say in group.problems:
            plan.unplaced.append(Unplaced(line, say.split(" ")[0], say))


def _usual(card: Card, into: BookHead) -> Card:
    """What the book says of all its titles, where the table is silent."""
    return replace(card, company=card.company or into.company, country=card.country or into.country)


def _decide(one: TitlePlan, known: dict[str, BookTitle], decisions: Decisions) -> None:
    said = decisions.titles.get(one.line, decisions.doubtful)
    if said == "same":
        one.how, one.known = "found", known[one.maybe[0].id]
    elif said == "new":
        one.how = "new"
    elif said == "skip":
        one.how = "skipped"


# -- columns ----------------------------------------------------------------------------------------------


def _columns(plan: Plan, library: Library, decisions: Decisions) -> None:
    clues = list(library.clues())
    companies = {fold(one.known.company if one.known else one.group.card.company) for one in plan.titles} - {
        ""
    }
    prefix = new_id(plan.into.id, ())[:8]
    taken = {clue.id for clue in clues}
    used: set[str] = set()
    for heading in plan.table.headings:
        if heading.fixed:
            continue
        cells = plan.table.column(heading.at)
        left = [clue for clue in clues if clue.id not in used]
        column = column_of(heading, cells, left, companies, prefix, decisions.meant, taken)
        if column.how == "asked" and decisions.add_answers:
            column.how = "new"
        if column.clue is not None and column.how == "known":
            used.add(column.clue.id)
        elif column.clue is not None:
            taken.add(column.clue.id)
        plan.columns.append(column)
    for column in plan.columns:
        if column.how in ("known", "new"):
            _add_answers(plan, column, decisions)


def _add_answers(plan: Plan, column: Column, decisions: Decisions) -> None:
    """New answers of a clue, as a person decided; and texts that mean one it has."""
    clue = column.clue
    assert clue is not None
    name = fold(column.heading.full)
    for cell in plan.table.column(column.heading.at):
        _, told = placed_words(read_cell(cell, knows(column)), column)
        for text, how, _ in told:
            said = decisions.answers.get((name, fold(text)), "new" if decisions.add_answers else "")
            if how or not said or said == "-":
                continue
            if said == "new":
                clue, table = _with_answer(clue, text)
                if table and column.how == "known":
                    plan.answers.append((clue, table))
            elif (found := clue.answer(said)) is not None:
                column.slips[text] = found.text
            column.change_clue(clue)


def _with_answer(clue: Clue, text: str) -> tuple[Clue, dict[str, Any]]:
    """The clue with one answer more, and its table; the clue as it is where no digit is left."""
    taken = {one.digit for one in clue.answers}
    digit = next((no for no in range(1, 10) if no not in taken), None)
    if digit is None or text == "-":
        digit = 0 if text == "-" and 0 not in taken else digit
        if digit is None:
            return clue, {}
    absent = text == "-"
    answer = Answer(
        new_id("none" if absent else text, [one.id for one in clue.answers]),
        "not there" if absent else text,
        digit,
        absent=absent,
        source="from a table",
    )
    return replace(clue, answers=(*clue.answers, answer)), answer_table(answer)


def _told_once(plan: Plan) -> None:
    """The same text in the same column is told once, with how often it stands there."""
    found: dict[tuple[str, str], Unplaced] = {}
    for one in plan.unplaced:
        key = (one.column, fold(one.text) or one.text)
        times = found[key].times + 1 if key in found else 1
        first = found.get(key, one)
        found[key] = Unplaced(first.line, first.column, first.text, first.near, times)
    plan.unplaced = list(found.values())


def clue_tables(plan: Plan) -> list[dict[str, Any]]:
    """The new clues of the plan, as they are written."""
    return [
        clue_table(one.clue, plan.into) for one in plan.columns if one.how == "new" and one.clue is not None
    ]
