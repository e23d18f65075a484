"""A slip in an answer of the shop's own: put right on its page, or made one with the answer that was meant."""

from pathlib import Path

import pytest
from bench_hands import Hands

from benchtui.base.errors import BenchError
from benchtui.books.as_table import clue_table
from benchtui.books.check import check_books
from benchtui.books.edit import BookEdit, open_edit
from benchtui.books.passed_on import said_now
from benchtui.books.shape import Answer
from benchtui.desk.book import own_answers as own_answers_page
from benchtui.desk.book.book_changes import change
from benchtui.desk.book.own_answers import own_answers
from benchtui.desk.own_book.growing import own_book
from benchtui.evidence import counts_of
from benchtui.export.gather import gather, weigher
from benchtui.export.telling import seen as seen_column
from benchtui.export.wording import Wording
from benchtui.knowledge.alike import place_answer
from benchtui.knowledge.columns import Meant, column_of
from benchtui.knowledge.giving import text_to_give
from benchtui.knowledge.heads import Heading


@pytest.fixture
def slipped(breakwater: Hands) -> Hands:
    """A question of the shop's own whose second answer was typed with a slip, and was given as an answer."""
    breakwater.take("disc")
    breakwater.do("jump-clue").enter("rim colour").enter("green / gren / blue").key("2")
    assert breakwater.answers("own-colour")[0]["answer"] == "gren"
    return breakwater


def _page(hands: Hands, at: int = 2) -> Hands:
    """The page, the question of the bench (0) or one of its answers open in a line."""
    hands.do("commands").enter("own answers")
    assert hands.desk.open.page is not None
    assert hands.desk.open.page.name == "own-answers", hands.said
    ids = [one.ids for one in own_answers(hands.desk)]
    assert ids[:2] == [("own-colour", ""), ("own-colour", "green")], "made at the bench first"
    hands.desk.open.page.marked = at
    return hands.do("page-enter")


def _exported(hands: Hands) -> str:
    (item, *_) = gather(hands.desk.shop, weigh=weigher(hands.desk.shop, hands.desk.library))
    return seen_column(item, Wording())


def _words(hands: Hands) -> list[str]:
    clue = hands.desk.library.clue("own-colour")
    assert clue is not None
    return [one.text for one in clue.answers]


def test_a_slip_put_right_is_put_right_in_every_record_and_in_what_goes_out(slipped: Hands) -> None:
    _page(slipped).enter("grey")
    assert _words(slipped) == ["green", "grey", "blue"]
    assert "grey" in _exported(slipped)
    assert "gren" not in _exported(slipped)
    found = place_answer("Gren", slipped.desk.library.clue("own-colour")).answer  # type: ignore[arg-type]
    assert found is not None
    assert found.text == "grey", "a table with the old words"
    assert check_books([own_book(slipped.desk).parent]) == []
    slipped.do("page-undo")
    assert _words(slipped) == ["green", "gren", "blue"]
    assert "gren" in _exported(slipped)


@pytest.mark.parametrize(
    ("typed", "words", "made"),
    [
        ("grey 1961..spring 1965 (two copies)", "grey", "[1961-01..1965-05]"),
        ("about 1962", "gren", "[1961-07..1963-06]"),
    ],
)
def test_a_date_behind_the_words_of_an_answer_is_its_date(
    slipped: Hands, typed: str, words: str, made: str
) -> None:
    _page(slipped).enter(typed)
    answer = slipped.desk.library.clue("own-colour").answers[1]  # type: ignore[union-attr]
    assert answer.span is not None
    assert (answer.text, answer.span.edtf()) == (words, made)


def test_behind_its_own_words_how_sure_its_date_is_and_why_and_that_it_has_none(slipped: Hands) -> None:
    def answer() -> Answer:
        return slipped.desk.library.clue("own-colour").answers[1]  # type: ignore[union-attr]

    def about(typed: str) -> str:
        """What stands under the line with so much typed in it; it is left as it was."""
        line = slipped.do("page-enter").type(typed).desk.open.line
        assert line is not None
        said = line.about
        slipped.do("line-leave")
        return said

    _page(slipped).enter("gren 1961..1965")
    assert about("").startswith("now made 1961..1965, soft. Its words")
    assert about("gren firm (price list)") == "read as gren, made 1961..1965, firm (price list)"
    assert about("gren of any time") == "read as gren, of any time"
    slipped.do("page-enter").enter("gren firm (price list)")
    assert (answer().text, answer().spans[0].edtf(), answer().hardness) == ("gren", "[1961..1965]", "firm")
    assert answer().source.endswith("price list")
    slipped.do("page-enter").enter("gren of any time")
    assert (answer().text, answer().spans, answer().hardness) == ("gren", (), "none")
    assert check_books([own_book(slipped.desk).parent]) == []


