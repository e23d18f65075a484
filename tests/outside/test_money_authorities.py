"""Worked examples of tax and customs authorities and of a textbook, figure by figure.

Each expected figure was read in the source named beside it. What is only our own filling is said.
"""

from fractions import Fraction
from typing import Any

import pytest

from benchtui.model.money import Money
from benchtui.model.parcel import new_head
from benchtui.model.record import empty_record
from benchtui.money.charges import landed
from benchtui.money.consign import terms_of
from benchtui.money.median import faded
from benchtui.money.policy import policy_of
from benchtui.money.rounding import Rule, percent, rate_of, to_money
from benchtui.money.scheme import item_margin, periods, scheme_of, vat_in
from benchtui.money.spreading import spread_over
from benchtui.money.statements import statement


def eur(whole: int) -> Money:
    return Money(whole * 100, "EUR")


@pytest.mark.parametrize(
    ("currency", "purchase", "selling", "rate", "rule", "margin", "vat"),
    [
        # GOV.UK, "VAT margin schemes: overview", republished at eastcambs.gov.uk/content/vat-margin-schemes
        ("GBP", 150000, 200000, "20", "half-up", 50000, 8333),
        # Belastingdienst, brochure OB 203, "Btw bij handel in gebruikte goederen", p. 12 (whole euros)
        ("EUR", 2120000, 2500000, "19", "whole half-up", 380000, 60700),
        # Haufe Finance Office, Radeisen, "Differenzbesteuerung" (HI970490): a tax publisher's handbook
        ("EUR", 200000, 259500, "19", "half-up", 59500, 9500),
    ],
)
def test_margin_and_vat_of_one_item(
    currency: str, purchase: int, selling: int, rate: str, rule: Rule, margin: int, vat: int
) -> None:
    got = item_margin(Money(purchase, currency), Money(selling, currency), percent(rate, "rate"), rule)
    assert (got.margin, got.vat) == (Money(margin, currency), Money(vat, currency))


def test_the_margin_scheme_beside_the_ordinary_one() -> None:
    # Belastingdienst, brochure OB 203, p. 12: 3,992 in the full price, 2,792 after 1,200 of input tax;
    # the dealer keeps 3,193 under the margin scheme and 1,008 under the ordinary one.
    price, cost, rate = eur(25000), eur(21200), percent("19", "rate")
    full = vat_in(price, rate, "whole half-up")
    assert full == eur(3992)
    assert full - eur(1200) == eur(2792)
    assert price - cost - item_margin(cost, price, rate, "whole half-up").vat == eur(3193)
    assert price - cost - (full - eur(1200)) == eur(1008)


def test_no_vat_on_a_loss() -> None:
    # Belastingdienst, brochure OB 203, p. 2: at a negative margin no VAT is due, and none is given back.
    # The figures are ours.
    assert item_margin(eur(2000), eur(1500), percent("19", "rate")).vat == eur(0)


def test_a_dealers_credit_for_second_hand_goods_is_no_more_than_the_tax_of_their_sale() -> None:
    # Australian Taxation Office, ATO ID 2002/8 (tullian.com.au/sources/AID/AID20028/00001): bought for 880,
    # sold for 660 at 10 %. 1/11 of the price paid is 80, but the credit is only the tax payable on the sale:
    # the two cancel, as a loss bears no tax in the scheme.
    rate = percent("10", "rate")
    assert vat_in(Money(88000, "AUD"), rate) == Money(8000, "AUD")
    due = vat_in(Money(66000, "AUD"), rate)
    credit = min(Money(8000, "AUD"), due, key=lambda money: money.minor)
    assert item_margin(Money(88000, "AUD"), Money(66000, "AUD"), rate).vat == due - credit == Money(0, "AUD")


def test_the_vat_fraction_at_twenty_per_cent_is_one_sixth() -> None:
    # HMRC, VAT Notice 718 and gov.uk/vat-margin-schemes/keeping-records: one sixth at 20 %.
    rate = percent("20", "rate")
    assert rate / (1 + rate) == Fraction(1, 6)
    assert vat_in(Money(100000, "GBP"), rate) == Money(16667, "GBP")


def test_a_negative_margin_is_carried_into_the_next_period() -> None:
    # Belastingdienst, brochure OB 203, section 3.3, p. 6: first quarter 40,000 bought, 30,000 sold, margin
    # -10,000, VAT 0; second quarter 25,000 and 40,000, margin 15,000, balance 5,000, VAT 798 (whole euros).
    # The same rule in SI 1995/1268, article 13(6), quoted in HMRC manual VATMARG03050.
    quarters = [("1", eur(40000), eur(30000)), ("2", eur(25000), eur(40000))]
    first, second = periods(quarters, percent("19", "rate"), "whole half-up")
    assert (first.margin, first.vat, first.carried_on) == (eur(-10000), eur(0), eur(10000))
    assert (second.margin, second.vat, second.carried_on) == (eur(5000), eur(798), eur(0))


def test_a_negative_year_is_carried_into_the_next_year() -> None:
    # Belastingdienst, brochure OB 203, section 3.5, p. 8: year 1 -3,000; year 2 40,000, on which 6,387 was
    # declared; the new margin of year 2 is 37,000.
    rate = percent("19", "rate")
    assert vat_in(eur(40000), rate, "whole half-up") == eur(6387)
    (year,) = periods([("2", eur(0), eur(40000))], rate, "whole half-up", carried_in=eur(3000))
    assert year.margin == eur(37000)


