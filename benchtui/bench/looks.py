"""The themes of our own, the colours of the style names in any theme, and what NO_COLOR asks for.

A theme names the usual colours of Textual. What the bench needs beyond them it works out from those, so that
Textual's own themes, and any that come with a later version, can be chosen as well.
"""

from collections.abc import Mapping

from rich.segment import Segment
from rich.style import Style
from textual.color import Color
from textual.filter import LineFilter
from textual.theme import Theme

from benchtui.bench.pieces import style_for

OWN_THEMES = {
    "dark": Theme(
        name="dark",
        dark=True,
        primary="#d9a066",
        secondary="#8fb8c9",
        accent="#d9a066",
        foreground="#e6e1d8",
        background="#1b1a18",
        surface="#1b1a18",
        panel="#262421",
        success="#9cc48a",
        warning="#e5c07b",
        error="#f0907f",
    ),
    "light": Theme(
        name="light",
        dark=False,
        primary="#7a4a12",
        secondary="#1f5a73",
        accent="#7a4a12",
        foreground="#24211c",
        background="#f6f2ea",
        surface="#f6f2ea",
        panel="#ebe4d6",
        success="#2f6123",
        warning="#6d4c00",
        error="#a3231a",
    ),
    "contrast": Theme(
        name="contrast",
        dark=True,
        primary="#ffd24d",
        secondary="#5cd6ff",
        accent="#ffd24d",
        foreground="#ffffff",
        background="#000000",
        surface="#000000",
        panel="#000000",
        success="#7dff7d",
        warning="#ffd24d",
        error="#ff9c8f",
        variables={"bench-dim": "#d8d8d8", "bench-line": "#ffffff"},
    ),
}
"""By the name that the shop's settings keep."""

_STYLES = {
    "": "",
    "dim": "{bench-dim}",
    "bold": "bold",
    "accent": "{bench-accent}",
    "match": "underline {bench-accent}",
    "good": "{bench-good}",
    "warn": "{bench-warn}",
    "clash": "bold {bench-clash}",
    "hand": "bold {bench-hand}",
    "frame": "{bench-hand}",
    "edge": "{bench-line}",
    "cell": "",
    "bar": "{bench-dim}",
    "key": "bold {bench-accent}",
    "mark": "reverse",
    "line": "on {bench-field}",
    "cursor": "reverse {foreground} on {background}",
    "chosen": "underline on {bench-field}",
}
READABLE = 4.5
"""The least contrast of words on their ground, of WCAG 2.2, 1.4.3: https://www.w3.org/TR/WCAG22/#contrast-minimum"""


def bench_variables(colours: Mapping[str, str], dark: bool) -> dict[str, str]:
    """The bench's own colours from a theme's, each moved towards the foreground until it can be read."""
    ground, ink = _solid(colours, "background", dark), _solid(colours, "foreground", not dark)
    wanted = {
        "accent": "primary",
        "hand": "secondary",
        "good": "success",
        "warn": "warning",
        "clash": "error",
    }
    field = ground.blend(ink, 0.12)
    grounds = (ground, _solid(colours, "panel", dark), field)
    found = {
        f"bench-{name}": _readable(_solid(colours, of, not dark), grounds, ink).hex
        for name, of in wanted.items()
    }
    found["bench-dim"] = _readable(ground.blend(ink, 0.55), grounds, ink).hex
    found["bench-line"] = ground.blend(ink, 0.45).hex
    found["bench-field"] = field.hex
    return found


def _solid(colours: Mapping[str, str], name: str, light: bool) -> Color:
    """A theme's colour; one that the terminal chooses stands for black or white here."""
    colour = Color.parse(colours.get(name) or ("#ffffff" if light else "#000000"))
    return colour if colour.ansi is None else Color.parse("#ffffff" if light else "#000000")


def _readable(colour: Color, grounds: tuple[Color, ...], ink: Color) -> Color:
    for share in range(11):
        nearer = colour.blend(ink, share / 10)
        if all(contrast(nearer, ground) >= READABLE for ground in grounds):
            return nearer
    return ink


def contrast(one: Color, other: Color) -> float:
    """The contrast ratio of WCAG 2.2, 1 to 21: https://www.w3.org/TR/WCAG22/#dfn-contrast-ratio"""
    low, high = sorted((_luminance(one), _luminance(other)))
    return (high + 0.05) / (low + 0.05)


def _luminance(colour: Color) -> float:
    parts = [
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in colour.normalized
    ]
    return 0.2126 * parts[0] + 0.7152 * parts[1] + 0.0722 * parts[2]


NO_THEME = {**bench_variables({}, dark=True), "foreground": "#ffffff", "background": "#000000"}
"""What holds before a theme is worn."""


def styles_of(variables: Mapping[str, str]) -> dict[str, str]:
    """Rich's words for each style name in a theme."""
    return {name: words.format(**variables) if "{" in words else words for name, words in _STYLES.items()}


class Styles:
    """Style names in the theme worn now, made into Rich's styles once each."""

    def __init__(self, variables: Mapping[str, str]) -> None:
        self._words = styles_of(variables)
        self._made: dict[str, Style] = {}

    def get(self, name: str) -> Style:
        """``name`` may be several in one (``accent bold``)."""
        style = self._made.get(name)
        if style is None:
            style = self._made[name] = Style.parse(style_for(name, self._words))
        return style


class WithoutColour(LineFilter):
    """What NO_COLOR asks for: weight, line and reversal stay, no colour is sent at all.

    Textual's own answer to it is greys, which are colours to a terminal too.
    """

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        return [Segment(text, style and style.without_color, control) for text, style, control in segments]
