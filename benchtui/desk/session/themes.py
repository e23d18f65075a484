"""Choosing the theme: each is worn while its line of the list is marked, the one taken is kept."""

from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Desk, OpenLine, Pick
from benchtui.desk.core.page_parts import Column, words
from benchtui.desk.core.shapes import pick_of
from benchtui.desk.line.lines import LINES, LineKind, close_line, marked_pick, open_line


@command(
    "theme",
    "bench",
    "choose a theme with a preview: light, dark, high contrast and others",
    short="theme",
    group="Bench",
    also="dark light colours colors look contrast",
    changes="nothing",
    offered=230,
    order=550,
)
def theme(desk: Desk) -> None:
    """A list of all there are; the mark stands on the one worn now."""
    worn = desk.theme_shown
    about = f"{desk.key('line-down')} shows the next, {desk.key('line-accept')} keeps it"
    open_line(desk, "theme", "theme", about=about)
    line = desk.open.line
    if line is not None and not line.text:
        line.marked = next((n for n, pick in enumerate(line.picks) if pick.value == worn), 0)


def _picks(desk: Desk, line: OpenLine) -> list[Pick]:
    typed = line.text.casefold().split()
    rows = [(one, "dark" if one.dark else "light") for one in desk.themes]
    return [
        pick_of((words(one.name), words(ground, "dim"), words(one.of, "dim")), one.name)
        for one, ground in rows
        if all(word in f"{one.name} {ground} {one.of}".casefold() for word in typed)
    ]


def _take(desk: Desk, line: OpenLine) -> None:
    pick = marked_pick(line)
    if pick is None:
        desk.refuse("no such theme: empty the line to see the list")
        return
    close_line(desk)
    desk.shop.change_settings(theme=str(pick.value))
    desk.say(f"theme {pick.value}, kept for this shop", "done")
    desk.place()


LINES["theme"] = LineKind(
    _take, _picks, columns=(Column(key="name", rank=1), Column(key="ground"), Column(key="of", rank=2))
)
