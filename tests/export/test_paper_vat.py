"""VAT on invoices and credit notes: shown outside the margin scheme, never within it, and what is booked."""

import re
from datetime import date
from fractions import Fraction
from html import unescape
from types import SimpleNamespace
from typing import Any

import pytest
from beancount import loader

from benchtui.base.errors import BenchError
from benchtui.export.ask import Ask
from benchtui.export.credit_notes import credit_notes
from benchtui.export.paper_money import PaperMoney
from benchtui.export.papers import invoices, tax_caution
from benchtui.export.shop_books import Books, sales_table, vat_table
from benchtui.model.money import Money
from benchtui.model.parcel import HeadDoc, new_head
from benchtui.money import life
from benchtui.money.deal import Extras, deal_fields
from benchtui.money.journal import journal
from benchtui.money.ledger import shop_entries
from benchtui.money.life import When
from benchtui.money.notice import TAX_ESTIMATE
from benchtui.money.policy import Rates
from benchtui.money.proof import proof
from benchtui.money.refunds import corrected_price, refund_of
from benchtui.money.stock import stockbook

TODAY = date(2026, 11, 25)
WORDS = "Margin scheme - Second-hand goods"
NO_SHOP: Any = SimpleNamespace(senders={})


class Counter:
    """Two records within the scheme and two outside it, bought for 40.00; sales and credit notes of them."""

    def __init__(self, make: SimpleNamespace, **settings: Any) -> None:
        self.settings: dict[str, Any] = {
            "currency": "GBP",
            "margin_scheme": "item",
            "vat_rate": "20",
            **settings,
        }
        self.head: HeadDoc = new_head("2026-01-10-1")
        self.head["delivered"], self.head["sender"] = "2026-01-10", None
        self.head["charges"] = [
            {
                "what": "price",
                "minor": 4000,
                "currency": "GBP",
                "rate": None,
                "rate_date": "",
                "rate_from": "",
            }
        ]
        self.records = [make.record(no, f"A0000{no}", id=f"r-{no}") for no in (1, 2, 3, 4)]
        for record in self.records:
            record["margin_eligible"] = record["no"] < 3

    def sell(
        self, *pairs: tuple[int, int], invoice: str = "7", currency: str = "GBP", **extra: Any
    ) -> "Counter":
        prices = [Money(minor, currency) for _, minor in pairs]
        fields = deal_fields(prices, Extras(**extra), "GBP", f"d-{invoice}")
        for (no, _), own in zip(pairs, fields, strict=True):
            record, price = self.records[no - 1], Money(own["minor"], "GBP")
            when = When("2026-02-03", TODAY)
            record["life"].append(life.sell(record, when, price, buyer="M. Larch", invoice=invoice, deal=own))
        return self

    def back(
        self, no: int, asked: str = "", note: str = "C0001", rate: str = "", off: bool = False
    ) -> "Counter":
        record, when = self.records[no - 1], When("2026-06-02", TODAY)
        amount, _, code = asked.partition(" ")
        money = Money(int(amount), code or "GBP") if amount else None
        refund, more = refund_of(record, money, rate)
        give = life.refund_part if off else lambda r, w, m, n, **k: life.take_back(r, w, n, m, **k)
        record["life"].append(give(record, when, refund, "clicks", **more) | {"credit_note": note})
        return self

    @property
    def books(self) -> Books:
        parcels = [(self.head, self.records)]
        entries = shop_entries(parcels, {}, self.settings, (), TODAY.isoformat())
        assert list(proof(entries, parcels, self.settings)) == []
        return Books(parcels, entries, [], Rates(self.settings))

    def invoice(self) -> str:
        return text_of(invoices(self.books.parcels, self.settings, Ask("invoices", TODAY))[0])

    def caution(self) -> str:
        return tax_caution(invoices(self.books.parcels, self.settings, Ask("invoices", TODAY))[0])

    def credit(self) -> str:
        return text_of(credit_notes(self.books.parcels, self.settings, Ask("credit-notes", TODAY))[0])

    def vat(self, first: date, last: date) -> dict[str, str]:
        found = vat_table(self.books, Ask("vat", TODAY, start=first, end=last)).dicts()
        return {row["figure"]: row["amount"] for row in found}


