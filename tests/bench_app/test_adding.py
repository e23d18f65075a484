"""The shop's own book grows from the page 'why': a pressing as this copy shows it, an answer."""

from pathlib import Path

import pytest
from bench_hands import Hands, Sit
from same_parcel import canonical

from benchtui.books.check import check_books
from benchtui.books.shape import Pressing
from benchtui.desk.book.another import _marked
from benchtui.desk.own_book.growing import own_book
from benchtui.model.span import Span, parse_edtf


def _pressings(hands: Hands) -> list[str]:
    title = hands.desk.book_title
    return [one.name for one in title.pressings] if title else []


def _seen(hands: Hands, clue: str, answer: str) -> Hands:
    return hands.ask(clue).answer(answer)


@pytest.fixture
def label(breakwater: Hands) -> Hands:
    """The first record, its label looked at."""
    breakwater.take("disc")
    return _seen(breakwater, "label paper", "reed")


def _grown(hands: Hands, name: str = "second cover, laminated") -> Hands:
    return hands.do("why", "why-pressing").key("n").enter(name)


def test_what_was_seen_becomes_a_pressing_of_the_title_with_its_answers_and_its_date(label: Hands) -> None:
    weighing = label.desk.weighing()
    assert weighing is not None
    likely = weighing.disc_span.likely
    before = _pressings(label)
    _grown(label)
    assert not label.refused, label.said
    assert _pressings(label) == [*before, "second cover, laminated"]
    made = label.desk.book_title.pressings[-1]  # type: ignore[union-attr]
    assert made.expect == {"tw-label": {"reed": "usually"}}
    assert likely is not None
    assert likely.latest is not None
    within = likely.meet(parse_edtf(f"[1967-03..{likely.latest:%Y-%m}]"))
    assert within is not None
    assert made.period.earliest == within.earliest, "not before the title was issued"
    assert made.period == parse_edtf(f"[{within.earliest:%Y-%m}..{likely.latest:%Y-%m}]"), "whole months"
    assert check_books([own_book(label.desk).parent]) == []


@pytest.mark.parametrize(
    ("typed", "name", "period"),
    [
        ("silver label 1971..1973", "silver label", "[1971..1973]"),
        ("silver label from 1971 (trade paper)", "silver label (trade paper)", "[1971..]"),
    ],
)
def test_a_date_behind_the_name_is_its_time_and_a_reason_stays_in_the_name(
    label: Hands, typed: str, name: str, period: str
) -> None:
    _grown(label, typed)
    made = label.desk.book_title.pressings[-1]  # type: ignore[union-attr]
    assert (made.name, made.period.edtf()) == (name, period)


def test_a_year_in_the_name_that_was_proposed_is_the_answer_s(label: Hands) -> None:
    label.do("why", "why-pressing").key("n")
    line = label.desk.open.line
    assert line is not None
    line.text = line.opened = "dated 1971"
    label.do("line-accept")
    assert label.desk.book_title.pressings[-1].name == "dated 1971"  # type: ignore[union-attr]


def test_the_odds_are_new_at_once_and_the_copy_is_called_what_it_showed(label: Hands) -> None:
    before = {likely.id for likely in label.desk.weighing().pressings}  # type: ignore[union-attr]
    _grown(label)
    after = {likely.id for likely in label.desk.weighing().pressings}  # type: ignore[union-attr]
    (fresh,) = after - before
    assert label.p_of(str(fresh)) > 0.01
    assert label.record["pressing"]["id"] == fresh
    assert label.record["pressing"]["how"] == "hand"


def test_answers_keep_their_meaning_when_the_book_grows(label: Hands) -> None:
    answers = [dict(one) for one in label.record["answers"]]
    _grown(label)
    assert label.record["answers"] == answers
    assert label.desk.weighing().lost == ()  # type: ignore[union-attr]


