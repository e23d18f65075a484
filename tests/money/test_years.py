"""Random years: books balance, nothing paid is lost, closed periods never change, the journal loads."""

import os
from copy import deepcopy
from datetime import date, timedelta
from decimal import Decimal

from beancount import loader
from beancount.core import realization
from beancount.core.data import Open, Transaction
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from years import (
    START,
    Year,
    change_fact,
    close,
    correct,
    dated,
    deliver,
    late,
    move,
    part_refund,
    pay,
    sell,
    split,
    take,
    years,
)  # fmt: skip

from benchtui.money.account import Account
from benchtui.money.accounts import periods_of
from benchtui.money.book_after import AMOUNTS, stated_of
from benchtui.money.closing import close_books, proved, read_closed, stock_by_parcel
from benchtui.money.entries import balances
from benchtui.money.figures import sale_rows, vat_disagreements
from benchtui.money.handed_in import statement_after
from benchtui.money.journal import account_names, journal
from benchtui.money.known import end_of, known_doc, known_parcels
from benchtui.money.ledger import shop_entries
from benchtui.money.policy import Rates
from benchtui.money.proof import proof
from benchtui.money.stated_again import stated_faults
from benchtui.money.stated_rows import closed_rows
from benchtui.money.stock import LATER, Entry, stockbook

MANY = int(os.environ.get("BENCHTUI_YEARS", "12"))
AS_DRAWN = (Phase.explicit, Phase.reuse, Phase.generate)
"""A year is not made smaller when it fails: that takes minutes, and its entries say what is wrong."""
some = settings(
    max_examples=MANY,
    deadline=None,
    suppress_health_check=list(HealthCheck),
    phases=AS_DRAWN,
    print_blob=True,
)


def entries_of(year: Year, closed: bool = True) -> list:  # type: ignore[type-arg]
    until = (year.today + timedelta(days=100)).isoformat()
    return shop_entries(year.parcels, year.senders, year.settings, year.closed if closed else (), until)


def account(year: Year, on: date | str):  # type: ignore[no-untyped-def]
    """The one consignor's."""
    whose = Account("s-reed", year.senders["s-reed"], year.parcels, year.settings, year.closed)
    return statement_after(whose, str(on))


def assert_book_adds_up(year: Year, today: str) -> None:
    """The rows of each number, stated and corrected, come to the facts."""
    facts = {one.stock: one for one in stockbook(year.parcels, year.senders, year.settings, today)}
    if stated := stated_of(year.closed, year.senders, year.settings):
        for head, records in year.parcels:
            for record in records:
                entry = facts[str(record["stock"])]
                row = entry.row(year.settings["currency"])
                before, last = stated.parcel(head, records).lines(record, entry, today)
                for name in AMOUNTS:
                    assert sum(Decimal(one[name] or 0) for one in [*before, last]) == Decimal(row[name] or 0)


def assert_known(year: Year, before: list, moment: str, until: date) -> None:  # type: ignore[type-arg]
    """The documents alone say what was known: every entry at that moment, and each closing as it was made."""
    parcels, rules = known_parcels(year.parcels, moment), known_doc(year.settings, moment)
    entries = shop_entries(parcels, year.senders, rules, year.closed, until.isoformat())
    assert entries == before
    for n, doc in enumerate(year.closings):
        at, closed = doc["closed_at"], read_closed(year.closings[:n])
        parcels, rules = known_parcels(year.parcels, at), known_doc(year.settings, at)
        assert close_books(parcels, year.senders, rules, closed, doc["through"], at) == doc


def corrections_of(year: Year, parcels: list, rules: dict, as_of: str) -> tuple[list, ...]:  # type: ignore[type-arg]
    """What of closed days is corrected by the end of that day: in the journal, the statement, the stock book."""
    entries = shop_entries(parcels, year.senders, rules, year.closed, as_of)
    whose = Account("s-reed", year.senders["s-reed"], parcels, rules, year.closed)
    lines = statement_after(whose, as_of).lines
    stated = stated_of(year.closed, year.senders, rules)
    now = {one.stock: one for one in stockbook(parcels, year.senders, rules, as_of)}
    rows = [
        row
        for head, records in parcels
        for record in records
        if stated and (entry := now.get(stock := str(record["stock"])) or Entry(stock, LATER))
        for row in stated.parcel(head, records).lines(record, entry, as_of)[0]
    ]
    return (
        [one for one in entries if "@" in one.key and one.day <= as_of],
        [one for one in lines if one.state == "correction"],
        [one for one in rows if one["left_how"] == "correction"],
    )


def assert_corrections_stand_on_their_day(year: Year, days: list[date]) -> None:
    """Whatever is changed on a later day, each day has the corrections that were known at its end."""
    last = year.closed[-1].through if year.closed else "9999"
    for on in days:
        if on.isoformat() > last:
            then = known_parcels(year.parcels, end_of(on)), known_doc(year.settings, end_of(on))
            now = corrections_of(year, year.parcels, year.settings, on.isoformat())
            assert now == corrections_of(year, *then, on.isoformat())


