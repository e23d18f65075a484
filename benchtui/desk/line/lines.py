"""Text lines: opening, typing, picking, leaving. What a line means stands in LINES by its name."""

import time
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from typing import Any, NamedTuple

from benchtui.base.paths import path_from
from benchtui.desk.core.command import Legend, command
from benchtui.desk.core.desk import Desk, OpenLine, Pick
from benchtui.desk.core.page_parts import Column

Suggest = Callable[[Desk, OpenLine], list[Pick]]
Steps = Callable[[Desk, OpenLine], Iterator[list[Pick]]]
Accept = Callable[[Desk, OpenLine], None]


class LineKind(NamedTuple):
    """How one kind of line behaves.

    ``accept`` takes the text (it closes the line itself, or leaves it open after a refusal);
    ``suggest`` lists what fits; ``steps`` lists it in steps of a few milliseconds, each giving the list
    so far, for a screen that must not wait; ``typed`` runs after each key and may accept by itself;
    ``new`` makes something new from the text; ``left`` runs where Escape left half a text.
    """

    accept: Accept
    suggest: Suggest | None = None
    typed: Accept | None = None
    new: Accept | None = None
    backspace: Accept | None = None
    left: Accept | None = None
    steps: Steps | None = None
    one_write: bool = False
    """Its taking stays within the parcel, however far it moves on: one write."""
    columns: tuple[Column, ...] = ()
    """Those of its list, where that is in columns."""


LINES: dict[str, LineKind] = {}
LONG_TEXTS = ("note", "description-text", "sender-list")
GONE_ON_WITH = (*LONG_TEXTS, "runout", "clue-number", "play-test")
"""Lines where half a text that Escape left is gone on with; in others typing begins anew."""
OF_WHAT = (
    "disc", "question", "template", "after", "part", "fault", "of", "sender", "title", "step", "clue",
    "state", "pressing", "key", "card", "digest", "column", "parcel",
)  # fmt: skip
"""What of a line's data says what its text is about: left there, it comes back at no other."""
MOST_PASTED, MOST_LONG = 10_000, 2_000_000
"""Signs that one paste may have: in a line that is searched or read, in one that takes a text."""
FUNCTION_KEYS = 8
"""So many lines of a list have a key of their own."""
KEPT_TEXTS = 8
"""So many texts that Escape left are kept."""


def open_line(
    desk: Desk, name: str, label: str, text: str = "", about: str = "", *, replace: bool = False, **data: Any
) -> None:
    """Open a text line with what was in it (``replace``: typing replaces it), or with what Escape left: half
    a text that is gone on with comes back also where something stands already.
    """
    desk.open.line = OpenLine(name, label, text, about, data=data, replace=replace, opened=text)
    desk.open.menu = None
    back = desk.open.left.get(_place(desk, desk.open.line), "") if not text or name in GONE_ON_WITH else ""
    if back:
        desk.open.line.text, desk.open.line.back = back, back
        desk.open.line.replace = name not in GONE_ON_WITH
    if back and replace:
        key = desk.key("line-accept")
        desk.say(f"what you typed is back; {key} takes it in the place of what was here before")
    refresh(desk)
    desk.place()


def refresh(desk: Desk) -> None:
    """List again what fits the text."""
    line = desk.open.line
    if line is None:
        return
    kind = LINES[line.name]
    line.marked, desk.background.search = 0, None
    if desk.background.patient and kind.steps is not None:
        desk.background.search, desk.background.found = kind.steps(desk, line), ()
        search_on(desk, FIRST_SHARE)
    else:
        line.picks = kind.suggest(desk, line) if kind.suggest else ()


FIRST_SHARE, SHARE = 0.002, 0.002
"""Seconds that a search may take at once: while a key is answered, and between two keys."""


def search_on(desk: Desk, seconds: float = SHARE) -> bool:
    """Go on with the search at hand for so long; False once the list is whole.

    The list shown stays until the new one has something in it, so that it does not flicker.
    """
    line, search, end = desk.open.line, desk.background.search, time.perf_counter() + seconds
    if line is None or search is None:
        desk.background.search = None
        return False
    while (found := next(search, None)) is not None:
        desk.background.found = found
        if found:
            line.picks = found
        if time.perf_counter() >= end:
            return True
    line.picks, desk.background.search = desk.background.found, None
    return False


def settle(desk: Desk) -> None:
    """Finish the search, so that what is taken is what the whole list has first."""
    search_on(desk, float("inf"))


def typed_path(desk: Desk, line: OpenLine) -> Path | None:
    """The file that the line names, in the shop's folder where it is not here; None: an empty line, left."""
    text = line.text.strip()
    if not text:
        close_line(desk)
        desk.place()
        return None
    path = path_from(text)
    return path if path.is_absolute() or path.exists() else desk.shop.path / path


def refuses_paste(desk: Desk, text: str) -> bool:
    """Whether so long a paste is refused, and said: the line would keep the bench busy for minutes."""
    name = desk.open.line.name if desk.open.line is not None else ""
    most = MOST_LONG if name in LONG_TEXTS else MOST_PASTED
    if len(text) <= most:
        return False
    desk.refuse(f"a paste of more than {most:,} characters is too long for this line: paste less")
    return True


def type_text(desk: Desk, text: str) -> None:
    """The line's text is now this (the screen's editor changed it)."""
    line = desk.open.line
    if line is None or line.text == text:
        return
    line.text = text
    desk.open.message, desk.open.explained = "", None
    kind = LINES[line.name]
    if kind.typed is None or desk.work.parcel is None:
        if kind.typed is not None:
            kind.typed(desk, line)
        desk.place()
    else:
        with desk.one_write(desk.work.parcel):  # a letter may take the line and go on to the next
            kind.typed(desk, line)
            desk.place()
        desk.watch_trouble()
    if desk.open.line is line:
        refresh(desk)  # while the text is on its way to the disk


