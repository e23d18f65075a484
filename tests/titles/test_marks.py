"""The letters that matched are marked, whatever signs and however long the name."""

import pytest
from found import find

from benchtui.model.title import Title
from benchtui.titles.finder import Finder

LONG = "Anunusuallylongnameofasinglewordthatnobodyeverwouldthinkoftyping"


@pytest.mark.parametrize("name", [f"{LONG}'s Tales", f"{LONG} · {LONG}", f"{LONG}-{LONG}", f"The {LONG}'s"])
def test_a_long_name_with_a_sign_in_it_is_marked_and_not_tried_in_every_way(name: str) -> None:
    title = Title("t1", "Somebody", name, "QL 7")
    found = find(Finder([title]), "anunusually")
    assert [hit.title.id for hit in found] == ["t1"]
    low, high = found[0].marks["title"][0]
    assert name[low:high].casefold() == "anunusually"
