"""What a table would change, row by row on its page, and what Enter asks about each."""

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import NamedTuple

from benchtui.base.errors import BenchError
from benchtui.books.from_bench import OWN_BOOK
from benchtui.books.passed_on import taught_of
from benchtui.books.shape import Clue
from benchtui.desk.book.table_taking import Taking, book_named, plan_again, read, taking_of
from benchtui.desk.book.table_write import ask_write, write_words
from benchtui.desk.core.desk import Choice, Desk, Menu, OpenLine, Pick
from benchtui.desk.line.lines import LINES, LineKind, close_line, open_line
from benchtui.knowledge.columns import Column, maybe_words
from benchtui.knowledge.folded import fold
from benchtui.knowledge.heads import NAMED, Heading, column_words
from benchtui.knowledge.plan import Decisions, Doubtful, GrownAlike, TitlePlan, Unplaced
from benchtui.knowledge.preview import alike_line, words_of_alike, words_of_unplaced
from benchtui.titles.header import name_key

PLACES = (
    ("disc label", "label"), ("disc runout", "runout"), ("disc whole", "the disc itself"),
    ("cover front", "front of the cover"), ("cover back", "back of the cover"), ("cover spine", "spine"),
    ("cover inside", "inside the cover"), ("inner whole", "inner sleeve"), ("extra whole", "an extra"),
)  # fmt: skip


class Item(NamedTuple):
    """One row of the page that can be marked, and what Enter does on it."""

    key: str
    what: str
    words: str
    act: Callable[[], object]
    asked: bool = False


def items(desk: Desk) -> list[Item]:
    """What can be decided, the most pressing first."""
    taking = taking_of(desk)
    plan = taking.plan if taking is not None else None
    if taking is None or plan is None:
        return []
    found = [
        Item("write", "write it", write_words(plan), partial(ask_write, desk, taking)),
        Item("into", "into", f"{_book_words(taking)}; Enter chooses another book", partial(_ask_into, desk)),
    ]
    if plan.asked:
        words = f"{len(plan.asked)} not decided yet: all as new, pressings grown here as others"
        found.append(Item("rest", "the rest", words, partial(_rest, desk, taking)))
    if plan.conflicts:
        said = "what is known stays" if taking.decisions.keep else "the table is written"
        words = f"where the table differs from what is known ({len(plan.conflicts)} times): {said}"
        found.append(Item("keep", "differs", words, partial(_turn_keep, desk, taking)))
    found += [_title_item(desk, taking, one) for one in plan.titles if one.how == "doubtful"]
    found += [_alike_item(desk, taking, one) for one in plan.alike]
    found += [_column_item(desk, taking, one) for one in sorted(plan.columns, key=_asked_first)]
    found += [_fixed_item(desk, taking, name, to) for name, to in taking.fixed.items()]
    found += [_named_item(desk, taking, one) for one in plan.table.headings
              if one.fixed and one.full not in taking.fixed]  # fmt: skip
    return found + [_text_item(desk, taking, one) for one in plan.unplaced]


def _asked_first(one: Column) -> int:
    return ("asked", "new", "out", "known").index(one.how)


def _book_words(taking: Taking) -> str:
    new = taking.target.text and taking.target.path.name != OWN_BOOK
    return f"a new book, {taking.target.head.id}" if new else taking.target.head.id


def next_mark(before: list[Item], at: int, now: list[Item]) -> int:
    """The row that is marked after a decision: the next that is asked, the writing one where none is."""
    asked = {one.key: no for no, one in enumerate(now) if one.asked}
    if before[at].asked or (not asked and any(one.asked for one in before)):
        below = (asked[one.key] for one in before[at + 1 :] if one.key in asked)
        return next(below, next(iter(asked.values()), 0))
    places = {one.key: no for no, one in enumerate(now)}
    return next((places[one.key] for one in before[at:] if one.key in places), 0)