def close_line(desk: Desk) -> None:
    """Close the line without a word; the caller saves."""
    if desk.open.line is not None:
        desk.open.left.pop(_place(desk, desk.open.line), None)
    desk.open.line = desk.background.search = None


def left_empty(take: Accept) -> Accept:
    """The same, for a line that Enter leaves where nothing stands in it."""

    def taken(desk: Desk, line: OpenLine) -> None:
        if line.text.strip():
            take(desk, line)
        else:
            close_line(desk)
            desk.place()

    return taken


def _place(desk: Desk, line: OpenLine) -> str:
    """Where a line's text belongs, so that what Escape left comes back there."""
    about = (str(line.data[one]) for one in OF_WHAT if one in line.data)
    return "/".join([desk.work.record_id or "", line.name, str(line.data.get("side", "")), *about])


def begin(desk: Desk, digit: str) -> None:
    """The first digit of an answer goes on with what Escape left in the line that has just been opened."""
    line = desk.open.line
    if line is not None:
        type_text(desk, line.back + digit)


def left_at(desk: Desk, name: str, **data: Any) -> str:
    """What Escape left in the line of that name and place; "" where it left nothing."""
    return desk.open.left.get(_place(desk, OpenLine(name, "", data=data)), "")


def refuse_unfound(desk: Desk, said: str) -> None:
    """Nothing was found; while the parcels are still being read, that need not be the last word."""
    desk.refuse(f"{said} so far: wait until all parcels are read" if desk.shop.still_reading else said)


def marked_pick(line: OpenLine) -> Pick | None:
    """The line of the list that Enter takes."""
    return line.picks[line.marked] if 0 <= line.marked < len(line.picks) else None


@command(
    "line-accept",
    "line",
    "take what you typed, or the marked line",
    short="take",
    legend=Legend(line=10),
    changes="nothing",
    order=570,
)
def accept(desk: Desk) -> None:
    line = desk.open.line
    unseen = line is not None and not line.picks and line.text == line.back != ""
    settle(desk)
    if line is None:
        return
    if unseen and line.picks:
        show_first(desk)
    else:
        LINES[line.name].accept(desk, line)


def show_first(desk: Desk) -> None:
    """Nothing is taken from a list that was not there yet when Enter was pressed."""
    desk.refuse(f"this is what fits: {desk.key('line-accept')} takes the marked line")
    desk.place()


@command(
    "line-leave",
    "line",
    "leave the text line, changing nothing",
    short="leave",
    legend=Legend(line=20),
    changes="nothing",
    order=580,
)
def leave(desk: Desk) -> None:
    line = desk.open.line
    slip = line is not None and is_undo(desk, line)
    typed = line is not None and line.text.strip() and line.text != line.opened and not slip
    if line is not None and (slip or (line.opened and not typed)):
        desk.open.left.pop(_place(desk, line), None)  # it reads again as it stood before
    again = line is not None and (not line.opened or line.name in GONE_ON_WITH)
    if line is not None and typed:
        if again:  # what was changed and left stands as it was: its text is not for another line of the kind
            desk.open.left[_place(desk, line)] = line.text
            desk.open.left = dict(list(desk.open.left.items())[-KEPT_TEXTS:])
        if (left := LINES[line.name].left) is not None:
            left(desk, line)
    desk.open.line = desk.background.search = None
    stays = "what you typed comes back when you open the line again" if again else "it stays as it was"
    undoes = f"left; {desk.key('undo')} undoes now"
    desk.say(f"left; {stays}" if typed else undoes if slip else "")
    desk.place()


def is_undo(desk: Desk, line: OpenLine) -> bool:
    """Whether the key that undoes was typed into the title line, which had opened by itself."""
    return line.name == "title" and set(line.text.strip()) == {desk.key("undo")}


def _makes_new(desk: Desk) -> object:
    return desk.open.line is not None and desk.open.line.name in ("title", "field-sender", "jump-clue")


@command(
    "line-new",
    "line",
    "make a new title, sender or question from what you typed",
    short="new",
    legend=Legend(line=30, when=_makes_new),
    order=610,
)
def make_new(desk: Desk) -> None:
    settle(desk)
    line = desk.open.line
    if line is None:
        return
    kind = LINES[line.name]
    if kind.new is None:
        desk.refuse("nothing new can be made here: Enter takes the text, Escape leaves")
    else:
        kind.new(desk, line)


@command("line-up", "line", "mark the line above", changes="nothing", order=590)
def up(desk: Desk) -> None:
    settle(desk)
    if desk.open.line and desk.open.line.picks:
        desk.open.line.marked = (desk.open.line.marked - 1) % len(desk.open.line.picks)


@command("line-down", "line", "mark the line below", changes="nothing", order=600)
def down(desk: Desk) -> None:
    settle(desk)
    if desk.open.line and desk.open.line.picks:
        desk.open.line.marked = (desk.open.line.marked + 1) % len(desk.open.line.picks)


def pick_row(desk: Desk, row: int) -> None:
    """Take the n-th line of the list, counted from 1, with one key."""
    settle(desk)
    line = desk.open.line
    if line is None or row > len(line.picks):
        desk.refuse(f"the list has no line {row}")
        return
    line.marked = row - 1
    accept(desk)


for _row in range(1, FUNCTION_KEYS + 1):
    command(
        f"pick-{_row}", "line", f"take line {_row} of the list", changes="nothing", order=610 + 10 * _row
    )(partial(pick_row, row=_row))
