"""The coach: pairs it calls inseparable by enumeration, its cell by brute force, and each kind of advice."""

from collections import Counter
from dataclasses import replace
from math import log, sqrt
from pathlib import Path

import pytest

from benchtui.books.edit import edited
from benchtui.books.library import Library
from benchtui.knowledge.apart import INSEPARABLE, Apart, least_wrong
from benchtui.knowledge.coach import Advice, Stock, cells_of, chance_of, reviewing, word_for

DEMO = Path(__file__).parents[2] / "demo" / "shop"


@pytest.fixture(scope="module")
def demo(tmp_path_factory):
    return Library.open([DEMO / "books"], cache=tmp_path_factory.mktemp("cache"))


def apart_of(library, row):
    title = library.title(row.id)
    return Apart(title, row, library) if title and len(title.pressings) > 1 else None


def wrong_by_enumeration(apart, a, b):
    """The share of wrong calls of two equally common pressings, over every combination of answers to every
    clue; combinations whose chances stand in the same ratio (to 1 %) are added up as they come.
    """
    states = {0: (1.0, 1.0)}
    for telling in [*apart.tellings, *([apart.cuts] if apart.cuts else [])]:
        pairs = [(row[a], row[b]) for row in telling.rows]
        if all(abs(one - other) < 1e-12 for one, other in pairs):
            continue  # says the same of both, whatever the answer
        following: dict = {}
        for one, other in states.values():
            for p, q in pairs:
                x, y = one * p, other * q
                if x + y > 1e-12:
                    key = round(100 * log(max(x, 1e-300) / max(y, 1e-300)))
                    had = following.get(key, (0.0, 0.0))
                    following[key] = (had[0] + x, had[1] + y)
        states = following
    return sum(map(min, states.values())) / 2


def test_each_pair_called_inseparable_is_so_by_enumeration_and_every_close_pair_lies_within_the_bounds(demo):
    called, checked = 0, 0
    for row in demo.titles():
        apart = apart_of(demo, row)
        for a, b in apart.pairs() if apart else ():
            overlap = apart.overlap(a, b)
            if overlap < 0.3:
                continue
            wrong = wrong_by_enumeration(apart, a, b)
            assert least_wrong(overlap) - 2e-3 <= wrong <= overlap / 2 + 2e-3
            called += overlap >= INSEPARABLE
            checked += 1
            if overlap >= INSEPARABLE:
                assert wrong >= least_wrong(INSEPARABLE) - 2e-3
    assert called >= 2
    assert checked >= 5


def test_the_enumeration_itself_agrees_with_every_combination_written_out(demo):
    from itertools import product
    from math import prod

    row = next(row for row in demo.titles() if row.title == "Leather")
    apart = apart_of(demo, row)
    few = [one for one in apart.tellings if len(one.rows) < 5][:6]
    apart.tellings, apart.cuts = few, None
    whole = sum(
        min(prod(r[0] for r in rows), prod(r[1] for r in rows))
        for rows in product(*(one.rows for one in few))
    )
    assert wrong_by_enumeration(apart, 0, 1) == pytest.approx(whole / 2, abs=2e-3)


def review(library: Library, stock: Stock, book: str = "") -> list[Advice]:
    """Every advice, the most worth first."""
    found = [one for one, _ in reviewing(library, stock, book) if one is not None]
    return sorted(found, key=lambda one: -one.worth)


def wrong(apart):
    """Wrong calls in a hundred copies, at most: the union bound over all pairs."""
    chances = (sqrt(apart.prior[a] * apart.prior[b]) * apart.overlap(a, b) for a, b in apart.pairs())
    return 100 * sum(chances)


def test_the_cell_recommended_is_the_best_of_all_by_brute_force(demo):
    """Every cell, every answer: the title built anew with it, and its wrong calls counted from the start."""
    tried = 0
    for row in demo.titles():
        apart = apart_of(demo, row)
        cells = [(one, h) for one, several in apart.empty_cells() for h in several] if apart else []
        if not 2 <= len(cells) <= 5 or apart.size > 4:
            continue
        brute = {}
        for telling, h in cells:
            saved = wrong(apart)
            for answer, chance in zip(
                [one for one in telling.clue.answers if not one.neutral], telling.rows, strict=True
            ):
                pressing = apart.title.pressings[h]
                told = replace(pressing, expect={**pressing.expect, telling.clue.id: {answer.id: "always"}})
                several = tuple(told if no == h else one for no, one in enumerate(apart.title.pressings))
                saved -= chance[h] * wrong(Apart(replace(apart.title, pressings=several), row, demo))
            brute[telling.clue.id, telling.kind, h] = max(0.0, saved)
        worth, telling, h = max(cells_of(apart), key=lambda cell: cell[0])
        assert worth == pytest.approx(max(brute.values()), abs=1e-6)
        assert brute[telling.clue.id, telling.kind, h] == pytest.approx(worth, abs=1e-6)
        tried += 1
        if tried == 2:
            return
    assert tried


