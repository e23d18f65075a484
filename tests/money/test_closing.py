"""Closed periods: written down once, the same for ever, whatever is changed afterwards."""

import hashlib
import json
from collections.abc import Callable
from copy import deepcopy
from datetime import date
from typing import Any

import pytest

from benchtui.base.errors import BenchError
from benchtui.model.money import Money
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money import life
from benchtui.money.accounts import periods_of
from benchtui.money.causes import COST, PAID, booked_since
from benchtui.money.charges import landed
from benchtui.money.check import check_accounts, check_money, unused_invoices
from benchtui.money.closing import close_books, digest_of, proved, read_closed, still_open, stock_by_parcel
from benchtui.money.dated import change_from
from benchtui.money.entries import Closed, Entry, balances
from benchtui.money.ledger import shop_entries
from benchtui.money.life import When
from benchtui.money.policy import Rates
from benchtui.money.proof import proof
from benchtui.money.spreading import freeze, spread
from benchtui.money.stated_rows import closed_rows
from benchtui.money.stock import day_lines
from benchtui.store.closings import read_closing

Make = Callable[..., RecordDoc]
SENDERS = {"s-quill": {"name": "Mrs Quill"}, "s-reed": {"name": "N. Reed", "commission": "30"}}
TODAY = date(2026, 5, 20)
SETTINGS: dict[str, Any] = {
    "currency": "GBP", "margin_scheme": "period", "vat_rate": "20", "vat_period": "quarter", "period_limit": "none",
}  # fmt: skip


def gbp(minor: int) -> Money:
    return Money(minor, "GBP")


@pytest.fixture
def year(head: HeadDoc, make_record: Make) -> tuple[HeadDoc, list[RecordDoc]]:
    """40.00 for four records in January and 4.00 of postage; one sold, one scrapped, one consigned."""
    head["delivered"], head["margin_eligible"] = "2026-01-10", True
    head["charges"] = [
        {"what": what, "minor": minor, "currency": "GBP", "rate": None, "rate_date": "", "rate_from": ""}  # type: ignore[typeddict-item]
        for what, minor in (("price", 4000), ("postage", 400))
    ]
    records = [make_record(no, 2000) for no in (1, 2, 3)] + [
        make_record(4, 2000, terms="consigned", consignor="s-reed")
    ]
    head["shares"], head["state"] = freeze(spread(head, landed(head, "GBP"), records)), "closed"
    records[0]["life"].append(life.sell(records[0], When("2026-02-03", TODAY), gbp(6000), buyer="M. Larch"))
    records[1]["life"].append(life.scrap(records[1], When("2026-03-01", TODAY), "broken"))
    records[3]["life"].append(life.sell(records[3], When("2026-03-05", TODAY), gbp(1000)))
    return head, records


def closing(parcels: Any, closed: Any = (), through: str = "2026-03-31", settings: Any = SETTINGS) -> Any:
    return close_books(parcels, SENDERS, settings, closed, through, "2026-04-02")


def sum_to(entries: list[Entry], until: str) -> dict[str, int]:
    return {role: minor for role, minor in balances(entries, until).items() if minor}


def change_price(head: HeadDoc, records: list[RecordDoc], settings: dict[str, Any]) -> None:
    head["charges"][0]["minor"] = 5000
    head["corrections"] = [{"at": "2026-04-15T10:00:00Z", "say": "price was 50.00", "ops": []}]


def change_rate(head: HeadDoc, records: list[RecordDoc], settings: dict[str, Any]) -> None:
    settings["vat_rate"] = "19"


def change_eligibility(head: HeadDoc, records: list[RecordDoc], settings: dict[str, Any]) -> None:
    head["margin_eligible"] = False


def change_delivered(head: HeadDoc, records: list[RecordDoc], settings: dict[str, Any]) -> None:
    head["delivered"] = "2026-04-02"


def change_terms(head: HeadDoc, records: list[RecordDoc], settings: dict[str, Any]) -> None:
    records[2]["terms"], records[2]["consignor"] = "consigned", "s-reed"


def void_scrapping(head: HeadDoc, records: list[RecordDoc], settings: dict[str, Any]) -> None:
    when = When("2026-05-20", TODAY)
    records[1]["life"].append(life.correct(records[1], when, 1, "it was another one", None))


