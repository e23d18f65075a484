"""The plain look is ASCII but for what a person typed, and NO_COLOR sends no colour.

Source of the second: https://no-color.org, "should not add ANSI color escape codes"; which codes those are:
ECMA-48 (5th edition, 1991), 8.3.117 SELECT GRAPHIC RENDITION, 30 to 49, and the bright ones, 90 to 107, which
are terminals' common practice.
"""

import re
import sys
from pathlib import Path

import pytest
from bench_hands import Clock

from benchtui.bench.app import BenchApp
from benchtui.bench.pieces import FANCY, PLAIN, bar, plain
from benchtui.desk.core.keys import _NAMED, shown
from benchtui.desk.session.start import open_desk
from benchtui.store import Shop

TYPED = "éŁש日"
ROOT = Path(__file__).parents[2]
_OWN = re.compile(r"[^\x00-\x7f]")


def test_every_sign_of_our_own_has_an_ascii_one_as_wide() -> None:
    for name, sign in FANCY._asdict().items():
        assert plain(sign).isascii(), name
        assert getattr(PLAIN, name).isascii(), name
        assert len(plain(sign)) == len(sign) == len(getattr(PLAIN, name)), name


def test_a_bar_of_a_tenth_is_longer_than_one_of_a_hundredth() -> None:
    bars = {
        glyphs: [bar(share, 6, glyphs) for share in (0.0, 0.01, 0.1, 0.5, 1.0)] for glyphs in (FANCY, PLAIN)
    }
    assert bars[FANCY] == ["······", "▏·····", "▋·····", "███···", "██████"]
    assert bars[PLAIN] == ["......", "-.....", "=.....", "###...", "######"]
    for key in _NAMED:
        assert plain(shown(key)).isascii(), key


def test_no_sign_stands_in_the_bench_s_source_that_the_plain_look_cannot_tell() -> None:
    for path in sorted((ROOT / "benchtui" / "bench").rglob("*.py")):
        for number, line in enumerate(path.read_text("utf-8").splitlines(), 1):
            for sign in _OWN.findall(line):
                assert plain(sign).isascii(), f"{path.name}:{number} {sign}"


def test_what_a_person_typed_stays_in_the_plain_look() -> None:
    assert plain(TYPED) == TYPED


TOUR = ["escape", "x", "h", "2", "x", "escape", "t", "escape", "w", "h", "escape", "home", "down", "pagedown", "w",
        "1", "escape", "escape", "home", "s", "escape", "escape", "end", "escape", "h", "pagedown", "escape", ".",
        "0", "0", "escape", "ctrl+d", ".", "escape", "escape", "ctrl+w", "escape", "`", "escape", "q", "escape",
        "a", "escape", "space", "l", "s", "t", "down", "escape", "escape", "ctrl+f", "q", "escape", ";", "l",
        "escape", "j", "6", "enter", "k", "escape", "ctrl+v", "escape", "s"]  # fmt: skip


@pytest.mark.parametrize("size", [(60, 16), (120, 40)])
async def test_every_main_screen_is_ascii_but_for_what_was_typed(
    demo_path: Path, size: tuple[int, int]
) -> None:
    shop = Shop.open(demo_path)
    desk, notice = open_desk(shop, None, Clock())
    app = BenchApp(desk, plain=True, error=notice)
    drawn: set[str] = set()
    async with app.run_test(size=size, notifications=False, tooltips=False) as pilot:
        for key in TOUR:
            await pilot.press(key)
            rows = [strip.text for strip in app.screen._compositor.render_strips()]
            drawn.update(rows)
            assert "".join(rows).isascii(), (key, [row for row in rows if not row.isascii()])
        await pilot.press(*TYPED)
        rows = [strip.text for strip in app.screen._compositor.render_strips()]
    assert set(_OWN.findall("".join(rows))) == set(TYPED)
    assert len(drawn) > 60
    shop.close()


@pytest.mark.skipif(sys.platform != "linux", reason="needs a Linux pseudo-terminal")
def test_no_color_sends_no_colour_and_the_cursor_is_still_seen(demo_path: Path) -> None:
    coloured = _codes(demo_path)
    assert coloured & set(range(30, 50)), "the codes are found where there is colour"
    told = _codes(demo_path, NO_COLOR="1")
    assert told & {7}, "the cursor is reversed"
    assert not told & {*range(30, 50), *range(90, 108)}


def _codes(path: Path, **environ: str) -> set[int]:
    """The graphic renditions sent while a bench is opened, worked at and left."""
    from pty_bench import PtyBench

    bench = PtyBench(path, (120, 40), environ)
    try:
        bench.until("6 of 15")
        bench.rest()
        for keys in ("\x1b", "s", "UE", "\x1b", "w", "\x1b", "\x18"):
            bench.type(keys)
            bench.rest()
        bench.ended()
    finally:
        bench.close()
    sent = re.findall(rb"\x1b\[([\d;]*)m", bench.seen)
    return {int(code) for one in sent for code in one.split(b";") if code}
