"""A field gets in while working: another pressing, a new question, a new answer, in counted keys."""

from typing import Any

import pytest
from bench_hands import Hands, Sit

from benchtui.books.check import check_books
from benchtui.books.from_bench import pressing_seen
from benchtui.desk.look.jumping import _closeness
from benchtui.desk.own_book.growing import own_book
from benchtui.desk.record.describing import described
from benchtui.model.span import UNKNOWN


class Counted:
    """Keys beside the words, counted: a letter typed into a line is a word's, everything else is a key."""

    def __init__(self, hands: Hands) -> None:
        self.hands, self.keys = hands, 0

    def key(self, *keys: str) -> "Counted":
        self.keys += len(keys)
        self.hands.key(*keys)
        return self

    def words(self, text: str) -> "Counted":
        self.hands.type(text)
        return self


@pytest.fixture
def label(breakwater: Hands) -> Hands:
    """The first record, its label looked at."""
    breakwater.take("disc")
    return breakwater.ask("label paper").answer("reed").ask("producer's").answer("misspelled")


def _expected(hands: Hands) -> dict[str, dict[str, str]]:
    title = hands.desk.book_title
    assert title is not None
    return dict(title.pressings[-1].expect)  # type: ignore[arg-type]


def test_a_new_pressing_takes_six_keys_beside_its_words(label: Hands) -> None:
    hand = Counted(label)
    hand.key("q", "n", "1", "n").words("plum label").key("enter")
    assert label.record["pressing"]["name"] == "plum label"
    assert hand.keys <= 6
    assert _expected(label) == {
        "tw-label": {"reed": "usually"},
        "u-label-producer": {"misspelled": "always"},
    }, "what makes the difference is always so"
    assert check_books([own_book(label.desk).parent]) == []
    assert label.desk.open.page is None
    assert label.part["kind"] == "disc", "the record stays in the hand"


def test_what_is_not_marked_is_kept_as_usual_on_one_copy(label: Hands) -> None:
    label.key("q", "n", "n").enter("plum label")
    assert {word for words in _expected(label).values() for word in words.values()} == {"usually"}


def test_the_marked_answers_are_a_name_already(label: Hands) -> None:
    hand = Counted(label)
    hand.key("q", "n", "1", "n", "enter")
    assert hand.keys == 5
    assert label.record["pressing"]["name"] == "misspelled"


def test_only_what_the_leading_pressing_does_not_show_is_listed(label: Hands) -> None:
    title, weighing = label.desk.book_title, label.desk.weighing()
    assert title is not None
    assert weighing is not None
    assert weighing.leader is not None
    leader = next(one for one in title.pressings if one.id == weighing.leader.id)
    label.key("q", "n")
    assert label.desk.open.menu is not None
    listed = [choice.words for choice in label.desk.open.menu.choices if choice.key.isdigit()]
    assert leader.expect["tw-label"].get("reed") in ("always", "usually", "sometimes")
    assert len(listed) == 1
    assert "misspelled" in listed[0]


def test_a_second_copy_like_the_grown_pressing_is_called_that(label: Hands) -> None:
    label.key("q", "n", "1", "n").enter("plum label")
    grown = label.record["pressing"]["id"]
    label.do("later").find("baf")
    label.take("disc")
    before = label.p_of(str(grown))
    label.ask("producer's").answer("misspelled")
    assert label.p_of(str(grown)) > before


def test_undo_takes_the_new_pressing_back_and_the_record_with_it(label: Hands, sit: Sit) -> None:
    label.key("q", "n", "n").enter("plum label").do("undo")
    assert not own_book(label.desk).exists()
    assert label.record["pressing"]["how"] == "open"


def test_another_one_is_offered_where_no_pressing_is_known_at_all(parcel: Hands) -> None:
    parcel.type("Ada Pellimore - Sluice Tales - OWN 1").do("line-new").take("cover")
    parcel.do("pressing")
    assert parcel.refused, "nothing was seen yet"
    parcel.do("answer-1").do("pressing").key("n", "n").enter("the only one")
    assert parcel.record["pressing"]["name"] == "the only one"