def test_undo_takes_the_book_back_too_and_redo_brings_it_again(label: Hands) -> None:
    path, before = own_book(label.desk), _pressings(label)
    assert not path.exists()
    _grown(label).do("page-leave", "undo")
    assert "the shop's book too" in label.said
    assert not path.exists()
    assert _pressings(label) == before
    assert label.record["pressing"]["how"] == "open"
    label.do("redo")
    assert _pressings(label) == [*before, "second cover, laminated"]
    assert label.record["pressing"]["how"] == "hand"


def test_a_book_that_somebody_changed_meanwhile_is_left_alone_and_that_is_said(label: Hands) -> None:
    _grown(label)
    path = own_book(label.desk)
    path.write_text(path.read_text("utf-8") + "\n# a remark\n", "utf-8")
    label.do("page-leave", "undo")
    assert "the shop's book stays as it is now" in label.said
    assert "# a remark" in path.read_text("utf-8")
    assert label.record["pressing"]["how"] == "open", "the record itself is taken back"


def test_undo_takes_only_its_own_words_out_of_a_book_that_somebody_changed_elsewhere(label: Hands) -> None:
    path = own_book(label.desk)
    path.write_text('[book]\nname = "Mine"\n# first remark\n', "utf-8")
    _grown(label)
    path.write_text(path.read_text("utf-8").replace("# first", "# my first") + "\n# last remark\n", "utf-8")
    label.do("page-leave", "undo")
    assert "the shop's book too" in label.said
    text = path.read_text("utf-8")
    assert "# my first remark" in text
    assert "# last remark" in text
    assert "pressing" not in text


def test_undo_and_redo_reach_the_book_after_a_restart(label: Hands, sit: Sit) -> None:
    _grown(label)
    path = label.desk.shop.path
    label.leave()
    again = sit(path)
    again.do("page-leave") if again.desk.open.page else None
    again.do("undo")
    assert "the shop's book too" in again.said
    assert "second cover, laminated" not in _pressings(again)
    again.leave()
    once_more = sit(path)
    once_more.do("redo")
    assert "second cover, laminated" in _pressings(once_more)


def test_the_first_pressing_of_a_title_made_on_the_bench(parcel: Hands, sit: Sit) -> None:
    parcel.type("Ada Pellimore - Sluice Tales - OWN 1").do("line-new")
    assert parcel.desk.book_title is None
    clue = next(one for one in parcel.desk.library.clues() if one.part == "cover" and one.form == "choice")
    parcel.take("cover")
    assert parcel.desk.clue is not None
    parcel.do("answer-1")
    assert parcel.record["answers"], f"no clue such as {clue.id} was asked"
    parcel.do("pressing")
    assert parcel.desk.open.menu is not None
    keys = [one.key for one in parcel.desk.open.menu.choices]
    assert keys == ["n", "0"], "where none is known 'none of these' is no choice"
    parcel.key("escape")
    _grown(parcel, "the only one")
    assert not parcel.refused, parcel.said
    assert _pressings(parcel) == ["the only one"]
    assert {likely.name for likely in parcel.desk.weighing().pressings} >= {"the only one"}  # type: ignore[union-attr]
    parcel.do("page-leave", "later").type("slui")
    assert parcel.desk.open.line is not None
    assert "1 pressing" in "".join(text for text, _ in parcel.desk.open.line.picks[0].spans)
    path = parcel.desk.shop.path
    parcel.leave()
    again = sit(path)
    title_id = again.at(1)["title"]["id"]  # type: ignore[index]
    listed = again.desk.finder.by_id(title_id)
    assert listed is not None
    assert listed.pressings == 1, "the next start knows it too"


def test_a_second_pressing_joins_the_first(parcel: Hands) -> None:
    parcel.type("Ada Pellimore - Sluice Tales - OWN 1").do("line-new").take("cover")
    parcel.do("answer-1")
    _grown(parcel, "one").do("page-leave")
    _grown(parcel, "two")
    assert _pressings(parcel) == ["one", "two"]


@pytest.mark.parametrize("name", ["", "  "])
def test_a_pressing_without_a_name_is_refused_and_the_line_stays(label: Hands, name: str) -> None:
    _grown(label, name)
    assert label.refused
    assert label.desk.open.line is not None
    assert not own_book(label.desk).exists()


