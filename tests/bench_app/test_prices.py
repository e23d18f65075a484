"""Prices: the worked one by a key, one by hand, what is refused, sales seen elsewhere."""

from dataclasses import replace

import pytest
from bench_hands import Hands
from seen import middle_rows

from benchtui.bench.pieces import FANCY, text_of
from benchtui.bench.widgets.pressing import pressing_foot, pressing_rows
from benchtui.bench.widgets.stack import stack_rows, to_do
from benchtui.desk.ask.asking import asks_the_look
from benchtui.desk.hand.prices import worked_for
from benchtui.desk.look.clues import expected_answer, foretold
from benchtui.desk.record.describing import described
from benchtui.model.money import Money


def _graded(hands: Hands) -> Hands:
    for kind in ("cover", "disc"):
        hands.take(kind)
        hands.grade("VG", "+")
    return hands


def test_the_worked_price_is_taken_by_one_key_and_marked_as_worked(breakwater: Hands) -> None:
    _graded(breakwater).do("price-accept")
    price = breakwater.record["price"]
    assert price is not None
    assert price["how"] == "worked"
    assert price["currency"] == "GBP"
    assert price["minor"] == 700, "12.00 in the book, of which VG+ leaves 0.6: 7.20, in steps of 0.50"


def test_a_price_names_its_source_beside_the_prices_of_the_book(breakwater: Hands) -> None:
    def told() -> str:
        rows = text_of(middle_rows(breakwater.desk, 80, 17, FANCY)).splitlines()
        return next(row for row in rows if row.startswith("  price"))

    assert told().split() == ["price", "--"], "what is lacking stands below it"
    _graded(breakwater)
    assert "7.00 GBP?  book price at" in told()
    worked = worked_for(breakwater.desk)
    assert worked is not None
    narrow = text_of(stack_rows(breakwater.desk, 50, 30, FANCY))
    assert worked.say in " ".join(narrow.split()), "in two rows where they are free"
    breakwater.do("price-accept")
    assert "7.00 GBP  from the book" in told()
    breakwater.do("price-hand").enter("24")
    assert "24.00 GBP  by hand" in told()
    left = to_do(breakwater.desk, breakwater.record)
    take = f"{breakwater.desk.key('take-in')} takes it in at 24.00 GBP"
    weighing = breakwater.desk.weighing()
    assert weighing is not None
    assert not weighing.settled
    assert left == f"pressing not sure; {take} all the same"


def test_an_accepted_price_does_not_outlive_its_pressing_in_silence(parcel: Hands) -> None:
    parcel.find("marble feet")
    _graded(parcel)
    parcel.ask("lamp").answer("coloured")
    assert "worked price 35.00 GBP, was 6.50 GBP: " in parcel.said, "before anybody accepted it"
    parcel.do("undo", "price-accept")
    parcel.ask("lamp").answer("coloured")
    assert "6.50 GBP was worked out for no number, black disc: " in parcel.said
    assert parcel.refused
    parcel.do("take-in")
    assert parcel.record["state"] == "started"
    assert "makes it 35.00 GBP" in parcel.said
    parcel.do("price-accept", "take-in", "take-in")
    assert parcel.at(1)["price"] == {"minor": 3500, "currency": "GBP", "how": "worked"}


def test_a_price_that_moves_by_a_lot_is_told_whatever_moved_it_but_a_grade(breakwater: Hands) -> None:
    _graded(breakwater).take("disc")
    breakwater.grade("F")
    assert "price" not in breakwater.said, "a grade is expected to"
    before = worked_for(breakwater.desk)
    breakwater.desk.shop.change_settings(swapped_part="0.5")
    breakwater.take("cover")
    breakwater.do("ruling").key("2")
    after = worked_for(breakwater.desk)
    assert before is not None
    assert after is not None
    assert before.price is not None
    assert after.price is not None
    assert f"; price {before.price.plain()} to {after.price.show()}" in breakwater.said


@pytest.mark.parametrize(
    ("text", "minor"), [("24", 2400), ("24.5", 2450), ("24,50", 2450), ("24.50 GBP", 2450), ("£24", 2400)]
)
def test_a_price_by_hand_is_any_plain_amount(breakwater: Hands, text: str, minor: int) -> None:
    breakwater.do("price-hand").enter(text)
    assert breakwater.record["price"] == {"minor": minor, "currency": "GBP", "how": "hand"}


