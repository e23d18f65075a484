"""The worked price: sales seen made equal, faded, and never over a price typed by hand."""

import re
from collections.abc import Callable
from datetime import date, timedelta
from fractions import Fraction
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.base.errors import BenchError
from benchtui.model.grade import Grade, Scale
from benchtui.model.money import Money, parse_money
from benchtui.model.naming import grades_of
from benchtui.model.record import RecordDoc, new_part
from benchtui.model.wear import asked_for, read_asked, wear_of
from benchtui.money.condition import Condition, condition_of, factor_of, grades_in_words
from benchtui.money.median import faded, weighted_median
from benchtui.money.policy import policy_of
from benchtui.money.worked import worked_price

TODAY = date(2026, 11, 25)
TOP = (Fraction(1), Fraction(1))
Scales = dict[str, Scale]
Settings = dict[str, Any]


def sale(minor: int, days: int = 0, disc: str = "NM", cover: str = "NM", **fields: Any) -> dict[str, Any]:
    day = (TODAY - timedelta(days=days)).isoformat()
    return {
        "id": f"s-{minor}-{days}",
        "title": "t-1",
        "pressing": "t-1/first",
        "date": day,
        "minor": minor,
        "currency": "GBP",
        "disc": disc,
        "cover": cover,
        "scale": "plain",
    } | fields


def test_three_sales_of_the_pressing_make_the_price(scales: Scales, settings: Settings) -> None:
    got = worked_price(
        {"t-1/first": 1},
        [sale(2000), sale(2400, 30), sale(9000, 60)],
        TOP,
        None,
        settings,
        TODAY,
        scales=scales,
    )
    assert (got.price, got.how) == (Money(2400, "GBP"), "sales seen")
    assert got.say == (
        "3 sales seen, 0 days to 2 months old; half of them between 20.00 and 90.00 GBP; "
        "few: they count as 2.9 equal sales; far off the rest: 90.00"
    )


def test_sales_are_made_equal_by_grade_and_applied_to_this_copys(scales: Scales, settings: Settings) -> None:
    # A VG+ copy (half of top) sold at 20.00 stands for 40.00 at the top; this copy is VG (a quarter).
    alike = [sale(2000, disc="VG+", cover="VG+"), sale(4000), sale(1000, disc="VG", cover="VG")]
    got = worked_price("t-1", alike, (Fraction(1, 4), Fraction(1, 4)), None, settings, TODAY, scales=scales)
    assert got.price == Money(1000, "GBP")
    assert "half of them between 10.00 and 10.00 GBP" in got.say


def test_disc_and_cover_are_weighed_apart(settings: Settings) -> None:
    policy = policy_of(settings | {"disc_weight": "0.75"})
    assert Condition(Fraction(1), Fraction(0)).worth(policy) == Fraction(3, 4)
    assert Condition(Fraction(0), Fraction(1)).worth(policy) == Fraction(1, 4)
    assert Condition(Fraction(1, 2), None).worth(policy) == Fraction(1, 2)
    assert Condition(None, None).worth(policy) is None


def test_missing_extras_and_swapped_parts_cost_their_share(settings: Settings) -> None:
    policy = policy_of(settings | {"missing_extra": "0.9", "swapped_part": "0.5"})
    assert Condition(Fraction(1), Fraction(1), missing=2, swapped=1).worth(policy) == Fraction(81, 200)


def test_an_old_sale_counts_half_after_each_half_life(scales: Scales, settings: Settings) -> None:
    # One sale today outweighs two of two half-lives ago (1 against 1/4 + 1/4), and not the other way round.
    sales = [sale(5000), sale(1000, 1460), sale(1100, 1460)]
    assert worked_price("t-1", sales, TOP, None, settings, TODAY, scales=scales).price == Money(5000, "GBP")
    assert worked_price(
        "t-1", sales, TOP, None, settings | {"half_life_days": 36500}, TODAY, scales=scales
    ).price == Money(1100, "GBP")


