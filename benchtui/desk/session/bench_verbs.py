"""Leaving and the theme: what concerns the bench itself."""

from benchtui.desk.core import keeping
from benchtui.desk.core.command import Legend, command
from benchtui.desk.core.desk import Desk

THEMES = ("dark", "light", "contrast")
"""The themes of our own, one key after another; the settings may name any of Textual's besides."""


@command(
    "quit",
    "any",
    "leave the bench; everything is kept",
    short="leave",
    also="exit leave stop close end",
    legend=Legend(record=230, untitled=90, nothing=40),
    changes="nothing",
    offered=240,
    order=560,
)
def leave(desk: Desk) -> None:
    """Leave the bench; where something could not be saved, that is asked first."""
    keeping.ask_leave(desk)


@command(
    "theme",
    "bench",
    "light, dark or high contrast",
    short="theme",
    group="Bench",
    also="dark light colours colors look",
    changes="nothing",
    offered=230,
    order=550,
)
def theme(desk: Desk) -> None:
    at = THEMES.index(desk.theme_shown) if desk.theme_shown in THEMES else -1
    desk.shop.change_settings(theme=THEMES[(at + 1) % len(THEMES)])
    desk.say(desk.theme_shown)