def open_item(desk: Desk) -> None:
    """Enter on the marked row."""
    one = desk.open.marked_of(items(desk))
    if one is not None:
        one.act()


def _again(desk: Desk, taking: Taking, decisions: Decisions) -> None:
    """The plan with one decision more; the mark goes to what is to be decided next."""
    before, page = items(desk), desk.open.page
    taking.past += [taking.stands] if taking.stands else []
    taking.ahead = []
    taking.decisions = decisions
    taking.stands = (dict(taking.fixed), decisions)
    plan_again(taking)
    if page is not None and before:
        page.marked = next_mark(before, page.at(len(before)), items(desk))
    left = len(taking.plan.asked) if taking.plan else 0
    desk.say(f"{left} still to decide" if left else "all is decided", "done")


def _title_item(desk: Desk, taking: Taking, one: TitlePlan) -> Item:
    maybe = " or ".join(card.name for card in one.maybe[:3])
    return Item(f"title:{one.line}", f"line {one.line}", f"{one.group.card.name}: is it {maybe}?",
                partial(_ask_title, desk, taking, one), True)  # fmt: skip


def _ask_title(desk: Desk, taking: Taking, one: TitlePlan) -> None:
    def take(said: Doubtful) -> None:
        _again(desk, taking, replace(taking.decisions, titles={**taking.decisions.titles, one.line: said}))

    same = one.maybe[0]
    known_in = same.book or "made on the bench"
    desk.open.menu = Menu(
        f"{one.group.card.name} of line {one.line}",
        (
            Choice("1", f"the same as {same.name} ({known_in})", partial(take, "same")),
            Choice("2", "a title of its own", partial(take, "new")),
            Choice("3", "leave it out", partial(take, "skip")),
        ),
        "titles are the same where the number is, or artist, title, company and first year are",
        "table-title",
    )


def _alike_item(desk: Desk, taking: Taking, one: GrownAlike) -> Item:
    return Item(f"grown:{one.grown.id}", f"line {one.row.line}", alike_line(one),
                partial(_ask_alike, desk, taking, one), one.one is None)  # fmt: skip


def _ask_alike(desk: Desk, taking: Taking, one: GrownAlike) -> None:
    def take(said: bool) -> None:
        grown = {**taking.decisions.grown, one.grown.id: said}
        _again(desk, taking, replace(taking.decisions, grown=grown))

    desk.weighings.forget_counts()
    copies = taught_of(desk.weighings.counts(), one.grown).get("n", 0)
    rests = f"; it rests on {copies} cop{'y' if copies == 1 else 'ies'}" if copies else ""
    desk.open.menu = Menu(
        words_of_alike(one),
        (
            Choice("1", f"they are one: its copies are '{one.row.name}' from now on", partial(take, True)),
            Choice("2", "they are two", partial(take, False)),
        ),
        f"it was made on the bench from a copy{rests}",
        "table-grown",
    )


def _column_item(desk: Desk, taking: Taking, one: Column) -> Item:
    told = (f"of {', '.join(each.whose)}: " * bool(each.whose) + _column_words(each) for each in one.each)
    return Item(f"column:{one.heading.at}", one.heading.full, "; ".join(told),
                partial(_ask_column, desk, taking, one), one.how == "asked")  # fmt: skip


def _column_words(one: Column) -> str:
    if one.clue is None:
        return f"left out: {one.why}"
    if one.how == "known":
        return f"the question {one.clue.ask}"
    answers = ", ".join(answer.text for answer in one.clue.answers)
    if one.how == "asked":
        told = "" if one.near else f" ({answers})"
        return f"{maybe_words([clue.ask for clue in one.near])}?{told}"
    where = f"{one.clue.part}, {one.clue.place}" + (" (guessed)" if one.guessed else "")
    return f"new question about the {where}: {answers}"


def _fixed_item(desk: Desk, taking: Taking, name: str, to: str) -> Item:
    words = f"the column {to}" if to else "not the column that it is called"
    take_back = partial(_say_fixed, desk, taking, name, None)
    return Item(f"fixed:{name}", name, f"{words}, as you said; Enter takes that back", take_back)


