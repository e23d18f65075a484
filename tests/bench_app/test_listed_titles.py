"""What stands on the sender's list comes first in the pick list, however the sender wrote it."""

from bench_hands import Hands

from benchtui.desk.look.sender_list import read_pasted
from benchtui.desk.parcel.parcel import take_list


def _listed(hands: Hands, *lines: str) -> Hands:
    take_list(hands.desk, read_pasted("\n".join(lines)).lines)
    return hands


def _offered(hands: Hands, typed: str) -> list[tuple[str, bool]]:
    """Ids offered for the letters, each with whether its line says that it stands on the list."""
    if hands.desk.open.line is not None:
        hands.do("line-leave")
    hands.do("find-title").type(typed)
    assert hands.desk.open.line is not None
    return [
        (pick.value.id, any("sender's list" in text for text, _ in pick.spans))
        for pick in hands.desk.open.line.picks
    ]


def test_a_line_written_otherwise_puts_the_title_it_means_first_of_all(parcel: Hands) -> None:
    _listed(parcel, "Orrindales\tThe Sallt Almanac", "Tarrandole Band\tsomething homemade")
    offered = _offered(parcel, "sa")
    assert offered[0] == ("tw-almanac", True)
    assert "" not in [title_id for title_id, _ in offered], "the line itself is not offered beside its title"


def test_the_line_that_put_it_first_is_the_one_ticked_off(parcel: Hands) -> None:
    _listed(parcel, "Quayside Bafflers\tLater Tales", "Quayside Bafflers\ton the Breakwater")
    assert _offered(parcel, "on the bre")[0] == ("tw-breakwater", True)
    parcel.do("line-accept")
    assert [line["record"] for line in parcel.head["list"]] == [None, parcel.record["id"]]


def test_a_line_that_no_list_knows_is_offered_itself(parcel: Hands) -> None:
    _listed(parcel, "Tarrandole Band\tsomething homemade")
    assert _offered(parcel, "something h")[0] == ("", True)


def test_whose_a_title_of_the_list_would_be_is_told_where_it_is_offered_and_when_it_is_made(
    parcel: Hands,
) -> None:
    """The line names no company: the new title takes the field's, or that of the books' numbers."""
    parcel.desk.shop.change_settings(field={"company": "Whelkin", "country": "XV", "prefixes": {}})
    for name, number, company in (("homely", "WK 5", "Whelkin"), ("barely", "TW 990", "Tarrowick")):
        _listed(parcel, f"Tarrandole Band\tsomething {name}\t{number}")
        _offered(parcel, f"something {name}")
        line = parcel.desk.open.line
        assert line is not None
        assert "".join(text for text, _ in line.picks[0].cells[4]) == company
        assert line.about.endswith(f"new title with number {number}, company {company}")
        parcel.do("line-accept")
        assert f"made of the sender's own words, company {company};" in parcel.said
        assert parcel.record["title"]["company"] == company  # type: ignore[index]
        parcel.do("later")


def test_a_ticked_line_ranks_nothing_any_more(parcel: Hands) -> None:
    _listed(parcel, "Orrindales\tThe Sallt Almanac")
    assert _offered(parcel, "salt")[0] == ("tw-almanac", True)
    parcel.do("line-accept", "later")
    assert not any(listed for _, listed in _offered(parcel, "salt"))


def test_a_title_of_a_list_or_book_comes_before_the_sender_s_own_words(parcel: Hands) -> None:
    _listed(parcel, "Quayside Bafflers\tbafflers homemade looking thing")
    offered = [title_id for title_id, _ in _offered(parcel, "bafflers")]
    assert offered[0] == "tw-breakwater"
    assert "" in offered
    parcel.do(f"pick-{offered.index('') + 1}")
    assert "made of the sender's own words" in parcel.said


def test_the_sender_s_own_words_that_can_mean_no_title_that_fits_come_first(parcel: Hands) -> None:
    """Another record of those first letters was taken, and the line of this parcel stayed open."""
    _listed(parcel, "Breakwater Nine\tHome-made Looking Thing", "Quayside Bafflers\tWeir Song\tZZ 4")
    assert _offered(parcel, "breakw")[0] == ("", True)
    assert "tw-breakwater" in [title_id for title_id, _ in _offered(parcel, "breakw")]
    assert _offered(parcel, "quayside")[0] == ("", True), "its number is no title's that fits"