def test_a_name_the_title_has_already_is_refused(label: Hands) -> None:
    _grown(label, _pressings(label)[0].upper())
    assert label.refused
    assert not own_book(label.desk).exists()


def test_a_copy_of_which_nothing_was_seen_shows_no_pressing(breakwater: Hands) -> None:
    breakwater.do("why", "why-pressing")
    assert breakwater.refused
    assert breakwater.desk.open.line is None


def test_a_new_answer_has_the_next_free_digit_and_answers_the_question_at_once(breakwater: Hands) -> None:
    breakwater.take("disc")
    breakwater.ask("label paper")
    clue = breakwater.desk.clue
    assert clue is not None
    free = next(n for n in range(1, 10) if n not in {one.digit for one in clue.answers})
    breakwater.do("why", "why-answer").enter("Bronze print on black")
    assert not breakwater.refused, breakwater.said
    grown = breakwater.desk.library.clue(clue.id)
    assert grown is not None
    assert [(one.id, one.digit, one.text) for one in grown.answers if one not in clue.answers] == [
        ("bronze-print-on-black", free, "Bronze print on black")
    ]
    (answer,) = breakwater.answers(clue.id)
    assert (answer["answer"], answer["how"]) == ("bronze-print-on-black", "seen")
    assert breakwater.desk.weighing().lost == ()  # type: ignore[union-attr]
    assert check_books([own_book(breakwater.desk).parent]) == []


def test_undo_of_a_new_answer_takes_it_out_of_the_book(breakwater: Hands) -> None:
    breakwater.take("disc")
    breakwater.ask("label paper").do("why", "why-answer").enter("Bronze print on black")
    breakwater.do("page-leave", "undo")
    assert "the shop's book too" in breakwater.said
    clue = breakwater.desk.library.clue("tw-label")
    assert clue is not None
    assert clue.answer("bronze-print-on-black") is None
    assert breakwater.answers("tw-label") == []


def test_an_answer_the_clue_has_is_refused(breakwater: Hands) -> None:
    breakwater.take("disc")
    breakwater.ask("label paper")
    assert breakwater.desk.clue is not None
    text = breakwater.desk.clue.answers[0].text
    breakwater.do("why", "why-answer").enter(text.upper())
    assert breakwater.refused
    assert breakwater.desk.open.line is not None


def test_only_questions_with_choices_can_have_a_new_answer(parcel: Hands) -> None:
    parcel.find("baf").do("why", "why-answer")
    numbers = [one for one in parcel.desk.library.clues() if one.form == "number" and one.part == "disc"]
    assert numbers
    parcel.do("line-leave") if parcel.desk.open.line else None
    parcel.do("page-leave").take("disc")
    parcel.ask(numbers[0].ask).do("why", "why-answer")
    assert parcel.refused
    assert parcel.desk.open.line is None