def test_with_two_sales_the_books_price_at_this_grade_is_asked(scales: Scales, settings: Settings) -> None:
    got = worked_price(
        "t-1",
        [sale(9000), sale(9100)],
        (Fraction(1, 2), Fraction(1, 2)),
        Money(3000, "GBP"),
        settings,
        TODAY,
        scales=scales,
    )
    assert (got.price, got.how) == (Money(1500, "GBP"), "base price")
    assert got.say == "book price at this grade; 2 sales seen, 0 days old, too few"


def test_with_nothing_at_all_it_asks(settings: Settings) -> None:
    got = worked_price("t-1", [], TOP, None, settings, TODAY)
    assert (got.price, got.how, got.say) == (
        None,
        "ask",
        "no sale seen and no book price: set the price by hand",
    )


@pytest.mark.parametrize(
    ("worn", "price"), [("NM", "24.30"), ("VG+", "12.00")], ids=["as that copy was", "at half its worth"]
)
def test_without_a_base_price_it_goes_by_what_was_asked_for_the_last_copy(
    make_record: Callable[..., RecordDoc], scales: Scales, settings: Settings, worn: str, price: str
) -> None:
    def asked(minor: int, day: str) -> str:
        copy = make_record(1, size_in=12, parts=[graded("disc"), graded("cover", "NM")])
        copy |= {
            "state": "taken-in",
            "taken_in_at": day,
            "price": {"minor": minor, "currency": "GBP", "how": "hand"},
        }
        return asked_for(copy)

    lines = [asked(900, "2026-11-01T10:00"), asked(2430, "2026-11-20T10:00"), asked(700, "2026-10-01T10:00")]
    now = condition_of(
        make_record(2, size_in=12, parts=[graded("disc", worn), graded("cover", worn)]),
        scales,
        policy_of(settings),
    )
    got = worked_price("t-1", [], now, None, settings, TODAY, scales=scales, asked=lines)
    assert got.price == parse_money(price, "GBP")
    assert got.say == "what you last asked by hand (24.30 GBP on 2026-11-20), at this grade; no sale seen"
    by_book = worked_price("t-1", [], now, Money(3000, "GBP"), settings, TODAY, scales=scales, asked=lines)
    assert by_book.how == "base price"


def test_an_ungraded_copy_has_no_price_yet(scales: Scales, settings: Settings) -> None:
    got = worked_price(
        "t-1", [sale(1), sale(2), sale(3)], (None, None), Money(3000, "GBP"), settings, TODAY, scales=scales
    )
    assert (got.price, got.how) == (None, "ask")
    assert got.say.startswith("not graded yet")


def test_sales_of_another_pressing_are_not_mixed_in(scales: Scales, settings: Settings) -> None:
    dear = [sale(90000 + step, pressing="t-1/rare") for step in range(3)]
    plain = [sale(2000), sale(2100), sale(2200)]
    got = worked_price(
        {"t-1/first": 0.97, "t-1/rare": 0.03},
        dear + plain,
        TOP,
        None,
        settings,
        TODAY,
        title_id="t-1",
        scales=scales,
    )
    assert got.price == Money(2100, "GBP")
    assert got.say.startswith("3 sales seen, ")


def test_likely_pressings_count_as_much_as_they_are_likely_however_often_each_was_sold(
    scales: Scales, settings: Settings
) -> None:
    dear = [sale(90000 + step, pressing="t-1/rare") for step in range(9)]
    got = worked_price(
        {"t-1/first": 0.7, "t-1/rare": 0.3}, [*dear, sale(2000)], TOP, None, settings, TODAY, scales=scales
    )
    assert got.price == Money(2000, "GBP")


def test_sales_that_name_no_pressing_help_only_where_there_are_too_few(
    scales: Scales, settings: Settings
) -> None:
    loose = [sale(8000 + step * 100, pressing=None) for step in range(3)]
    wanted = {"t-1/first": 1}
    few = worked_price(
        wanted, [sale(2000), *loose], TOP, None, settings, TODAY, title_id="t-1", scales=scales
    )
    assert few.say.startswith("4 sales seen, ")
    enough = worked_price(
        wanted,
        [sale(2000), sale(2000), sale(2000), *loose],
        TOP,
        None,
        settings,
        TODAY,
        title_id="t-1",
        scales=scales,
    )
    assert enough.price == Money(2000, "GBP")
    assert enough.say.startswith("3 sales seen, ")