def test_two_pressings_alike_are_told_with_the_clue_that_tells_others_apart(demo_field):
    library = demo_field.library
    title = library.title(next(row.id for row in library.titles() if row.title == "The Salt Almanac"))
    first = title.pressings[0]
    path = demo_field.shop / "books" / f"{title.book}.toml"
    with edited(path) as book:
        table = book.pressing(title.id, first.id)
        assert table is not None
        twin = {**table, "id": f"{title.id}/twin", "name": "the twin"}
        clue, twin["expect"] = next(iter(table["expect"])), dict(list(table["expect"].items())[1:])
        book.put_pressing(title.id, twin)
        book.change_pressing(title.id, first.id, {"expect": twin["expect"]})
    found = [one for one in review(demo_field.library, Stock(), title.book) if one.kind == "inseparable"]
    assert any({first.id, f"{title.id}/twin"} == set(one.pressings) and one.clue for one in found)
    assert demo_field.library.clue(clue)


def test_a_label_that_had_ended_is_a_contradiction(field):
    book = field.shop / "books" / "own.toml"
    with edited(book, "GBP") as one:
        one.put_clue(
            {
                "id": "own-label", "ask": "Label", "part": "disc", "place": "label",
                "answer": [
                    {"id": "red", "text": "red", "made": "[1960..1965]", "hardness": "firm"},
                    {"id": "blue", "text": "blue"},
                ],
            }
        )  # fmt: skip
        one.put_title({"id": "t", "artist": "A", "title": "T", "first": "1970"})
        one.put_pressing(
            "t", {"id": "t/1", "name": "first", "period": "1970", "expect": {"own-label": "red"}}
        )
    found = review(field.library, Stock())
    assert {one.kind for one in found} == {"contradiction", "single"}
    told = next(one for one in found if one.kind == "contradiction")
    assert "always shows 'red' of 1960..1965" in told.words
    with edited(book) as one:
        one.change_pressing("t", "t/1", {"expect": {"own-label": {"red": "rarely", "blue": "usually"}}})
    assert "contradiction" not in {one.kind for one in review(field.library, Stock())}


def test_stock_against_the_book(demo_field):
    library = demo_field.library
    row = next(row for row in library.titles() if row.title == "The Salt Almanac")
    pressing = library.title(row.id).pressings[0]
    clue = library.clue(next(iter(pressing.expect)))
    never = next(one for one in clue.answers if not one.neutral and one.id not in pressing.expect[clue.id])
    counts = {
        pressing.id: {"n": 5, "clues": {clue.id: {never.id: 4, next(iter(pressing.expect[clue.id])): 1}}}
    }
    stock = Stock(Counter({row.id: 5}), counts, Counter({clue.id: 5}))
    found = next(one for one in review(library, stock, row.book) if one.kind == "stock")
    assert found.words.startswith(f"4 of your 5 copies of {pressing.name} show '{never.text}'")
    assert (found.pressings, found.clue, found.answers) == ((pressing.id,), clue.id, (never.id,))


def test_one_copy_says_nothing_against_a_book():
    assert chance_of(1, 1, 0.05) == pytest.approx(0.05)
    assert chance_of(4, 5, 0.005) < 1e-8
    assert [word_for(*pair) for pair in ((5, 5), (4, 5), (1, 3), (0, 5))] == [
        "always",
        "usually",
        "sometimes",
        "never",
    ]


def test_a_grown_pressing_like_a_written_one(demo_field):
    library = demo_field.library
    row = next(row for row in library.titles() if row.title == "The Salt Almanac")
    first = library.title(row.id).pressings[0]
    some = {clue: next(iter(words)) for clue, words in list(first.expect.items())[:4]}
    with edited(demo_field.shop / "books" / "own.toml", "GBP") as book:
        table = {"id": f"{row.id}/mine", "name": "mine", "period": first.period.edtf(), "expect": some}
        book.put_pressing(row.id, table | {"source": "seen on the bench"})
    found = [one for one in review(demo_field.library, Stock(), row.book) if one.kind == "grown"]
    assert [one.pressings[0] for one in found] == [f"{row.id}/mine"]


def test_clues_that_nobody_answers(demo_field):
    library = demo_field.library
    copies = Counter({row.id: 2 for row in library.titles() if row.book == "tarrowick"})
    asked = Counter({clue.id: 3 for clue in library.clues() if clue.book == "tarrowick"})
    asked["tw-smallprint"] = 0
    found = [
        one for one in review(library, Stock(copies, {}, asked), "tarrowick") if one.kind == "unanswered"
    ]
    assert [one.clue for one in found] == ["tw-smallprint"]


def test_the_most_worth_stands_first(demo):
    worths = [one.worth for one in review(demo, Stock(), "fandrigal")]
    assert worths == sorted(worths, reverse=True)
