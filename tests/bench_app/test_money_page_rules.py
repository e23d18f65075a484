"""How the shop reckons, set on the bench a line each; the accounts by period under it."""

from fractions import Fraction
from typing import Any

import pytest
from bench_hands import Hands
from seen import middle_rows

from benchtui.base.errors import BenchError
from benchtui.bench.pieces import FANCY, text_of, width_of
from benchtui.desk.people.reckoning import RULES_SET, shown_rule
from benchtui.desk.session import setup
from benchtui.model.money import Money, parse_money
from benchtui.money.closing import proved
from benchtui.money.notice import ESTIMATE
from benchtui.money.policy import policy_of

NAMES = [rule.name for rule in RULES_SET]


@pytest.fixture
def rules(demo: Hands) -> Hands:
    demo.do("line-leave", "parcel-page", "result-page", "result-rules")
    assert demo.desk.open.page is not None
    assert demo.desk.open.page.name == "rules"
    return demo


def at_rule(hands: Hands, name: str) -> Hands:
    assert hands.desk.open.page is not None
    while (away := NAMES.index(name) - hands.desk.open.page.marked) != 0:
        hands.do("page-down" if away > 0 else "page-up")
    return hands.do("page-enter")


def drawn(hands: Hands, width: int = 80, height: int = 17) -> str:
    return text_of(middle_rows(hands.desk, width, height, FANCY))


@pytest.mark.parametrize(
    ("name", "text", "kept"),
    [
        ("margin_scheme", "p always", "period"),
        ("vat_rate", "12,5 % always", "12.5"),
        ("vat_rounding", "down", "down"),
        ("vat_period", "mon", "month"),
        ("period_limit", "500", "500"),
        ("conversion_rounding", "half-even", "half-even"),
        ("price_steps", "5 0.25; 100 2; 10", [["5", "0.25"], ["100", "2"], [None, "10"]]),
        ("currencies", "zza 3; zzb 0", {"ZZA": 3, "ZZB": 0}),
        ("rates", "eur 0.86; JPY 1/188", {"EUR": "0.86", "JPY": "1/188"}),
        ("half_life_days", "365", "365"),
        ("disc_weight", "0.7", "0.7"),
        ("hour_wage", "21.50", {"minor": 2150, "currency": "GBP"}),
        ("closed_through", "2026-10-31", "2026-10-31"),
        ("address", "3 Quay Lane,  100 % Port Ansel", "3 Quay Lane, 100 % Port Ansel"),
        ("margin_wording", "as our law has it", "as our law has it"),
        (
            "accounts",
            "bank Assets:Till; cost of sales Expenses:Cost",
            {"bank": "Assets:Till", "cost of sales": "Expenses:Cost"},
        ),
    ],
)
def test_a_rule_is_kept_as_typed_and_shown_so_that_it_can_be_typed_again(
    rules: Hands, name: str, text: str, kept: Any
) -> None:
    at_rule(rules, name).enter(text)
    if name == "closed_through":
        rules.do("line-accept")
    assert rules.desk.open.tone == "done", rules.said
    assert rules.desk.settings[name] == kept
    rule = RULES_SET[NAMES.index(name)]
    shown = shown_rule(rule, rules.desk.settings)
    assert shown in drawn(rules)
    at_rule(rules, name).enter(shown.removesuffix(" GBP"))
    assert rules.desk.settings[name] == kept


def test_a_rate_typed_bare_holds_from_today_and_leaves_earlier_days_as_they_were(rules: Hands) -> None:
    at_rule(rules, "vat_rate").enter("12,5")
    assert (
        shown_rule(RULES_SET[NAMES.index("vat_rate")], rules.desk.settings)
        == "17 before / 12.5 from 2026-11-25"
    )
    assert policy_of(rules.desk.settings, "2026-11-24").vat_rate == Fraction(17, 100)
    assert policy_of(rules.desk.settings, "2026-11-25").vat_rate == Fraction(125, 1000)
    at_rule(rules, "vat_rate").enter("17 always / 19 from 2026-10-01 / 20")
    assert rules.refused
    assert "has no day" in rules.said