@some
@given(years())
def test_books_balance_and_what_was_paid_is_found_again(year: Year) -> None:
    entries = entries_of(year)
    assert list(proof(entries, year.parcels, year.settings)) == []
    assert proved(year.closings)[0] == []
    stockbook(year.parcels, year.senders, year.settings)
    rows = sale_rows(entries)
    of_sales = ("sales", "refunds", "postage", "commission", "cost of sales", "selling fees", "payment fees")
    assert isinstance(sum(row.profit for row in rows), int)
    assert sum(row.cost for row in rows) == balances(entries).get("cost of sales", 0)
    assert set(balances(entries)) >= {role for role in of_sales if any(one.sum_of(role) for one in entries)}


@some
@given(years(), st.data())
def test_closed_periods_never_change_and_all_time_figures_are_those_of_the_facts(
    year: Year, data: st.DataObject
) -> None:
    year.today += timedelta(days=30)
    take(data.draw, year, close)  # type: ignore[arg-type]
    through = year.closings[-1]["through"] if year.closings else ""
    told = stated_faults(year.parcels, year.senders, year.settings, year.closed)
    assert [one.what for one in told if f"books closed to {through}" in one.one_line()] == []
    before, rows = deepcopy(entries_of(year)), closed_rows(year.closed)
    days = [one for one in data.draw(st.lists(st.dates(START, year.today))) if one.isoformat() <= through]
    stated = [(on, account(year, on).lines) for on in days]
    yesterday, until = end_of(year.today), year.today + timedelta(days=100)
    year.today += timedelta(days=1)
    for step in (
        change_fact,
        correct,
        move,
        late,
        sell,
        part_refund,
        pay,
        split,
        dated,
        change_fact,
        deliver,
    ):
        take(data.draw, year, step)  # type: ignore[arg-type]
        year.today += timedelta(days=data.draw(st.integers(0, 2)))
    assert_known(year, before, yesterday, until)
    if MANY > 12:  # by hand
        some_days = st.dates(date.fromisoformat(yesterday[:10]), year.today)
        assert_corrections_stand_on_their_day(year, data.draw(st.lists(some_days, max_size=2, unique=True)))
    after = entries_of(year)
    assert [one for one in after if one.day <= through] == [one for one in before if one.day <= through]
    assert stock_by_parcel(after, through) == stock_by_parcel(before, through)
    assert closed_rows(year.closed) == rows
    assert [(on, account(year, on).lines) for on in days] == stated
    today = year.today.isoformat()
    assert_book_adds_up(year, today)
    assert account(year, today).due.minor == -balances(after, today).get("consignors", 0)
    rates = Rates(year.settings)
    for now, then in zip(periods_of(after, rates, "", year.closed), periods_of(before, rates, "", year.closed),
                         strict=False):  # fmt: skip
        if now.name in {row["name"] for one in year.closings for row in one["figures"]["periods"]}:
            assert now == then
    fresh, booked = balances(entries_of(year, closed=False)), balances(after)
    for role in (
        "bank",
        "stock",
        "arriving",
        "sales",
        "refunds",
        "consignors",
        "cost of sales",
        "written off",
    ):
        assert booked.get(role, 0) == fresh.get(role, 0), role
    assert list(proof(after, year.parcels, year.settings)) == []
    later = (year.today + timedelta(days=100)).isoformat()
    assert list(vat_disagreements(after, Rates(year.settings), year.closed, later)) == []


@some
@given(years())
def test_the_journal_loads_in_beancount_with_the_same_balances(year: Year) -> None:
    entries = entries_of(year)
    text = "\n".join(journal(entries, year.settings, "GBP", 'a "shop"')) + "\n"
    loaded, errors, options = loader.load_string(text)
    assert errors == []
    assert options["operating_currency"] == ["GBP"]
    assert sum(isinstance(one, Transaction) for one in loaded) == sum(bool(one.legs) for one in entries)
    root = realization.realize([one for one in loaded if isinstance(one, Open | Transaction)])
    names = account_names(year.settings)
    foreign: dict[str, dict[str, int]] = {}
    for entry in entries:
        for leg in entry.legs:
            own = (
                leg.foreign
                if leg.foreign and leg.foreign[0] and (leg.foreign[0] < 0) == (leg.minor < 0)
                else None
            )
            at = foreign.setdefault(names[leg.role], {})
            code, minor = (own[1], own[0]) if own else ("GBP", leg.minor)
            at[code] = at.get(code, 0) + minor
    for account, by_code in foreign.items():
        found = realization.get(root, account).balance.reduce(lambda position: position.units)
        shown = {position.units.currency: position.units.number for position in found}
        for code, minor in by_code.items():
            scale = 1 if code == "JPY" else 100
            assert shown.get(code, Decimal(0)) == Decimal(minor) / scale, (account, code)