@pytest.mark.parametrize(
    "odd",
    [
        sale(5, disc="", cover=""),
        sale(5, disc="Q", cover="Q"),
        sale(5, disc="P", cover="P"),
        sale(5, currency="EUR"),
        sale(5, days=-3),
        sale(5) | {"date": "soon"},
        sale(5) | {"minor": 5.0},
        sale(5) | {"currency": "QQQ"},
        sale(5, currency="EUR", rate="none"),
    ],
)
def test_a_sale_that_cannot_be_made_equal_is_left_out_and_told(
    odd: Any, scales: Scales, settings: Settings
) -> None:
    got = worked_price(
        "t-1", [sale(2000), sale(2000), sale(2000), odd], TOP, None, settings, TODAY, scales=scales
    )
    assert got.price == Money(2000, "GBP")
    assert got.say.startswith("3 sales seen, ")
    assert got.say.endswith("1 left out (no grade, no rate)")


def test_a_foreign_sale_uses_its_own_rate_or_the_shops(scales: Scales, settings: Settings) -> None:
    own = [sale(2000, currency="EUR", rate="0.5")] * 3
    assert worked_price("t-1", own, TOP, None, settings, TODAY, scales=scales).price == Money(1000, "GBP")
    shops = [sale(2000, currency="JPY")] * 3
    rates = settings | {"rates": {"JPY": "0.005"}}
    assert worked_price("t-1", shops, TOP, None, rates, TODAY, scales=scales).price == Money(1000, "GBP")


def test_a_base_price_in_another_currency_needs_a_rate(settings: Settings) -> None:
    base = Money(3000, "EUR")
    assert "no rate is set" in worked_price("t-1", [], TOP, base, settings, TODAY).say
    with_rate = worked_price("t-1", [], TOP, base, settings | {"rates": {"EUR": "0.8"}}, TODAY)
    assert with_rate.price == Money(2400, "GBP")


@pytest.mark.parametrize(
    ("base", "price"),
    [
        (40, 50),
        (10, 50),
        (774, 750),
        (775, 800),
        (1049, 1000),
        (1050, 1100),
        (4999, 5000),
        (5249, 5000),
        (5250, 5500),
        (0, 0),
    ],
)
def test_prices_end_on_the_shops_steps(base: int, price: int, settings: Settings) -> None:
    assert worked_price("t-1", [], TOP, Money(base, "GBP"), settings, TODAY).price == Money(price, "GBP")


def test_the_steps_are_the_shops_own(settings: Settings) -> None:
    steps = settings | {"price_steps": [["20", "0.99"], [None, "10"]]}
    assert worked_price("t-1", [], TOP, Money(700, "GBP"), steps, TODAY).price == Money(693, "GBP")
    named = settings | {"price_steps": [{"below": "20", "step": "0.99"}, {"step": "10"}]}
    assert policy_of(named) == policy_of(steps)
    assert worked_price("t-1", [], TOP, Money(2700, "GBP"), steps, TODAY).price == Money(3000, "GBP")


@pytest.mark.parametrize(
    ("currency", "base", "price"), [("JPY", 1234, 1200), ("KWD", 12345, 12000), ("KWD", 1260, 1500)]
)
def test_currencies_of_none_and_three_decimals_have_steps_of_their_own(
    currency: str, base: int, price: int
) -> None:
    assert worked_price("t-1", [], TOP, Money(base, currency), {"currency": currency}, TODAY).price == Money(
        price, currency
    )


def graded(kind: Any, *grades: str, **fields: Any) -> Any:
    part = new_part(kind, **fields)
    for number, text in enumerate(grades):
        step, shade = (text[:-1], text[-1]) if text[-1] in "+-" else (text, "")
        side = "AB"[number] if len(grades) > 1 else ""
        grade: Any = {"when": "arrived", "side": side, "grade": step, "shade": shade, "scale": "plain"}
        part["grades"].append(grade | {"at": ""})
    return part


