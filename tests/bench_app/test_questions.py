"""A buyer's question, answered in a few keys; another disc that came back, found out by its runout."""

from datetime import date
from pathlib import Path

from bench_hands import Hands

from benchtui.desk.core.page_parts import Text
from benchtui.desk.core.pages import view_now
from benchtui.desk.look.jumping import all_questions
from benchtui.export.gather import gather
from benchtui.export.run import Ask, export
from benchtui.model.record import QUESTION, work_left


def _said(hands: Hands) -> str:
    view = view_now(hands.desk)
    assert view is not None
    return " ".join(
        text for one in view.sections if isinstance(one, Text) for para in one.lines for text, _ in para.words
    )


def _in_stock(parcel: Hands) -> Hands:
    parcel.find("baf").take("cover")
    parcel.grade("VG")
    parcel.take("disc")
    parcel.grade("VG")
    parcel.do("runout").enter("3 7q")
    parcel.enter("2 4")
    parcel.do("price-hand").enter("24").do("take-in", "take-in")
    return parcel.do("line-leave", "previous-record", "record-page")


def test_a_question_waits_on_the_work_list_and_is_answered_in_four_keys(parcel: Hands) -> None:
    _in_stock(parcel)
    parcel.do("record-question").enter("M. Larch; is side two quiet between the songs?")
    record = parcel.record
    assert [chore["what"] for chore in record["chores"] if not chore["done"]] == [QUESTION]
    assert work_left(record) == []  # nobody is kept from buying it
    assert any(one.what == QUESTION for one in parcel.desk.shop.waiting())
    parcel.do("record-answer").enter("yes, but for one tick at the start")
    (asked,) = parcel.record["questions"]
    assert (asked["answer"], asked["answered"]) == ("yes, but for one tick at the start", "2026-11-25")
    assert parcel.desk.shop.waiting() == []
    assert "M. Larch: is side two quiet" in _said(parcel)
    parcel.do("page-leave", "undo")
    assert not parcel.record["questions"][0]["answered"]


def test_who_asked_is_in_no_export_that_leaves_the_house(parcel: Hands, tmp_path: Path) -> None:
    _in_stock(parcel)
    parcel.do("record-question").enter("M. Larch; how heavy is it?")
    for kind in ("intake", "chores", "slips"):
        export(parcel.desk.shop, Ask(kind, date(2026, 11, 25)), tmp_path / f"{kind}.csv")
        assert "Larch" not in (tmp_path / f"{kind}.csv").read_text(encoding="utf-8")
    assert gather(parcel.desk.shop)


def test_a_question_without_who_or_what_is_asked_for(parcel: Hands) -> None:
    _in_stock(parcel)
    parcel.do("record-question").enter("M. Larch")
    assert parcel.refused
    assert "what does M. Larch ask?" in parcel.said
    assert "questions" not in parcel.record


def test_another_disc_that_came_back_is_said_by_its_runout(parcel: Hands) -> None:
    _in_stock(parcel)
    parcel.do("record-compare").enter("3 7q | 2 4")
    assert "the runouts are those that went out" in parcel.said
    parcel.do("record-compare").enter("3 7q | 5 1")
    assert "another disc came back: B went out as" in parcel.said
    (same, other) = parcel.record["came_back"]
    assert same["unlike"] == []
    assert len(other["unlike"]) == 1
    parcel.do("record-compare").enter("- | 2 4")
    assert "the runouts are those that went out" in parcel.said
    parcel.do("record-compare").enter("3 7q")
    assert parcel.refused


def test_an_answer_becomes_a_fact_by_one_key_and_a_question_takes_twelve_beside_its_words(
    parcel: Hands,
) -> None:
    _in_stock(parcel).do("page-leave")
    keys = parcel.do("search").type("baf").do("line-accept", "record-page", "record-question")
    keys.type("M. Larch; any scratch?").do("line-accept", "record-answer").type(
        "one scratch on side b, felt but not heard"
    )
    keys.do("line-accept").key("1")
    # search, enter, page, question, enter, answer, enter, the digit: eight beside the words
    (fault,) = (one for part in parcel.record["parts"] for one in part["faults"])
    assert (fault["fault"], fault["severity"], fault["place"]) == ("scratch", "silent", "B")
    assert "as answered: fault, disc side B" in parcel.said
    parcel.do("page-leave", "undo")
    assert not any(part["faults"] for part in parcel.record["parts"])


def test_a_play_test_an_answer_of_the_books_and_the_note_are_offered_too(parcel: Hands) -> None:
    _in_stock(parcel)
    parcel.do("record-question").enter("M. Larch; how does it play?")
    parcel.do("record-answer").enter("side A, 2:30, 3 ticks").key("1")
    (disc,) = (part for part in parcel.record["parts"] if part["kind"] == "disc")
    assert disc["grades"][-1].get("heard") == [{"position": "2:30", "ticks": "3", "noise": ""}]
    parcel.do("record-question").enter("M. Larch; the label?").do("record-answer")
    clue = next(one for _, _, one in all_questions(parcel.desk, parcel.record) if one.id == "tw-label")
    told = next(one for one in clue.answers if not one.neutral)
    parcel.enter(f"the label is {told.text.replace(',', '')}")
    assert parcel.desk.open.menu is not None
    choice = next(one for one in parcel.desk.open.menu.choices if told.text in one.words)
    parcel.key(choice.key)
    assert [one["answer"] for one in parcel.answers("tw-label")] == [told.id]
    parcel.do("record-question").enter("M. Larch; anything else?").do("record-answer").enter(
        "no sleeve notes"
    )
    assert parcel.desk.open.menu is not None
    parcel.key(parcel.desk.open.menu.choices[-1].key)
    assert parcel.record["note"] == "no sleeve notes"
