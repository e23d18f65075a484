"""What a table would change, line by line: titles, pressings, columns, texts without a place, conflicts."""

import re
from collections.abc import Iterator, Sequence

from benchtui.knowledge.columns import Column, maybe_words
from benchtui.knowledge.plan import GrownAlike, Plan, TitlePlan, Unplaced
from benchtui.knowledge.values import MOST_SHARE

_YEAR = re.compile(r"(?:18|19|20)\d\d\??")
MOST = 12
"""Lines of one kind that are shown; the rest are counted."""


def preview_lines(plan: Plan, most: int = MOST) -> Iterator[str]:
    """The whole preview."""
    yield from plan.table.told
    yield titles_line(plan)
    yield from _some(
        [title_line(one) for one in plan.titles if one.how == "doubtful"], most, "doubtful titles"
    )
    yield pressings_line(plan)
    yield from filter(None, (open_ends_line(plan), again_line(plan), years_as_shares_line(plan)))
    yield from _some([alike_line(one) for one in plan.alike], most, "pressings grown here")
    yield from _some([column_line(one) for one in plan.every_column], 200, "columns")
    yield from _some(unplaced_lines(plan), most, "texts that could not be placed")
    yield from _some(slip_lines(plan), most, "texts read despite a slip or from a short form")
    yield from _some(conflict_lines(plan), most, "places where the table differs from what is known")
    yield from _some(
        [f"line {line} refused: {why}" for line, why in plan.table.refused], most, "lines refused"
    )


def titles_line(plan: Plan) -> str:
    """How many titles there are, and how well they are known."""
    left, made = plan.count("skipped"), len(plan.unwritten)
    of_bench = f" ({made} made on the bench)" if made else ""
    titles = _counted(plan.titles, "title")
    return (
        f"{titles}: {plan.count('found')} found{of_bench}, {len(plan.new_titles)} new, "
        f"{plan.count('doubtful')} doubtful" + (f", {left} left out" if left else "")
    )


def _counted(things: Sequence[object], word: str) -> str:
    return f"{len(things)} {word}{'s' * (len(things) != 1)}"


def pressings_line(plan: Plan) -> str:
    """How many pressings are new, changed, the same."""
    new, changed, same = (plan.count(how) for how in ("new", "changed", "same"))
    return f"{_counted(plan.pressings, 'pressing')}: {new} new, {changed} changed, {same} the same"


def open_ends_line(plan: Plan) -> str:
    """How many single years stand in a column that says only since when; "" for none."""
    headings = {one.fixed: one.full for one in plan.table.headings}
    if "from" not in headings or {"to", "made"} & set(headings):
        return ""
    years = [row for row in plan.table.rows if _YEAR.fullmatch(row.fixed.get("from", ""))]
    if not years:
        return ""
    what = f"{len(years)} single year{'s' * (len(years) != 1)}"
    until = "no column says until when, so from then on; the column 'made' would be that year"
    return f"{what} in {headings['from']}: {until}"


def years_as_shares_line(plan: Plan) -> str:
    """The rows whose share looks like a year; "" for none."""
    lines = [str(one.line) for one in plan.pressings if one.fields.get("share", 0) > MOST_SHARE]
    where = f"line{'s' * (len(lines) != 1)} {', '.join(lines[:6])}" + (" ..." if len(lines) > 6 else "")
    return f"{where}: a share above {MOST_SHARE} looks like a year" if lines else ""


def again_line(plan: Plan) -> str:
    """That each title has pressings already, and yet none of the table's is one of them; "" where not so."""
    found = [one.known for one in plan.titles]
    if not found or not all(one is not None and one.pressings for one in found):
        return ""
    if not plan.pressings or plan.count("new") < len(plan.pressings):
        return ""
    return (
        "each of these titles has pressings already, and all of the table's are new: was it taken in before?"
    )


def alike_line(one: GrownAlike) -> str:
    """A pressing grown here beside the row that it looks like, and what was said of the two."""
    if one.one is None:
        return f"one or two? {words_of_alike(one)}"
    told = "one" if one.one else "two"
    return f"{told}, as you said: '{one.grown.name}', grown here, and '{one.row.name}' of line {one.row.line}"


def words_of_alike(one: GrownAlike) -> str:
    """The two that look alike."""
    return f"'{one.grown.name}', grown here, looks like '{one.row.name}' of line {one.row.line}"


def title_line(one: TitlePlan) -> str:
    """A doubtful title beside the known ones that it may be."""
    maybe = " or ".join(f"{card.name} ({card.book or 'made on the bench'})" for card in one.maybe[:3])
    return f"line {one.line}: {one.group.card.name} may be {maybe}"


def column_line(one: Column) -> str:
    """What becomes of a column."""
    name = one.heading.called + (f", rows of {', '.join(one.whose)}" if one.whose else "")
    if one.clue is None:
        return f"{name}: left out; {one.why}"
    if one.how == "known":
        added = ", ".join(table["text"] for table in one.added)
        known = f"{name}: the question {one.clue.id} ({one.clue.ask})"
        return f"{known}; new answers: {added}" if added else known
    answers = ", ".join(answer.text for answer in one.clue.answers)
    where = f"{one.clue.part}, {one.clue.place}" + (" (guessed)" if one.guessed else "")
    new = f"{name}: new question about the {where}: {answers}"
    if one.how == "asked":
        near = maybe_words([f"{clue.id} ({clue.ask})" for clue in one.near])
        return f"{name}: {near}; say which"
    return new


def unplaced_lines(plan: Plan) -> list[str]:
    """Each text that could not be placed, with what it may mean."""
    lines = []
    for one in plan.unplaced:
        lines.append(f"line {one.line}: {one.column}: {words_of_unplaced(one)}")
    return lines


def words_of_unplaced(one: Unplaced) -> str:
    """The text and what it may mean, or why it cannot be read."""
    times = f" ({one.times} times)" if one.times > 1 else ""
    if one.why:
        return f"{one.why}{times}"
    near = f"; perhaps {' or '.join(one.near)}" if one.near else ""
    return f"'{one.text}' could not be placed{times}{near}"


def slip_lines(plan: Plan) -> list[str]:
    """Each text that is spelt in another way than the answer it was read as."""
    return [f"line {line}: {column}: read '{text}' as '{meant}'" for line, column, text, meant in plan.slips]


def conflict_lines(plan: Plan) -> list[str]:
    """What is known beside what the table says."""
    return [
        f"line {one.line}: {one.title.group.card.title}, {one.name}: {name}: known {known}, here {says}"
        for one, (name, known, says) in plan.conflicts
    ]


def _some(lines: Sequence[str], most: int, what: str) -> Iterator[str]:
    yield from lines[:most]
    if len(lines) > most:
        yield f"... and {len(lines) - most} more {what}"
