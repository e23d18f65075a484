"""Two books of one field by two hands: what is matched, what is asked, and that nothing of mine is overwritten."""

import shutil
import tomllib
from collections import Counter
from typing import Any

import pytest
from two_hands import NAMES, QUESTIONS, write_two

from benchtui.books.check import check_books
from benchtui.books.edit import BookEdit, open_edit
from benchtui.knowledge.asked import target_of
from benchtui.knowledge.cite import NOBODY, Source, sources_of
from benchtui.knowledge.giving import text_to_give
from benchtui.knowledge.merge import merge
from benchtui.knowledge.other import Told, compare, lines_of
from benchtui.knowledge.put import take_out
from benchtui.knowledge.reading import other_book


@pytest.fixture
def two(field, tmp_path):
    made = write_two(tmp_path)
    shutil.copy(made.mine, field.shop / "books" / "mossgate.toml")
    return made


def beside(field, made, told=None):
    theirs, head = other_book(str(made.theirs), field.shop / "books")
    return compare(field.library, theirs, head.id, told), head


def merged(field, made, told=None):
    found, head = beside(field, made, told)
    merge(found, field.library, head, field.shop, target_of(field.shop / "books", "own", currency="GBP"))
    return found


def test_titles_and_questions_are_matched_none_wrongly_and_the_rest_is_asked(field, two):
    found, _ = beside(field, two)
    titles = {one.theirs.id: one for one in found.titles}
    right = [
        one for one in two.titles if titles[one].how == "same" and titles[one].mine.id == two.titles[one]
    ]
    wrong = [
        one.theirs.id for one in found.titles if one.mine and one.mine.id != two.titles.get(one.theirs.id)
    ]
    assert wrong == []
    assert len(right) >= 15
    assert {titles[one].how for one in titles if one not in two.titles} == {"new"}

    clues = {one.theirs.id: one for one in found.clues}
    same = [one for one in two.questions if clues[one].mine and clues[one].mine.id == two.questions[one]]
    assert [one for one in clues if clues[one].mine and clues[one].mine.id != two.questions.get(one)] == []
    assert len(same) == len(QUESTIONS) - 1  # "shiny or dull" has no word in common with "glossy or matt"
    assert clues["qspine"].how == "new"

    pressings = {one.theirs.id: one for one in found.pressings}
    assert [
        one for one in pressings if pressings[one].mine and pressings[one].mine.id != two.pressings[one]
    ] == []
    told = Counter(one.how for one in found.pressings)
    assert told["same"] >= 55
    assert told["same"] + told["doubtful"] == 64


def test_nothing_of_mine_is_overwritten_and_what_differs_is_beside_it(field, two):
    before = tomllib.loads(two.mine.read_text())
    found = merged(field, two)
    after = tomllib.loads((field.shop / "books" / "mossgate.toml").read_text())
    for one, other in zip(before["title"], after["title"], strict=True):
        assert {name: value for name, value in other.items() if name != "pressing"} == {
            name: value for name, value in one.items() if name != "pressing"}  # fmt: skip
        for mine, now in zip(one["pressing"], other["pressing"], strict=True):
            assert mine.items() <= {**now, "expect": mine["expect"]}.items()
            assert mine["expect"].items() <= now["expect"].items()
            filled = now["expect"].keys() - mine["expect"].keys()
            said = {clue for each in now.get("said", []) for clue in each.get("expect", {})}
            assert filled <= said  # what they filled in is theirs, and said so
    assert check_books([field.shop / "books"]) == []
    assert any(one.fills for one in found.pressings)


def test_a_merged_question_is_asked_once(field, two):
    merged(field, two)
    asked = [clue.ask for clue in field.library.clues() if clue.book != "universal"]
    assert "Colour of the label" not in asked
    assert asked.count("Label paper") == 1
    assert "Lettering of the spine" in asked


def test_their_titles_come_with_their_source_and_no_price_in_another_money(field, two):
    merged(field, two)
    row = next(row for row in field.library.titles() if row.book == "own")
    pressing = field.library.title(row.id).pressings[0]
    assert pressing.source == "Mossgate, by another hand"
    assert pressing.price is None
    assert {clue.partition("-")[0] for clue in pressing.expect} <= {"mg", "qspine", "q6x"}
    assert sum(row.book == "own" for row in field.library.titles()) >= 4