def test_the_condition_is_the_worst_side_and_the_worst_cover(
    make_record: Callable[..., RecordDoc], scales: Scales, settings: Settings
) -> None:
    record = make_record(
        1, size_in=12, parts=[graded("disc", "NM", "VG-"), graded("cover", "VG+"), graded("inner", "P")]
    )
    record["parts"].append(new_part("extra", name="poster", state="missing"))
    record["rulings"] = {record["parts"][1]["id"]: "swapped"}
    # VG- is halfway from VG, a quarter of the price, to G, a tenth
    halfway = (Fraction(1, 4) + Fraction(1, 10)) / 2
    assert condition_of(record, scales, policy_of(settings)) == Condition(halfway, Fraction(1, 2), 1, 1)
    assert grades_in_words(record) == "disc A NM B VG-, cover VG+"


def test_a_shade_that_is_no_step_lies_halfway_to_the_next(scales: Scales, settings: Settings) -> None:
    """VG- was asked as much as VG."""

    def share(grade: str, **own: Any) -> Fraction | None:
        return factor_of("plain", grade, scales, policy_of(settings | own))

    steps = scales["plain"].grades
    for better, worse in pairwise(steps):
        if not better.shade and not scales["plain"].by_id(f"{better.id}-"):
            middle = (Fraction(better.factor) + Fraction(worse.factor)) / 2
            assert share(f"{better.id}-") == middle
    assert share(f"{steps[0].id}+") == Fraction(steps[0].factor), "nothing is better"
    assert share(f"{steps[-1].id}-") == Fraction(steps[-1].factor), "nothing is worse"
    fixed = {"grade_factors": {"plain": {"VG-": "0.2"}}}
    assert share("VG-", **fixed) == Fraction(1, 5)
    assert share("Q-") is None


def test_of_several_discs_each_is_named(make_record: Callable[..., RecordDoc]) -> None:
    """A statement read "disc NM, disc 2 NM"."""
    discs = [graded("disc", grade, number=n) for n, grade in enumerate(("NM", "VG+"), 1)]
    record = make_record(1, size_in=12, parts=[*discs, graded("cover", "VG")])
    assert grades_in_words(record) == "disc 1 NM, disc 2 VG+, cover VG"


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ((("", "VG"), ("A", "NM"), ("B", "VG+")), "disc A NM B VG+"),  # each side heard after the whole
        ((("A", "NM"), ("B", "VG"), ("", "VG+")), "disc VG+"),  # cleaned, and graded as a whole
        ((("", "VG+"), ("A", "VG+")), "disc VG+"),  # the other side still has the grade of the whole
    ],
)
def test_a_grade_that_a_later_one_took_the_place_of_neither_prices_nor_shows(
    make_record: Callable[..., RecordDoc],
    scales: Scales,
    settings: Settings,
    given: tuple[tuple[str, str], ...],
    words: str,
) -> None:
    """The worst of all was taken, whatever came after it: half the price was asked of a disc that is VG+."""
    record = make_record(1, size_in=12, parts=[graded("disc"), graded("cover", "NM")])
    for side, text in given:
        (event,) = graded("disc", text)["grades"]
        record["parts"][0]["grades"].append(event | {"side": side})
    assert condition_of(record, scales, policy_of(settings)).disc == Fraction(1, 2), "VG+ leaves a half"
    assert grades_in_words(record) == f"{words}, cover NM"
    assert grades_of(record, scales["plain"]) == "VG+/NM"


def test_a_cover_that_is_not_there_counts_nothing_except_with_seven_inch_discs(
    make_record: Callable[..., RecordDoc], scales: Scales, settings: Settings
) -> None:
    policy = policy_of(settings)
    album = make_record(1, size_in=12, parts=[graded("disc", "NM")])
    single = make_record(2, size_in=7, parts=[graded("disc", "NM")])
    alone = make_record(3, size_in=12, parts=[graded("cover", "NM")])
    assert condition_of(album, scales, policy) == Condition(Fraction(1), Fraction(0))
    assert condition_of(single, scales, policy) == Condition(Fraction(1), None)
    assert condition_of(alone, scales, policy) == Condition(Fraction(0), Fraction(1))