@pytest.mark.parametrize("text", ["cheap", "-5", "24.999", "24 EUR", "1e3", "24 pounds"])
def test_what_is_no_price_is_refused_with_the_text_kept(breakwater: Hands, text: str) -> None:
    breakwater.do("price-hand").enter(text)
    assert breakwater.refused
    assert breakwater.desk.open.line is not None
    assert breakwater.desk.open.line.text == text
    assert breakwater.record["price"] is None


def test_an_empty_line_leaves_the_price_as_it_was(breakwater: Hands) -> None:
    breakwater.do("price-hand").enter("24").do("price-hand").enter()
    assert breakwater.record["price"] is not None
    assert breakwater.record["price"]["minor"] == 2400


def test_nothing_to_work_a_price_from_is_said(parcel: Hands) -> None:
    parcel.enter("Zzyzx - Wqrt")
    _graded(parcel).do("price-accept")
    assert parcel.refused
    assert parcel.record["price"] is None


def test_a_sale_seen_is_one_line_and_counts_for_the_worked_price(parcel: Hands) -> None:
    parcel.enter("Zzyzx - Wqrt")
    _graded(parcel)
    for price in ("30", "31", "29"):
        parcel.do("sale-seen").enter(f"{price} 2026-10-02 VG+/VG+ at the fair")
    sales = parcel.desk.shop.sales_seen()
    assert len(sales) == 3
    assert sales[0]["date"] == "2026-10-02"
    assert (sales[0]["disc"], sales[0]["cover"]) == ("VG+", "VG+")
    assert sales[0]["where"] == "at the fair"
    parcel.do("price-accept")
    assert parcel.record["price"] is not None
    assert parcel.record["price"]["minor"] == 3000, "of 29, 30 and 31 in the same grades the middle one"


@pytest.mark.parametrize("text", ["much", "30 2027-01-01 VG", "0 VG", "-4"])
def test_a_sale_that_cannot_be_is_refused_with_the_text_kept(breakwater: Hands, text: str) -> None:
    breakwater.do("sale-seen").enter(text)
    assert breakwater.refused
    assert breakwater.desk.open.line is not None
    assert breakwater.desk.open.line.text == text
    assert breakwater.desk.shop.sales_seen() == []


def test_a_sale_needs_a_title(parcel: Hands) -> None:
    parcel.do("line-leave", "sale-seen")
    assert parcel.refused
    assert parcel.desk.open.line is None


def test_why_says_all_that_the_worked_price_rests_on(parcel: Hands) -> None:
    parcel.enter("Zzyzx - Wqrt")
    _graded(parcel)
    for line in ("20 2024-10-02", "21 2024-10-09", "40 2026-11-02", "41 2026-11-09", "400 2026-11-10"):
        parcel.do("sale-seen").enter(f"{line} VG+/VG+ fair")
    parcel.desk.shop.change_settings(price_index=[{"from": "2020-01-01", "value": "100"},
                                                  {"from": "2026-01-01", "value": "110"}])  # fmt: skip
    parcel.do("why")
    shown = text_of(middle_rows(parcel.desk, 80, 200, FANCY))
    for said in (
        "5 sales seen",
        "rising: the older half at 22.00",
        "far off the rest: 400.00",
        "your price index",
    ):
        assert said in shown, said


def test_a_price_with_an_extra_missing_and_sales_in_other_money_is_worked_out_by_hand(parcel: Hands) -> None:
    """Base prices 60, 22, 10 and 170; the step card, which should be there, is not: nine tenths are left."""
    _graded(parcel.find("sevenst"))
    desk = parcel.desk
    worked = worked_for(desk)
    assert worked is not None
    assert worked.price == Money(3600, "GBP"), "60.00 of the leader, of which VG+ leaves 0.6"
    while parcel.part["kind"] != "extra":
        parcel.do("next-part")
    parcel.ask_here("missing")
    worked, weighing = worked_for(desk), desk.weighing()
    assert worked is not None
    assert weighing is not None
    assert worked.price == Money(3200, "GBP"), "36.00, of which 0.9 is left: 32.40, in steps of 1.00"
    chances = {one.book_price.minor: one.p for one in weighing.pressings if one.book_price}
    assert {price: round(p, 4) for price, p in chances.items()} == {
        6000: 0.27, 2200: 0.27, 1000: 0.27, 17000: 0.18,
    }, "shares 3, 3, 3 and 2 of 11; one of a hundred is none of these"  # fmt: skip
    # called the 60.00: 0.27 (32.40 - 11.88 + 8) + 0.27 (32.40 - 5.40 + 8) + 0.18 (91.80 - 32.40)
    assert weighing.second_look is not None
    assert weighing.second_look.cost == Money(2784, "GBP"), "7.70 + 9.45 + 10.69; a return costs 8.00"
    desk.shop.change_settings(rates={"EUR": "0.8"})
    for price in ("50 EUR", "40", "30"):
        parcel.do("sale-seen").enter(f"{price} 2026-11-25 VG+/VG+ fair")
    worked = worked_for(desk)
    assert worked is not None
    assert worked.price == Money(3600, "GBP"), "of 40, 40 and 30 complete ones the middle, 0.9 of it"
    assert "between 27.00 and 36.00 GBP" in worked.say, "0.9 of 30 and of 40"


