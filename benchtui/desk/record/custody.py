"""Whose it was, what it is worth, who had it; the owner asked about a price; reminders: all on the record."""

from typing import Any, cast

from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Desk, Menu
from benchtui.desk.record.steps import Step, Typed, keep_steps, step_choices
from benchtui.model.chores import add_chore, finish_all
from benchtui.model.custody import CustodyDoc, CustodyStep
from benchtui.model.record import ASK_OWNER, REMIND, RecordDoc

FIELDS: dict[CustodyStep, tuple[str, ...]] = {
    "owned": ("who", "since", "document"),
    "opinion": ("who", "note"),
    "value": ("amount", "who"),
    "lies": ("note",),
    "handled": ("who", "note"),
    "asked": ("amount", "note", "by"),
    "approved": ("amount", "who"),
    "refused": ("who", "note"),
}
"""What stands in the cells of each line; the first may not be empty."""
WHICH: dict[str, str] = {
    "who": "who?", "amount": "which amount?", "note": "what, or where?",
}  # fmt: skip


def _keep(what: CustodyStep) -> Any:
    def take(record: RecordDoc, typed: Typed) -> None:
        names = FIELDS[what]
        if not typed.cells[0]:
            raise ValueError(f"{WHICH[names[0]]} Write {STEPS[what].about}")
        entry: dict[str, Any] = {"at": typed.on, "what": what}
        for at, name in enumerate(names):
            if name == "amount":
                entry |= typed.amount(at) or {}
            elif name != "by" and typed.cells[at]:
                entry[name] = typed.cells[at]
        record["custody"] = [*record.get("custody", []), cast(CustodyDoc, entry)]
        if what == "asked":
            add_chore(record, ASK_OWNER, typed.now, " ".join(typed.cells[:2]), due=typed.day(2))
        elif what in ("approved", "refused"):
            finish_all(record, ASK_OWNER, typed.on)

    return take


def _remind(record: RecordDoc, typed: Typed) -> None:
    what, _ = typed.cells
    if not what:
        raise ValueError(f"of what? Write {STEPS['remind'].about}")
    add_chore(record, REMIND, typed.now, what, due=typed.day(1))


STEPS: dict[str, Step] = {
    "owned": Step(
        "an earlier owner", "who; when they had it; what shows it; day: R. Sorrel; 1961-1984; letter", 3,
        "an earlier owner noted", _keep("owned"),
    ),
    "opinion": Step(
        "a second opinion", "who; what they say; day: Prof. Umber; first state, cover right; yesterday", 2,
        "a second opinion noted", _keep("opinion"),
    ),
    "value": Step(
        "value agreed", "amount; with whom; day: 400; the owner", 2, "a value agreed", _keep("value")
    ),
    "lies": Step("where it is kept", "where; day: safe, drawer 2", 1, "its place noted", _keep("lies")),
    "handled": Step(
        "who handled it", "who; what for; day: Ines; photographed", 2, "who handled it noted",
        _keep("handled"),
    ),
    "asked": Step(
        "ask the owner", "amount; about what; answer by; day: 18; a lower offer; +3", 3,
        "the owner is to be asked", _keep("asked"),
    ),
    "approved": Step(
        "the owner approved", "amount; who; day: 18; by telephone", 2, "approved by the owner",
        _keep("approved"),
    ),
    "refused": Step("the owner refused", "who; why; day", 2, "refused by the owner", _keep("refused")),
    "remind": Step("remind me", "of what; by which day: ask again; +30", 2, "a reminder noted", _remind),
}  # fmt: skip


@command(
    "record-custody",
    "page",
    "earlier owners, opinions, value, who had it; ask the owner; a reminder",
    short="owners",
    also="provenance history document second opinion expert value insured insurance handled lies location"
    " approval approve offer remind reminder",
    on=("record",),
    order=1186,
)
def open_custody(desk: Desk) -> None:
    choices = step_choices(desk, "custody", STEPS)
    desk.open.menu = Menu("Whose it was, what was agreed", choices, name="custody")


keep_steps("custody", STEPS)
