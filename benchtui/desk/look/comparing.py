"""Choosing the two pressings that the page of comparison puts side by side."""

from functools import partial

from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Choice, Desk, Menu, Page
from benchtui.desk.core.needs import unless
from benchtui.evidence import Weighing

KEYS = "123456789abcdefghijklmnopqrstuvwxyz"


def _known(desk: Desk) -> str:
    weighing = desk.weighing()
    several = weighing is not None and sum(one.id is not None for one in weighing.pressings) > 1
    return unless(several, "the books know fewer than two pressings of it")


@command(
    "why-compare",
    "page",
    "compare any two pressings: what tells them apart",
    short="compare",
    also="difference between apart tell versus",
    needs=[_known],
    on=("why", "compare"),
    changes="nothing",
    order=1005,
)
def choose(desk: Desk) -> None:
    """Choose the one pressing, then the other; the same twice shows what would prove and disprove it."""
    if (weighing := desk.weighing()) is not None:
        desk.open.menu = _menu(desk, weighing, "compare which pressing?", None)


def _menu(desk: Desk, weighing: Weighing, title: str, first: str | None) -> Menu:
    named = [(one.id or "", one.name) for one in weighing.pressings][: len(KEYS)]
    choices = [
        Choice(
            key,
            f"{name} by itself" if chosen == first else name,
            partial(_second, desk, chosen) if first is None else partial(_show, desk, first, chosen),
        )
        for key, (chosen, name) in zip(KEYS, named, strict=False)
    ]
    return Menu(title, tuple(choices), name="compare")


def _second(desk: Desk, first: str) -> None:
    weighing = desk.weighing()
    if weighing is not None:
        desk.open.menu = _menu(desk, weighing, "with which other?", first)


def _show(desk: Desk, one: str, other: str) -> None:
    desk.open.page = Page("compare", data={"one": one, "other": other})