def test_a_new_question_takes_twelve_keys_beside_its_words(breakwater: Hands) -> None:
    breakwater.take("disc")
    hand = Counted(breakwater)
    hand.key(";").words("label hatching").key("enter").words("plain / hatched / not there").key("enter", "2")
    assert hand.keys <= 12
    (answer,) = breakwater.answers("own-hatching")
    assert (answer["place"], answer["answer"], answer["how"]) == ("label A", "hatched", "seen")
    clue = breakwater.desk.library.clue("own-hatching")
    assert clue is not None
    assert [(one.digit, one.text, one.absent) for one in clue.answers] == [
        (1, "plain", False),
        (2, "hatched", False),
        (0, "not there", True),
    ]
    assert clue.companies == (breakwater.record["title"]["company"],)  # type: ignore[index,typeddict-item]
    assert check_books([own_book(breakwater.desk).parent]) == []


def test_a_new_question_says_of_what_it_is_asked_and_a_key_holds_it_to_this_title(breakwater: Hands) -> None:
    title = breakwater.record["title"]
    assert title is not None
    breakwater.take("cover")
    breakwater.do("jump-clue").enter("poster date").type("early / l")
    line = breakwater.desk.open.line
    assert line is not None
    assert f"asked of all titles of {title['company']}, Ins: of this title alone" in line.about  # type: ignore[typeddict-item]
    breakwater.do("line-new")
    assert "asked of this title alone, Ins: of all titles of" in line.about
    breakwater.enter("ate")
    clue = breakwater.desk.library.clue("own-poster-date")
    assert clue is not None
    assert (clue.titles, clue.companies) == ((title["id"],), ())


def test_of_a_title_that_no_book_has_a_question_of_its_own_is_written_with_its_card(parcel: Hands) -> None:
    """It was refused: no book had the title it names."""
    parcel.type("Ada Pellimore - Sluice Tales - OWN 1").do("line-new").take("cover")
    parcel.do("jump-clue").enter("poster date").enter("early / late").key("1")
    (answer,) = parcel.answers("own-poster-date")
    assert (answer["answer"], answer["how"]) == ("early", "seen")
    assert check_books([own_book(parcel.desk).parent]) == []
    parcel.do("undo", "undo")
    assert not own_book(parcel.desk).exists()


def test_a_date_and_its_reason_stand_behind_an_answer(breakwater: Hands) -> None:
    breakwater.take("cover")
    breakwater.do("jump-clue").enter("spine flaking").enter(
        "matt 1958..1960 (a dated copy) / gloss 1961.. firm"
    )
    clue = breakwater.desk.library.clue("own-flaking")
    assert clue is not None
    assert clue.place == "spine"
    matt, gloss = clue.answers
    assert (matt.text, matt.span.edtf(), matt.hardness) == ("matt", "[1958..1960]", "soft")  # type: ignore[union-attr]
    assert matt.source == "the dealer's own word: a dated copy"
    assert (gloss.text, gloss.span.edtf(), gloss.hardness) == ("gloss", "[1961..]", "firm")  # type: ignore[union-attr]
    breakwater.key("1")
    assert breakwater.answers("own-flaking")[0]["answer"] == "matt"


def test_a_new_question_and_its_answer_are_undone_one_by_one_also_after_a_restart(
    breakwater: Hands, sit: Sit
) -> None:
    breakwater.take("disc")
    breakwater.do("jump-clue").enter("label hatching").enter("plain / hatched").key("2")
    path = breakwater.desk.shop.path
    breakwater.leave()
    again = sit(path)
    assert again.answers("own-hatching")
    again.do("undo")
    assert not again.answers("own-hatching")
    again.do("undo")
    assert again.desk.library.clue("own-hatching") is None
    assert not own_book(again.desk).exists()


@pytest.mark.parametrize(
    "typed", ["", "/", "not there", "plain / plain", "1963..", "plain 1963-13..", "a/b/c/d/e/f/g/h/i/j"]
)
def test_answers_that_are_none_are_refused_and_stay_in_the_line(breakwater: Hands, typed: str) -> None:
    breakwater.take("disc")
    breakwater.do("jump-clue").enter("label hatching").enter(typed)
    assert breakwater.refused, typed
    assert breakwater.desk.open.line is not None
    assert not own_book(breakwater.desk).exists()


def test_an_answer_called_of_any_time_is_read_back_so_beside_dated_ones(breakwater: Hands) -> None:
    """Nothing said that the words behind it were not the answer's."""
    breakwater.do("jump-clue").enter("label hatching").type("plain / hatched 1966.. / ring of any time")
    assert breakwater.desk.open.line is not None
    assert breakwater.desk.open.line.about == "read as hatched, made 1966.., soft; ring, of any time"
    breakwater.do("line-accept")
    clue = breakwater.desk.clue
    assert clue is not None
    assert [(one.text, bool(one.spans)) for one in clue.answers] == [
        ("plain", False),
        ("hatched", True),
        ("ring", False),
    ]