def test_the_latest_grade_counts_and_the_shops_own_factor_wins(
    make_record: Callable[..., RecordDoc], scales: Scales, settings: Settings
) -> None:
    record = make_record(1, size_in=7, parts=[graded("disc", "VG")])
    cleaned = graded("disc", "VG+")["grades"][0] | {"when": "cleaned"}
    record["parts"][0]["grades"].append(cleaned)
    assert condition_of(record, scales, policy_of(settings)).disc == Fraction(1, 2)
    own = policy_of(settings | {"grade_factors": {"plain": {"VG+": "0.6"}}})
    assert condition_of(record, scales, own).disc == Fraction(3, 5)


def test_a_grade_of_two_words_has_its_price_too(
    make_record: Callable[..., RecordDoc], settings: Settings
) -> None:
    grades = [Grade("very | good", "very good", "v", 0, "0.5", ""), Grade("good", "good", "g", 1, "0.2", "")]
    scale = Scale("our own", "own", tuple(grades))
    record = make_record(1, size_in=7, parts=[graded("disc", "good", "good")])
    for event, step in zip(record["parts"][0]["grades"], grades, strict=True):
        event["grade"], event["scale"] = step.id, scale.id
    assert condition_of(record, {scale.id: scale}, policy_of(settings)).disc == Fraction(1, 5)
    record["price"] = {"minor": 900, "currency": "GBP", "how": "hand"}
    record["state"], record["taken_in_at"] = "taken-in", "2026-11-01T10:00:00Z"
    assert read_asked(asked_for(record)).wear == wear_of(record)


@pytest.mark.parametrize(
    ("setting", "says"),
    [
        ({"price_steps": [["10", "0.50"], ["5", "1"], [None, "5"]]}, "do not rise"),
        ({"price_steps": [["10", "0.50"]]}, "do not rise"),
        ({"price_steps": [[None, "0"]]}, "do not rise"),
        ({"price_steps": [["10"]]}, "not a pair"),
        ({"price_steps": [[None, "0.005"]]}, "more decimals"),
        ({"price_steps": [[None, 0.5]]}, "as text"),
        ({"half_life_days": 0.5}, "as text"),
        ({"half_life_days": "0"}, "half-life"),
        ({"disc_weight": "1.2"}, "from 0 to 1"),
        ({"disc_weight": 0.5}, "as text"),
        ({"currency": "QQQ"}, "how many decimals"),
        ({"margin_scheme": "magic"}, "none, item, period"),
        ({"vat_rate": "101"}, "enter 0 to 100"),
        ({"vat_rate": 20.0}, "as text"),
        ({"vat_rounding": "up"}, "rounding rule"),
        ({"grade_factors": {"plain": {"VG": "1.5"}}}, "enter 0 to 100"),
        ({"grade_factors": {"plain": "VG"}}, "not a table"),
        ({"period_limit": "-1"}, "plain number"),
    ],
)
def test_a_setting_that_cannot_be_right_is_named(setting: Settings, says: str) -> None:
    with pytest.raises(BenchError, match=says) as refusal:
        policy_of({"currency": "GBP"} | setting)
    assert f"setting {next(iter(setting))}" in str(refusal.value)


@given(
    st.lists(st.tuples(st.integers(1, 10**7), st.integers(0, 4000)), min_size=3, max_size=30),
    st.sampled_from(["JPY", "GBP", "KWD"]),
    st.fractions(Fraction(1, 50), 1),
)
def test_the_price_lies_in_its_band_and_the_band_in_the_sales(
    sales: Any, currency: str, factor: Fraction
) -> None:
    seen = [sale(minor, days, currency=currency) for minor, days in sales]
    scale = Scale("plain", "Plain", (Grade("NM", "NM", "n", 0, "1", ""),))
    got = worked_price(
        "t-1",
        seen,
        (factor, factor),
        None,
        {"currency": currency, "price_steps": [[None, "1"]]},
        TODAY,
        scales={"plain": scale},
    )
    assert got.price is not None
    said = re.search(r"between (\S+) and (\S+) ", got.say)
    assert said is not None
    low, high = (parse_money(amount, currency) for amount in said.groups())
    assert low.minor <= got.price.minor <= high.minor
    unit = {"JPY": 1, "GBP": 100, "KWD": 1000}[currency]
    assert all(money.minor % unit == 0 for money in (low, got.price, high))
    assert min(minor for minor, _ in sales) * factor - unit <= got.price.minor
    assert got.price.minor <= max(max(minor for minor, _ in sales) * factor + unit, unit)


