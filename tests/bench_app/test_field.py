"""The shop's field: what a new title made at the bench takes over, so that its country's clues are asked."""

import pytest
from bench_hands import Hands

from benchtui.books.as_table import title_table
from benchtui.desk.book.another import card_unwritten
from benchtui.desk.book.book_changes import change
from benchtui.desk.book.new_question import ask_answers
from benchtui.desk.core.field import ABOUT, Field, facts_of_new, field_of, field_read, read_field, show_field
from benchtui.desk.own_book.growing import own_book
from benchtui.desk.queue.dressing import dress
from benchtui.titles.values import channels_of


def _set(hands: Hands, text: str) -> Hands:
    hands.do("commands").enter("reckoning")
    rows = hands.desk.open.page
    assert rows is not None
    from benchtui.desk.people.reckoning import RULES_SET

    rows.marked = next(n for n, rule in enumerate(RULES_SET) if rule.name == "field")
    return hands.do("page-enter").enter(text)


def test_a_new_title_takes_company_country_and_channels_from_the_field(parcel: Hands) -> None:
    parcel.do("line-leave")
    _set(parcel, "Whelkin; gb; WK = mono, SWK = stereo")
    assert not parcel.refused, parcel.said
    parcel.do("page-leave", "find-title").type("Ada Pellimore - Sluice Tales - SWK 1").do("line-new")
    title = parcel.record["title"]
    assert title is not None
    assert (title["company"], title["country"]) == ("Whelkin", "GB")
    assert parcel.record["channels"] == "stereo"
    cover = next(part for part in parcel.record["parts"] if part["kind"] == "cover")
    asked = {clue.id for clue in parcel.desk.library.clues_for(parcel.record, cover)}
    assert "gb-price" in asked, "its country's clues are asked of its first record"


def test_the_line_s_hint_shows_a_word_of_one_s_own_for_mono() -> None:
    assert read_field(ABOUT.partition(": ")[2])["prefixes"]["1K"] == "mono"


def test_without_a_field_a_new_title_is_what_was_typed(parcel: Hands) -> None:
    parcel.type("Ada Pellimore - Sluice Tales - WK 1").do("line-new")
    assert parcel.record["title"]["company"] == ""  # type: ignore[index,typeddict-item]


@pytest.mark.parametrize(
    ("number", "channels"), [("WK 12", "mono"), ("SWK-12", "stereo"), ("X 1", ""), ("", "")]
)
def test_the_longest_prefix_that_fits_says_the_channels(number: str, channels: str) -> None:
    assert Field(prefixes={"WK": "mono", "SWK": "stereo", "S": "mono"}).channels(number) == channels


def test_what_is_typed_is_shown_again() -> None:
    text = "Whelkin; XV; WK = mono, SWK = stereo"
    assert show_field({"field": read_field(text)}) == text
    assert show_field({}) == ""
    assert show_field({"field": read_field("")}) == ""
    assert field_of({"field": "broken"}) == Field()


@pytest.mark.parametrize(
    ("said", "channels"),
    [
        ("stereo", "stereo"),
        ("demi-stereo", "stereo"),
        ("S", "stereo"),
        ("Mono only", "mono"),
        ("both", "both"),
    ],
)
def test_the_sound_behind_a_prefix_is_read_as_in_a_list_and_shown_so(said: str, channels: str) -> None:
    assert read_field(f"; ; LRD = {said}")["prefixes"] == {"LRD": channels} == {"LRD": channels_of(said)[0]}
    assert field_read(f"; ; LRD={said}") == ("" if said == channels else f"; ; LRD = {channels}")


@pytest.mark.parametrize("text", ["Whelkin; Britain", "a; b; c; d", "Whelkin; GB; WK"])
def test_what_is_no_field_is_refused_in_a_sentence(text: str) -> None:
    with pytest.raises(ValueError, match=r"."):
        read_field(text)


def test_a_title_made_before_the_field_takes_its_prefix_where_it_is_picked_again(parcel: Hands) -> None:
    parcel.type("Ada Pellimore - Sluice Tales - SWK 1").do("line-new")
    title = parcel.desk.finder.by_id(parcel.record["title"]["id"])  # type: ignore[index]
    assert title is not None
    assert title.channels == ""
    copy = {**parcel.record, "parts": []}
    for field, channels in (("; ; SWK = stereo", "stereo"), ("Other; ; SWK = stereo", "")):
        parcel.desk.shop.change_settings(field=read_field(field))
        dress(parcel.desk, copy, None, title._replace(company="Whelkin"))  # type: ignore[arg-type]
        assert copy["channels"] == channels