def test_the_books_are_closed_by_writing_their_figures_down(rules: Hands) -> None:
    at_rule(rules, "closed_through").enter("2026-11-24")
    said = "close for good to 2026-11-24? Enter again: no entry on or before it any more"
    moving = "; still open, so what sales cost may still move: 2026-11-25-1 (0 sales)"
    assert rules.said == said + moving
    assert rules.desk.shop.closings() == []
    rules.do("line-accept")
    assert rules.desk.open.tone == "done", rules.said
    assert (rules.desk.shop.path / "closed" / "2026-11-24.json").exists()
    (doc,) = rules.desk.shop.closings()
    assert proved([doc])[0] == []
    assert doc["note"] == ESTIMATE
    for text, said in (
        ("", "not opened again"),
        ("2026-11-20", "closed to"),
        ("2026-11-25", "2026-11-25 is not over"),
        ("2027-01-01", "not come yet"),
    ):
        at_rule(rules, "closed_through")
        rules.enter(text) if text else rules.key("backspace").do("line-accept")
        assert rules.refused
        assert said in rules.said
        rules.do("line-leave")


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        ("margin_scheme", "both", "not one of none, item, period"),
        ("vat_rate", "101", "enter 0 to 100 %"),
        ("vat_rate", "-1", "is no rate"),
        ("vat_rate", "seventeen", "is no rate"),
        (
            "vat_rate",
            "seventeen from 2050-01-01",
            "is no rate",
        ),  # it was taken, and stopped every sum then
        ("vat_rate", "17 always / seventeen from 2020-01-01 / 18 from 2021-01-01", "is no rate"),
        ("vat_rounding", "half", "not one of half-up"),
        ("vat_period", "week", "not one of month"),
        ("period_limit", "500.001", "decimals"),
        ("price_steps", "10 0.50; 5 1; 5", "do not rise"),
        ("price_steps", "10 0.50", "open end"),
        ("price_steps", "10 0; 5", "do not rise"),
        ("price_steps", "10 0.50 1; 5", "not a price step"),
        ("half_life_days", "0.5", "1 to 36525"),
        ("disc_weight", "1.1", "from 0 to 1"),
        ("hour_wage", "20 EUR", "not in GBP"),
        ("closed_through", "31/10", "not a day"),
        ("accounts", "till Assets:Till", "there is no role 'till'"),
        ("accounts", "bank Till", "'Till' is not an account"),
    ],
)
def test_a_rule_that_cannot_be_is_refused_in_one_sentence_with_the_text_kept(
    rules: Hands, name: str, text: str, said: str
) -> None:
    before = rules.desk.settings
    at_rule(rules, name).enter(text)
    assert rules.refused
    assert said in rules.said
    assert "\n" not in rules.said
    assert rules.desk.open.line is not None
    assert rules.desk.open.line.text == text
    assert rules.desk.settings == before


def test_an_emptied_line_takes_the_rate_away_again(rules: Hands) -> None:
    at_rule(rules, "vat_rate")
    rules.key("backspace").do("line-accept")
    assert policy_of(rules.desk.settings).vat_rate is None
    at_rule(rules, "disc_weight")
    rules.key("backspace").do("line-accept")
    assert rules.desk.settings["disc_weight"] == "0.6"


def test_the_accounts_by_period_stand_there_where_the_shop_reckons_so(rules: Hands) -> None:
    assert "carried on" not in drawn(rules)
    at_rule(rules, "margin_scheme").enter("period")
    rules.do("page-leave", "record-page", "page-leave", "parcel-page")
    with rules.desk.act("parcel: margin scheme") as change:
        change.head["margin_eligible"] = True
    rules.do("page-leave", "sell").enter("a11; ; 70; N. Reed")
    assert rules.desk.open.tone == "done", rules.said
    rules.do("parcel-page", "result-page", "result-rules")
    quarter = next(line for line in drawn(rules).splitlines() if "2026-Q4" in line).split()
    name, bought, sold, carried_in, margin, vat, carried_on = quarter
    assert (name, bought, sold, carried_in) == ("2026-Q4", "415.20", "70.00", "0.00")
    assert (margin, vat, carried_on) == ("-345.20", "0.00", "345.20"), "no VAT below nothing, all carried on"


@pytest.mark.parametrize(("width", "height"), [(80, 17), (120, 33)])
def test_it_fits_and_says_what_its_figures_are(rules: Hands, width: int, height: int) -> None:
    at_rule(rules, "margin_scheme").enter("period")
    for rule in RULES_SET:
        lines = middle_rows(rules.desk, width, height, FANCY)
        assert all(width_of(line) <= width for line in lines)
        text = text_of(lines)
        assert ESTIMATE in " ".join(text.split())
        assert rule.label in text
        rules.do("page-down")