def text_of(page: bytes) -> str:
    """A page's words, cells apart by a bar."""
    body = page.decode().partition("<body>")[2].replace("</td>", " |").replace("</tr>", "\n")
    return re.sub(r"[ \t]+", " ", unescape(re.sub(r"<[^>]*>", "", body)))


@pytest.fixture
def counter(make: SimpleNamespace) -> Counter:
    return Counter(make)


def test_an_invoice_outside_the_scheme_shows_net_rate_vat_and_gross(counter: Counter) -> None:
    text = counter.sell((3, 2400), (4, 1000), postage=340, discount=100).invoice()
    assert "A00003 |20 % |20.00 |24.00" in text
    # 24.00 and 10.00 less 1.00 with 3.40 of postage is 36.40; shared out 25.69 and 10.71, VAT 4.28 and 1.79
    assert "20 % |30.33 |6.07 |36.40" in text
    # 20.00 and 8.33 of the records, 1.00 / 1.2 off; of the postage what is left of 30.33
    assert "discount | |20 % |-0.83 |-1.00" in text
    assert "postage and packing | |20 % |2.83 |3.40" in text
    assert WORDS not in text
    made = invoices(counter.books.parcels, counter.settings, Ask("invoices", TODAY))[0].decode()
    assert made.count(f"<!-- {TAX_ESTIMATE} -->") == 1, "in the shop's file, and on no paper of the buyer's"
    assert "estimate" not in text
    assert counter.vat(date(2026, 1, 1), date(2026, 3, 31))["outside the scheme: VAT"] == "6.07"


def test_within_the_scheme_the_wording_stands_and_no_vat(counter: Counter) -> None:
    text = counter.sell((1, 2400), (2, 1000)).invoice()
    assert WORDS in text
    assert "VAT" not in text
    assert "estimate" not in text, "what was agreed and paid is none"
    counter.settings["margin_wording"] = "as our law writes it"
    assert "as our law writes it" in counter.invoice()


def test_an_invoice_says_what_its_columns_are_and_which_records_are_not_the_shops(counter: Counter) -> None:
    text = counter.sell((1, 2400)).invoice()
    assert "record |number | | |price |" in text
    assert "toM. Larch" in text
    assert "on commission" not in text
    counter.records[1]["terms"] = "consigned"
    counter.sell((2, 1000), invoice="8")
    counter.records[1]["life"][-1]["buyer"] = "Over the counter"
    eight = counter.invoice().partition("Invoice 8")[2]
    assert "Sold for the owner, on commission: A00002." in eight
    assert "soldOver the counter" in eight, "a counter is no buyer"
    assert "Sold for the owner, on commission: A00002." in counter.back(2).credit()
    record = counter.records[1]
    record["life"].append(life.correct(record, When("2026-07-02", TODAY), 2, "misread", {"minor": 900}))
    assert "Sold for the owner, on commission: A00002." in counter.credit().partition("Correction")[2]


def test_a_mixed_invoice_shows_both_and_adds_up(counter: Counter) -> None:
    text = counter.sell((1, 2400), (3, 1200), tax=36).invoice()
    assert "A00001 |margin scheme | |24.00" in text
    assert "A00003 |20 % |10.00 |12.00" in text
    assert "20 % |10.00 |2.00 |12.00" in text
    assert "margin scheme | | |24.00" in text
    assert "no VAT shown | | |0.36" in text
    assert "to pay, in GBP | | | |36.36" in text
    assert f"{WORDS}: A00001" in text


def test_postage_of_a_mixed_invoice_stands_by_rate(counter: Counter) -> None:
    """3.00 over 24.00 and 12.00; 13.00 of them hold 2.17 of VAT."""
    text = counter.sell((1, 2400), (3, 1200), postage=300).invoice()
    assert "postage and packing | |margin scheme | |2.00" in text
    assert "postage and packing | |20 % |0.83 |1.00" in text
    assert "20 % |10.83 |2.17 |13.00" in text


