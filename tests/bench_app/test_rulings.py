"""The dealer's own word: parts ruled, what decides the record, the pressing by hand, looked a second time."""

import re
from dataclasses import replace

import pytest
from bench_hands import Hands
from seen import page_rows, record_rows

from benchtui.bench.pieces import FANCY, text_of
from benchtui.bench.widgets.keyline import draw_legend
from benchtui.bench.widgets.pressing import pressing_rows
from benchtui.desk.ask.asking import order_of, wanted
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.page_parts import Text
from benchtui.desk.hand.hand import take
from benchtui.desk.look.dating import date_by_hand
from benchtui.desk.pages.why import candidates
from benchtui.desk.queue.queue import contradictions, lacking
from benchtui.desk.record.describing import described
from benchtui.evidence import Likely, Weighing
from benchtui.evidence.results import HeldBack, SecondLook
from benchtui.model.money import Money
from benchtui.money.book import description


@pytest.mark.parametrize(("key", "ruling"), [("1", "own"), ("2", "swapped"), ("3", "unsure")])
def test_a_part_is_ruled_by_one_digit(breakwater: Hands, key: str, ruling: str) -> None:
    breakwater.take("inner")
    breakwater.do("ruling").key(key)
    assert breakwater.record["rulings"] == {breakwater.part["id"]: ruling}
    breakwater.do("undo")
    assert breakwater.record["rulings"] == {}


def test_a_ruling_stands_whatever_the_odds_say(breakwater: Hands) -> None:
    while breakwater.desk.asking.asked != ("front", "tw-front"):
        breakwater.do("next-clue")
    breakwater.answer("sticker").ask("label says a").answer("nothing")
    breakwater.take("cover")
    breakwater.do("ruling").key("1")
    weighing = breakwater.desk.weighing()
    assert weighing is not None
    assert breakwater.record["rulings"][breakwater.part["id"]] == "own"
    assert weighing.agreement[breakwater.part["id"]].p_swapped < 0.5


def test_any_part_may_be_what_decides_the_record(breakwater: Hands) -> None:
    assert breakwater.record["anchor"] is None
    breakwater.do("ruling").key("4")
    assert breakwater.record["anchor"] == breakwater.part["id"]


def test_the_pressing_by_hand_stands_until_it_is_left_to_the_evidence_again(breakwater: Hands) -> None:
    breakwater.do("pressing")
    assert breakwater.desk.open.menu is not None
    breakwater.key("2")
    weighing = breakwater.desk.weighing()
    assert weighing is not None
    chosen = breakwater.record["pressing"]
    assert chosen["how"] == "hand"
    assert chosen["id"] == weighing.pressings[1].id
    breakwater.do("answer-1", "answer-1", "answer-1")
    assert breakwater.record["pressing"]["id"] == chosen["id"]
    breakwater.do("pressing").key("0")
    assert breakwater.record["pressing"]["how"] == "open"


def test_a_pressing_by_hand_is_kept_at_take_in(breakwater: Hands) -> None:
    breakwater.do("pressing").key("3")
    chosen = breakwater.record["pressing"]["id"]
    breakwater.ready("baf").do("take-in")
    taken = breakwater.at(1)["pressing"]
    assert (taken["id"], taken["how"], taken["learn"]) == (chosen, "hand", True)


def test_a_title_without_pressings_has_none_to_choose(parcel: Hands) -> None:
    parcel.enter("Zzyzx - Wqrt").do("pressing")
    assert parcel.refused
    assert parcel.desk.open.menu is None


def test_a_second_look_is_asked_for_where_money_is_at_stake_and_silenced_by_looking(parcel: Hands) -> None:
    parcel.find("bells")
    for clue, answer in (("how cover made", "wrap"), ("address", "none"), ("price mark", "none")):
        parcel.ask(clue).answer(answer)
    second = _second(parcel)
    for _ in range(30):
        if second is not None or parcel.desk.asking.asked is None:
            break
        parcel.do("ditto")
        second = _second(parcel)
    assert second is not None, "the rarity and its imitation are worth a second look"
    parcel.do("looked")
    (looked,) = parcel.record["looked"]
    assert (looked["part"], looked["place"]) == (second.part, second.place)
    after = _second(parcel)
    assert after is None or (after.clue, after.place) != (second.clue, second.place)


def _second(hands: Hands):  # type: ignore[no-untyped-def]
    weighing = hands.desk.weighing()
    assert weighing is not None
    return weighing.second_look


def test_looking_twice_where_nothing_is_asked_for_is_refused(parcel: Hands) -> None:
    parcel.enter("Zzyzx - Wqrt").do("looked")
    assert parcel.refused
    assert parcel.record["looked"] == []