def change_scheme(head: HeadDoc, records: list[RecordDoc], settings: dict[str, Any]) -> None:
    settings["margin_scheme"] = "item"


def take_out(head: HeadDoc, records: list[RecordDoc], settings: dict[str, Any]) -> None:
    records[2]["state"] = "withdrawn"


def move_cost(head: HeadDoc, records: list[RecordDoc], settings: dict[str, Any]) -> None:
    move = {"at": "2026-02-20", "part": "p", "minor": 300, "currency": "GBP"}
    records[0]["cost_moved"] = [move | {"to": [head["id"], "r-3"]}]
    records[2]["cost_moved"] = [move | {"from": [head["id"], "r-1"]}]


CHANGES = [
    change_price, change_rate, change_eligibility, change_delivered, change_terms, void_scrapping,
    change_scheme, take_out, move_cost,
]  # fmt: skip


@pytest.mark.parametrize("change", CHANGES)
def test_nothing_changes_a_closed_quarter_and_the_difference_is_booked_later(year: Any, change: Any) -> None:
    head, records = year
    closed = read_closed([closing([year])])
    before = shop_entries([year], SENDERS, SETTINGS, closed, "2026-03-31")
    vat = periods_of(before, Rates(SETTINGS), "2026-03-31", closed)
    settings = deepcopy(SETTINGS)
    change(head, records, settings)
    after = shop_entries([year], SENDERS, settings, closed, "2026-06-30")
    assert sum_to(after, "2026-03-31") == sum_to(before, "2026-03-31")
    assert periods_of(after, Rates(settings), "2026-03-31", closed)[:1] == vat
    assert stock_by_parcel(after, "2026-03-31") == stock_by_parcel(before, "2026-03-31")
    assert closed_rows(closed, "2026-03-31") == closed_rows(read_closed([closing_doc(closed)]), "2026-03-31")
    fresh = shop_entries([year], SENDERS, settings, (), "2026-06-30")
    changed = {role for role in COMPARED if balances(fresh).get(role, 0) != balances(before).get(role, 0)}
    later = [entry for entry in after if entry.kind == "correction" and entry.day > "2026-03-31"]
    assert bool(later) or not changed
    for entry in later:
        assert sum(leg.minor for leg in entry.legs) == 0
        assert entry.corrects
    for role in COMPARED:
        assert balances(after).get(role, 0) == balances(fresh).get(role, 0), role
    assert list(proof(after, [year], settings)) == []


COMPARED = ("bank", "stock", "arriving", "sales", "consignors", "commission", "cost of sales", "written off")


def closing_doc(closed: list[Closed]) -> dict[str, Any]:
    """The closing again, as its file would give it."""
    one = closed[0]
    return {
        "through": one.through, "closed_at": one.closed_at, "entries": [each.doc() for each in one.entries],
        "figures": one.figures, "rows": one.rows, "digest": one.digest, "before": one.before, "currency": "GBP",
    }  # fmt: skip


def test_a_correction_says_what_it_corrects_on_the_day_it_was_entered(year: Any) -> None:
    head, records = year
    closed = read_closed([closing([year])])
    change_price(head, records, {})
    after = shop_entries([year], SENDERS, SETTINGS, closed, "2026-06-30")
    (bill,) = [entry for entry in after if entry.corrects == f"{head['id']}:charge:1"]
    assert (bill.day, bill.words["why"], bill.words["of"]) == (
        "2026-04-15",
        "price was 50.00",
        "purchase of 2026-01-10",
    )
    assert bill.sum_of("bank") == -1000
    second = read_closed([closing_doc(closed), closing([year], closed, "2026-06-30")])
    again = shop_entries([year], SENDERS, SETTINGS, second, "2026-09-30")
    assert [entry for entry in again if entry.kind == "correction" and entry.day > "2026-06-30"] == []
    head["charges"][0]["minor"] = 4500
    third = shop_entries([year], SENDERS, SETTINGS, second, "2026-09-30")
    assert [entry.sum_of("bank") for entry in third if entry.corrects == bill.corrects] == [-1000, 500]