def test_a_rate_holds_from_its_day_and_one_that_is_not_set_is_said(counter: Counter) -> None:
    counter.settings["vat_rate"] = [
        {"from": "2026-02-01", "value": "7.7"},
        {"from": "2026-03-01", "value": "8"},
    ]
    assert "7.7 % |22.28 |1.72 |24.00" in counter.sell((3, 2400)).invoice()
    counter.settings["vat_rate"] = [{"from": "2026-03-01", "value": "8"}]
    assert "the shop's rules have no VAT rate for 2026-02-03" in counter.caution()
    counter.records[2]["margin_eligible"] = None
    assert "No VAT is shown for A00003: whether the margin scheme may be used" in counter.caution()
    assert "No VAT is shown" not in re.sub(r"<!--.*?-->", "", counter.invoice()), "on no paper of the buyer's"


def test_one_credit_note_of_several_records_is_one_page_that_agrees_with_every_book(counter: Counter) -> None:
    counter.sell((1, 2400), (3, 1200), (4, 600)).back(1).back(3, "1000").back(4, "120", off=True)
    text = counter.credit()
    assert text.count("Credit note C0001") == 1
    assert "7 of 2026-02-03" in text
    assert "given back, in GBP | | | |35.20" in text
    # 10.00 / 6 is 1.67, 1.20 / 6 is 0.20
    assert "20 % |9.33 |1.87 |11.20" in text
    assert "margin scheme | | |24.00" in text
    assert f"{WORDS}: A00001" in text
    assert TAX_ESTIMATE not in text
    may = counter.vat(date(2026, 4, 1), date(2026, 6, 30))
    assert (may["outside the scheme: takings"], may["outside the scheme: VAT"]) == ("-11.20", "-1.87")
    back = [
        row for row in sales_table(NO_SHOP, counter.books, Ask("sales", TODAY)).dicts() if row["credit_note"]
    ]
    assert [(row["credit_note"], row["invoice"], row["buyer"], row["price"]) for row in back] == [
        ("C0001", "7", "M. Larch", "-24.00"), ("C0001", "7", "M. Larch", "-10.00"), ("C0001", "7", "M. Larch", "-1.20"),
    ]  # fmt: skip
    entries = [one for one in counter.books.entries if one.day == "2026-06-02"]
    assert sum(one.sum_of("bank") for one in entries) == -3520
    lines = "\n".join(journal(counter.books.entries, counter.settings, "GBP")) + "\n"
    assert (loader.load_string(lines)[1], lines.count('credit-note: "C0001"')) == ([], 3)
    book = stockbook([(counter.head, counter.records)], {}, counter.settings)
    shown = [
        (one.left_how, one.selling and one.selling.plain(), one.kept and one.kept.plain()) for one in book
    ]
    assert shown == [("", None, None), ("", None, None), ("", None, "2.00"), ("sold", "4.80", None)]


def test_a_credit_note_shows_the_vat_of_its_own_amount_and_the_last_one_takes_the_rest(
    counter: Counter,
) -> None:
    counter.sell((3, 2200)).back(3, "2000", off=True)
    # 22.00 held 3.67; 20.00 / 6 is 3.33, and 0.34 is left for the 2.00
    assert "20 % |16.67 |3.33 |20.00" in counter.credit()
    counter.back(3, "200", note="C0002")
    assert "20 % |1.66 |0.34 |2.00" in counter.credit()
    may = counter.vat(date(2026, 4, 1), date(2026, 6, 30))
    assert (may["outside the scheme: takings"], may["outside the scheme: VAT"]) == ("-22.00", "-3.67")


