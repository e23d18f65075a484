"""Two pressings of a title that are one: when they look it, and what becomes of them.

The one that is given up is retired and passes to the other, with its copies and all that they taught
(``books/passed_on.py``). What only it had goes under the other.
"""

from collections.abc import Mapping
from typing import Any

from benchtui.books.as_table import words_value
from benchtui.books.from_bench import SEEN_ONCE
from benchtui.books.ladder import is_grown
from benchtui.books.shape import Pressing, Word
from benchtui.knowledge.alike import LIKE
from benchtui.knowledge.folded import fold

FILLED = ("channels", "catalogue", "cuts", "extras", "price", "note")
"""What the pressing that stays takes from the other where it says nothing itself."""
_AGREE = 0.8
Expect = Mapping[str, Mapping[str, Word]]


def may_be_one(one: Pressing, other: Pressing) -> bool:
    """Whether kind, channels and time allow that they are one; a copy seldom shows what kind it is of."""
    if one.kind != other.kind and not (is_grown(one) and one.kind == "ordinary"):
        return False
    if one.channels and other.channels and one.channels != other.channels:
        return False
    return one.period.meet(other.period) is not None


def agreement(one: Expect, other: Expect) -> tuple[int, float]:
    """Of how many questions both speak, and in which share of them the likeliest answer is the same."""
    both = [clue for clue in one if one[clue] and other.get(clue)]
    agree = sum(_leading(one[clue]) == _leading(other[clue]) for clue in both)
    return len(both), agree / len(both) if both else 0.0


def _leading(words: Mapping[str, Word]) -> str:
    order = ("always", "usually", "sometimes", "rarely", "never")
    return min(words, key=lambda answer: order.index(words[answer]), default="")


def names_like(one: str, other: str) -> float:
    """From 0 to 1, words in any order."""
    from rapidfuzz import fuzz

    return fuzz.token_sort_ratio(fold(one), fold(other)) / 100


def looks_grown(grown: Pressing, written: Pressing, expect: Expect) -> float:
    """How much a pressing grown here looks like a written one that shows ``expect``: 0 where it does not.

    It does where what both speak of agrees, be it one question only, or where their names are alike: a
    grown one rests on a copy or two, and whoever is asked sees both.
    """
    if not may_be_one(grown, written):
        return 0.0
    both, agree = agreement(grown.expect, expect)
    if both:
        return agree + both / 100 if agree >= _AGREE else 0.0
    return 1.0 if names_like(grown.name, written.name) * 100 >= LIKE else 0.0


def passing(kept_id: str, kept_name: str) -> dict[str, Any]:
    """The fields by which a pressing is retired and passes to another."""
    return {"retired": f"the same as {kept_name}", "passes_to": kept_id}


def taken_over(kept: Mapping[str, Any], given: Mapping[str, Any], same_money: bool = True) -> dict[str, Any]:
    """Fields of a grown pressing's table that go under the written one: what that does not say itself, and of
    what it shows only what the dealer marked as making the difference, or said more of than a copy seen once
    does. The rest its copies taught.
    """
    more = {
        name: given[name]
        for name in FILLED
        if name in given and name not in kept and (same_money or name != "price")
    }
    shows, had = given.get("expect", {}), kept.get("expect", {})
    differs = given.get("differs", [])
    marked = {
        clue: words
        for clue, words in shows.items()
        if clue not in had
        and (clue in differs or isinstance(words, str) or set(words.values()) != {SEEN_ONCE})
    }
    return more | ({"expect": {**had, **marked}} if marked else {})


def both_show(kept: Pressing, other: Pressing) -> dict[str, Any]:
    """What either of two written pressings shows; an answer that only the other shows is sometimes seen, and
    beside one nothing is always.
    """
    found = {clue: dict(words) for clue, words in {**other.expect, **kept.expect}.items()}
    for clue, words in other.expect.items():
        if clue in kept.expect:
            more: dict[str, Word] = dict.fromkeys(words, "sometimes")
            found[clue] = more | found[clue]
        if len(found[clue]) > 1:
            found[clue] = {one: "usually" if word == "always" else word for one, word in found[clue].items()}
    return {clue: words_value(words) for clue, words in found.items()}