def test_a_rate_that_changes_on_a_day_leaves_what_was_sold_before(year: Any) -> None:
    settings = SETTINGS | {"margin_scheme": "item"}
    before = balances(shop_entries([year], SENDERS, settings, (), "2026-06-30"))["vat"]
    later = settings | change_from(settings, {"vat_rate": "50"}, "2026-03-01")
    assert balances(shop_entries([year], SENDERS, later, (), "2026-06-30"))["vat"] == before
    earlier = settings | change_from(settings, {"vat_rate": "50"}, "2026-02-01")
    assert balances(shop_entries([year], SENDERS, earlier, (), "2026-06-30"))["vat"] < before


def test_a_day_is_closed_once_and_only_forward(year: Any) -> None:
    closed = read_closed([closing([year])])
    for through in ("2026-03-31", "2026-02-28"):
        with pytest.raises(BenchError, match="the books are closed to 2026-03-31"):
            closing([year], closed, through)
    with pytest.raises(BenchError, match="the last day to close"):
        closing([year], (), "soon")


def test_check_finds_a_closing_that_was_changed_taken_out_or_does_not_add_up(year: Any) -> None:
    first = closing([year])
    second = closing([year], read_closed([first]), "2026-04-30")
    assert proved([second, first])[0] == []
    assert [fault.what for fault in proved([second])[0]] == [
        "the closing before it is another one, or missing",
        "the figures of accounts do not follow from its entries",
        "the figures of stock do not follow from its entries",
    ]
    broken = deepcopy(first)
    broken["figures"]["accounts"]["stock"] += 1
    assert [fault.what for fault in proved([broken])[0]] == [
        "changed since it was written down",
        "the figures of accounts do not follow from its entries",
    ]
    with pytest.raises(BenchError, match="cannot be read"):
        read_closed([first | {"entries": [{"key": "x"}]}])


def test_the_stock_book_of_a_closed_day_is_the_one_that_was_written_down(year: Any) -> None:
    head, records = year
    closed = read_closed([closing([year])])
    change_price(head, records, {})
    rows = closed_rows(closed, "2026-03-31")
    assert [rows[f"A0000{n}"]["purchase_price"] for n in (1, 2, 3, 4)] == ["13.34", "13.33", "13.33", ""]
    within = closed_rows(closed, "2026-02-02")
    assert (within["A00001"]["sold_on"], within["A00001"]["left_how"]) == ("", "")
    assert closed_rows(closed, "2026-01-01")["A00001"]["left_how"] == "bought later"


def test_what_ends_a_period_as_it_began_and_had_no_day_in_it_is_worked_out_at_its_end_alone(
    year: Any,
) -> None:
    head, records = year
    february = (head, records, SENDERS, Rates(SETTINGS), "2026-01-31", "2026-02-28")
    stocks = [one["stock"] for one in records]
    first, sold = [(stock, "2026-02-01") for stock in stocks], (stocks[0], "2026-02-03")
    assert [(one["stock"], on) for one, on, _ in day_lines(*february)] == [*first, sold]
    again = day_lines(*february, as_before=stocks)
    assert [(one["stock"], on) for one, on, _ in again] == [first[0], sold]


def test_check_tells_what_changed_in_a_closed_period_without_an_entry_that_says_why(year: Any) -> None:
    head, _ = year
    doc = closing([year])
    assert check_accounts([year], SENDERS, SETTINGS, [doc]) == []
    head["charges"][0]["minor"] = 5000
    told = {fault.what for fault in check_accounts([year], SENDERS, SETTINGS, [doc])}
    assert "purchase of 2026-01-10 is no longer as it was when the books were closed to 2026-03-31" in told
    head["corrections"] = [{"at": "2026-04-15T10:00:00Z", "say": "price was 50.00", "ops": []}]
    assert check_accounts([year], SENDERS, SETTINGS, [doc]) == []


@pytest.mark.parametrize(("moment", "faults"), [("14:00:00Z", 0), ("11:00:00Z", 1)])
def test_what_is_entered_on_the_very_day_the_books_were_closed_to_is_since(
    year: Any, moment: str, faults: int
) -> None:
    head, _ = year
    doc = close_books([year], SENDERS, SETTINGS, (), "2026-03-31", "2026-03-31T12:00:00Z")
    head["charges"][0]["minor"] = 5000
    head["corrections"] = [{"at": f"2026-03-31T{moment}", "say": "price was 50.00", "ops": []}]
    told = [one.what for one in check_accounts([year], SENDERS, SETTINGS, [doc])]
    assert sum("purchase of 2026-01-10 is no longer as it was" in one for one in told) == faults
    after = shop_entries([year], SENDERS, SETTINGS, read_closed([doc]), "2026-06-30")
    assert {one.day for one in after if one.kind == "correction"} == {"2026-04-01"}