def test_a_voided_paper_stands_in_its_series_as_void(counter: Counter) -> None:
    counter.sell((3, 2200), invoice="26-0001").back(3, "500", note="C0001", off=True)
    counter.sell((4, 900), invoice="26-0002").back(3, "200", note="C0002", off=True)
    for no, of in ((3, 2), (4, 1)):
        record = counter.records[no - 1]
        record["life"].append(life.correct(record, When(TODAY.isoformat(), TODAY), of, "wrong record", None))
    text = counter.credit()
    first, second, void = text.split("Credit note C0001")[1:2] + text.partition("Credit note C0002")[2].split(
        "Correction of credit note C0001: void"
    )
    assert "5.00" in first, "it stays as issued"
    assert "2.00" in second
    assert "for credit noteC0001 of 2026-06-02" in void
    assert "reasonwrong record" in void
    assert "given back, in GBP |5.00 |0.00 |-5.00" in void
    assert "void" not in second
    text = counter.invoice()
    assert "Correction of invoice 26-0002: void" in text
    assert text.index("Invoice 26-0002") < text.index("Correction of invoice 26-0002"), "it stays as issued"


def test_an_issued_invoice_keeps_what_it_says_and_a_correction_is_a_paper_of_its_day(
    counter: Counter,
) -> None:
    before = counter.sell((3, 3100), invoice="26-0355", postage=500).invoice()
    record = counter.records[2]
    for day, now in (("2026-04-02", {"minor": 2900}), ("2026-05-02", {"selling_fee": 100}),
                     ("2026-06-02", {"buyer": "M. Larch, Quarl", "minor": 3000})):  # fmt: skip
        record["life"].append(life.correct(record, When(day, TODAY), 1, "misread", now))
    text = counter.invoice()
    assert text.startswith(before.rstrip()), "number, day, price and VAT as they were issued"
    first, second = text[len(before.rstrip()) :].split("Correction 2 of invoice 26-0355")
    assert "Correction of invoice 26-0355" in first, "a fee of the shop's stands on no invoice"
    for line in ("date2026-04-02", "for invoice26-0355 of 2026-02-03", "reasonmisread", "toM. Larch |",
                 " |31.00 |29.00 |-2.00", "to pay, in GBP |36.00 |34.00 |-2.00",
                 "without VAT |30.00 |28.33 |-1.67", "VAT 20 % |6.00 |5.67 |-0.33",
                 "Paid back to you: 2.00 GBP."):  # fmt: skip
        assert line in first, line
    assert "to |M. Larch |M. Larch, Quarl |" in second
    assert "to pay, in GBP |34.00 |35.00 |1.00" in second
    assert "To pay: 1.00 GBP more." in second
    assert "on commission" not in text
    only = Ask("invoices", TODAY, start=date(2026, 4, 1), end=date(2026, 4, 30))
    assert invoices(counter.books.parcels, counter.settings, only)[1] == 1
    assert counter.vat(date(2026, 1, 1), date(2026, 6, 30))["outside the scheme: VAT"] == "5.83"


def test_a_corrected_credit_note_is_a_paper_that_names_the_note_and_says_what_differs(
    counter: Counter,
) -> None:
    before = counter.sell((3, 2400)).back(3, "1200").credit()
    record = counter.records[2]
    record["life"].append(life.correct(record, When("2026-07-02", TODAY), 2, "misread", {"minor": 1500}))
    text = counter.credit()
    assert text.startswith(before.rstrip()), "the note as it was issued"
    since = text[len(before.rstrip()) :]
    for line in ("Correction of credit note C0001", "date2026-07-02", "for credit noteC0001 of 2026-06-02",
                 "for invoice7 of 2026-02-03", "reasonmisread", "given back, in GBP |12.00 |15.00 |3.00",
                 "without VAT |10.00 |12.50 |2.50", "VAT 20 % |2.00 |2.50 |0.50",
                 "Paid back to you: 3.00 GBP more."):  # fmt: skip
        assert line in since, line
    assert "to pay" not in since
    assert counter.vat(date(2026, 4, 1), date(2026, 9, 30))["outside the scheme: VAT"] == "-2.50"
    assert "Correction" not in counter.invoice(), "the invoice is not what was wrong"


def _entered_on_its_day(counter: Counter) -> None:
    for record in counter.records:
        for event in record["life"]:
            event.pop("booked", None)