def _say_fixed(desk: Desk, taking: Taking, name: str, to: str | None) -> None:
    """The column is that fixed one, "" for none of them, None for what its name says. BenchError, and all as
    it was, where no column is left that is a title's.
    """
    before = taking.fixed
    taking.fixed = {each: said for each, said in before.items() if each != name}
    if to is not None:
        taking.fixed[name] = to
    try:
        read(taking, desk)
    except BenchError:
        taking.fixed = before
        raise
    _again(desk, taking, taking.decisions)


def _named_item(desk: Desk, taking: Taking, one: Heading) -> Item:
    """A column that its name says all of; the name may mean something else."""
    by = "name" if {name_key(one.name)} & set(column_words()[one.fixed]) else "look"
    words = f"the column {one.fixed}, by its {by}; Enter changes that"
    return Item(f"named:{one.at}", one.full, words, partial(_ask_named, desk, taking, one))


def _ask_named(desk: Desk, taking: Taking, one: Heading) -> None:
    def leave_out() -> None:
        _say_fixed(desk, taking, one.full, "")
        _meant(desk, taking, one, "-")

    desk.open.menu = Menu(
        one.called,
        (
            Choice("n", f"a question, not the column {one.fixed}",
                   partial(_say_fixed, desk, taking, one.full, "")),
            Choice("k", "a known question, or another fixed column", partial(_ask_known, desk, one)),
            Choice("x", "leave it out", leave_out),
        ),
        name="table-column",
    )  # fmt: skip


def _ask_column(desk: Desk, taking: Taking, one: Column) -> None:
    near = [Choice(str(no), _clue_words(clue), partial(_meant, desk, taking, one.heading, clue.id))
            for no, clue in enumerate(one.near, 1)]  # fmt: skip
    desk.open.menu = Menu(
        one.heading.called,
        (
            *near,
            Choice("n", "a new question", partial(_meant, desk, taking, one.heading, "new")),
            Choice("p", "a new question about another place", partial(_ask_place, desk, taking, one)),
            Choice(
                "k",
                "a known question, or a fixed column such as note",
                partial(_ask_known, desk, one.heading),
            ),
            Choice("x", "leave it out", partial(_meant, desk, taking, one.heading, "-")),
        ),
        name="table-column",
    )


def _clue_words(clue: Clue) -> str:
    return f"the question {clue.ask} ({clue.seen_where})"


def _meant(desk: Desk, taking: Taking, one: Heading, said: str) -> None:
    meant = taking.decisions.meant
    columns = {**meant.columns, fold(one.full): said}
    _again(desk, taking, replace(taking.decisions, meant=replace(meant, columns=columns)))


def _ask_place(desk: Desk, taking: Taking, one: Column) -> None:
    def take(where: str) -> None:
        part, _, place = where.partition(" ")
        meant, name = taking.decisions.meant, fold(one.heading.full)
        meant = replace(
            meant, places={**meant.places, name: (part, place)}, columns={**meant.columns, name: "new"}
        )
        _again(desk, taking, replace(taking.decisions, meant=meant))

    choices = [Choice(str(no), words, partial(take, where)) for no, (where, words) in enumerate(PLACES, 1)]
    desk.open.menu = Menu(f"where is {one.heading.full} seen?", tuple(choices), name="table-place")


def _ask_known(desk: Desk, one: Heading) -> None:
    about = "words of the question, or a fixed column: " + ", ".join(NAMED)
    open_line(desk, "book-column", one.full, about=about, column=one.at)