def test_a_late_bill_of_a_closed_day_entered_on_the_day_of_closing_says_it_was_entered_later(
    year: Any,
) -> None:
    head, _ = year
    doc = close_books([year], SENDERS, SETTINGS, (), "2026-03-31", "2026-03-31T12:00:00Z")
    bill = {"what": "duty", "minor": 200, "currency": "GBP", "rate": None, "id": "l-1", "shares": {}}
    head["late"] = [bill | {"on": "2026-03-20", "booked": "2026-03-31"}]
    after = shop_entries([year], SENDERS, SETTINGS, read_closed([doc]), "2026-06-30")
    made = [(one.day, one.words["why"], one.sum_of("late cost")) for one in after if one.corrects]
    assert sorted(made) == [("2026-04-01", "entered later", 0), ("2026-04-01", "entered later", 200)]
    had = close_books([year], SENDERS, SETTINGS, (), "2026-03-31", "2026-03-31T12:00:00Z")
    whys = [
        booked_since(head["id"], "", read_closed([each])[0], {head["id"]: (head, {})})[1]
        for each in (doc, had)
    ]
    assert whys == ["late bill", ""], "a bill that the closing has is no reason"


def test_a_late_bill_of_a_closed_day_changes_no_day_before_the_one_it_is_booked_on(year: Any) -> None:
    """Record 3 was sold in March and came back in April: a bill of March, entered in May, is on stock in May."""
    head, records = year
    records[2]["life"].append(life.sell(records[2], When("2026-03-10", TODAY), gbp(2500)))
    doc = closing([year])
    closed = read_closed([doc])
    records[2]["life"].append(life.take_back(records[2], When("2026-04-10", TODAY), "", gbp(2500)))
    before = shop_entries([year], SENDERS, SETTINGS, closed, "2026-06-30")
    bill = {
        "what": "duty",
        "minor": 200,
        "currency": "GBP",
        "rate": None,
        "id": "l-1",
        "shares": {"r-3": 200},
    }
    head["late"] = [bill | {"on": "2026-03-12", "booked": "2026-05-20", "counts_on": "2026-05-20"}]
    after = shop_entries([year], SENDERS, SETTINGS, closed, "2026-06-30")
    assert [one for one in after if one.day < "2026-05-20"] == [
        one for one in before if one.day < "2026-05-20"
    ]
    now, was = balances(after), balances(before)
    moved = {role: now[role] - was.get(role, 0) for role in now if now[role] != was.get(role, 0)}
    assert moved == {"stock": 200, "bank": -200}
    assert [one.words["of"] for one in after if one.kind == "late duty"] == ["late duty of 2026-03-12"]
    assert not [one for one in after if one.corrects]
    assert check_accounts([year], SENDERS, SETTINGS, [doc]) == []


def test_a_parcel_still_open_is_named_with_its_sales_bought_or_consigned(year: Any) -> None:
    head, records = year
    head["state"] = "open"
    assert still_open([year], "2026-03-31") == [(head["id"], 2)]
    assert still_open([(head, records[3:])], "2026-03-31") == [(head["id"], 1)]


def test_a_late_bill_does_not_hide_that_a_price_of_another_record_moved_the_share(year: Any) -> None:
    head, _ = year
    closed = read_closed([closing([year])])
    bill = {
        "what": "duty",
        "minor": 200,
        "currency": "GBP",
        "rate": None,
        "id": "l-1",
        "shares": {"r-1": 200},
    }
    head["late"] = [bill | {"on": "2026-03-12", "booked": "2026-05-20"}]
    price = [[["records", "r-2", "price"], [], [1]]]
    head["corrections"] = [{"at": "2026-05-19T10:00:00Z", "say": "record 2: price 9.00", "ops": price}]
    facts = {head["id"]: (head, {one["id"]: one for one in year[1]})}
    moved = frozenset({COST})
    assert (
        booked_since(head["id"], "r-1", closed[-1], facts, (), moved)[1] == "record 2: price 9.00; late bill"
    )
    head["late"] = [head["late"][0] | {"counts_on": "2026-05-20"}]
    assert booked_since(head["id"], "r-1", closed[-1], facts, (), moved)[1] == "record 2: price 9.00"
    credit = {"what": "price", "credit": True, "about": "crease on cover", "on": "2026-03-12"}
    head["late"], head["corrections"] = [bill | credit | {"booked": "2026-05-20"}], []
    said = booked_since(head["id"], "r-1", closed[-1], facts, (), frozenset({PAID}))[1]
    assert said == "price credited, crease on cover", "no bill"