def test_why_is_a_page_with_every_pressing_and_goes_away(breakwater: Hands) -> None:
    breakwater.do("answer-1", "why")
    assert breakwater.desk.open.page is not None
    assert breakwater.desk.open.page.name == "why"
    breakwater.do("page-down", "page-screen-down", "page-up", "page-screen-up", "page-leave")
    assert breakwater.desk.open.page is None


def test_a_note_is_kept_as_typed_and_opened_again_with_what_it_holds(breakwater: Hands) -> None:
    breakwater.do("note").enter('smells of [b]candles[/b], "quite" clean')
    assert breakwater.record["note"] == 'smells of [b]candles[/b], "quite" clean'
    breakwater.do("note").type(" indeed").do("line-accept")
    assert breakwater.record["note"].endswith("clean indeed")


def test_the_bench_says_in_words_what_was_said_of_a_part(breakwater: Hands) -> None:
    breakwater.take("cover")
    breakwater.do("ruling").key("2")
    shown = text_of(record_rows(breakwater.desk, 69, 33, FANCY))
    assert "from another copy" in shown
    assert "ruled" not in shown


def test_a_part_ruled_swapped_is_asked_nothing_more(breakwater: Hands) -> None:
    breakwater.take("cover")
    assert breakwater.desk.asking.asked is not None
    breakwater.do("ruling").key("2")
    weighing = breakwater.desk.weighing()
    assert weighing is not None
    assert breakwater.part["id"] in weighing.elsewhere
    part = breakwater.part
    order = order_of(breakwater.desk, part, weighing)
    assert order
    assert wanted(breakwater.desk, breakwater.record, part, order, weighing) == []


def test_parts_of_different_times_lack_a_verdict_and_the_key_is_named(breakwater: Hands) -> None:
    desk, key = breakwater.desk, breakwater.desk.key("ruling")
    for part, time in (("disc", "1971..1972 firm"), ("cover", "[1974-06..]")):
        breakwater.do(f"take-{part}")
        date_by_hand(desk)
        breakwater.enter(time)
    wanted_of = f"your verdict on the cover and the disc, of different times ({key})"
    assert wanted_of in lacking(desk, breakwater.record)
    assert f"{key}: your verdict" in text_of(pressing_rows(desk, 60, 16, FANCY))
    for height in (10, 12):
        told = text_of(pressing_rows(desk, 24, height, FANCY))
        assert ("! " in told, "% others" in told) == (True, True), "neither hides the other"
        assert (key in told, "second mono" in told) == (True, True)
    breakwater.do("looked")
    assert wanted_of in breakwater.said, "looking again settles nothing between two parts"
    assert f"{key} belongs?" in text_of(draw_legend(desk, 80))
    inner = next(part for part in breakwater.record["parts"] if part["kind"] == "inner")
    take(desk, breakwater.record, inner["id"])  # done, as far as the bench asks
    breakwater.do("ruling").key("1")
    assert "verdict" not in str(lacking(desk, breakwater.record)), "the inner got it, of which nobody asked"
    assert inner["id"] not in breakwater.record["rulings"]
    breakwater.do("take-inner", "ruling").key("2")
    assert breakwater.record["rulings"][inner["id"]] == "swapped", "taken by its own key"


def test_a_pressing_named_by_hand_leads_and_dates_the_copy_though_nothing_was_seen(breakwater: Hands) -> None:
    weighing, title = breakwater.desk.weighing(), breakwater.desk.book_title
    assert weighing is not None
    assert title is not None
    first, late = weighing.pressings[0], weighing.pressings[2]
    breakwater.do("pressing").key("3")
    weighing = breakwater.desk.weighing()
    period = next(one.period for one in title.pressings if one.id == late.id)
    assert weighing is not None
    assert weighing.copy_date is not None
    assert weighing.copy_date.run.meet(period) == weighing.copy_date.run
    assert weighing.copy_span.likely is not None
    assert weighing.copy_span.likely.latest == period.latest
    breakwater.do("why")
    lines = text_of(page_rows(breakwater.desk, 200, 60))
    assert lines.index(late.name) < lines.index(first.name)
    assert f"Points for {late.name} against {first.name}" in lines


@pytest.mark.parametrize("height", range(5, 17))
def test_what_the_panel_has_no_rows_for_is_told_as_others(breakwater: Hands, height: int) -> None:
    rows = [text_of([row]) for row in pressing_rows(breakwater.desk, 24, height, FANCY)]
    shares = [int(share) for row in rows for share in re.findall(r"(\d+)% ", row)]
    assert len(rows) <= height
    assert sum(shares) == pytest.approx(100, abs=3)