@pytest.mark.parametrize(
    ("currency", "rate", "as_graded", "worked"),
    [
        ("EUR", "1.25", 900, 900),  # 12.00 GBP in the book; VG+ leaves 0.6: 7.20 GBP; at 1.25: 9.00 EUR
        ("JPY", "200", 1440, 1400),  # 7.20 GBP at 200: 1440 JPY, which has no decimals; in steps of 100
        ("EUR", "", None, None),
    ],
)
def test_a_book_in_another_currency_is_priced_by_the_rate_of_the_shop_or_not_at_all(
    empty: Hands, currency: str, rate: str, as_graded: int | None, worked: int | None
) -> None:
    """It was shown as so many of the shop's own: 7.20 pounds as 7.20 euros."""
    empty.desk.shop.change_settings(currency=currency, rates={"GBP": rate} if rate else {})
    hands = _graded(empty.new_parcel(1).find("baf"))
    weighing, price = hands.desk.weighing(), worked_for(hands.desk)
    assert weighing is not None
    assert weighing.leader is not None
    assert price is not None
    assert weighing.leader.price == (Money(as_graded, currency) if as_graded else None)
    assert weighing.leader.book_price == Money(1200, "GBP")
    assert price.price == (Money(worked, currency) if worked else None)
    assert rate or "the book price is in GBP and no rate is set" in price.say


def test_the_panel_and_the_worked_price_go_by_the_same_learnt_grade(breakwater: Hands) -> None:
    """Of another record NM fetched 45.00, so 50.00 at the top (0.9 of it), and VG+ 9.00, a share of 0.18. One
    sale against a starting point of 0.6 that counts as five: (0.18 + 3.0) / 6 = 0.53 of the top price.
    """
    other = {"title": "t-other", "pressing": "t-other/first", "date": "2026-11-02", "currency": "GBP"}
    breakwater.desk.shop.add_sales(
        [
            {**other, "minor": minor, "disc": grade, "cover": grade, "scale": breakwater.desk.scale.id}
            for minor, grade in ((4500, "NM"), (900, "VG+"))
        ]
    )
    _graded(breakwater)
    weighing, worked = breakwater.desk.weighing(), worked_for(breakwater.desk)
    assert weighing is not None
    assert weighing.leader is not None
    assert worked is not None
    assert weighing.leader.price == Money(636, "GBP"), (
        "0.53 of the 12.00 in the book; 0.6 of it would be 7.20"
    )
    assert worked.price == Money(650, "GBP"), "6.36 in steps of 0.50; 7.20 would be 7.00"


def test_what_is_at_stake_says_whose_grade_it_goes_by_until_all_are_graded(parcel: Hands) -> None:
    """Base prices 60, 22, 10 and 170 and their odds as above: 0.27 (38 + 8) + 0.27 (50 + 8) + 0.18 * 110, and
    at VG+, which leaves 0.6 of each price, 0.27 (22.8 + 8) + 0.27 (30 + 8) + 0.18 * 66.
    """

    def at_stake() -> str:
        weighing = parcel.desk.weighing()
        assert weighing is not None
        assert weighing.second_look is not None
        return weighing.second_look.say.split(";")[0].split(",")[0]

    parcel.find("sevenst")
    assert at_stake() == "47.88 GBP at stake", "12.42 + 15.66 + 19.80, at the top grade"
    parcel.take("cover")
    parcel.grade("VG", "+")
    assert at_stake() == "30.46 GBP at stake at the cover's grade", "8.32 + 10.26 + 11.88"
    parcel.take("disc")
    parcel.grade("VG", "+")
    assert at_stake() == "30.46 GBP at stake"


