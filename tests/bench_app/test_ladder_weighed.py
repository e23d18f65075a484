"""A title that nobody has described is weighed over its company's ladder; calling it by name makes it seen."""

import pytest
from bench_hands import Hands, Sit
from seen import seen

from benchtui.bench.pieces import text_of
from benchtui.books.ladder import is_proposed
from benchtui.export.gather import weigher


@pytest.fixture
def unwritten(parcel: Hands) -> Hands:
    """A record of a title that no book has; its company's ladder is known."""
    parcel.desk.shop.add_title(
        {"artist": "Ada Pellimore", "title": "Sluice Tales", "catalogue": "TW 9001", "first": "1968-05",
         "company": "Tarrowick", "country": "XV", "size_in": 12}
    )  # fmt: skip
    parcel.leave()
    return parcel


@pytest.fixture
def at_it(unwritten: Hands, sit: Sit) -> Hands:
    again = sit(unwritten.desk.shop.path)
    return again.find("sluice")


def test_stretches_of_the_ladder_stand_as_pressings_that_nobody_has_seen(at_it: Hands) -> None:
    weighing = at_it.desk.weighing()
    assert weighing is not None
    found = [one for one in weighing.pressings if one.id]
    assert len(found) > 3
    assert all(is_proposed(one.id) and one.name.endswith("(proposed)") for one in found)
    assert at_it.desk.library.title(at_it.record["title"]["id"]) is None, "no book and no table ever has them"  # type: ignore[index]


def test_what_is_seen_moves_the_odds_between_the_stretches(at_it: Hands) -> None:
    at_it.take("disc")
    at_it.ask("label paper").answer("kelp")
    weighing = at_it.desk.weighing()
    assert weighing is not None
    kelp = sum(one.p for one in weighing.pressings if one.name.startswith("kelp paper"))
    assert kelp > 0.6, "the stretches of that label, together"
    assert all(one.p < 0.02 for one in weighing.pressings if one.name.startswith("reed paper, SPOKEN"))


def test_the_lists_handed_out_weigh_it_as_the_bench_does(at_it: Hands) -> None:
    at_it.take("disc")
    at_it.ask("label paper").answer("kelp")
    shown, told = at_it.desk.weighing(), weigher(at_it.desk.shop)(at_it.record)
    assert shown is not None
    assert told.pressings == shown.pressings
    assert told.copy_date == shown.copy_date


def test_a_proposed_pressing_called_by_its_name_goes_into_the_book_and_takes_the_place_of_its_stretch(
    at_it: Hands,
) -> None:
    at_it.take("disc")
    at_it.ask("label paper").answer("kelp")
    at_it.do("pressing")
    assert at_it.desk.open.menu is not None
    stretch = next(one for one in at_it.desk.open.menu.choices if one.words.startswith("kelp paper"))
    at_it.key(stretch.key)
    called = at_it.record["pressing"]
    assert called["how"] == "hand"
    assert not is_proposed(called["id"])
    written = at_it.desk.library.title(at_it.record["title"]["id"])  # type: ignore[index]
    assert written is not None
    (made,) = written.pressings
    assert made.id == called["id"]
    assert made.expect["tw-label"] == {"kelp": "always"}, "what the ladder says and this copy bears out"
    assert "tw-label" in made.differs
    names = [one.name for one in at_it.desk.weighing().pressings]  # type: ignore[union-attr]
    assert f"{made.name} (proposed)" not in names
    at_it.do("undo")
    assert at_it.desk.library.title(at_it.record["title"]["id"]) is None  # type: ignore[index]


@pytest.mark.parametrize(("inner", "kept"), [("oiled", ["lined"]), ("grey", ["grey", "lined"])])
def test_an_inner_of_another_time_is_none_of_the_pressing_s_that_a_stretch_becomes(
    at_it: Hands, inner: str, kept: list[str]
) -> None:
    """A swapped inner became what the new pressing usually has, under a name that says otherwise; the inner
    of the state before may be old stock.
    """
    at_it.take("disc")
    at_it.ask("label paper").answer("kelp")
    at_it.take("inner")
    at_it.ask("kind of inner").answer(inner)
    at_it.do("pressing")
    assert at_it.desk.open.menu is not None
    stretch = next(one for one in at_it.desk.open.menu.choices if "AFLOAT, STEREO, 1978 to 1979" in one.words)
    at_it.key(stretch.key)
    written = at_it.desk.library.title(at_it.record["title"]["id"])  # type: ignore[index]
    assert written is not None
    assert sorted(written.pressings[0].expect["tw-inner"]) == kept


def test_every_proposed_pressing_has_a_key_and_its_odds_are_not_cut(at_it: Hands) -> None:
    weighing = at_it.desk.weighing()
    assert weighing is not None
    assert len(weighing.pressings) > 9
    at_it.do("pressing")
    menu = at_it.desk.open.menu
    assert menu is not None
    named = [choice for choice in menu.choices if choice.ends]
    assert [choice.words for choice in named] == [one.name for one in weighing.pressings]
    assert len({choice.key for choice in menu.choices}) == len(menu.choices)
    for size in ((80, 24), (120, 40)):
        assert text_of(seen(at_it.desk, size).prompt).count("%") == len(named)