def test_a_pressing_that_stays_undecided_is_explained_with_the_key_that_decides(breakwater: Hands) -> None:
    desk, weighing = breakwater.desk, breakwater.desk.weighing()
    assert weighing is not None
    sure = Likely("tw-breakwater/mono-1", "first mono", 0.97)
    dear = SecondLook(Money(190, "GBP"), None, "", "", "1.90 GBP at stake; no clue is left that would tell")
    for leader, second, told in (
        (sure, dear, f"1.90 GBP on average, more than a look is worth. {desk.key('looked')} calls it so"),
        (sure._replace(p=0.62), None, "the likeliest has no more than 62%"),
        (sure._replace(p=0.62), dear, "the likeliest has no more than 62%"),
        (sure._replace(id=None), None, "would tell, and it is likeliest none of them"),
    ):
        left = replace(weighing, pressings=(leader,), second_look=second, nothing_left=True)
        (section,) = candidates(desk, breakwater.record, left)
        assert isinstance(section, Text)
        assert told in text_of([list(line.words) for line in section.lines])


@pytest.mark.parametrize(
    ("held", "torn", "told"),
    [
        ("unlike", False, "the likeliest does not fit the copy"),
        ("runout", False, "a runout does not fit the title"),
        ("contradicted", False, "the likeliest always shows something else"),
        ("", True, "what was seen contradicts itself"),
    ],
)
def test_no_look_is_offered_where_it_would_not_make_sure(
    breakwater: Hands, monkeypatch: pytest.MonkeyPatch, held: HeldBack, torn: bool, told: str
) -> None:
    desk, weighing = breakwater.desk, breakwater.desk.weighing()
    assert weighing is not None
    sure = Likely("tw-breakwater/mono-1", "first mono", 0.97)
    dear = SecondLook(Money(190, "GBP"), None, "", "", "1.90 GBP at stake; no clue is left that would tell")
    left = replace(weighing, pressings=(sure,), second_look=dear, nothing_left=True, held="", torn=False)
    offered = f"{desk.key('looked')}: call it so"
    assert offered in _panel(desk, left, monkeypatch)
    assert offered not in _panel(desk, replace(left, pressings=(sure._replace(p=0.62),)), monkeypatch)
    left = replace(left, held=held, torn=torn)
    assert offered not in _panel(desk, left, monkeypatch)
    (section,) = candidates(desk, breakwater.record, left)
    assert isinstance(section, Text)
    said = text_of([list(line.words) for line in section.lines])
    assert told in said
    assert f"{desk.key('looked')} calls it so" not in said
    assert f"{desk.key('pressing')} on the record calls it one of them" in said


def _panel(desk: Desk, weighing: Weighing, monkeypatch: pytest.MonkeyPatch) -> str:
    with monkeypatch.context() as patch:
        patch.setattr(desk, "weighing", lambda: weighing)
        return text_of(pressing_rows(desk, 200, 30, FANCY))


def test_the_stock_book_tells_the_number_of_the_pressing_named_as_the_description_does(
    breakwater: Hands,
) -> None:
    title, weighing = breakwater.desk.book_title, breakwater.desk.weighing()
    assert title is not None
    assert weighing is not None
    assert breakwater.record["title"] is not None
    its = breakwater.record["title"]["catalogue"]
    n, other = next((n, one) for n, one in enumerate(weighing.pressings) if one.catalogue not in ("", its))
    assert f", {its}" in description(breakwater.record)
    breakwater.do("pressing").key(str(n + 1))
    assert f", {other.catalogue}" in description(breakwater.record)
    breakwater.do("pressing").key("0")
    assert f", {its}" in description(breakwater.record)


def test_an_inner_of_another_time_wants_a_verdict_and_is_said_to_be_of_another_copy(
    breakwater: Hands,
) -> None:
    desk = breakwater.desk
    for part, time in (("disc", "1968"), ("inner", "1990")):
        breakwater.take(part)
        date_by_hand(desk)
        breakwater.enter(time)
    wanted_of = f"your verdict on the disc and the inner, of different times ({desk.key('ruling')})"
    assert wanted_of in lacking(desk, breakwater.record)
    told = described(desk, breakwater.record, "long", made=True).text
    assert "The inner sleeve is of another time, so probably from another copy." in told
    breakwater.do("ruling").key("2")
    assert wanted_of not in lacking(desk, breakwater.record)
    assert (
        "The inner sleeve is from another copy." in described(desk, breakwater.record, "long", made=True).text
    )


def test_what_a_verdict_settled_is_not_asked_to_be_looked_at_again(breakwater: Hands) -> None:
    desk = breakwater.desk
    breakwater.take("cover")
    date_by_hand(desk)
    breakwater.enter("1940")
    assert contradictions(desk, breakwater.record)
    breakwater.do("ruling").key("1")
    weighing = desk.weighing()
    assert weighing is not None
    assert weighing.clashes
    assert contradictions(desk, breakwater.record) == []
    assert "you decided" in text_of(pressing_rows(desk, 60, 16, FANCY))