def test_it_is_among_all_commands_too(demo: Hands) -> None:
    demo.do("line-leave", "commands").enter("reckoning")
    assert demo.desk.open.page is not None
    assert demo.desk.open.page.name == "rules"


def test_a_currency_newer_than_the_table_is_given_once_and_then_taken_where_an_amount_is_typed(
    rules: Hands,
) -> None:
    at_rule(rules, "hour_wage").enter("21.505 ZZA")
    assert rules.refused
    assert "give its decimals under 'other currencies'" in rules.said
    rules.do("line-leave")
    at_rule(rules, "currencies").enter("ZZA 3")
    assert rules.desk.open.tone == "done", rules.said
    assert parse_money("21.505 ZZA", "GBP") == Money(21505, "ZZA")


def test_a_currency_that_amounts_are_kept_in_keeps_its_decimals(rules: Hands) -> None:
    at_rule(rules, "currencies").enter("ZZA 3; ZZB 2")
    rules.desk.shop.add_sender("N. Reed", reserve={"minor": 5, "currency": "ZZA"})
    at_rule(rules, "currencies").enter("ZZA 2; ZZB 2")
    assert rules.refused
    assert "ZZA keeps its decimals" in rules.said
    rules.do("line-leave")
    at_rule(rules, "currencies").enter("ZZA 3; ZZB 4")
    assert rules.desk.settings["currencies"] == {"ZZA": 3, "ZZB": 4}


def test_the_first_question_takes_such_a_currency_with_its_decimals(demo: Hands) -> None:
    demo.do("line-leave")
    setup.begin(demo.desk)
    demo.enter("zza")
    assert demo.refused
    assert "how many decimals has the currency ZZA?" in demo.said
    demo.do("line-leave")
    setup.begin(demo.desk)
    demo.enter("zza 9")
    assert demo.refused
    assert "0 to 4" in demo.said
    demo.do("line-leave")
    setup.begin(demo.desk)
    demo.enter("zza 3")
    assert demo.desk.currency == "ZZA"
    assert policy_of(demo.desk.settings).currency == "ZZA"
    assert Money(12505, demo.desk.currency).plain() == "12.505"


@pytest.mark.parametrize(
    ("given", "says"),
    [({"GBP": 3}, "GBP is known"), ({"ZZA": 9}, "0 to 4"), ({"zza": 2}, "not a currency code"), ([], "")],
)
def test_a_setting_of_currencies_that_cannot_be_is_named(given: Any, says: str) -> None:
    settings = {"currencies": given}
    if says:
        with pytest.raises(BenchError, match=says):
            policy_of(settings)
    else:
        assert policy_of(settings).currency == "GBP"


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("19 from 1 January 2027", "17 before / 19 from 2027-01-01"),
        ("19 % from 3.2.2027", "17 before / 19 from 2027-02-03"),
        ("19 as of 2027-01-01", "17 before / 19 from 2027-01-01"),
    ],
)
def test_a_rate_holds_from_a_day_in_words(rules: Hands, typed: str, kept: str) -> None:
    """The rate was said to be wrong, not the day, and by its name in the file."""
    at_rule(rules, "vat_rate").enter(typed)
    assert shown_rule(RULES_SET[NAMES.index("vat_rate")], rules.desk.settings) == kept


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("17 from 1/2/2027", "'1/2/2027' is not a day"),
        ("17 from January 2027", "'January 2027' is not a day"),
        ("17 from next year", "'next year' is not a day"),
        ("20 until 2026-12-31, then 17", "'20 until 2026-12-31, then 17' is no rate: write 20"),
    ],
)
def test_a_day_that_is_none_is_said_to_be_so(rules: Hands, typed: str, said: str) -> None:
    at_rule(rules, "vat_rate").enter(typed)
    assert rules.refused
    assert said in rules.said


def test_what_a_rule_will_be_is_said_before_enter(rules: Hands) -> None:
    """That the first value of a rule holds always was said only once it was taken."""
    at_rule(rules, "vat_rate").type("19 from 1 january 2027")
    assert rules.desk.open.line is not None
    assert rules.desk.open.line.about == "read as 17 before / 19 from 2027-01-01"
    rules.do("line-leave")
    at_rule(rules, "period_limit").type("500")
    assert rules.desk.open.line is not None
    said = "read as 500 always, as nothing was set before; only from now on: 500 from today"
    assert rules.desk.open.line.about == said
