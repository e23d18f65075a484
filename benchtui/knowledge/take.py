"""A table of pressings on its way into a book: what it would change, before anything is written.

``plan_of`` reads nothing but what it is given and changes nothing; what a person decides (a column, a title,
an answer) goes into ``Decisions``, and the plan is made again. ``put.put`` writes it.
"""

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from typing import Any

from benchtui.books.as_table import answer_table, clue_table
from benchtui.books.from_bench import new_id
from benchtui.books.library import Library
from benchtui.books.shape import Answer, BookHead, BookTitle, Clue
from benchtui.knowledge.alike import CALLED, Card, Shelf, card_of, clue_likeness
from benchtui.knowledge.columns import Column, column_of, give_twins, own_column
from benchtui.knowledge.folded import fold
from benchtui.knowledge.heads import Heading
from benchtui.knowledge.plan import Decisions, Plan, TitlePlan, Unplaced
from benchtui.knowledge.pressings import TitleRows
from benchtui.knowledge.rows import TableRead, groups_of

Usual = Callable[[str], Mapping[str, str]]
"""What a new title of that number takes where neither table nor book says it: company, country and so on."""

WRITTEN = ("found", "new")
"""Of the titles whose rows are written."""


def plan_of(
    table: TableRead,
    library: Library,
    into: BookHead,
    decisions: Decisions | None = None,
    currency: str = "",
    usual: Usual | None = None,
    made: Iterable[BookTitle] = (),
) -> Plan:
    """What the table would change. ``into``: the book that takes what is new, with its company, country and
    currency; ``currency``: of its prices where the book has none; ``made``: titles of the bench, in no book.
    """
    return Planner(table, library, into, currency, usual, made).plan(decisions or Decisions())


class Planner:
    """Makes the plan of one table again and again, as a person decides; what stays is not worked out anew."""

    def __init__(
        self,
        table: TableRead,
        library: Library,
        into: BookHead,
        currency: str = "",
        usual: Usual | None = None,
        made: Iterable[BookTitle] = (),
    ) -> None:
        self.table, self.library, self.into, self._usual = table, library, into, usual
        self.currency = currency or into.currency
        self._groups = groups_of(table.rows)
        rows = (library.title(row.id) for row in library.titles())
        self._known = {title.id: title for title in (*rows, *made) if title is not None}
        self._shelf = Shelf(card_of(title) for title in self._known.values())
        self._clues = list(library.clues())
        self._columns: dict[int, tuple[object, Column]] = {}

    def plan(self, decisions: Decisions) -> Plan:
        """The plan as it is with these decisions."""
        plan = Plan(self.table, self.into)
        self._put_titles(plan, decisions)
        self._put_columns(plan, decisions)
        for title in plan.titles:
            if title.how in WRITTEN:
                TitleRows(plan, title, self.library, decisions, self.currency).read()
        _told_once(plan)
        return plan

    def _put_titles(self, plan: Plan, decisions: Decisions) -> None:
        taken = set(self._known)
        claimed: set[str] = set()
        for group in self._groups:
            group.card = card = _usual(group.card, self.into)
            same, maybe = self._shelf.find(card)
            same = [one for one in same if one.id not in claimed] or same
            one = TitlePlan(group, "new", "")
            if len(same) == 1:
                one.how, one.known = "found", self._known[same[0].id]
            elif same or maybe:
                one.how, one.maybe = "doubtful", tuple(same or maybe)
                _decide(one, self._known, decisions)
            if (one.how == "new" or one.unwritten) and self._usual is not None:
                one.usual = self._usual(next(iter(card.numbers), ""))
            one.id = one.known.id if one.known else new_id(f"{card.artist} {card.title}", taken)
            taken.add(one.id)
            claimed.add(one.id)
            plan.titles.append(one)
            plan.slips += group.slips
            for line, say in group.problems:
                plan.unplaced.append(Unplaced(line, say.split(" ")[0], say))

    def _put_columns(self, plan: Plan, decisions: Decisions) -> None:
        companies = {fold(one.company) for one in plan.titles} - {""}
        prefix = new_id(self.into.id, ())[:8]
        taken = {clue.id for clue in self._clues}
        used: set[str] = set()
        whose = tuple((one.id, one.company, one.how) for one in plan.titles)
        for heading in self.table.headings:
            if heading.fixed:
                continue
            name = fold(heading.full)
            answers = sorted((text, to) for (column, text), to in decisions.answers.items() if column == name)
            place = decisions.meant.places.get(name)
            key = (
                decisions.meant.of(heading), place, tuple(answers), decisions.add_answers,
                whose, frozenset(used),
            )  # fmt: skip
            kept = self._columns.get(heading.at)
            if kept is None or kept[0] != key:
                said = decisions.meant.of(heading)
                may = (one for one in self._clues if one.id == said or _may_ask(plan, one, heading))
                left = [clue for clue in may if clue.id not in used]
                kept = (key, self._column(plan, heading, left, companies, prefix, decisions, taken))
                self._columns[heading.at] = kept
            for one in kept[1].each:
                if one.clue is not None:
                    (used if one.how == "known" else taken).add(one.clue.id)
                    plan.answers += [(one.clue, table) for table in one.added]
            plan.columns.append(kept[1])

    def _column(
        self,
        plan: Plan,
        heading: Heading,
        clues: Sequence[Clue],
        companies: Collection[str],
        prefix: str,
        decisions: Decisions,
        taken: Collection[str],
    ) -> Column:
        cells = self.table.column(heading.at)
        meant, unnamed = decisions.meant, self.table.unnamed
        column = column_of(heading, cells, clues, companies, prefix, meant, taken, unnamed)
        if column.how == "asked" and decisions.add_answers:
            column.how = "new"
        give_twins(column, clues, companies)
        known = column.clue if column.how == "known" else None
        if column.how == "new" and not meant.of(heading):
            known = next((one for one in clues if one.companies and _called(heading, one)), None)
        left = _not_asked(plan, known, column) if known is not None else []
        if known is not None and left:
            names = list(dict.fromkeys(one.company for one in left))
            own = own_column(heading, _cells(left, heading), known, names, prefix, taken)
            if own is not None and column.how == "known":
                column.twins |= dict.fromkeys(map(fold, names), own)
            elif own is not None and len(left) == sum(one.how in WRITTEN for one in plan.titles):
                column = own
        for one in column.each if column.how in ("known", "new") else ():
            mine = [title for title in plan.titles if column.of(title.company) is one]
            _add_answers(one, _cells(mine, heading) if column.twins else cells, decisions)
        _of_one_company(plan, column)
        return column