def test_a_book_that_cannot_be_written_is_said_and_nothing_is_half_done(
    label: Hands, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    before = canonical(label.desk.work.parcel)
    monkeypatch.setattr("benchtui.books.text.os.replace", full)
    _grown(label)
    assert label.refused
    assert "No space left" in label.said
    assert not own_book(label.desk).exists()
    assert canonical(label.desk.work.parcel) == before


def test_where_the_parcel_refuses_the_book_goes_back_as_it_was(
    label: Hands, monkeypatch: pytest.MonkeyPatch
) -> None:
    from benchtui.base.errors import BenchError
    from benchtui.store import Parcel

    def refuse(*_: object, **__: object) -> None:
        raise BenchError("this parcel was closed")

    monkeypatch.setattr(Parcel, "action", refuse)
    _grown(label)
    assert label.refused
    assert not own_book(label.desk).exists()
    assert "second cover, laminated" not in _pressings(label)


def test_a_draft_of_a_name_is_still_there_after_a_restart(label: Hands, sit: Sit) -> None:
    label.do("why", "why-pressing").key("n").type("third la")
    path: Path = label.desk.shop.path
    label.leave()
    again = sit(path)
    assert again.desk.open.line is not None
    assert (again.desk.open.line.name, again.desk.open.line.text) == ("grow-pressing", "third la")
    again.do("line-accept")
    assert _pressings(again)[-1] == "third la"


def test_a_date_at_which_something_seen_was_impossible_is_refused_with_the_name_kept(label: Hands) -> None:
    """It went into the book, which ``check`` then called wrong."""
    label.ask("label paper").answer("glazed")
    label.do("why", "why-pressing").key("n").type("glazed one 1970").do("line-accept")
    assert label.refused
    said = "'glazed paper, a drawn lighthouse' is of 1984-04.. for certain, so not of 1970"
    assert said in label.said
    assert label.desk.open.line is not None
    assert label.desk.open.line.text == "glazed one 1970"
    assert not own_book(label.desk).exists()


def test_a_new_answer_does_not_take_the_place_of_one_that_was_seen_on_this_copy(label: Hands) -> None:
    label.ask("label paper").do("new-answer").enter("laid paper")
    (kept,) = label.answers("tw-label")
    assert kept["answer"] == "reed"
    assert "this copy keeps 'reed paper, brown print' (9 changes it" in label.said
    before = canonical(label.desk.work.parcel)
    label.do("undo")
    assert "taken back: record 1, disc: new answer" in label.said
    assert [one["answer"] for one in label.answers("tw-label")] == ["reed"], "what was seen before it stays"
    assert not own_book(label.desk).exists()
    label.do("redo")
    assert canonical(label.desk.work.parcel) == before
    label.ask("label paper").answer("laid-paper")
    assert [one["answer"] for one in label.answers("tw-label")] == ["laid-paper"]


def test_two_parts_that_show_the_same_are_told_apart_in_the_list_of_what_sets_a_copy_apart(
    parcel: Hands,
) -> None:
    parcel.find("Orla Finch - Coal Barges - OF 12 - 1961")
    for kind in ("cover", "disc"):
        parcel.take(kind)
        parcel.ask("word for the sound").do("answer-1").grade("VG")
    parcel.do("pressing").key("n")
    assert parcel.desk.open.menu is not None
    told = [one.words for one in parcel.desk.open.menu.choices if one.key.isdigit()]
    assert told == ["cover, Word for the sound: mono", "disc, Word for the sound: mono"]


def test_what_cannot_be_of_the_title_s_time_is_none_of_a_new_pressing_s(parcel: Hands, sit: Sit) -> None:
    """The price mark of a swapped cover went into the book, which ``check`` then called wrong."""
    parcel.desk.shop.add_title(
        {"artist": "Ada Pellimore", "title": "Sluice Tales", "catalogue": "BM 9001", "first": "1988-12",
         "company": "Bellmarrow", "country": "XV", "size_in": 12}
    )  # fmt: skip
    parcel.leave()
    again = sit(parcel.desk.shop.path).find("sluice")
    again.take("cover")
    again.ask("price mark").answer("crown")
    again.take("disc")
    again.ask("label picture").answer("wheel-red")
    again.do("why", "why-pressing").key("n").type("odd one").do("line-accept")
    assert again.record["title"] is not None
    title = again.desk.library.title(again.record["title"]["id"])
    assert title is not None
    assert list(title.pressings[-1].expect) == ["bm-label"]
    assert check_books([again.desk.shop.path / "books"]) == []


def test_of_two_discs_that_differ_a_marked_question_is_always_neither() -> None:
    """It was always both, which no copy can be: ``check`` called the book wrong."""
    seen = Pressing(
        "x/y", "y", Span(), expect={"tw-cut": {"1": "usually", "2": "usually"}, "tw-rim": {"ness": "usually"}}
    )
    assert _marked(seen, ["tw-cut", "tw-rim"]).expect == {
        "tw-cut": {"1": "usually", "2": "usually"},
        "tw-rim": {"ness": "always"},
    }