def test_what_is_answered_later_about_the_margin_scheme_corrects_invoice_and_credit_note(
    counter: Counter,
) -> None:
    counter.sell((1, 2400), (2, 600)).back(1, "1200", off=True)
    _entered_on_its_day(counter)
    before, note = counter.invoice(), counter.credit()
    record = counter.records[0]
    row: Any = {"until": "2026-07-01T12:00:00Z", "was": {"margin_eligible": True}}
    record["margin_eligible"], record["earlier"] = False, [row]
    text, credit = counter.invoice(), counter.credit()
    assert text.startswith(before.rstrip()), "the invoice as it was issued, within the scheme"
    since = text[len(before.rstrip()) :]
    for line in ("Correction of invoice 7", "date2026-07-01", "for invoice7 of 2026-02-03",
                 "reasonput right: not sold under the margin scheme", "VAT, A00001 |margin scheme |20 % |",
                 "to pay, in GBP |30.00 |30.00 |0.00", "VAT 20 % |0.00 |4.00 |4.00"):  # fmt: skip
        assert line in since, line
    assert "without VAT |- |20.00 |-" in since, "within the scheme there was no such amount"
    assert "VAT, A00002" not in since
    assert credit.startswith(note.rstrip())
    assert "Correction of credit note C0001" in credit[len(note.rstrip()) :]
    assert "VAT 20 % |0.00 |2.00 |2.00" in credit
    assert counter.vat(date(2026, 1, 1), date(2026, 9, 30))["outside the scheme: VAT"] == "2.00"


def test_an_answer_given_since_is_asked_for_no_more_and_the_correction_speaks_to_the_buyer(
    counter: Counter,
) -> None:
    record = counter.records[2]
    record["margin_eligible"] = None
    counter.sell((3, 1200))
    _entered_on_its_day(counter)
    assert "is not answered yet" in counter.caution()
    row: Any = {"until": "2026-07-01T12:00:00Z", "was": {"margin_eligible": None}}
    record["margin_eligible"], record["earlier"] = False, [row]
    text = counter.invoice()
    assert "is not answered yet" not in text + counter.caution()
    said = "reasonput right: not sold under the margin scheme"
    for line in (said, "VAT |not shown |20 % |", "without VAT |- |10.00 |-"):
        assert line in text, line


def test_a_rate_put_right_later_corrects_what_was_issued_and_one_from_a_later_day_does_not(
    counter: Counter,
) -> None:
    counter.settings["vat_rate"] = "19"
    counter.sell((3, 2400))
    _entered_on_its_day(counter)
    before = counter.invoice()
    rows = [{"until": "2026-05-04T12:00:00Z", "was": {"vat_rate": "19"}}]
    counter.settings |= {"earlier": rows, "vat_rate": [{"from": "2026-05-04", "value": "20"}]}
    counter.settings["vat_rate"].insert(0, {"from": "", "value": "19"})
    assert counter.invoice() == before
    counter.settings["vat_rate"] = "20"
    since = counter.invoice()[len(before.rstrip()) :]
    assert "reasonput right: the rate of VAT" in since
    assert "VAT |19 % |20 % |" in since
    assert "VAT |3.83 |4.00 |0.17" in since


def test_a_rate_that_was_changed_and_put_back_is_the_reason_of_no_correction(counter: Counter) -> None:
    """A misread price, entered on the day on which the rate was 21 for some minutes: one page of the whole
    invoice, 6.00 with 24.00 and 3.00 of postage."""
    counter.sell((3, 2400), (1, 600), postage=300)
    _entered_on_its_day(counter)
    counter.settings["earlier"] = [{"until": "2026-05-06T12:00:00Z", "was": {"vat_rate": "20"}}]
    counter.settings["vat_rate"] = [{"from": "", "value": "20"}, {"from": "2026-02-01", "value": "20"}]
    for no in (1, 3):
        record = counter.records[no - 1]
        now = {"minor": 500 * no}
        record["life"].append(life.correct(record, When("2026-05-06", date(2026, 5, 6)), 1, "misread", now))
        record["life"][-1].pop("booked", None)
    text = counter.invoice()
    issued, page, since = text.partition("Correction of invoice 7")
    assert "to pay, in GBP | | | |33.00" in issued
    assert (text.count(page), "reasonmisread |" in since) == (1, True)
    for line in (" |6.00 |5.00 |-1.00", " |24.00 |15.00 |-9.00", "postage and packing |3.00 |3.00 |0.00",
                 "to pay, in GBP |33.00 |23.00 |-10.00", "Paid back to you: 10.00 GBP."):  # fmt: skip
        assert line in since, line


