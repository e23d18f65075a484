"""Leaving: what concerns the bench itself."""

from benchtui.desk.core import keeping
from benchtui.desk.core.command import Legend, command
from benchtui.desk.core.desk import Desk


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