def test_items_over_the_limit_come_out_of_an_estate_before_it_is_pooled() -> None:
    # th-berater.de, "Differenzbesteuerung nach der Gesamtdifferenz" (an adviser's worked example): an estate
    # for 4,000, two items worth 1,400 and 1,600, limit 500: 1,000 stay for the pool. HMRC VATMARG03200 has
    # the same shape. That the rest is ten items of 100 is ours.
    records = [empty_record(no) for no in range(1, 13)]
    worth = dict(zip((record["id"] for record in records), [1400, 1600, *[100] * 10], strict=True))
    head = new_head("p")
    head["charges"], head["margin_eligible"] = [charge("price", 400000, "EUR")], True
    policy = policy_of(
        {"currency": "EUR", "margin_scheme": "period", "vat_rate": "19", "period_limit": "500"}
    )
    pool, out = eur(0), []
    for share in spread_over(landed(head, "EUR"), records, weights=worth).shares:
        price = share.margin_purchase_price
        if scheme_of(head, records[0], price, policy) == "by period":
            pool += price
        else:
            out.append(price)
    assert (pool, out) == (eur(1000), [eur(1400), eur(1600)])


def charge(what: str, minor: int, currency: str, rate: str | None = None) -> Any:
    return {
        "what": what,
        "minor": minor,
        "currency": currency,
        "rate": rate,
        "rate_date": "",
        "rate_from": "",
    }


def test_duty_and_then_import_vat_land_in_the_cost() -> None:
    # Revenue (Irish customs), "Travelling from outside the EU: calculate": duty 2.5 % of 600 = 15.00; VAT
    # 23 % of 500 + 600 + 15 = 256.45; together 271.45. The dealer enters such amounts as they were charged.
    duty = to_money(60000 * percent("2.5", "duty"), "EUR")
    tax = to_money((50000 + 60000 + duty.minor) * percent("23", "VAT"), "EUR")
    head = new_head("p")
    head["charges"] = [charge("duty", duty.minor, "EUR"), charge("tax", tax.minor, "EUR")]
    cost = landed(head, "EUR")
    assert {one.what: one.landed.minor for one in cost.charges} == {"duty": 1500, "tax": 25645}
    assert (cost.paid, cost.carriage, cost.total) == (eur(0), Money(27145, "EUR"), Money(27145, "EUR"))


def test_an_invoice_in_a_currency_of_three_decimals_at_a_rate_quoted_the_other_way_round() -> None:
    # United States Customs Broker License Examination, April 2005, question 54: 236,000 Jordanian dinar at
    # 0.7777 dinar for 1 dollar is an entered value of $303,459 (answer B, as at customsbrokerexamprep.com).
    head = new_head("p")
    head["charges"] = [charge("price", 236_000_000, "JOD", "1/0.7777")]
    assert landed(head, "USD", "whole half-up").total == Money(303_459_00, "USD")
    assert rate_of("1/0.7777") == Fraction(10000, 7777)


SETTINGS = {"currency": "USD"}


def test_the_net_proceeds_of_a_consignment() -> None:
    # Deitz & Southam, Contemporary Business Mathematics for Colleges, ch. 6, "The Bottom Line", item 3: gross
    # 15,600, commission 3.5 % = 546, charges 300 and 119, net proceeds 14,635.
    head = new_head("p")
    head["sender"], head["terms"] = "s", "consigned"
    charges = [
        {"what": what, "minor": minor, "currency": "USD"}
        for what, minor in (("freight", 30000), ("storage", 11900))
    ]
    sender = {"name": "the consignor", "commission": "3.5", "charges": charges}
    got = statement("s", sender, [(head, [_sold(1560000)])], SETTINGS, "2026-11-25")
    assert (got.gross, got.commission, got.charges) == (
        Money(1560000, "USD"),
        Money(54600, "USD"),
        Money(41900, "USD"),
    )
    assert got.net == got.due == Money(1463500, "USD")


@pytest.mark.parametrize("over", ["item", "statement"])
def test_a_graduated_commission(over: str) -> None:
    # Deitz & Southam, ch. 6, Concept Check 6.2: sales of 184,000; 1 % to 50,000, 2 % from 50,000 to 100,000,
    # 3 % above: 500 + 1,000 + 2,520 = 4,020.
    sender = {"name": "s", "bands": [["50000", "1"], ["100000", "2"], [None, "3"]], "bands_over": over}
    assert terms_of(sender, policy_of(SETTINGS)).commission(18400000) == 402000
    head = new_head("p")
    head["sender"], head["terms"] = "s", "consigned"
    got = statement("s", sender, [(head, [_sold(18400000)])], SETTINGS, "2026-11-25")
    assert got.commission == Money(402000, "USD")


def _sold(minor: int) -> Any:
    record = empty_record(1)
    record["state"], record["stock"] = "taken-in", "A00001"
    record["life"] = [
        {"n": 1, "at": "2026-11-20", "what": "sold", "minor": minor, "currency": "USD", "buyer": ""}
    ]
    return record


def test_a_weight_halves_after_a_half_life() -> None:
    # TIBCO MDM manual, "Weight Computation" (a vendor's manual): 70 halves to 35 in a half-life of 6 months.
    assert faded(6, 6, 70) == 35