def test_a_credit_note_in_the_currency_of_the_sale(counter: Counter) -> None:
    counter.settings["vat_number"] = "XV 118 204"
    text = counter.sell((1, 2000), (3, 1000), currency="EUR", rate="0.86").invoice()
    assert "VAT numberXV 118 204 |" in text
    assert "to pay, in EUR | | | |30.00" in text
    assert "in GBP, at the rate 0.86 of 2026-02-03 | | | |25.80" in text
    # the VAT is also in the shop's own: 10.00 EUR are 8.60 GBP
    assert "A00003 |20 % |8.33 |10.00" in text
    assert "VAT, in EUR |net |VAT |with VAT |VAT in GBP" in text
    assert "20 % |8.33 |1.67 |10.00 |1.43" in text
    counter.back(1, "1500 EUR", rate="0.88").back(3, rate="0.88")
    text = counter.credit()
    assert "(returned) |A00001 |margin scheme | |15.00" in text
    assert "(returned) |A00003 |20 % |8.33 |10.00" in text
    assert "given back, in EUR | | | |25.00" in text
    # at 0.86: 12.90 and 8.60; at 0.88 they cost 13.20 and 8.80
    assert "in GBP, at the rate 0.86 of 2026-02-03, as in the sale | | | |21.50" in text
    assert "20 % |8.33 |1.67 |10.00 |1.43" in text, "VAT in the shop's own currency beside it"
    first, second = [one for one in counter.books.entries if one.day == "2026-06-02"]
    banked = [(leg.minor, leg.foreign) for one in (first, second) for leg in one.legs if leg.role == "bank"]
    assert banked == [(-1320, (-1500, "EUR")), (-880, (-1000, "EUR"))]
    assert [one.sum_of("exchange") for one in (first, second)] == [30, 20]
    lines = "\n".join(journal(counter.books.entries, counter.settings, "GBP")) + "\n"
    assert loader.load_string(lines)[1] == []
    assert "Expenses:Exchange-Differences  0.30 GBP" in lines
    assert 'paid-in: "15.00 EUR at 0.86, rate of the day 0.88"' in lines
    rows = [
        row for row in sales_table(NO_SHOP, counter.books, Ask("sales", TODAY)).dicts() if row["credit_note"]
    ]
    assert [(row["price"], row["exchange"]) for row in rows] == [("-12.90", "0.30"), ("-8.60", "0.20")]


def test_an_invoice_in_another_currency_shows_each_amount_as_it_was_agreed(counter: Counter) -> None:
    """At 0.0053 a penny is worth two units of the sale: worked back from the shop's own they would not fit."""
    counter.sell((3, 2401), currency="JPY", rate="0.0053", postage=301, discount=99, tax=7, traded=250)
    text = counter.invoice()
    for line in (
        "A00003 |20 % |2001 |2401",
        "discount | |20 % |-82 |-99",
        "postage and packing | |20 % |250 |301",  # 2169 - 2001 + 82
        "tax collected | | | |7",
        "in all, in JPY | | | |2610",
        "in GBP, at the rate 0.0053 of 2026-02-03 | | | |13.84",
        "taken in exchange | | | |-250",
        "to pay, in JPY | | | |2360",
        "20 % |2169 |434 |2603 |2.30",
    ):
        assert line in text
    del counter.records[2]["life"][0]["paid_in"]["of"]
    assert "in all, in JPY | | | |26" in counter.invoice(), "of an older version: within a penny's worth"


