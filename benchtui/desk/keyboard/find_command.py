"""Every command found by a few letters: on the bench all of its own, on a page what can be done there.

With a map for one hand they are listed by digits instead, nine to a page.
"""

from collections.abc import Callable
from functools import partial
from typing import Any

from benchtui.desk.core.command import Command, Legend, by_id, command, command_of
from benchtui.desk.core.desk import Choice, Desk, Menu, OpenLine, Page, Pick
from benchtui.desk.core.keys import shown
from benchtui.desk.core.offers import everything_here, on_bench, on_page
from benchtui.desk.core.pages import pages
from benchtui.desk.keyboard.perform import run, why_not, with_keys
from benchtui.desk.line.letters import BEGINS, INSIDE, SLIPPED, begins, fit, words_in
from benchtui.desk.line.lines import FUNCTION_KEYS, LINES, LineKind, close_line, marked_pick, open_line

NAME = 15
"""Cells for a command's short word."""


@command(
    "commands",
    "bench",
    "every command, found by letters or digits",
    short="menu",
    group="Bench",
    legend=Legend(record=150),
    changes="nothing",
    order=520,
)
@command(
    "page-more",
    "page",
    "all this page can do, found by letters or digits",
    short="more",
    changes="nothing",
    order=920,
)
def commands(desk: Desk) -> None:
    """What can be done now, found by letters; by digits where the map has nothing else for one hand."""
    if desk.references.keymap.one_hand:
        _by_digits(desk, 0)
        return
    desk.say("")
    name, marked = (desk.open.page.name, desk.open.page.marked) if desk.open.page else ("", 0)
    open_line(desk, "command", "command", about=_about(desk), page=name, marked=marked)


def _about(desk: Desk) -> str:
    rows = [desk.references.keymap.first_key(f"pick-{row}") for row in (1, FUNCTION_KEYS)]
    by_row = f", {shown(rows[0])} to {shown(rows[1])} a row" if rows[0] and rows[1] else ""
    return f"a few letters of it; {desk.key('line-accept')} runs the marked command{by_row}"


def _by_digits(desk: Desk, start: int) -> None:
    if desk.open.page is None:
        choices = _a_page(desk, on_bench(), start, lambda one: f"{one.short}: {one.words}")
        desk.open.menu = Menu("Every command", choices, TURN, "commands")
    else:
        offered = [one for one in on_page(desk) if one.id != "page-leave"]
        choices = _a_page(desk, offered, start, lambda one: one.words)
        desk.open.menu = Menu("What can be done on this page", choices, TURN, "page-more")


TURN = "press the digit in front of it; 0 shows more"


def _a_page(
    desk: Desk, offered: list[Command], start: int, words: Callable[[Command], str]
) -> tuple[Choice, ...]:
    choices = [
        Choice(str(n), words(one), partial(run, desk, one.id))
        for n, one in enumerate(offered[start : start + 9], 1)
    ]
    if len(offered) > 9:
        later = start + 9 if start + 9 < len(offered) else 0
        choices.append(
            Choice("0", "more ..." if later else "back to the first", partial(_by_digits, desk, later))
        )
    return tuple(choices)


# -- by letters -------------------------------------------------------------------------------------


def _picks(desk: Desk, line: OpenLine) -> list[Pick]:
    """What fits, that which can be done now first, then what is refused, with the reason; where nothing fits,
    the line says so.

    The mark stands on a refused one only where nothing else is called as typed.
    """
    ranked = [
        (bool(reason := why_not(desk, one.id)), rank, _pick(desk, one, reason))
        for one in everything_here(desk)
        if (rank := rank_of(line.text, one)) is not None
    ]
    line.about = _about(desk) if ranked else f"no command fits: {_elsewhere(desk, line.text)}; Escape leaves"
    best = min((rank for _, rank, _ in ranked), default=0)
    if best < BY_MIDDLE:
        ranked = [one for one in ranked if one[1] < BY_MIDDLE]
    ranked.sort(key=lambda one: one[:2])
    named = (
        line.text.strip()
        and best <= BY_NAME
        and all(refused or rank > BY_NAME for refused, rank, _ in ranked)
    )
    line.marked = next((n for n, one in enumerate(ranked) if one[1] == best), 0) if named else 0
    return [pick for _, _, pick in ranked]


