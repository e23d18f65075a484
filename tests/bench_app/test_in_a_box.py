"""A title that came in a box opens with a box."""

from bench_hands import Hands


def kinds(hands: Hands) -> list[str]:
    return [part["kind"] for part in hands.record["parts"]]


def test_a_title_in_a_box_opens_with_a_box_and_another_title_with_a_cover(parcel: Hands) -> None:
    parcel.find("four pilots")
    assert "box" in kinds(parcel)
    assert "cover" not in kinds(parcel)
    parcel.find("salt almanac")
    assert "box" not in kinds(parcel)
    assert kinds(parcel).count("cover") == 1


def test_a_box_that_was_graded_stays_when_the_title_is_another(parcel: Hands) -> None:
    parcel.find("four pilots").take("box")
    parcel.grade("VG")
    parcel.find("salt almanac")
    assert "box" in kinds(parcel)