def test_what_a_person_says_counts(field, two):
    found, _ = beside(field, two, Told({"q6x": "mg-6", "x-5": "new"}))
    clue = next(one for one in found.clues if one.theirs.id == "q6x")
    assert (clue.how, clue.mine.id) == ("same", "mg-6")
    assert clue.answers == {"a0": "a0", "a1": "a1"} or None in clue.answers.values()


def test_merging_again_changes_nothing_and_undo_takes_it_out(field, two):
    before = field.texts()
    merged(field, two)
    once = field.texts()
    merged(field, two)
    assert open_edit(field.shop / "books" / "mossgate.toml").text == once["mossgate.toml"]
    take_out(field.shop)
    if field.texts() != before:
        take_out(field.shop)
    assert field.texts() == before


def test_a_book_beside_itself_differs_in_nothing(demo_field):
    for head in demo_field.library.books()[1:]:
        theirs, other = other_book(head.id, demo_field.shop / "books")
        mine, own = other_book(head.id, demo_field.shop / "books")
        found = compare(mine, theirs, other.id, own=(own.id,))
        assert {*(one.how for one in found.titles), *(one.how for one in found.clues)} <= {"same", "new"}
        assert all(one.how == "same" for one in found.titles)
        assert not [line for line in lines_of(found) if ": mine " in line or line.startswith("asked")]


def test_sources_and_their_trust(field, two):
    merged(field, two)
    counts: dict[str, Any] = {}
    sources = {one.name: one for one in sources_of(field.library, "mossgate", counts)}
    assert sources["Mossgate, by another hand"].trust == 2.0, "a stranger, until copies bear it out"
    assert len(sources[NOBODY].claims) >= len(NAMES) - 4
    seen = Source("x", [], 5, 0)
    assert seen.trust > 4.0 > Source("y", [], 0, 3).trust


ADDED = """[[add]]
clue = "u-sound-cover"

[[add.answer]]
id = "two-ear"
text = "TWO-EAR"
digit = 6
made = "[..1966]"

[[title]]
id = "small-lanterns"
artist = "Osric Vayle"
title = "Small Lanterns"

[[title.pressing]]
id = "small-lanterns/sage"
name = "sage"
expect = { u-sound-cover = { two-ear = "usually" } }
"""


def test_an_answer_added_to_a_shipped_question_goes_along_with_a_book(field, tmp_path):
    given = tmp_path / "given.toml"
    given.write_text(text_to_give(BookEdit(tmp_path / "x.toml", '[book]\nname = "Given"\n\n' + ADDED)))
    assert tomllib.loads(given.read_text())["add"][0]["answer"][0]["text"] == "TWO-EAR"
    theirs, head = other_book(str(given), field.shop / "books")
    found = compare(field.library, theirs, head.id)
    assert [line for line in lines_of(found) if line.endswith("gets the answer 'TWO-EAR'")]
    merge(found, field.library, head, field.shop, target_of(field.shop / "books", "own", currency="GBP"))
    assert check_books([field.shop / "books"]) == []
    clue = field.library.clue("u-sound-cover")
    assert clue is not None
    assert clue.answer("two-ear") is not None
    again = compare(field.library, theirs, head.id)
    assert not [one for one in again.clues if None in one.answers.values()]


def _full(name: str, *texts: str) -> str:
    answers = "".join(f'[[clue.answer]]\nid = "{one}"\ntext = "{one}"\n' for one in texts)
    clue = f'[[clue]]\nid = "{name}-tint"\nask = "Tint of the rim"\npart = "disc"\nplace = "rim"\n'
    return f'[book]\nname = "{name}"\n{clue}{answers}'


NINE = ("amber", "blue", "coral", "dun", "ebony", "fawn", "green", "hazel", "ivory")


def test_an_answer_for_which_no_digit_is_left_is_said_and_left_out(field, tmp_path):
    (field.shop / "books" / "own.toml").write_text(_full("own", *NINE))
    given = tmp_path / "given.toml"
    given.write_text(_full("theirs", *NINE[:8], "khaki"))
    theirs, head = other_book(str(given), field.shop / "books")
    found = compare(field.library, theirs, head.id)
    assert found.no_digit == ["'khaki' of 'Tint of the rim'"]
    assert not [line for line in lines_of(found) if line.endswith("gets the answer 'khaki'")]
    assert "left out, no digit is left for it: the answer 'khaki' of 'Tint of the rim'" in lines_of(found)
    merge(found, field.library, head, field.shop, target_of(field.shop / "books", "own", currency="GBP"))
    assert check_books([field.shop / "books"]) == []