def test_a_second_look_is_told_once_there_was_a_first(parcel: Hands) -> None:
    def told() -> str:
        return text_of(pressing_rows(parcel.desk, 34, 16, FANCY))

    parcel.find("sevenst")
    assert "at stake" not in told(), "nothing was looked at: the question shown is the first look"
    parcel.answer("varnished")
    assert told().endswith("at stake"), (
        "while it is not sure what is asked is the look, and the prompt asks it"
    )
    parcel.take("disc")
    assert told().endswith("at stake")
    desk, weighing = parcel.desk, parcel.desk.weighing()
    assert weighing is not None
    sure = replace(weighing, pressings=(weighing.pressings[0]._replace(p=0.97), *weighing.pressings[1:]))
    other = sure.second_look and sure.second_look._replace(part="", place="elsewhere")
    assert asks_the_look(desk, weighing)
    assert not asks_the_look(desk, replace(sure, second_look=other)), "once it is sure that very clue"


def test_likely_pressings_stand_before_explanations_and_the_dearest_is_never_hidden(parcel: Hands) -> None:
    parcel.find("tarrandole").take("disc")
    parcel.ask("label picture").answer("steps")
    rows = text_of(pressing_rows(parcel.desk, 22, 9, FANCY)).splitlines()
    weighing = parcel.desk.weighing()
    assert weighing is not None
    likely = [one for one in weighing.pressings if one.p >= 0.1]
    assert len(likely) == 4
    assert [one.price.plain() for one in likely if one.price] == [row.split()[-1] for row in rows[:4]]
    assert "at stake" in rows[5]


def test_what_the_panel_does_not_list_is_told_as_one(parcel: Hands) -> None:
    parcel.find("latitudes")
    rows = [text_of([line]) for line in pressing_rows(parcel.desk, 34, 16, FANCY)]
    listed = [int(row.split("%")[0].strip(" <>")) for row in rows if "%" in row]
    assert any(row.endswith("% others") for row in rows)
    assert 97 <= sum(listed) <= 103, "rounded, the odds shown add up"


def test_a_pressing_stands_at_its_top_price_until_disc_and_cover_have_their_grades(breakwater: Hands) -> None:
    def told() -> tuple[list[str], str]:
        weighing = breakwater.desk.weighing()
        assert weighing is not None
        foot = "".join(text for text, _ in pressing_foot(breakwater.desk))
        return sorted(str(one.price) for one in weighing.pressings if one.price), foot

    at_the_top = told()
    assert at_the_top[1] == "book price, ungraded"
    breakwater.take("cover")
    breakwater.grade("G")
    assert told() == at_the_top
    breakwater.take("disc")
    breakwater.grade("VG")
    assert told()[0] != at_the_top[0]
    assert told()[1] == "book price as graded"


def test_the_pressing_named_by_hand_makes_the_price_and_what_is_expected(parcel: Hands) -> None:
    """The likelier one's price and answers are no longer this copy's."""
    demo = parcel.find("fdd 226")
    _graded(demo).take("disc")
    desk, weighing = demo.desk, demo.desk.weighing()
    assert weighing is not None
    clue = desk.library.clue("fd-label")
    for key, likely in zip("123", weighing.pressings, strict=False):
        demo.do("pressing").key(key)
        worked, guess = worked_for(desk), foretold(desk, clue)
        assert likely.price is not None
        assert worked is not None
        assert worked.price is not None
        assert abs(worked.price.minor - likely.price.minor) <= 50
        assert desk.book_title is not None
        assert clue is not None
        assert guess == expected_answer(desk.book_title, likely.id, clue)
        text = described(desk, demo.record, "long", made=True).text
        assert "Disc probably made" in text, "by the pressing that was named"


def test_a_sale_seen_of_the_pressing_named_by_hand_counts_for_that_one_alone(parcel: Hands) -> None:
    demo = parcel.find("fdd 226")
    _graded(demo).take("disc")
    desk, weighing = demo.desk, demo.desk.weighing()
    assert weighing is not None
    worked = []
    for key in ("1", "2", "sale", "1"):
        if key == "sale":
            for _ in range(3):
                demo.do("sale-seen").enter("990 2026-11-20 NM/NM fair")
        else:
            demo.do("pressing").key(key)
        found = worked_for(desk)
        assert found is not None
        worked.append(found.price)
    assert {one["pressing"] for one in desk.shop.sales_seen()[-3:]} == {weighing.pressings[1].id}
    assert worked[0] == worked[3]
    assert worked[1] != worked[2]
