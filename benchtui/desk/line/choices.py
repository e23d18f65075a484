"""Choices by letters turned into choices by digits, for a hand that cannot reach every letter; choices of
which a small window shows a part at a time.
"""

from functools import partial

from benchtui.desk.core.command import Legend, command
from benchtui.desk.core.desk import Choice, Desk, Menu

A_PAGE = 9


def numbered(desk: Desk, menu: Menu) -> Menu:
    """The same choices by digits, nine to a page, 0 for more; one that goes by digits already stays."""
    if all(choice.key.isdigit() for choice in menu.choices):
        return menu
    return _page(desk, menu, 0)


def _page(desk: Desk, menu: Menu, start: int) -> Menu:
    shown = menu.choices[start : start + A_PAGE]
    choices = [choice._replace(key=str(n)) for n, choice in enumerate(shown, 1)]
    if len(menu.choices) > A_PAGE:
        later = start + A_PAGE if start + A_PAGE < len(menu.choices) else 0
        words = "more ..." if later else "back to the first"
        choices.append(Choice("0", words, partial(_turn, desk, menu, later)))
    return menu._replace(choices=tuple(choices))


def _turn(desk: Desk, menu: Menu, start: int) -> None:
    desk.open.menu = _page(desk, menu, start)


def in_sight(desk: Desk, menu: Menu) -> range:
    """The choices on the screen; a letter is known by heart, a digit means whatever stands beside it."""
    shown = desk.open.sight.choices
    return shown[1] if shown is not None and shown[0] is menu else range(len(menu.choices))


def _more_to_see(desk: Desk) -> object:
    menu = desk.open.menu
    return menu is not None and len(in_sight(desk, menu)) < len(menu.choices)


@command(
    "menu-leave",
    "menu",
    "leave the list of choices",
    short="leave",
    legend=Legend(menu=20),
    changes="nothing",
    order=710,
)
def leave(desk: Desk) -> None:
    """Back to the list that it was chosen from, else to the record."""
    back = desk.open.menu.back if desk.open.menu is not None else None
    desk.open.menu = None
    desk.say("")
    if back is not None:
        back()


@command(
    "menu-more",
    "menu",
    "more of the choices, where the window does not hold them all",
    short="more",
    legend=Legend(menu=10, when=_more_to_see),
    changes="nothing",
    order=720,
)
def show_more(desk: Desk) -> None:
    """The choices after those in sight; after the last the first. A space typed leaves what is final."""
    menu = desk.open.menu
    if menu is None:
        return
    if menu.kept and not _more_to_see(desk):
        desk.open.menu = None
        desk.refuse(menu.kept)
        return
    after = in_sight(desk, menu).stop
    desk.open.menu = menu._replace(top=after if after < len(menu.choices) else 0)