@given(st.lists(st.tuples(st.integers(-50, 50), st.integers(1, 9)), min_size=1, max_size=20))
def test_the_weighted_median_is_the_plain_lower_median_of_the_values_repeated(
    pairs: list[tuple[int, int]],
) -> None:
    repeated = sorted(value for value, weight in pairs for _ in range(weight))
    assert weighted_median(pairs) == repeated[(len(repeated) - 1) // 2]


def test_nothing_has_no_median() -> None:
    with pytest.raises(BenchError, match="no sale has any weight"):
        weighted_median([])
    with pytest.raises(BenchError, match="no sale has any weight"):
        weighted_median([(3, 0)])


@given(st.integers(0, 20000), st.integers(1, 5000))
def test_an_older_sale_never_weighs_more(age: int, half_life: int) -> None:
    assert faded(age, half_life) >= faded(age + 1, half_life) >= 1


def test_a_cover_entered_as_missing_counts_even_with_a_seven_inch_disc(
    make_record: Callable[..., RecordDoc], scales: Scales, settings: Settings
) -> None:
    record = make_record(1, size_in=7, parts=[graded("disc", "NM"), new_part("cover", state="missing")])
    assert condition_of(record, scales, policy_of(settings)) == Condition(Fraction(1), Fraction(0))


def test_sales_of_other_titles_or_other_pressings_never_fill_up_the_count(
    scales: Scales, settings: Settings
) -> None:
    mine = [sale(2000, pressing=None), sale(2000)]
    others = [sale(9000, title="t-2", pressing=None), sale(9000, pressing="t-1/rare"), sale(9000, title=None)]
    others[2]["pressing"] = "t-9/x"
    got = worked_price(
        {"t-1/first": 1}, mine + others, TOP, None, settings, TODAY, title_id="t-1", scales=scales
    )
    assert got.how == "ask"
    assert got.say.startswith("2 sales seen, ")


def test_a_pressing_of_just_five_per_cent_still_counts(scales: Scales, settings: Settings) -> None:
    chances = {"t-1/first": Fraction(1, 20), "t-1/rare": Fraction(19, 20)}
    seen = [sale(2000), sale(2000), sale(2000)]
    assert worked_price(chances, seen, TOP, None, settings, TODAY, scales=scales).say.startswith("3 sales")
    chances["t-1/first"] -= Fraction(1, 1000)
    assert worked_price(chances, seen, TOP, None, settings, TODAY, scales=scales).say.startswith("no sale")


def test_a_sale_is_made_equal_by_both_its_grades(scales: Scales, settings: Settings) -> None:
    # 0.6 x 1 + 0.4 x 1/4 = 0.7 of the top; 0.6 x 1/4 + 0.4 x 1 = 0.55
    good_disc = [sale(2800, disc="NM", cover="VG")] * 3
    assert worked_price("t-1", good_disc, TOP, None, settings, TODAY, scales=scales).price == Money(
        4000, "GBP"
    )
    good_cover = [sale(2200, disc="VG", cover="NM")] * 3
    assert worked_price("t-1", good_cover, TOP, None, settings, TODAY, scales=scales).price == Money(
        4000, "GBP"
    )


@pytest.mark.parametrize(
    ("worth", "counts"), [("0.11", True), ("0.1", True), ("0.09", False), ("0.06", False)]
)
def test_a_sale_of_a_copy_worn_below_a_tenth_of_its_worth_says_nothing_of_a_good_one(
    worth: str, counts: bool, settings: Settings
) -> None:
    steps = (("NM", "1"), ("P", worth))
    grades = tuple(
        Grade(name, name, name[0].lower(), n, factor, "") for n, (name, factor) in enumerate(steps)
    )
    worn = sale(200, disc="P", cover="P")
    got = worked_price(
        "t-1",
        [sale(2000)] * 3 + [worn],
        TOP,
        None,
        settings,
        TODAY,
        scales={"plain": Scale("plain", "", grades)},
    )
    assert got.say.startswith("4 sales" if counts else "3 sales")
