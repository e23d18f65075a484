"""A clue written down as a row of JSON and read back is the clue that was read from the book."""

import json
import tomllib
from pathlib import Path

from benchtui.books.clue_rows import clue_of, clue_row
from benchtui.books.read import read_clues
from benchtui.books.row import Faults, Row
from benchtui.books.shape import BookHead

BOOK = """
[[clue]]
id = "c-tax"
ask = "Tax stamp?"
part = "cover"
place = "back"
also_on = ["inner", "disc label"]
misread = 0
error = 2
seconds = 1.5
sizes = [7, 12]
instead_of = ["c-duty"]
countries = ["any"]
expect = { none = "usually" }
answer = [
  { id = "two", text = "two lines", digit = 0, made = ["1955..1958", "1961-02"], to_hardness = "hard", source = "s" },
  { id = "old", text = "one line", made = "[..1954]", hardness = "hard", caps_sale = true, tells = "unofficial" },
  { id = "none", text = "none", absent = true, low = 1, high = 2 },
  { id = "cannot", text = "cannot tell", neutral = true, looks_like = "none" },
]
"""


def test_a_row_gives_the_clue_back() -> None:
    head = BookHead("b", "b.toml", "", "B", "Firm", "", "")
    text = BOOK.replace('"1955..1958"', '"[1955..1958]"')
    raw = tomllib.loads(text)["clue"][0]
    faults = Faults(Path("b.toml"), lambda: text)
    read = read_clues(Row(raw, faults), head)
    assert not faults
    assert len(read) == 3
    for clue in read:
        row = json.loads(json.dumps(clue_row(clue)))
        assert clue_of(row, "b") == clue
        assert "per_side" not in row  # what is as usual is not written