def _elsewhere(desk: Desk, typed: str) -> str:
    """Where a command of that name works, since none does here; else to try other words."""
    named = [(rank, one) for one in by_id().values() if (rank := rank_of(typed, one)) in (BY_START, BY_NAME)]
    for _, one in sorted(named, key=lambda found: (found[0], found[1].order)):
        place = "on the bench" if one.where == "bench" and desk.open.page is not None else ""
        place = place or next((pages()[page].place for page in one.on if pages()[page].place), "")
        if typed.strip() and place:
            return f"{one.short or one.words} works {with_keys(desk, place)}"
    return "try other words"


BY_START, BY_NAME, BY_WORDS, BY_MIDDLE, BY_SLIP = range(5)
"""How a command fits: its short word begins as typed; words of it begin so; words of its sentence or other
words for it; letters within words; but for a slip.
"""


def rank_of(typed: str, action: Command) -> int | None:
    """The lower, the better; None where it does not fit."""
    name, also = action.short or action.words, f"{action.words} {action.id} {action.also}"
    if " ".join(words_in(name)).startswith(" ".join(words_in(typed))):
        return BY_START
    if begins(typed, name):
        return BY_NAME
    found = fit(typed, f"{name} {also}")
    return {BEGINS: BY_WORDS, INSIDE: BY_MIDDLE, SLIPPED: BY_SLIP}[found] if found is not None else None


def _pick(desk: Desk, action: Command, reason: str) -> Pick:
    """Its short word, its sentence or why not now, and at the right its key where it has one here."""
    keymap, scope = desk.references.keymap, "bench" if desk.open.page is None else "page"
    key = keymap.first_key(action.id) if action.where in (scope, "any") else None
    style = "dim" if reason else ""
    said = f"not now: {reason}" if reason else action.words
    named = action.short and action.short != action.words
    spans = ((f"{action.short:<{NAME}} ", style), (said, "dim")) if named else ((said, style),)
    return Pick(spans, action.id, (shown(key), "key") if key else ("", ""))


def _take(desk: Desk, line: OpenLine) -> None:
    """Do the marked one. Refused, the line stays as it was; done, nothing of it is left."""
    pick = marked_pick(line)
    if pick is None:
        typed = line.text.strip()
        desk.refuse(f"no command fits '{typed}': {_elsewhere(desk, typed)}; Escape leaves")
        return
    close_line(desk)
    before = where(desk)
    if desk.open.page is not None:
        desk.place()  # from a page one may go to another parcel: this one is to be left without a line
    desk.say("")
    run(desk, pick.value)
    if desk.open.tone == "refused" and before == where(desk):
        desk.open.line, line.replace = line, True  # what is typed next takes its place
    draft = desk.work.parcel.head["draft"] if desk.work.parcel is not None else None
    if desk.open.line is line or (desk.open.line is None and draft is not None):
        desk.place()


def where(desk: Desk) -> tuple[object, ...]:
    """All that a command may change: a word of warning after it was done is no refusal."""
    head = desk.work.parcel.head if desk.work.parcel is not None else None
    done = (head["revision"], head["undone"], len(head.get("corrections", []))) if head else None
    hand = (desk.work.part_id, desk.work.side, desk.asking.asked)
    opened = (
        desk.open.page,
        desk.open.line,
        desk.open.menu,
        desk.open.explained,
        desk.background.job,
        desk.open.leaving,
    )
    return (hand, desk.work.parcel and desk.work.parcel.id, desk.work.record_id, done, opened)


# -- after a restart ----------------------------------------------------------------------------------


def page_again(desk: Desk, data: dict[str, Any]) -> None:
    """Open the page that the line was opened on, marked as it was: its list is what can be done there."""
    name, marked = str(data.get("page", "")), data.get("marked")
    kind = pages().get(name)
    if name == "parcels":
        desk.open.page = Page("parcels")
    elif kind is not None and kind.opener and desk.open.page is None:
        command_of(kind.opener).do(desk)
    if desk.open.page is not None and desk.open.page.name == name and isinstance(marked, int):
        desk.open.page.marked = marked


LINES["command"] = LineKind(_take, _picks)
