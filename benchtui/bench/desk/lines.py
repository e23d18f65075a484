"""Text lines: opening, typing, picking, leaving. What a line means stands in LINES by its name."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from benchtui.bench.desk.core import Desk, OpenLine, Pick
from benchtui.bench.desk.verbs import does

Suggest = Callable[[Desk, OpenLine], list[Pick]]
Accept = Callable[[Desk, OpenLine], None]


@dataclass(frozen=True)
class LineKind:
    """How one kind of line behaves.

    ``accept`` takes the text (it closes the line itself, or leaves it open after a refusal);
    ``suggest`` lists what fits; ``typed`` runs after each key and may accept by itself;
    ``new`` makes something new from the text.
    """

    accept: Accept
    suggest: Suggest | None = None
    typed: Accept | None = None
    new: Accept | None = None
    backspace: Accept | None = None


LINES: dict[str, LineKind] = {}


def open_line(
    desk: Desk, name: str, label: str, text: str = "", about: str = "", *, replace: bool = False, **data: Any
) -> None:
    """Open a text line with what was in it (``replace``: typing replaces that), kept from the first key."""
    desk.line = OpenLine(name, label, text, about, data=data, replace=replace)
    desk.menu = None
    refresh(desk)
    desk.place()


def refresh(desk: Desk) -> None:
    """List again what fits the text."""
    line = desk.line
    if line is None:
        return
    kind = LINES[line.name]
    line.picks = kind.suggest(desk, line) if kind.suggest else ()
    line.marked = 0


def type_text(desk: Desk, text: str) -> None:
    """The line's text is now this (the screen's editor changed it)."""
    line = desk.line
    if line is None or line.text == text:
        return
    line.text = text
    desk.message = ""
    refresh(desk)
    kind = LINES[line.name]
    if kind.typed:
        kind.typed(desk, line)
    desk.place()


def close_line(desk: Desk) -> None:
    """Close the line without a word; the caller saves."""
    desk.line = None


def marked_pick(line: OpenLine) -> Pick | None:
    """The line of the list that Enter takes."""
    return line.picks[line.marked] if 0 <= line.marked < len(line.picks) else None


@does("line-accept")
def accept(desk: Desk) -> None:
    if desk.line is not None:
        LINES[desk.line.name].accept(desk, desk.line)


@does("line-leave")
def leave(desk: Desk) -> None:
    desk.line = None
    desk.say("")
    desk.place()


@does("line-new")
def make_new(desk: Desk) -> None:
    line = desk.line
    if line is None:
        return
    kind = LINES[line.name]
    if kind.new is None:
        desk.refuse("nothing new is made here: Enter takes the text, Escape leaves it")
    else:
        kind.new(desk, line)


@does("line-up")
def up(desk: Desk) -> None:
    if desk.line and desk.line.picks:
        desk.line.marked = (desk.line.marked - 1) % len(desk.line.picks)


@does("line-down")
def down(desk: Desk) -> None:
    if desk.line and desk.line.picks:
        desk.line.marked = (desk.line.marked + 1) % len(desk.line.picks)


def pick_row(desk: Desk, row: int) -> None:
    """Take the n-th line of the list, counted from 1, with one key."""
    line = desk.line
    if line is None or row > len(line.picks):
        desk.refuse(f"the list has no line {row}")
        return
    line.marked = row - 1
    accept(desk)