def test_a_credit_note_tells_postage_apart_from_the_price_and_the_sales_file_too(counter: Counter) -> None:
    """15.00 with 3.00 of postage: 16.00 given back is the price and 1.00 of the postage; then the rest of it."""
    counter.sell((3, 1500), postage=300).back(3, "1600", off=True).back(3, "200", note="C0002", off=True)
    first, _, second = counter.credit().partition("Credit note C0002")
    assert "(price reduced) |A00003 |20 % |12.50 |15.00 |" in first
    assert "postage and packing | |20 % |0.83 |1.00 |" in first
    assert "given back, in GBP | | | |16.00" in first
    assert "(refunded in full) |A00003 |20 % |0.00 |0.00 |" in second
    assert "postage and packing | |20 % |1.67 |2.00 |" in second
    rows = sales_table(NO_SHOP, counter.books, Ask("sales", TODAY, end=TODAY)).dicts()
    told = [(row["what"], row["price"], row["postage_charged"]) for row in rows]
    assert told == [("sold", "15.00", "3.00"), ("refunded", "-15.00", "-1.00"), ("refunded", "0.00", "-2.00")]


def test_what_is_credited_for_a_record_that_came_back_is_in_the_currency_of_the_paper() -> None:
    sale = {"instead": {"stock": "A00001", "minor": 860, "paid_in": {"minor": 1000, "currency": "EUR"}}}
    abroad = PaperMoney("GBP", "2026-11-25", {"currency": "EUR", "rate": "0.86"})
    assert (abroad.credited(sale), PaperMoney("GBP", "2026-11-25").credited(sale)) == (1000, 860)
    assert abroad.credited({}) == 0


@pytest.mark.parametrize(
    ("off", "price", "listed", "discount", "paid", "vat"),
    [
        ({"discount": 200}, 2300, "23.00", "-2.00", "21.00", "3.50"),  # 2.00 stays 2.00
        ({"discount": 240, "percent_off": "10"}, 2000, "20.00", "-2.00", "18.00", "3.00"),  # a tenth
        ({"discount": 240, "percent_off": "10"}, 2005, "20.05", "-2.01", "18.04", "3.01"),  # 2.005, half up
    ],
)
@pytest.mark.parametrize("currency", ["GBP", "EUR"])
def test_a_price_corrected_keeps_the_discount_on_paper_in_sales_and_journal(
    counter: Counter, currency: str, off: Any, price: int, listed: str, discount: str, paid: str, vat: str
) -> None:
    """24.00 at 20 % outside the scheme; of 21.00 the sixth part is VAT. In EUR at 0.50: half of it in GBP."""
    counter.sell((3, 2400), currency=currency, rate="0.50" if currency == "EUR" else "", **off)
    record = counter.records[2]
    now = corrected_price(record["life"][0], Money(price, currency))
    record["life"].append(life.correct(record, When("2026-07-02", TODAY), 1, "misread", now))
    issued, _, page = counter.invoice().partition("Correction of invoice 7")
    share = ", 10 %" if "percent_off" in off else ""
    assert f"discount{share} | |20 % |{-off['discount'] / 120:.2f} |-{off['discount'] / 100:.2f}" in issued, (
        "as it was issued"
    )
    told = {cells[0]: cells[2] for row in page.splitlines() if len(cells := row.split(" |")) == 5}
    told["price"] = next(value for label, value in told.items() if label.startswith("A00003"))
    assert [told[label] for label in ("price", "discount", f"to pay, in {currency}", "VAT 20 %")] == [
        listed, discount, paid, vat,
    ]  # fmt: skip
    rows = sales_table(NO_SHOP, counter.books, Ask("sales", TODAY)).dicts()
    whole = Fraction(paid) / (2 if currency == "EUR" else 1)
    assert abs(sum(Fraction(row["price"]) for row in rows) - whole) <= Fraction("0.005")
    banked = sum(one.sum_of("bank") for one in counter.books.entries if one.stock == "A00003")
    assert banked == sum(Fraction(row["price"]) for row in rows) * 100


def test_a_discount_above_the_corrected_price_is_refused(counter: Counter) -> None:
    counter.sell((3, 2400), discount=200)
    with pytest.raises(BenchError, match="a discount of 2"):
        corrected_price(counter.records[2]["life"][0], Money(100, "GBP"))
