"""A copy like no pressing known is said to be so on the bench; a record teaches only what was confirmed."""

from bench_hands import Hands
from seen import page_rows

from benchtui.bench.asked import settled_words
from benchtui.bench.pieces import FANCY, Line
from benchtui.bench.widgets.pressing import pressing_rows
from benchtui.desk.ask.asking import is_runout
from benchtui.desk.keyboard.perform import run
from benchtui.desk.queue.queue import lacking
from benchtui.desk.record.describing import described
from benchtui.desk.record.teaching import lesson, why_not
from benchtui.desk.record.verdicts import call_it, percent

UNLIKE = {
    "disc": {"tw-label": "blotter", "tw-rim": "spoken", "tw-says": "stereo", "ul-dues": "three"},
    "cover": {"tw-cover": "sewn", "tw-printer": "hasker", "tw-price": "oar", "tw-front": "mono", "tw-begins": "tw"},
}  # fmt: skip
LIKE = {**UNLIKE, "disc": {"tw-label": "reed", "tw-rim": "spoken", "tw-says": "nothing", "ul-dues": "three"}}


def _see(hands: Hands, seen: dict[str, dict[str, str]], cuts: bool = True) -> Hands:
    """Answers as if seen, put into the record at once."""
    with hands.desk.act("seen") as change:
        copy = hands.desk.changed(change)
        for part in copy["parts"]:
            for clue_id, answer in seen.get(part["kind"], {}).items():
                clue = hands.desk.library.clue(clue_id)
                assert clue is not None
                assert clue.answer(answer) is not None
                place = f"{clue.place} A" if clue.per_side else clue.place
                copy["answers"].append(
                    {"part": part["id"], "place": place, "clue": clue_id, "answer": answer, "value": None,
                     "how": "seen", "text": answer, "book": clue.book, "at": hands.desk.now()}
                )  # fmt: skip
            if part["kind"] == "disc" and cuts:
                read = {"typed": "1", "full": "", "cut": "1", "mother": "", "stamper": ""}
                part["sides"] = {"A": read, "B": dict(read)}  # type: ignore[typeddict-item, dict-item]
    return hands


def _said(hands: Hands) -> str:
    return _joined(pressing_rows(hands.desk, 40, 30, FANCY))


def _joined(lines: list[Line]) -> str:
    return " ".join(" ".join(text for line in lines for text, _ in [*line, (" ", "")]).split())


def test_a_copy_like_no_known_pressing_names_what_does_not_fit_and_the_key_for_another_one(
    breakwater: Hands,
) -> None:
    said = _said(_see(breakwater, UNLIKE))
    assert "does not fit what is known: Label paper, The label says" in said
    assert f"Another pressing? {breakwater.desk.key('pressing')} n" in said
    weighing = breakwater.desk.weighing()
    assert weighing is not None
    assert not weighing.settled


def test_the_pressing_that_the_dealer_named_leads_the_panel_marked_with_its_odds_as_they_are(
    breakwater: Hands,
) -> None:
    weighing = _see(breakwater, LIKE).desk.weighing()
    assert weighing is not None
    other = weighing.pressings[-1] if weighing.pressings[-1].id else weighing.pressings[-2]
    call_it(breakwater.desk, other)
    odds = percent(other.p).strip()
    assert f"what was seen speaks against it ({odds}): it goes out as your own judgement" in breakwater.said
    first, second = (
        _joined([line]) for line in pressing_rows(breakwater.desk, 60, 8, FANCY)[:2]
    )  # wide and low: a row each
    assert first.startswith(percent(other.p).strip())
    assert f"{FANCY.done} {other.name}" in first
    assert weighing.pressings[0].name in second
    assert FANCY.done not in second
    breakwater.do("why")
    assert f"{other.name}" in (said := _joined(page_rows(breakwater.desk, 100, 30)))
    assert said.count("your choice") == 1


def test_a_copy_like_its_leader_is_sure(breakwater: Hands) -> None:
    said = _said(_see(breakwater, LIKE))
    assert "does not fit" not in said
    weighing = breakwater.desk.weighing()
    assert weighing is not None
    assert weighing.settled


