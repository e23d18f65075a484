"""What is written can be read: contrast of every pair of colours the two themes can show.

Source: WCAG 2.2 (W3C Recommendation), definitions of relative luminance and contrast ratio, and success
criterion 1.4.3, Contrast (Minimum): at least 4.5:1 for text. https://www.w3.org/TR/WCAG22/
"""

from pathlib import Path

import pytest
from bench_hands import Clock
from rich.color import Color
from rich.style import Style

from benchtui.bench.app import BenchApp
from benchtui.bench.looks import OWN_THEMES, bench_variables, styles_of
from benchtui.bench.pieces import STYLES, style_for
from benchtui.bench.widgets.rows import Rows
from benchtui.desk.session.start import open_desk
from benchtui.store import Shop

LEAST = 4.5
Rgb = tuple[int, int, int]
themes = pytest.mark.parametrize("theme", sorted(OWN_THEMES))


def luminance(colour: Rgb) -> float:
    """WCAG 2.2, relative luminance of an sRGB colour, 0 for black to 1 for white."""
    r, g, b = (
        part / 255 / 12.92 if part / 255 <= 0.04045 else ((part / 255 + 0.055) / 1.055) ** 2.4
        for part in colour
    )
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def contrast(one: Rgb, other: Rgb) -> float:
    """WCAG 2.2, contrast ratio: 1 to 21."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def rgb(colour: str | Color) -> Rgb:
    parsed = Color.parse(colour) if isinstance(colour, str) else colour
    return tuple(parsed.get_truecolor())  # type: ignore[return-value]


def test_the_ratio_is_the_one_of_the_standard() -> None:
    # WCAG 2.2: contrast ratios can range from 1 to 21; black on white is the greatest.
    assert contrast((0, 0, 0), (255, 255, 255)) == pytest.approx(21)
    assert contrast((90, 90, 90), (90, 90, 90)) == 1
    # WCAG's Technique G18 and its failures call #767676 on white the lightest grey that passes (from memory).
    assert contrast(rgb("#767676"), (255, 255, 255)) >= LEAST > contrast(rgb("#777777"), (255, 255, 255))


@themes
def test_every_style_can_be_read_on_every_ground_plain_and_reversed(theme: str) -> None:
    worn = OWN_THEMES[theme]
    colours = worn.to_color_system().generate()
    variables = {**colours, **bench_variables(colours, worn.dark), **worn.variables}
    styles = styles_of(variables)
    assert set(styles) >= {word for name in STYLES for word in name.split()}
    grounds = [ground for ground in (worn.background, worn.surface, worn.panel) if ground]
    assert len(grounds) == 3
    for name in {*STYLES, *styles} - {"line", "cursor", "chosen", "frame", "edge"}:
        style = Style.parse(style_for(name, styles))
        assert style.bgcolor is None, f"{name}: a ground of its own is to be tried here too"
        ink = rgb(style.color or str(worn.foreground))
        for ground in grounds:
            assert contrast(ink, rgb(ground)) >= LEAST, (theme, name, ground)


def pairs(app: BenchApp) -> set[tuple[Rgb, Rgb]]:
    """Ink and ground of every piece on the screen now, the filters of the app left out."""
    found = set()
    for strip in app.screen._compositor.render_strips():
        for text, style, _ in strip:
            if not any(map(str.isalnum, text)) and not (style and style.reverse):
                continue
            if style is None or style.color is None or style.bgcolor is None:
                raise AssertionError(f"{text!r} is drawn in the terminal's own colours")
            found.add((rgb(style.color), rgb(style.bgcolor)))
    return found


@themes
async def test_every_pair_drawn_on_the_screens_can_be_read(theme: str, demo_path: Path) -> None:
    shop = Shop.open(demo_path)
    shop.change_settings(theme=theme)
    desk, notice = open_desk(shop, None, Clock())
    app = BenchApp(desk, error=notice)
    seen: set[tuple[Rgb, Rgb]] = set()
    tour = ["escape", "x", "escape", "w", "escape", "home", "w", "escape", "end", "escape", "h", "escape", ".",
            "escape", "ctrl+d", "escape", "ctrl+w", "escape", "l", "s", "t", "down", "q", "escape", "j",
            "escape", "y", "s", "a", "enter", "s", "escape"]  # fmt: skip
    async with app.run_test(size=(120, 40), notifications=False, tooltips=False) as pilot:
        for key in tour:
            await pilot.press(key)
            seen |= pairs(app)
        assert app.screen.query_one("#strip", Rows).lines
    assert len(seen) > 8, "styles and grounds are many"
    for ink, ground in seen:
        assert contrast(ink, ground) >= LEAST, (ink, ground)
    shop.close()
