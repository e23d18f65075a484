"""A small book of an invented company, written to the test's own folder."""

from pathlib import Path

import pytest

BOOK = """
[book]
name = "Quillmoor Gramophone"
company = "Quillmoor"
country = "XV"
currency = "GBP"

[[clue]]
id = "qm-label"
ask = "Label print"
part = "disc"
place = "label"
per_side = true
seconds = 2
[[clue.answer]]
id = "gold"
text = "gold print on black"
made = "[1963-07..1968-11-22]"
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
id = "qm-box"
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
id = "qm-stamper"
letters = "BLACKHORSE"
digits = "1234567890"
source = "invented"

[[numbering]]
prefix = "QM"
low = 1000
high = 1099
first = "[1966..1967]"

[[title]]
id = "t-tide"
artist = "The Lantern Row"
title = "Tide Tables"
first = "1967-05"
catalogues = ["QM 1041", "SQM 1041"]
stems = { A = "XQM 1041 A-", B = "XQM 1041 B-" }
extras = ["poster"]
cipher = "qm-stamper"

[[title.pressing]]
id = "t-tide/mono-1"
name = "first mono, gold label"
period = "[1967-05..1968-02]"
share = 3
price = "24.00"
cuts = [["1", "1", "usually"], ["2", "1", "sometimes"]]
[title.pressing.expect]
qm-label = "gold"

[[title.pressing]]
id = "t-tide/mono-2"
period = "[1968-03..1970]"
price = "8.00"
[title.pressing.expect]
qm-label = { gold = "rarely", silver = "usually" }
"""


@pytest.fixture
def books(tmp_path: Path) -> Path:
    """A folder of books that holds the invented company's."""
    folder = tmp_path / "books"
    folder.mkdir()
    (folder / "quillmoor.toml").write_text(BOOK, encoding="utf-8")
    return folder


@pytest.fixture
def cache(tmp_path: Path) -> Path:
    """A cache folder of the test's own."""
    return tmp_path / "cache"