def test_over_one_contradiction_the_cuts_are_asked_for(breakwater: Hands) -> None:
    one = {**LIKE, "disc": {**LIKE["disc"], "tw-says": "stereo-safe"}}
    _see(breakwater, one, cuts=False)
    weighing = breakwater.desk.weighing()
    assert weighing is not None
    assert weighing.held == "cuts"
    assert "read the cuts first: that pressing always shows something else (The label says)" in _said(
        breakwater
    )
    assert not weighing.settled
    desk = breakwater.desk
    key = desk.key("runout")
    assert f"{key} writes them down" in _said(breakwater)
    assert any(f"({key})" in one and "cuts" in one for one in lacking(desk, breakwater.record))
    call_it(desk, desk.weighing().leader)  # type: ignore[union-attr]
    assert not any("cuts" in one for one in lacking(desk, breakwater.record)), "the dealer has said which"
    breakwater.do("undo")
    breakwater.do("take-cover", "take-disc")
    assert is_runout(desk, desk.asking.asked)


def test_the_page_why_lists_what_surprises(breakwater: Hands) -> None:
    _see(breakwater, UNLIKE).do("why")
    page = _joined(page_rows(breakwater.desk, 100, 200))
    assert "Does it fit?" in page
    assert "Label paper: blotting paper" in page


def test_a_record_the_book_alone_is_sure_of_teaches_and_can_be_untaught_and_undone(breakwater: Hands) -> None:
    hands = _see(breakwater, LIKE)
    number = hands.record["id"]
    hands.do("take-in", "take-in")
    taken = next(one for one in hands.desk.work.records if one["id"] == number)
    assert taken["pressing"]["learn"]
    assert "Label paper: reed paper" in " ".join(lesson(hands.desk, taken))
    hands.do("line-leave", "previous-record")
    assert hands.record["id"] == number
    run(hands.desk, "teach")
    assert not hands.record["pressing"]["learn"]
    assert why_not(hands.record) == "Teaches nothing: you took its lesson back."
    assert hands.desk.weighings.counts() == {}
    hands.do("undo")
    assert hands.record["pressing"]["learn"]


def test_a_record_that_needed_what_was_learnt_does_not_teach(breakwater: Hands) -> None:
    """Sure with what other copies taught, not by the book alone."""
    hands = _see(
        breakwater, {"disc": {"tw-label": "reed", "tw-rim": "spoken", "tw-says": "nothing"}}, cuts=False
    )
    alone = hands.desk.weighing()
    assert alone is not None
    assert alone.leader is not None
    assert alone.leader.p < 0.99
    assert not hands.desk.weighings.may_teach(hands.record)


def test_a_record_named_by_the_dealer_teaches(breakwater: Hands) -> None:
    breakwater.do("pressing").key("2")
    assert breakwater.record["pressing"]["learn"]
    assert why_not(breakwater.record) == ""


def test_a_new_pressing_that_has_nothing_of_its_own_is_said_to_have_nothing(breakwater: Hands) -> None:
    weighing = _see(breakwater, LIKE).desk.weighing()
    assert weighing is not None
    assert weighing.leader is not None
    breakwater.do("pressing").key("n")
    menu = breakwater.desk.open.menu
    assert menu is not None
    assert menu.title == f"It has nothing that '{weighing.leader.name}' lacks"
    assert [choice.key for choice in menu.choices] == ["n"]
    assert breakwater.desk.key("jump-clue") in menu.about


def test_a_pressing_that_the_dealer_named_is_called_their_choice(breakwater: Hands) -> None:
    _see(breakwater, LIKE)
    assert settled_words(breakwater.record) == "pressing sure"
    breakwater.do("pressing").key("1")
    assert settled_words(breakwater.record) == "pressing your choice"


def test_what_the_bench_calls_sure_goes_out_so_before_it_is_taken_in(breakwater: Hands) -> None:
    _see(breakwater, LIKE)
    weighing = breakwater.desk.weighing()
    assert weighing is not None
    assert weighing.settled
    assert weighing.leader is not None
    text = described(breakwater.desk, breakwater.record, "long", made=True).text
    assert f"Pressing: {weighing.leader.name}." in text


def test_before_the_disc_was_looked_at_a_strange_cover_sends_to_it(breakwater: Hands) -> None:
    cover = {"tw-cover": "card", "tw-printer": "carton", "tw-price": "coil", "tw-front": "mono"}
    _see(breakwater, {"cover": cover}, cuts=False)
    weighing = breakwater.desk.weighing()
    assert weighing is not None
    assert weighing.leader is not None
    assert weighing.leader.id is None, [(one.name, one.p) for one in weighing.pressings]
    said = _said(breakwater)
    assert "so far unlike every pressing known: look at the disc" in said
    assert "Another pressing?" not in said
