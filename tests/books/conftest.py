"""A small book of an invented company, written to the test's own folder."""

from pathlib import Path

import pytest

BOOK = """
[book]
name = "Tarrowick Listening"
company = "Tarrowick"
country = "XV"
currency = "GBP"

[[clue]]
id = "tw-label"
ask = "Label print"
part = "disc"
place = "label"
per_side = true
seconds = 2
[[clue.answer]]
id = "gold"
text = "gold print on black"
made = "[1972-04..1977-10-17]"
hardness = "firm"
looks_like = "silver"
[[clue.answer]]
id = "silver"
text = "silver print on black"
[[clue.answer]]
id = "unsure"
text = "cannot tell"
digit = 0
neutral = true

[[clue]]
id = "tw-box"
ask = "Box hinge"
part = "box"
place = "hinge"
volunteer = true
[[clue.answer]]
id = "cloth"
text = "cloth"
[[clue.answer]]
id = "paper"
text = "paper"

[[cipher]]
id = "tw-stamper"
letters = "DUNVERSHAL"
digits = "0123456789"
source = "invented"

[[numbering]]
prefix = "TW"
low = 1000
high = 1099
first = "[1973..1974]"

[[title]]
id = "t-tide"
artist = "The Lantern Row"
title = "Tide Tables"
first = "1974-09"
catalogues = ["TW 1041", "TWD 1041"]
stems = { A = "DV 1041 A/", B = "DV 1041 B/" }
extras = ["poster"]
cipher = "tw-stamper"

[[title.pressing]]
id = "t-tide/mono-1"
name = "first mono, gold label"
period = "[1974-09..1975-07]"
share = 3
price = "24.00"
cuts = [["1", "1", "usually"], ["2", "1", "sometimes"]]
[title.pressing.expect]
tw-label = "gold"

[[title.pressing]]
id = "t-tide/mono-2"
period = "[1975-08..1979]"
price = "8.00"
[title.pressing.expect]
tw-label = { gold = "rarely", silver = "usually" }
"""


@pytest.fixture
def books(tmp_path: Path) -> Path:
    """A folder of books that holds the invented company's."""
    folder = tmp_path / "books"
    folder.mkdir()
    (folder / "tarrowick.toml").write_text(BOOK, encoding="utf-8")
    return folder


@pytest.fixture
def cache(tmp_path: Path) -> Path:
    """A cache folder of the test's own."""
    return tmp_path / "cache"


@pytest.fixture
def demo_books():
    """The files of the demo shop's books."""
    return sorted((Path(__file__).parents[2] / "demo" / "shop" / "books").glob("*.toml"))