def test_words_that_a_question_has_do_not_offer_a_new_one(breakwater: Hands) -> None:
    breakwater.take("disc")
    breakwater.do("jump-clue").type("label paper")
    assert breakwater.desk.open.line is not None
    assert all("new question" not in pick.spans[0][0] for pick in breakwater.desk.open.line.picks)
    breakwater.do("line-new")
    assert breakwater.desk.open.line.name == "new-clue", "Insert makes one all the same"


def test_a_half_typed_question_is_there_after_a_restart(breakwater: Hands, sit: Sit) -> None:
    breakwater.take("disc")
    breakwater.do("jump-clue").enter("label hatching").type("plain / hat")
    path = breakwater.desk.shop.path
    breakwater.leave()
    again = sit(path)
    assert again.desk.open.line is not None
    assert (again.desk.open.line.name, again.desk.open.line.text) == ("new-clue", "plain / hat")
    again.enter("ched")
    assert again.desk.library.clue("own-hatching") is not None


def test_a_new_answer_is_one_key_at_its_question(breakwater: Hands) -> None:
    breakwater.take("disc")
    breakwater.ask("label paper")
    hand = Counted(breakwater)
    hand.key("ctrl+a").words("bronze 1969..1971 (two dated copies)").key("enter")
    assert hand.keys == 2
    (answer,) = breakwater.answers("tw-label")
    made = breakwater.desk.library.clue("tw-label").answer(answer["answer"])  # type: ignore[union-attr]
    assert made is not None
    assert (made.text, made.span.edtf()) == ("bronze", "[1969..1971]")  # type: ignore[union-attr]


def test_a_part_is_dated_by_the_dealers_own_word_and_it_counts_as_evidence(breakwater: Hands) -> None:
    breakwater.take("disc")
    disc = breakwater.part["id"]
    breakwater.ask("dated by you").key("1").enter("971..1972 firm shop's own ledger")
    (own,) = breakwater.record["dated"]
    assert (own["part"], own["span"], own["sure"]) == (disc, "[1971..1972]", "firm")
    assert own["why"] == "shop's own ledger"
    assert breakwater.desk.clue is None or breakwater.desk.clue.form != "dated", "the next question"
    weighing = breakwater.desk.weighing()
    assert weighing is not None
    likely = weighing.parts[disc].likely
    assert likely is not None
    assert (likely.earliest.year, likely.latest.year) == (1971, 1972), "told as it was given"  # type: ignore[union-attr]
    assert any(line.label.endswith("dated by you: 1971 to 1972") for line in weighing.dates)
    breakwater.do("undo")
    assert not breakwater.record.get("dated")


def test_enter_at_the_date_question_opens_its_empty_line_for_a_date_in_words(breakwater: Hands) -> None:
    breakwater.take("disc")
    breakwater.ask("dated by you").key("enter").enter("between 1960 and 1963 her list")
    (own,) = breakwater.record["dated"]
    assert (own["span"], own["why"]) == ("[1960..1963]", "her list")


def test_a_date_that_an_older_bench_kept_as_an_answer_counts_until_a_new_one_is_given(
    breakwater: Hands,
) -> None:
    breakwater.take("disc")
    disc = breakwater.part["id"]
    old = {
        "part": disc,
        "place": "whole",
        "clue": "u-by-you",
        "answer": "dated",
        "how": "seen",
        "at": "",
        "book": "",
    }
    value = {"made": "[1971..1972]", "hardness": "firm", "why": "ledger"}
    with breakwater.desk.act("an older bench") as change:
        record: Any = breakwater.desk.changed(change)
        record["answers"].append({**old, "value": value, "text": "Dated by you: [1971..1972]"})
    weighing = breakwater.desk.weighing()
    assert weighing is not None
    assert any("by you: ledger" in line.source for line in weighing.dates)
    breakwater.ask("dated by you").key("1").enter("969")
    assert not breakwater.answers("u-by-you")
    assert [own["span"] for own in breakwater.record["dated"]] == ["1969"]