def test_terms_changed_since_are_the_reason_for_a_sale_that_the_closing_has_though_it_was_entered_late(
    year: Any,
) -> None:
    head, records = year
    records[3]["life"][0]["booked"] = "2026-04-01"
    before = [[["records", "r-4", "reserve"], [], [{"minor": 800, "currency": "GBP"}]]]
    head["corrections"] = [{"at": "2026-04-01T10:00:00Z", "say": "record 4: reserve 8.00", "ops": before}]
    closed = read_closed([closing([year])])
    noted = {"at": "2026-05-10T09:00:00Z", "say": "commission % 40 always"}
    senders = SENDERS | {"s-reed": {"name": "N. Reed", "commission": "40", "noted": noted}}
    after = shop_entries([year], senders, SETTINGS, closed, "2026-06-30")
    (one,) = [entry for entry in after if entry.kind == "correction"]
    assert (one.day, one.words["why"]) == ("2026-05-10", "commission % 40 always")
    assert one.sum_of("commission") == -100, "10 % more of 10.00"


def test_the_reason_for_a_record_is_its_own_note_not_a_later_one_of_another(year: Any) -> None:
    head, records = year
    closed = read_closed([closing([year])])
    life_only = [[["records", "r-1", "life", 0], [], [{}]]]
    head["corrections"] = [
        {"at": "2026-05-10T09:00:00Z", "say": "own", "ops": [[["records", "r-1", "margin_eligible"], [], [False]]]},
        {"at": "2026-05-10T10:00:00Z", "say": "z other", "ops": [[["records", "r-2", "price"], [], [1]]]},
        {"at": "2026-05-10T11:00:00Z", "say": "z sold", "ops": life_only},
    ]  # fmt: skip
    records[0]["margin_eligible"] = False
    after = shop_entries([year], SENDERS, SETTINGS, closed, "2026-06-30")
    whys = {entry.words["why"] for entry in after if entry.kind == "correction" and entry.record == "r-1"}
    assert whys == {"own"}
    facts = {head["id"]: (head, {one["id"]: one for one in records})}
    others = [booked_since(head["id"], one, closed[-1], facts)[1] for one in ("r-2", "r-3", "r-4")]
    assert others == ["z other"] * 3, (
        "a price moves the shares of all, the margin answer of r-1 no one else's"
    )


def test_an_invoice_number_taken_for_no_sale_is_told(year: Any) -> None:
    taken = {"0042": {"deal": "d-1", "at": ""}}
    assert [fault.what for fault in unused_invoices([year], taken)] == [
        "invoice 0042 was given out, but no sale has it"
    ]
    year[1][0]["life"][0]["deal"] = "d-1"
    assert unused_invoices([year], taken) == []


@pytest.mark.parametrize(
    ("path", "now"),
    [
        (("charges", 0, "minor"), 4100),
        (("charges", 1, "reclaimed"), True),
        (("charges", 1, "currency"), "EUR"),
        (("charges", 0, "on"), "2026-01-12"),
        (("delivered",), "2026-01-12"),
        (("terms",), "consigned"),
        (("margin_eligible",), False),
        (("shares", "r-3"), 1),
        (("late", 0, "minor"), 300),
        (("late", 0, "shares", "r-3"), 100),
        (("late", 0, "on"), "2026-03-19"),
        ((1, 0, "life", 0, "minor"), 6100),
        ((1, 0, "life", 0, "at"), "2026-02-04"),
        ((1, 1, "life"), []),
        ((1, 2, "state"), "withdrawn"),
        ((1, 2, "terms"), "consigned"),
        ((1, 0, "cost_moved", 0, "at"), "2026-01-12"),
        ((1, 2, "cost_moved", 0, "minor"), 301),
    ],
)
def test_check_tells_each_fact_of_a_closed_period_that_is_edited_outside(
    year: Any, path: Any, now: Any
) -> None:
    head, records = year
    head["begun"], head["closed_at"] = "2026-01-10T09:00:00Z", "2026-01-15T09:00:00Z"
    move = {"at": "2026-01-20", "part": "p", "minor": 300, "currency": "GBP"}
    records[0]["cost_moved"] = [move | {"to": [head["id"], "r-3"]}]
    records[2]["cost_moved"] = [move | {"from": [head["id"], "r-1"]}]
    bill = {"what": "duty", "minor": 200, "currency": "GBP", "rate": None, "id": "l-1"}
    head["late"] = [bill | {"on": "2026-03-20", "booked": "2026-03-20", "shares": {"r-3": 200}}]
    settings = SETTINGS | {"margin_scheme": "item"}
    doc = close_books([year], SENDERS, settings, (), "2026-03-31", "2026-05-21T09:00:00Z")
    assert check_accounts([year], SENDERS, settings, [doc]) == []
    place: Any = head if isinstance(path[0], str) else year
    for step in path[:-1]:
        place = place[step]
    place[path[-1]] = now
    assert [*check_money([year], SENDERS, settings), *check_accounts([year], SENDERS, settings, [doc])] != []


