"""``benchtui weigh``: what it takes, what it prints, what it refuses in one line."""

import json
from collections.abc import Iterable

import pytest

from benchtui.base.errors import BenchError
from benchtui.books.shape import Answer, BookTitle, Clue, Pressing
from benchtui.evidence.command import run_weigh
from benchtui.evidence.reference import Shelf
from benchtui.model.span import Span, parse_edtf
from benchtui.model.title import Title

LABEL = Clue(
    "label",
    "Label print",
    "disc",
    "label",
    (Answer("silver", "silver print", 1), Answer("gold", "gold print", 2)),
    True,
)
PAPER = Clue(
    "paper",
    "Inner",
    "inner",
    "front",
    (Answer("late", "late", 1, parse_edtf("[1975..]"), "hard"), Answer("no", "no", 2)),
)
GRAMS = Clue(
    "grams", "Weight", "disc", "whole",
    (Answer("light", "light", 1, low=0, high=120), Answer("heavy", "heavy", 2, low=121)),
    form="number", unit="g",
)  # fmt: skip
ADVERTS = Clue(
    "adverts", "Titles advertised", "inner", "back", (Answer("none", "none", 0, absent=True),), form="titles"
)
CUT = Clue("cut", "Cut", "disc", "runout", (Answer("1", "first", 1),), per_side=True, form="cut")
PRESSINGS = tuple(
    Pressing(
        name, f"{name} pressing", parse_edtf(made), price=price, cuts=(((cut, cut), "always"),),
        expect={"label": {answer: "always"}},
    )
    for name, made, price, answer, cut in (
        ("early", "1962", 9000, "silver", "1"),
        ("late", "1968", 1000, "gold", "2"),
    )
)  # fmt: skip


class Books(Shelf):
    def titles(self) -> Iterable[Title]:
        yield Title("t", "Wren Hollow", "Gaslip", "TW 1041", first="1962")
        yield Title("u", "Wren Hollow", "Gorse", "TW 1042")


TITLE = BookTitle(
    "t", "Wren Hollow", "Gaslip", Span(), size_in=12, discs=2, extras=("poster",), pressings=PRESSINGS
)
BOOKS = Books([TITLE], [LABEL, PAPER, GRAMS, ADVERTS, CUT], money="GBP")


def out(*answers: str, title: str = "gaslip") -> dict:  # type: ignore[type-arg]
    loaded: dict = json.loads(run_weigh(BOOKS, title, answers, json_out=True))  # type: ignore[type-arg]
    return loaded


@pytest.mark.parametrize("title", ["t", "Gaslip", "tw 1041", "hollow gaslip", "GASLIP"])
def test_a_title_is_found_by_id_title_number_or_piece(title: str) -> None:
    assert out(title=title)["title"] == "t"


def test_the_text_names_all_that_is_promised_and_fits_80_columns() -> None:
    text = run_weigh(BOOKS, "t", ["label=silver", "paper=late", "grams=140"])
    for heading in ("Made", "Likely pressings", "Why:", "Agreement", "Look at next"):
        assert heading in text
    assert "early pressing" in text
    assert "90.00 GBP" in text
    assert max(map(len, text.splitlines())) <= 80


def test_json_carries_spans_odds_agreement_and_next_clues() -> None:
    found = out("label=silver", "paper=late")
    assert found["pressings"][0]["id"] == "early"
    assert sum(one["p"] for one in found["pressings"]) == pytest.approx(1)
    assert found["spans"]["inner"]["certain"] == "[1975..]"
    assert found["copy"]["certain"] == "[1975..]"
    assert set(found["agreement"]) == {"disc 1", "disc 2", "cover", "inner", "poster"}
    assert [one["clue"] for one in found["next"]["disc 2"]] == ["label", "grams", "cut", "cut"]


def test_an_answer_may_name_part_and_place() -> None:
    mine = out("label@disc2.label C=gold")
    assert [one["clue"] for one in mine["next"]["disc 1"]] != [one["clue"] for one in mine["next"]["disc 2"]]
    assert out("label=silver print")["pressings"][0]["id"] == "early"
    assert out("cut=2")["pressings"][0]["id"] == "late"
    assert out("cut@disc.runout B=2")["pressings"][0]["id"] == "late"


def test_numbers_and_advertised_titles_are_read() -> None:
    assert out("adverts=1971,u,t")["spans"]["inner"]["certain"] == "[1971..]"
    assert out("grams=97.5")["pressings"]


def test_a_clue_answered_twice_counts_once_and_the_last_time() -> None:
    assert out("label=gold", "label=silver")["pressings"] == out("label=silver")["pressings"]


@pytest.mark.parametrize(
    ("title", "answers", "says"),
    [
        ("nobody", [], "no book has the title 'nobody'; known: t, u"),
        ("g", [], "2 titles match 'g'; known: t, u"),
        ("t", ["rim=plain"], "no book has the clue 'rim'; known: label, grams, cut, paper, adverts"),
        ("t", ["label=bronze"], "clue label has no answer 'bronze'; known: silver, gold"),
        ("t", ["grams=a lot"], "known: light, heavy, or a number in g"),
        ("t", ["adverts=soon"], "known: none, or title ids or years"),
        ("t", ["label"], "write CLUE=ANSWER or CLUE@part.place=ANSWER"),
        ("t", ["label@disc7=gold"], "there is no part disc7; known: disc1, disc2, cover1, inner1, extra1"),
        ("t", ["label@plate=gold"], "there is no part plate; known: disc1"),
        ("t", [""], "'' is not an answer"),
    ],
)
def test_what_is_unknown_is_refused_in_one_line_that_says_what_is_known(
    title: str, answers: list[str], says: str
) -> None:
    with pytest.raises(BenchError) as refused:
        run_weigh(BOOKS, title, answers)
    assert says in refused.value.one_line()
    assert "\n" not in refused.value.one_line()
