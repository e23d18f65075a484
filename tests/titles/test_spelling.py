"""Second spellings: what else somebody types who means a title, found beside the plain spelling."""

import pytest
from found import find, plainly

from benchtui.model.title import Title
from benchtui.titles.finder import Finder
from benchtui.titles.spelling import spellings

LISTED = (
    Title("fifth", "Odile Vance", "5th Harbour Suite"),
    Title("henry", "The Weirmen", "Lantern V"),
    Title("volume", "Nan Orrick", "Weir Songs, Volume II"),
    Title("part", "Nan Orrick", "Tide Tables Part I"),
    Title("pronoun", "Nan Orrick", "I Was Ashore"),
    Title("days", "Bo Trell", "Twenty-One Days"),
    Title("year", "Bo Trell", "1984 Revisited"),
    Title("elision", "Léa d'Orme", "L'amarre perdue"),
    Title("irish", "Patrick O'Marrow", "Quay Work"),
    Title("umlaut", "Jörg Mühlwind", "Über den Dünen"),
    Title("ascii", "Joerg Kuehl", "Spaete Fluege"),
    Title("katakana", "", "ガラスノウミ"),
    Title("long", "", "コーヒーノウタ"),
    Title("turned", "Marrick, Ursel", "Dunlins, The"),
)


def found(typed: str) -> list[str]:
    return [hit.title.id for hit in find(Finder(LISTED), typed)]


def read_as(title_id: str, typed: str) -> str:
    return plainly(next(title for title in LISTED if title.id == title_id), typed)


@pytest.mark.parametrize(
    ("typed", "wanted", "tier"),
    [
        ("5th harb", "fifth", "start"),
        ("fifth harb", "fifth", "start"),
        ("5 harb", "fifth", "start"),
        ("v harb", "fifth", "start"),
        ("lantern 5", "henry", "start"),
        ("lantern five", "henry", "start"),
        ("lantern fifth", "henry", "start"),
        ("weir songs volume 2", "volume", "start"),
        ("weir two", "volume", "words"),
        ("second volume", "volume", "words"),
        ("tide tables part 1", "part", "start"),
        ("21 days", "days", "start"),
        ("twenty one d", "days", "start"),
        ("nineteen eighty four", "year", "start"),
        ("amarre", "elision", "start"),
        ("lamarre", "elision", "start"),
        ("orme ama", "elision", "words"),
        ("marrow quay", "irish", "words"),
        ("omarrow", "irish", "words"),
        ("uber den dunen", "umlaut", "start"),
        ("ueber den du", "umlaut", "start"),
        ("über den duenen", "umlaut", "start"),
        ("muehlwind uber", "umlaut", "words"),
        ("muhlwind ueber dunen", "umlaut", "words"),
        ("späte flüge", "ascii", "start"),
        ("kühl spä", "ascii", "words"),
        ("がらす", "katakana", "start"),
        ("ガラ", "katakana", "start"),
        ("からす", "katakana", "start"),
        ("こーひー", "long", "start"),
        ("こひの", "long", "start"),
        ("コヒ", "long", "start"),
        ("ursel marr", "turned", "start"),
        ("marrick ur", "turned", "start"),
        ("the dunl", "turned", "start"),
        ("dunlins the", "turned", "start"),
    ],
)
def test_a_second_spelling_is_found_as_the_plain_one_is(typed: str, wanted: str, tier: str) -> None:
    assert (found(typed)[0], read_as(wanted, typed)) == (wanted, tier)


@pytest.mark.parametrize("typed", ["1 was ashore", "one was ashore"])
def test_the_pronoun_i_is_no_number(typed: str) -> None:
    assert read_as("pronoun", typed) != "start"


def test_a_title_is_shown_once_however_many_of_its_spellings_match() -> None:
    finder = Finder(LISTED)
    assert [hit.title.id for hit in find(finder, "lantern")].count("henry") == 1
    assert len(finder) == len(LISTED)


def test_the_word_that_was_spelt_otherwise_is_marked() -> None:
    hit = find(Finder(LISTED), "lantern fifth")[0]
    assert [hit.title.title[low:high] for low, high in hit.marks["title"]] == ["Lantern", "V"]


@pytest.mark.parametrize(
    ("listed", "other"),
    [
        ("3rd", {"3", "iii", "third"}),
        ("Third", {"3", "iii", "3rd"}),
        ("three", {"3", "iii"}),
        ("III", {"3", "three", "third", "3rd"}),
        ("13", {"xiii", "thirteen", "thirteenth", "13th"}),
        ("22nd", {"22", "xxii", "twenty second"}),
        ("99", {"ninety nine", "ninety ninth", "99th"}),
        ("1969", {"nineteen sixty nine"}),
        ("one", {"1"}),
        ("007", set()),
        ("mix", set()),
    ],
)
def test_the_spellings_of_a_number(listed: str, other: set[str]) -> None:
    texts = {name for _, name in spellings("", f"weir {listed}")}
    assert texts == {f"weir {listed.lower()}", *(f"weir {form}" for form in other)}


def test_spellings_of_one_title_are_few_however_many_of_its_words_have_some() -> None:
    assert len(spellings("Ö Ä Ü, 3 4", "1 2 3 4 5 6 7 8 9 üäö")) <= 12
    assert spellings("Ö", "1 2 3")[0] == ("o", "1 2 3")


@pytest.mark.parametrize(
    ("typed", "wanted"),
    [
        ("weirsongs", "volume"),
        ("odilevance", "fifth"),
        ("harboursuite", "fifth"),
        ("vanceharbour", "fifth"),
        ("lan tern v", "henry"),
        ("harbour suite od ile", "fifth"),
    ],
)
def test_words_run_together_or_parted_are_found(typed: str, wanted: str) -> None:
    assert found(typed)[0] == wanted


LONG = Title("l", "Odile Vance", "The Slow Lamp of the Wick and the Sea by the Old Harbour of All the Boats")


@pytest.mark.parametrize("typed", ["tslotwatsbtohoatb", "slotwatsbtohoatb", "slowasbohoab", "ovslowasbohoab"])
def test_initials_may_be_as_long_as_the_title_and_leave_its_articles_out(typed: str) -> None:
    hit = find(Finder([LONG, *LISTED]), typed)[0]
    assert hit.title.id == "l"
    assert sum(map(len, hit.marks.values())) == len(typed)
