"""Every key on one page, made from what the commands declare and the map in use."""

from benchtui.desk.core.command import Command, commands
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.keys import shown
from benchtui.desk.core.page_parts import SIGNS, Column, PageView, Para, Row, Table, says, words
from benchtui.desk.core.pages import page

ORDER = ("Record", "Hand", "Look", "Grade", "Queue", "Bench")
CLAUSE = 40
"""Cells for what a grade means; the list of grades and the help key say it in full."""


@page("help", "What the keys do. Any key of the page leaves or scrolls it.", opener="help")
def help_page(desk: Desk) -> PageView:
    """A table a group: keys, and what they do."""
    keymap = desk.references.keymap
    title = (("Keys", "accent bold"), (f"  {keymap.name}: {keymap.about}", "dim"))
    groups: dict[str, list[Row]] = {group: [] for group in ORDER}
    for one in commands():
        keys = keymap.keys.get(one.id, ())
        if one.where in ("bench", "any") and keys and not one.id.startswith("answer-"):
            groups.setdefault(one.group, []).append(_row(one, keys))
    groups["Grade"] = [*_grades(desk), *groups["Grade"]]
    columns = (Column(), Column(rank=1))
    tables = [
        Table(columns, rows, words(group, "bold"), name=group) for group, rows in groups.items() if rows
    ]
    return PageView(title, _signs(desk), tuple(tables), columns=True)


def _signs(desk: Desk) -> tuple[Para, ...]:
    """The signs of the queue, the text line."""
    keymap = desk.references.keymap
    take, leave, down, new = (
        shown(keymap.first_key(action) or "")
        for action in ("line-accept", "line-leave", "line-down", "line-new")
    )
    made = f", {new} makes new" if new else ""
    meant = (
        ("done", "taken in"),
        ("open", "taken in, pressing not sure"),
        ("begun", "begun"),
        ("empty", "empty"),
        ("apart", "set apart or clash"),
    )
    return (
        says("  ".join(f"{SIGNS[sign]} {text}" for sign, text in meant), "dim"),
        says(f"in a text line: {take} accepts, {leave} leaves, {down} goes down the list{made}", "dim"),
    )


def _row(one: Command, keys: tuple[str, ...]) -> Row:
    """Its two first keys and its sentence; in brief one key and the short word."""
    named = " ".join(shown(key) for key in keys[:2])
    brief = (words(shown(keys[0]), "key"), words(one.short))
    return Row(f"command:{one.id}", (words(named, "key"), words(one.words)), markable=False, brief=brief)


def _grades(desk: Desk) -> list[Row]:
    """A row a grade with how its words for the part in the hand begin; without one those for a disc."""
    keymap = desk.references.keymap
    kind = desk.work.part["kind"] if desk.work.part is not None else "disc"
    rows = []
    for grade in desk.scale.grades:
        key = keymap.first_key(f"grade:{grade.id}")
        if not grade.shade and key:
            cells = (words(shown(key), "key"), words(f"{grade.id}: {_first_clause(grade.brief(kind))}"))
            brief = (words(shown(key), "key"), words(grade.id))
            rows.append(Row(f"grade:{grade.id}", cells, markable=False, brief=brief))
    return rows


def _first_clause(text: str) -> str:
    ends = [at for sign in ",.:;" if (at := text.find(sign)) > 0]
    clause = text[: min(ends, default=len(text))]
    if len(clause) <= CLAUSE:
        return clause
    return clause[: CLAUSE - 1].rsplit(" ", 1)[0] + " …"