def test_what_is_sound_is_one_key_from_the_list_of_faults_and_a_sentence_of_its_own(
    breakwater: Hands,
) -> None:
    breakwater.take("cover")
    hand = Counted(breakwater)
    hand.key("x", "3")
    assert hand.keys == 2
    assert breakwater.part.get("sound") == ["seams"]
    hand.key("x", "1")
    text = described(breakwater.desk, breakwater.record, "long").text
    assert "Cover: seams sound, complete." in text
    breakwater.key("x", "3")
    assert breakwater.part.get("sound") == ["complete"], "the same key takes it back"
    breakwater.do("undo", "undo", "undo")
    assert not breakwater.part.get("sound")


def test_a_pressing_of_a_title_that_no_book_has_begins_when_the_title_was_first_issued(parcel: Hands) -> None:
    parcel.type("Ada Pellimore - Sluice Tales - OWN 1 - 1963").do("line-new").take("cover")
    parcel.ask("lamination of the cover").answer("front")
    parcel.key("q", "n", "n").enter("laminated")
    title = parcel.desk.book_title
    assert title is not None
    assert title.pressings[0].period.earliest == title.first.earliest
    assert check_books([own_book(parcel.desk).parent]) == []


def test_a_pressing_made_from_a_copy_follows_when_its_answer_is_put_right_and_comes_back(
    label: Hands,
) -> None:
    label.key("q", "n", "n").enter("plum label")
    label.do("undo", "redo")
    before = _expected(label)
    assert before["tw-label"] == {"reed": "usually"}
    clue = label.desk.library.clue("tw-label")
    assert clue is not None
    other = next(one.id for one in clue.answers if one.id != "reed" and one.digit)
    label.ask("label paper").answer(other)
    assert _expected(label)["tw-label"] == {other: "usually"}
    assert "follows in the shop's book" in label.said
    label.do("undo")
    assert _expected(label) == before


def test_the_name_and_period_that_the_bench_gave_follow_the_answer_and_the_dealer_s_own_stay(
    breakwater: Hands,
) -> None:
    desk = breakwater.desk

    def made() -> tuple[str, str]:
        title = desk.book_title
        assert title is not None
        (one,) = (each for each in title.pressings if each.id == breakwater.record["pressing"]["id"])
        return one.name, one.period.edtf()

    breakwater.take("disc")
    breakwater.do("jump-clue").type("label paint").do("line-new")
    breakwater.enter("olive, dull ..1966 / ochre 1971..").ask("label paint").key("1")
    breakwater.key("q", "n")
    paint = next(one for one in desk.open.menu.choices if "label paint" in one.words)  # type: ignore[union-attr]
    breakwater.key(paint.key, "n").do("line-accept")
    before = made()
    assert before[0] == "olive, dull"
    breakwater.ask("label paint").key("2")
    assert made()[0] == "ochre"
    assert made()[1] != before[1]
    assert "follows in the shop's book as 'ochre'" in breakwater.said
    breakwater.ask("label paint").key("1")
    assert made() == before
    breakwater.do("undo", "undo")
    assert made() == before


def test_a_pressing_made_from_a_copy_carries_the_sound_that_the_copy_showed(breakwater: Hands) -> None:
    breakwater.take("disc")
    breakwater.do("jump-clue").enter("ear colour").enter("mono / stereo / two-ear")
    for digit, channels in (("2", "stereo"), ("3", ""), ("1", "mono")):
        breakwater.ask("ear colour").key(digit)
        made = pressing_seen(breakwater.record, breakwater.desk.library, "one", UNKNOWN)
        assert made.channels == channels


def test_a_new_question_has_its_part_in_its_words_and_stands_first_by_them(breakwater: Hands) -> None:
    breakwater.take("disc")
    breakwater.do("jump-clue").type("label colour").do("line-new").enter("plum / grey")
    clue = breakwater.desk.library.clue("own-colour")
    assert clue is not None
    assert (clue.ask, clue.place) == ("label colour", "label")
    breakwater.do("jump-clue").type("label colour")
    assert breakwater.desk.open.line is not None
    assert breakwater.desk.open.line.picks[0].value[1][1] == "own-colour"


def test_a_question_that_begins_with_the_words_comes_before_one_that_has_them_in_it() -> None:
    assert _closeness("label colour", "Label: colour of the paper", "label A") < _closeness(
        "label colour", "Print on the label: its colour", "label A"
    )