@pytest.mark.parametrize(
    ("path", "now", "said"),
    [
        (("rows", "A00001", "margin"), "much", "cannot be read"),
        (("rows", "A00001"), {}, "cannot be read"),
        (("days", "A00001", 0), ["2026-01-10"], "cannot be read"),
        (("statements", "s-reed", "r-4", 0), ["2026-03-05"], "cannot be read"),
        (("currency",), "pounds", "cannot be read"),
        (("entries", 0, "legs", 0), ["bank"], "cannot be read"),
        (("entries", 0, "day"), "2026-01-11", "changed since it was written down"),
    ],
)
def test_a_closing_edited_into_nonsense_is_told_in_a_line(year: Any, path: Any, now: Any, said: str) -> None:
    doc = deepcopy(closing([year]))
    place = doc
    for step in path[:-1]:
        place = place[step]
    place[path[-1]] = now
    told = [fault.what for fault in check_accounts([year], SENDERS, SETTINGS, [doc])]
    assert any(one.startswith(said) for one in told)
    assert len(told) == len(set(told))


def test_a_closing_that_was_taken_away_is_missed(year: Any) -> None:
    settings = SETTINGS | {"closed_through": "2026-03-31", "closed_at": "2026-04-02T09:00:00Z"}
    (fault,) = check_accounts([year], SENDERS, settings, [])
    assert fault.what == "the books were closed to 2026-03-31, but that closing is not there"


def test_the_digest_is_of_the_whole_text_and_a_closing_is_read_as_it_was_written(year: Any) -> None:
    doc = closing([year]) | {"odd": [], "empty": {}, "words": ["\u00e9", None, 1.5, {"b": 1, "a": [2]}]}
    bare = {name: value for name, value in doc.items() if name != "digest"}
    text = json.dumps(bare, ensure_ascii=True, separators=(",", ":"), sort_keys=True)
    assert digest_of(doc) == hashlib.sha256(text.encode("ascii")).hexdigest()
    read = read_closing(json.dumps(doc).encode())
    assert read == json.loads(json.dumps(doc))
    assert len({id(row["basis"]) for row in read["rows"].values()}) == 1, "held once"
    with pytest.raises(ValueError, match="codec"):
        read_closing(b"\xff")


def test_what_also_moved_a_chore_is_no_reason_for_a_figure(year: Any) -> None:
    """A record that came back has its packing taken off the list: neither moves what it cost."""
    head, records = year
    closed = read_closed([closing([year])])
    back = [
        [["records", "r-1", "chores", 0], [{}], []],
        [["records", "r-1", "post"], [], [[]]],
        [["records", "r-1", "life", 1], [], [{}]],
    ]
    price = [[["head", "charges"], [], [[]]]]
    head["corrections"] = [
        {"at": "2026-05-10T09:00:00Z", "say": "A00001 came back", "ops": back},
        {"at": "2026-05-11T09:00:00Z", "say": "parcel: price paid", "ops": price},
    ]
    facts = {head["id"]: (head, {one["id"]: one for one in records})}
    said = booked_since(head["id"], "r-1", closed[-1], facts, (), frozenset({COST}))[1]
    assert said == "price paid entered later"
