"""Words that older books and records hold are read as today's."""

from pathlib import Path

from benchtui.books.library import Library
from benchtui.model.record import why_apart

OLD = """
[book]
name = "Old"
company = "Old Company"

[[clue]]
id = "old-rim"
ask = "Rim?"
part = "disc"
place = "label"
[[clue.answer]]
id = "raised"
text = "raised"
digit = 1
[[clue.answer]]
id = "flat"
text = "flat"
digit = 2
tells = "unofficial"

[[title]]
id = "t"
title = "T"

[[title.pressing]]
id = "t/1"
[[title.pressing]]
id = "t/copy"
kind = "unofficial"
imitates = "t/1"
[[title.pressing]]
id = "t/other"
kind = "unofficial"
"""


def test_a_book_that_says_unofficial_is_read_as_counterfeit_or_pirate(tmp_path: Path) -> None:
    (tmp_path / "old.toml").write_text(OLD, encoding="utf-8")
    library = Library.open([tmp_path], cache=tmp_path / "prepared")
    title = library.title("t")
    assert title is not None
    assert [pressing.kind for pressing in title.pressings] == ["ordinary", "counterfeit", "pirate"]
    clue = library.clue("old-rim")
    assert clue is not None
    assert [answer.tells for answer in clue.answers] == ["", "counterfeit"]


def test_a_record_set_apart_as_unofficial_is_told_in_the_trades_words() -> None:
    assert why_apart({"why": "unofficial", "note": "", "at": ""}) == "not by the company"
    assert why_apart({"why": "mould", "note": "", "at": ""}) == "mould"
    assert why_apart(None) == ""
