"""Each step after the bench as a key script, its keys counted beside the words that are typed."""

import re
from pathlib import Path

import pytest
from bench_hands import Hands, press_all

from benchtui.desk.keyboard.script import read_script
from benchtui.model.listing import online_at

SCRIPTS: tuple[tuple[str, str, int], ...] = (
    ("a place by hand", 'ctrl+l "fair;" enter', 2),
    (
        "a buyer's question found, noted, answered, kept as a fact",
        'escape ctrl+f "baf" enter ctrl+d , "M. Larch; any scratch?" enter [ "a scratch, side b, felt" enter 1',
        12,
    ),
    ("sold with postage", 'ctrl+k "M. Larch; 41; post 4.50" enter', 2),
    ("packed", 'ctrl+p 1 "two boards; y; 410; 30" enter', 3),
    ("sent", 'ctrl+p 2 "Harbour Post; HP 118" enter', 3),
    ("arrived", 'ctrl+p 3 "well" enter', 3),
    ("the packing slip", "ctrl+p s", 2),
    ("come back and compared", '| "3 7q | 5 1; ; VG/VG" enter', 2),
    ("an earlier owner", 'ctrl+o 1 "R. Sorrel; 1961; letter" enter', 3),
    ("an opinion", 'ctrl+n "A 2:30; more air" enter', 2),
    ("taken down where it is still listed", "escape ctrl+w d", 3),
    ("what changed handed out, for a place", "escape end *", 4),
)


@pytest.fixture
def listed(parcel: Hands) -> Hands:
    """A record in stock with its runouts, on its page."""
    parcel.find("baf").take("cover")
    parcel.grade("VG").take("disc")
    parcel.grade("VG", "+").do("runout").enter("3 7q")
    parcel.enter("2 4").do("price-hand").enter("24").do("take-in", "take-in")
    return parcel.do("line-leave", "previous-record", "record-page")


def test_each_step_after_the_bench_in_so_many_keys(listed: Hands, tmp_path: Path) -> None:
    for what, script, most in SCRIPTS:
        keys = re.sub(r'"[^"]*"', " ", script).split()
        assert len(keys) <= most, what
        (tmp_path / "script.keys").write_text(script, encoding="utf-8")
        press_all(listed, read_script(tmp_path / "script.keys").steps)
        assert listed.desk.open.tone != "refused", (what, listed.said)
        assert listed.desk.open.line is None, what
    record = listed.at(1)
    assert [step["what"] for step in record["post"]] == ["packed", "sent", "arrived"]
    assert len(record["came_back"][0]["unlike"]) == 2  # another runout, and a lower grade
    assert online_at(record["listing"]) == {}
    left = [chore["what"] for chore in record["chores"] if chore["by"] == "key" and not chore["done"]]
    assert left == ["look again"]
