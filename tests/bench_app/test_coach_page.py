"""The coach on the bench: advice by worth, and one key that deals with it."""

from bench_hands import Hands
from test_table import find, shown, work

from benchtui.desk.book.coach import advices

BOOK = """[book]
name = "Mossgate"
company = "Mossgate"
currency = "GBP"

[[clue]]
id = "mg-rim"
ask = "Rim of the Mossgate label"
part = "disc"
place = "label"
[[clue.answer]]
id = "thick"
text = "thick"
[[clue.answer]]
id = "thin"
text = "thin"

[[title]]
id = "ms-1"
artist = "Osier Choir"
title = "Crooked Weir"
first = "1961"
[[title.pressing]]
id = "ms-1/1"
name = "first"
period = "[1961..1963]"
expect = { mg-rim = "thick" }
[[title.pressing]]
id = "ms-1/2"
name = "second"
period = "[1961..1963]"
"""


def test_the_empty_cell_is_filled_by_a_digit(empty: Hands) -> None:
    for old in (empty.desk.shop.path / "books").glob("*.toml"):
        old.unlink()
    path = empty.desk.shop.path / "books" / "mossgate.toml"
    path.write_text(BOOK)
    empty.desk.references = type(empty.desk.references)(
        **{**vars(empty.desk.references), "library": empty.desk.library.reopened()}
    )
    work(find(empty, "what to do next"))
    kinds = [one.kind for one in advices(empty.desk)]
    assert "cell" in kinds
    assert "What to do next about the books" in shown(empty)
    empty.key(*["down"] * kinds.index("cell"))
    empty.key("enter", "2")
    assert 'mg-rim = "thin"' in path.read_text()
    assert "cell" not in [one.kind for one in advices(empty.desk)]
