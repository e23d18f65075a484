"""Two themes of our own for Textual, from the colours of colours.py."""

from rich.segment import Segment
from textual.color import Color
from textual.filter import LineFilter
from textual.theme import Theme

from benchtui.bench.colours import COLOURS, STYLES
from benchtui.bench.colours import LINE_STYLES as LINE_STYLES
from benchtui.bench.colours import style_for as style_for


def _theme(name: str, dark: bool) -> Theme:
    colours = COLOURS[name]
    return Theme(
        name=f"bench-{name}",
        dark=dark,
        primary=colours["primary"],
        secondary=colours["secondary"],
        accent=colours["accent"],
        foreground=colours["foreground"],
        background=colours["background"],
        surface=colours["surface"],
        panel=colours["panel"],
        success=colours["success"],
        warning=colours["warning"],
        error=colours["error"],
    )


THEMES = {"dark": (_theme("dark", True), STYLES["dark"]), "light": (_theme("light", False), STYLES["light"])}


class WithoutColour(LineFilter):
    """What NO_COLOR asks for: weight, line and reversal stay, no colour is sent at all.

    Textual's own answer to it is greys, which are colours to a terminal too.
    """

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        return [Segment(text, style and style.without_color, control) for text, style, control in segments]