def test_the_words_of_a_question_are_put_right_in_records_tables_and_what_goes_out(slipped: Hands) -> None:
    desk = slipped.desk
    before = _asked_texts(slipped)
    _page(slipped, 0).enter("edge tint")
    clue = desk.library.clue("own-colour")
    assert clue is not None
    assert (clue.ask, clue.slips) == ("edge tint", ("rim colour",))
    assert _asked_texts(slipped) == ["edge tint: gren"] != before
    assert check_books([own_book(desk).parent]) == []
    assert '"rim colour"' not in text_to_give(open_edit(own_book(desk)))
    cells = ["green", "gren", "blue"]
    for name in ("edge tint", "rim colour", "own-colour"):
        heading = Heading(0, name)
        column = column_of(heading, cells, desk.library.clues(), (), "own", Meant(), ())
        assert (column.how, column.clue and column.clue.id) == ("known", "own-colour"), name
    slipped.do("page-undo")
    assert _asked_texts(slipped) == before == ["rim colour: gren"]


def _asked_texts(hands: Hands) -> list[str]:
    answers = said_now(hands.record, hands.desk.library.clue)["answers"]
    return [one["text"] for one in answers if one["clue"] == "own-colour"]


def test_a_question_does_not_take_the_words_of_another_of_its_place(slipped: Hands) -> None:
    other = clue_table(slipped.desk.library.clue("own-colour")._replace(id="own-edge", ask="Edge"))  # type: ignore[union-attr]
    change(slipped.desk, "", own_book(slipped.desk), lambda book: book.put_clue(other))
    _page(slipped, 0).enter("edge")
    assert slipped.refused
    assert "'Edge' is a question of the disc" in slipped.said
    assert "two questions cannot be made one" in slipped.said
    assert slipped.desk.open.line is not None


def _full_disk(*rest: object, **more: object) -> None:
    raise BenchError("no space is left on the disk")


def test_words_that_the_disk_does_not_take_stay_in_the_line(
    slipped: Hands, monkeypatch: pytest.MonkeyPatch
) -> None:
    _page(slipped)
    monkeypatch.setattr(own_answers_page, "change", _full_disk)
    slipped.enter("grey")
    assert slipped.refused
    assert slipped.desk.open.line is not None
    assert slipped.desk.open.line.text == "grey"


def test_typed_as_another_answer_the_two_are_one_after_asking_and_two_again_by_undo(slipped: Hands) -> None:
    desk = slipped.desk
    _page(slipped).enter("Green")
    assert desk.open.menu is not None
    slipped.key("1")
    assert _words(slipped) == ["green", "blue"]
    assert "green" in _exported(slipped)
    assert "gren" not in _exported(slipped)
    assert desk.weighing().lost == ()  # type: ignore[union-attr]
    assert [c.digit for c in desk.library.clue("own-colour").answers] == [1, 3]  # type: ignore[union-attr]
    assert check_books([own_book(desk).parent]) == []
    slipped.do("page-undo")
    assert _words(slipped) == ["green", "gren", "blue"]


def test_left_as_two_nothing_changes(slipped: Hands) -> None:
    before = own_book(slipped.desk).read_bytes()
    _page(slipped).enter("green").key("2")
    assert own_book(slipped.desk).read_bytes() == before
    slipped.do("page-enter").enter(" ")
    assert slipped.refused


def test_what_was_expected_and_taught_of_the_slip_is_of_the_other(slipped: Hands) -> None:
    desk = slipped.desk
    slipped.do("pressing").key("n", "n").enter("green rim")
    grown = slipped.record["pressing"]["id"]
    assert grown is not None
    _page(slipped).enter("green").key("1")
    title = desk.book_title
    assert title is not None
    assert next(one for one in title.pressings if one.id == grown).expect["own-colour"] == {
        "green": "usually"
    }
    taught = desk.library.counted_now(counts_of([slipped.record]))
    assert taught[grown]["clues"]["own-colour"] == {"green": 1}


def test_the_name_of_a_pressing_made_of_copies_follows_a_slip_put_right(slipped: Hands) -> None:
    slipped.do("pressing").key("n", "n").enter("gren, no print")
    grown = slipped.record["pressing"]["id"]
    _page(slipped).enter("grass green")
    title = slipped.desk.book_title
    assert title is not None
    assert next(one for one in title.pressings if one.id == grown).name == "grass green, no print"
    slipped.do("page-undo")
    title = slipped.desk.book_title
    assert title is not None
    assert next(one for one in title.pressings if one.id == grown).name == "gren, no print"


BOOK = """[book]
name = "Rim"
[[clue]]
id = "rim"
ask = "Rim"
part = "disc"
place = "label"
[[clue.answer]]
id = "green"
text = "green"
[[clue.answer]]
id = "gren"
text = "gren"
passes_to = "green"
[[title]]
id = "t"
artist = "Osier Choir"
title = "Crooked Weir"
[[title.pressing]]
id = "t/1"
name = "first"
expect = { rim = "gren" }
"""


def test_a_book_given_away_says_nothing_of_the_slip(tmp_path: Path) -> None:
    given = text_to_give(BookEdit(tmp_path / "rim.toml", BOOK))
    assert 'gren"' not in given.replace("green", "")
    assert 'rim = "green"' in given


def test_check_tells_an_answer_that_passes_to_nothing(tmp_path: Path) -> None:
    path = tmp_path / "rim.toml"
    path.write_text(BOOK)
    assert check_books([tmp_path]) == []
    path.write_text(BOOK.replace('passes_to = "green"', 'passes_to = "grean"'))
    (problem,) = check_books([tmp_path])
    assert "'grean'" in problem.what
