"""Dated steps of a record, each a line of cells: chosen from a list, typed, kept in one action."""

from collections.abc import Callable, Mapping
from datetime import date
from functools import partial
from typing import NamedTuple

from benchtui.desk.core.desk import Choice, Desk, OpenLine
from benchtui.desk.core.late_change import dated
from benchtui.desk.line.amount_typed import read_amount
from benchtui.desk.line.day_typed import read_day
from benchtui.desk.line.lines import LINES, LineKind, close_line, open_line
from benchtui.desk.record.record_page import turn_to, typed_for
from benchtui.model.record import MoneyDoc, RecordDoc


class Typed(NamedTuple):
    """The cells of a line, the day at its end, and what is to be known to read them."""

    cells: list[str]
    on: str
    now: str
    today: date
    currency: str

    def amount(self, at: int) -> MoneyDoc | None:
        """The amount in that cell, None where it is empty. ValueError for what is none."""
        if not self.cells[at]:
            return None
        money = read_amount(self.cells[at], self.currency)
        return {"minor": money.minor, "currency": money.currency}

    def day(self, at: int) -> str:
        """The day in that cell, "" where it is empty; so many days (``+10``) count from the day of the step.
        ValueError for what is none."""
        cell = self.cells[at]
        start = date.fromisoformat(self.on) if cell[:1] in ("+", "-") else self.today
        return read_day(cell, start).isoformat() if cell else ""


class Step(NamedTuple):
    """``cells``: how many texts stand before the day; ``take`` writes them into the record, or says by a
    ValueError what would be right.
    """

    label: str
    about: str
    cells: int
    said: str
    take: Callable[[RecordDoc, Typed], None]


def step_choices(desk: Desk, name: str, steps: Mapping[str, Step]) -> tuple[Choice, ...]:
    """A choice a step, each opening its line; ``name`` is that of the line and of the page's section."""
    return tuple(
        Choice(str(n), step.label, partial(_open, desk, name, key, step))
        for n, (key, step) in enumerate(steps.items(), 1)
    )


def _open(desk: Desk, name: str, key: str, step: Step) -> None:
    record = desk.work.record
    if record is not None:
        open_line(desk, name, step.label, about=step.about, record=record["id"], step=key)


def keep_steps(name: str, steps: Mapping[str, Step]) -> None:
    """Declares the text line of these steps."""
    LINES[name] = LineKind(partial(_take, steps=steps))


def _take(desk: Desk, line: OpenLine, steps: Mapping[str, Step]) -> None:
    record = typed_for(desk, line)
    if record is None:
        return
    step = steps[str(line.data["step"])]
    try:
        typed = _typed(desk, line.text, step)
        with dated(desk, f"record {record['no']}: {step.said}") as change:
            step.take(desk.changed(change), typed)
            close_line(desk)
    except ValueError as error:
        desk.refuse(str(error))
        return
    turn_to(desk, line.name)


def _typed(desk: Desk, text: str, step: Step) -> Typed:
    cells = [cell.strip() for cell in text.split(";")]
    if len(cells) > step.cells + 1:
        raise ValueError(f"{len(cells)} fields are too many: {step.about}")
    today = date.fromisoformat(desk.today())
    on = read_day(cells[step.cells], today) if len(cells) > step.cells and cells[step.cells] else today
    if on > today:
        raise ValueError(f"{on.isoformat()} has not come yet: enter {today.isoformat()} or earlier")
    padded = [*cells, *[""] * step.cells][: step.cells]
    return Typed(padded, on.isoformat(), desk.now(), today, desk.currency)