def _of_one_company(plan: Plan, column: Column) -> None:
    """A new question that the rows of one company alone speak of, in a table of several, is asked of its
    titles.
    """
    if column.how != "new" or column.clue is None or column.clue.companies:
        return
    at, titles = column.heading.at, [one for one in plan.titles if one.how in WRITTEN]
    spoken = {one.company for one in titles if any(row.clues.get(at) for row in one.group.rows)}
    if len(spoken) == 1 < len({one.company for one in titles}) and "" not in spoken:
        column.whose = tuple(spoken)
        column.change_clue(column.clue._replace(companies=column.whose))


def _called(heading: Heading, clue: Clue) -> bool:
    return clue_likeness(heading.name, clue, heading.group) >= CALLED


def _may_ask(plan: Plan, clue: Clue, heading: Heading) -> bool:
    """Whether no title speaks in that column of whose records the question is not asked, being others'."""
    return not clue.titles or all(one.id in clue.titles or not _cells([one], heading) for one in plan.titles)


def _not_asked(plan: Plan, clue: Clue, column: Column) -> list[TitlePlan]:
    """The titles of companies of whose records it is not asked and of whose pressings it says nothing yet."""
    if not clue.companies:
        return []
    asked = {"", *map(fold, clue.companies), *column.twins}
    asked |= {fold(one.company) for one in plan.titles if one.known is not None
              and any(clue.id in pressing.expect for pressing in one.known.pressings)}  # fmt: skip
    return [one for one in plan.titles if one.how in WRITTEN and fold(one.company) not in asked]


def _cells(titles: Iterable[TitlePlan], heading: Heading) -> list[str]:
    """The cells of that column in the rows of these titles."""
    rows = (row for one in titles for row in one.group.rows)
    return [text for row in rows if (text := row.clues.get(heading.at))]


def _usual(card: Card, into: BookHead) -> Card:
    """What the book says of all its titles, where the table is silent."""
    return card._replace(company=card.company or into.company, country=card.country or into.country)


def _decide(one: TitlePlan, known: dict[str, BookTitle], decisions: Decisions) -> None:
    said = decisions.titles.get(one.line, decisions.doubtful)
    if said == "same":
        one.how, one.known = "found", known[one.maybe[0].id]
    elif said == "new":
        one.how = "new"
    elif said == "skip":
        one.how = "skipped"


# -- columns ----------------------------------------------------------------------------------------------


def _add_answers(column: Column, cells: Sequence[str], decisions: Decisions) -> None:
    """New answers of a clue, as a person decided; and texts that mean one it has."""
    name = fold(column.heading.full)
    for cell in dict.fromkeys(cells if column.clue is not None else ()):
        for text, how, _ in column.read(cell)[1]:
            said = decisions.answers.get((name, fold(text) or text), "new" if decisions.add_answers else "")
            clue = column.clue
            if how or not said or said == "-" or clue is None:
                continue
            if said == "new":
                clue, table = _with_answer(clue, text)
                column.added += [table] if table and column.how == "known" else []
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
    return clue._replace(answers=(*clue.answers, answer)), answer_table(answer)


def _told_once(plan: Plan) -> None:
    """The same text in the same column is told once, with how often it stands there."""
    found: dict[tuple[str, str], Unplaced] = {}
    for one in plan.unplaced:
        key = (one.column, fold(one.text) or one.text)
        times = found[key].times + 1 if key in found else 1
        first = found.get(key, one)
        found[key] = first._replace(times=times)
    plan.unplaced = list(found.values())


def clue_tables(plan: Plan) -> list[dict[str, Any]]:
    """The new clues of the plan, as they are written."""
    return [
        clue_table(one.clue, plan.into)
        for one in plan.every_column
        if one.how == "new" and one.clue is not None
    ]