def _suggest_known(desk: Desk, line: OpenLine) -> list[Pick]:
    typed = fold(line.text)
    fixed = [Pick(((f"column {name}", "bold"),), name) for name in NAMED if typed and name.startswith(typed)]
    words = typed.split()
    clues = [one for one in desk.library.clues() if words and all(word in _words(one) for word in words)]
    # its very words first, then the questions of a company
    clues.sort(
        key=lambda one: (fold(one.ask) != typed, not fold(one.ask).startswith(typed), not one.companies)
    )
    return fixed + [Pick(((one.ask, "bold"), (f"  {one.seen_where}", "dim")), one.id) for one in clues[:20]]


def _words(clue: Clue) -> str:
    return fold(f"{clue.ask} {clue.id} {clue.seen_where}")


def _take_known(desk: Desk, line: OpenLine) -> None:
    taking = taking_of(desk)
    if not line.text.strip() or taking is None or taking.plan is None:
        close_line(desk)
        return
    if not line.picks:
        desk.refuse("no question and no fixed column has these words; Escape leaves the column as it is")
        return
    value = str(line.picks[min(line.marked, len(line.picks) - 1)].value)
    at = line.data.get("column")
    one = next(heading for heading in taking.plan.table.headings if heading.at == at)
    close_line(desk)
    if value in NAMED:
        _say_fixed(desk, taking, one.full, value)
        return
    if one.fixed:
        _say_fixed(desk, taking, one.full, "")
    _meant(desk, taking, one, value)


def _text_item(desk: Desk, taking: Taking, one: Unplaced) -> Item:
    words = words_of_unplaced(one)
    return Item(f"text:{one.column}:{one.text}", one.column, words, partial(_ask_text, desk, taking, one))


def _ask_text(desk: Desk, taking: Taking, one: Unplaced) -> None:
    plan = taking.plan
    column = plan.column_at(one) if plan else None
    if column is None or column.clue is None:
        desk.refuse(f"correct line {one.line} in the table itself; the rest of the row is taken in")
        return

    def take(said: str) -> None:
        key = (fold(one.column), fold(one.text) or one.text)
        _again(desk, taking, replace(taking.decisions, answers={**taking.decisions.answers, key: said}))

    answers = [answer for answer in column.clue.answers if not answer.neutral][:9]
    means = [
        Choice(str(no), f"means {answer.text}", partial(take, answer.id))
        for no, answer in enumerate(answers, 1)
    ]
    others = (
        Choice("n", "a new answer", partial(take, "new")),
        Choice("x", "leave it out", partial(take, "-")),
    )
    desk.open.menu = Menu(f"'{one.text}' in {one.column}", (*means, *others), name="table-text")


def _turn_keep(desk: Desk, taking: Taking) -> None:
    _again(desk, taking, replace(taking.decisions, keep=not taking.decisions.keep))


def _rest(desk: Desk, taking: Taking) -> None:
    """All that is not decided: titles, columns and pressings of the table are none that are known."""
    plan = taking.plan
    if plan is None:
        return
    meant = taking.decisions.meant
    columns = {fold(one.heading.full): "new" for one in plan.columns if one.how == "asked"} | meant.columns
    titles: dict[int, Doubtful] = {one.line: "new" for one in plan.titles if one.how == "doubtful"}
    titles |= taking.decisions.titles
    grown = {one.grown.id: False for one in plan.alike} | taking.decisions.grown
    meant = replace(meant, columns=columns)
    _again(desk, taking, replace(taking.decisions, titles=titles, grown=grown, meant=meant))


def _ask_into(desk: Desk) -> None:
    about = "the name of a book of yours, or of a new one"
    taking = taking_of(desk)
    text = taking.target.head.id if taking else ""
    open_line(desk, "book-into", "into which book", text, about, replace=True)


def _take_into(desk: Desk, line: OpenLine) -> None:
    taking = taking_of(desk)
    name = line.text.strip()
    if taking is None or not name:
        close_line(desk)
        return
    taking.target = book_named(desk, name)
    close_line(desk)
    read(taking, desk)
    _again(desk, taking, taking.decisions)


LINES["book-into"] = LineKind(_take_into)


LINES["book-column"] = LineKind(_take_known, suggest=_suggest_known)