def test_a_title_written_down_with_its_first_pressing_keeps_its_channels(parcel: Hands) -> None:
    parcel.desk.shop.change_settings(field=read_field("; ; SWK = stereo"))
    parcel.type("Ada Pellimore - Sluice Tales - SWK 1").do("line-new")
    card = card_unwritten(parcel.desk, parcel.record["title"])  # type: ignore[arg-type]
    assert card is not None
    assert card["channels"] == "stereo"


@pytest.mark.parametrize(
    ("typed", "company", "number"),
    [
        ("QF 7 - 1961 - tarrowick", "Tarrowick", "QF 7"),  # the books know it
        ("QF 7 - company Quill Forge", "Quill Forge", "QF 7"),
        ("QF 7 - 1961", "Whelkin", "QF 7"),
        ("QF 7 - 1961 - Quill Forge", "Quill Forge", "QF 7"),  # no word for it, but the year stands before
    ],
)
def test_a_company_is_told_in_the_new_title_s_line_and_shown_as_read(
    parcel: Hands, typed: str, company: str, number: str
) -> None:
    parcel.desk.shop.change_settings(field=read_field("Whelkin; XV"))
    parcel.type(f"Ada Pellimore - Sluice Tales - {typed}")
    assert parcel.desk.open.line is not None
    assert f"company {company}" in parcel.desk.open.line.about
    title = parcel.do("line-new").record["title"]
    assert title is not None
    assert (title["company"], title["catalogue"]) == (company, number)


def test_a_known_title_typed_with_the_field_s_company_is_that_title_though_no_book_has_the_company(
    parcel: Hands,
) -> None:
    parcel.desk.shop.change_settings(field=read_field("Quill Forge; XV"))
    parcel.enter("Ada Pellimore - Sluice Tales - QF 7 - 1961").do("later")
    parcel.enter("Ada Pellimore - Sluice Tales - QF 7 - 1961 - Quill Forge")
    assert parcel.record["title"]["id"] == parcel.at(1)["title"]["id"]  # type: ignore[index]


def test_the_field_s_prefixes_say_nothing_of_another_company_s_numbers(parcel: Hands) -> None:
    parcel.desk.shop.change_settings(field=read_field("Whelkin; XV; QF = stereo"))
    for company, channels in (("Quill Forge", ""), ("Whelkin", "stereo")):
        facts = facts_of_new(parcel.desk.settings, parcel.desk.library, "QF 7", company)
        assert facts.get("channels", "") == channels


def test_an_answer_to_another_company_s_question_goes_on_being_found_and_the_question_goes(
    parcel: Hands,
) -> None:
    parcel.desk.shop.change_settings(field=read_field("Whelkin; XV"))
    parcel.type("Ada Pellimore - Sluice Tales - QF 7").do("line-new")
    title = parcel.record["title"]
    assert title is not None
    parcel.take("cover")
    ask_answers(parcel.desk, "sleeve corners")
    parcel.enter("round ..1962 / square 1963..").key("1")
    parcel.ask("sleeve corners")
    table = title_table({**title, "company": "Quill Forge"})
    change(parcel.desk, "card", own_book(parcel.desk), lambda book: book.put_title(table), title["id"])
    assert "own-sleeve-corners" not in {asked[1] for asked in parcel.desk.asking.order}
    assert parcel.desk.clue is None or parcel.desk.clue.id != "own-sleeve-corners"
    parcel.ask("sleeve corners")
    assert parcel.desk.clue is not None
    assert parcel.desk.clue.id == "own-sleeve-corners"


def test_a_number_that_begins_as_only_another_company_s_do_is_that_company_s(demo: Hands) -> None:
    """Titles of a sender's list got the field's company, whoever had made them."""
    own = {"field": {"company": "Whelkin", "country": "XV", "prefixes": {"WK": "mono", "TWS": "stereo"}}}

    def company(number: str, typed: str = "") -> str:
        return facts_of_new(own, demo.desk.library, number, typed)["company"]

    assert company("TW 999") == "Tarrowick"
    assert company("WK 12") == "Whelkin"
    assert company("TWS 12") == "Whelkin", "by the field's own prefix"
    assert company("ZZ 12") == "Whelkin", "as usual, where nobody has the prefix"
    assert company("TW 999", "Fandrigal") == "Fandrigal"


def test_a_prefix_that_the_field_explains_for_another_company_stays_that_company_s(demo: Hands) -> None:
    """The one line of the field is where a dealer of two companies says what both companies' prefixes mean."""
    both = {"field": {"company": "Tarrowick", "country": "XV", "prefixes": {"TW": "mono", "BM": "mono"}}}
    facts = facts_of_new(both, demo.desk.library, "BM 999")
    assert (facts["company"], facts["channels"]) == ("Bellmarrow", "mono")
    facts = facts_of_new(both, demo.desk.library, "TW 999")
    assert (facts["company"], facts["channels"]) == ("Tarrowick", "mono")
