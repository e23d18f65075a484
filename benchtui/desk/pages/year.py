"""The year on a page: bought, sold, realised and stock at cost by month; what is owed, what is due."""

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from typing import Any, NamedTuple

from benchtui.base.errors import BenchError
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Desk, Page
from benchtui.desk.core.every_parcel import all_parcels
from benchtui.desk.core.needs import unless
from benchtui.desk.core.page_parts import (
    Bar,
    Cell,
    Column,
    PageView,
    Para,
    Row,
    Section,
    Table,
    Text,
    Words,
    says,
    words,
)
from benchtui.desk.core.pages import page
from benchtui.desk.parcel.parcel import sender_name
from benchtui.model.money import Money
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money.account import Account
from benchtui.money.charges import own_terms
from benchtui.money.closing import read_closed
from benchtui.money.figures import Month, months
from benchtui.money.handed_in import statement_after
from benchtui.money.ledger import shop_entries
from benchtui.money.notice import ESTIMATE
from benchtui.money.policy import policy_of
from benchtui.money.scheme import eligibility, period_bounds, period_end, period_of
from benchtui.money.standings import standing
from benchtui.money.statements import consignors

SOON = 30
"""Days ahead in which something counts as due soon."""
NAMED = 3
"""So many records that await an answer are named."""
Parcels = list[tuple[HeadDoc, list[RecordDoc]]]


@command(
    "year-page",
    "bench",
    "the year by month: bought, sold, realised, stock, what is due",
    short="the year",
    group="Queue",
    also="months accounts books figures profit owed due",
    changes="nothing",
    offered=185,
    order=475,
)
@command(
    "parcels-year",
    "page",
    "the year by month: bought, sold, realised, stock, what is due",
    short="the year",
    also="months accounts books figures profit owed due",
    changes="nothing",
    on=("parcels", "result", "rules"),
    order=1235,
)
def open_year(desk: Desk) -> None:
    desk.open.page = Page("year", data={"year": desk.today()[:4]})
    _read(desk)


def _turn(desk: Desk) -> None:
    """To the year before; from the first with anything in it back to this one."""
    if desk.open.page is not None:
        desk.open.page.data["year"] = _following(desk)
        _read(desk)


def _following(desk: Desk) -> str:
    """The year that the key turns to; "" where there is none but this."""
    data, now = desk.open.page.data if desk.open.page is not None else {}, desk.today()[:4]
    shown, first = data.get("year", now), data.get("first", now)
    return str(int(shown) - 1) if shown > first else now if shown != now else ""


def _read(desk: Desk) -> None:
    """Work it out once; where it cannot be, the page says why."""
    opened = desk.open.page
    assert opened is not None
    opened.data |= {"months": [], "owed": [], "due": [], "trouble": []}
    year, now = opened.data["year"], desk.today()
    try:
        parcels, settings = all_parcels(desk), desk.settings
        closed = read_closed(desk.shop.closings())
        entries = shop_entries(parcels, desk.shop.senders, settings, closed, desk.today())
        opened.data["first"] = min((entry.day[:4] for entry in entries), default=now[:4])
        opened.data["months"] = _so_far(months(entries, year), now[:7])
        opened.data["due"] = due(desk, parcels)
    except BenchError as error:
        opened.data["trouble"].append(str(error))
        return
    for sender in consignors(parcels):
        doc = desk.shop.senders.get(sender, {})
        try:
            made = statement_after(Account(sender, doc, parcels, settings, closed), desk.today())
        except BenchError as error:
            opened.data["trouble"].append(str(error))
            continue
        if made.due.minor:
            opened.data["owed"].append((sender_name(desk, sender), made.due))


def _so_far(found: list[Month], now: str) -> list[Month]:
    """From the first month with anything in it to this one."""
    passed = [one for one in found if one.name <= now]
    while len(passed) > 1 and not any((passed[0].bought, passed[0].sold, passed[0].stock, passed[0].owed)):
        passed = passed[1:]
    return passed


def due(desk: Desk, parcels: Parcels) -> list[tuple[str, str]]:
    """(day, what) of all that falls due within a month, or is over: claims, held records, the VAT period
    and one that ended within a month, and the answers that it still needs."""
    today = date.fromisoformat(desk.today())
    last = (today + timedelta(days=SOON)).isoformat()
    found: list[tuple[str, str]] = []
    for head, records in parcels:
        if head["claim_deadline"] and head["state"] != "closed":
            found.append((head["claim_deadline"], f"claims for parcel {head['id']}"))
        for record in records:
            now = standing(record, desk.today())
            if now.held_for:
                found.append((now.held_until, f"{record['stock']} held for {now.held_for}"))
    policy = policy_of(desk.settings, desk.today())
    if policy.scheme != "none":
        name = period_of(desk.today(), policy.vat_period)
        ended = (date.fromisoformat(period_bounds(name)[0]) - timedelta(days=1)).isoformat()
        for end, verb in ((ended, "ended"), (period_end(name), "ends")):
            if end >= (today - timedelta(days=SOON)).isoformat():
                which = period_of(end, policy.vat_period)
                told = f"VAT period {which} {verb}; your tax authority says when the return is due"
                found.append((end, told))
    if asked := [stock for head, records in parcels for stock in _not_answered(desk, head, records)]:
        more = f" and {len(asked) - NAMED} more" if len(asked) > NAMED else ""
        said = f"sold, and no VAT reckoned: may the margin scheme be used? {', '.join(asked[:NAMED])}{more}"
        found.append((desk.today(), said))
    return sorted(one for one in found if one[0] <= last)


def _not_answered(desk: Desk, head: HeadDoc, records: Sequence[RecordDoc]) -> Iterator[str]:
    """Numbers of bought records that were sold under a scheme without the answer whether it may be used."""
    for record in records:
        sale = standing(record, desk.today()).sale
        if sale is None or own_terms(head, record) != "bought":
            continue
        scheme = policy_of(desk.settings, str(sale["at"])[:10]).scheme
        if scheme != "none" and eligibility(record, head).answer is None:
            yield str(record["stock"])


@page(
    "year",
    "The year by month at a glance, Enter the year before; what consignors are owed, and what is due when."
    " Estimates.",
    keys=("page-enter", "page-leave"),
    enter=_turn,
    enter_needs=lambda desk: unless(_following(desk), "there is nothing of an earlier year"),
    enter_word=lambda desk: _following(desk) or "earlier year",
    opener="year-page",
)
def year(desk: Desk) -> PageView:
    data = desk.open.page.data if desk.open.page is not None else {}
    shown = str(data.get("year", desk.today()[:4]))
    title = (("The year ", "accent bold"), (shown, "bold"), (f"  in {desk.currency}", "dim"))
    facts = [says(ESTIMATE, "dim"), *(says(said, "warn") for said in data.get("trouble", ()))]
    found = data.get("months", [])  # none: the books cannot be made, so nobody knows what is due
    return PageView(title, tuple(facts), (*_months(desk, found), *_lists(data)) if found else ())


def _months(desk: Desk, found: list[Month]) -> list[Section]:
    """What was bought, sold, realised and in stock in each month: a figure and a bar, each column on its own
    scale."""
    most = _Scale(*(max(1, *map(size, found)) for size in (_bought, _sold, _stock)))
    rows = [_month(one, most, desk.currency) for one in found]
    bought, sold, realised = (
        sum(getattr(one, name) for one in found) for name in ("bought", "sold", "realised")
    )
    whole = Month("all", bought, sold, realised, found[-1].stock, found[-1].owed)
    columns = (
        Column("month"),
        Column("bought", right=True),
        Column(bar=True, rank=4, least=6),
        Column("sold", right=True),
        Column(bar=True, rank=3, least=6),
        Column("realised", right=True),
        Column("stock", right=True),
        Column(bar=True, rank=5, least=6),
        Column("owed", right=True, rank=2),
    )
    said = "each bar against its largest month; sold: █ realised, ▌ the rest, · lost; stock at cost"
    lines = [says(said, "dim", 2)]
    if expensed := sum(one.expensed for one in found):
        shown = Money(expensed, desk.currency).show()
        lines.append(says(f"late bills on no record: {shown}, a cost that is not taken off realised", "", 2))
    if inbound := sum(one.inbound for one in found):
        shown = Money(inbound, desk.currency).show()
        said = f"what it cost to get consigned records here, borne by the shop: {shown}, in neither"
        said += " bought nor realised"
        lines.append(says(said, "", 2))
    legend = Text(tuple(lines))
    return [Table(columns, [*rows, _month(whole, None, desk.currency)], name="months"), legend]


class _Scale(NamedTuple):
    """The largest month of each bar."""

    bought: int
    sold: int
    stock: int


def _bought(one: Month) -> int:
    return one.bought


def _sold(one: Month) -> int:
    return max(one.sold, abs(one.realised))


def _stock(one: Month) -> int:
    return one.stock


def _month(one: Month, most: _Scale | None, currency: str) -> Row:
    """A month's row; ``most`` None: that of all of them, without bars."""
    style = "clash" if one.realised < 0 else "good" if one.realised else "dim"

    def figure(minor: int, how: str = "") -> Words:
        return words(Money(minor, currency).plain(), how)

    bought, sold, stock = (
        (_plain_bar(one.bought, most.bought), sold_bar(one, most.sold), _plain_bar(one.stock, most.stock))
        if most
        else (Bar(), Bar(), Bar())
    )
    cells: tuple[Cell, ...] = (
        words(one.name, "dim"), figure(one.bought), bought, figure(one.sold), sold,
        figure(one.realised, style), figure(one.stock), stock, figure(one.owed, "dim"),
    )  # fmt: skip
    return Row(f"month:{one.name}", cells, markable=False)


def _plain_bar(minor: int, most: int) -> Bar:
    return Bar(((max(0, minor) / most, "half", "bar"),))


def sold_bar(one: Month, most: int) -> Bar:
    """As long as what was sold, or what was lost where that is more."""
    rest = max(0, one.sold - abs(one.realised))
    if one.realised < 0:
        return Bar(((-one.realised / most, "rest", "clash"), (rest / most, "half", "bar")))
    return Bar(((one.realised / most, "full", "good"), (rest / most, "half", "bar")))


def _lists(data: dict[str, Any]) -> list[Section]:
    owed = [
        Para((*words(f"{name}  "), *words(money.show(), "bold")), hang=4)
        for name, money in data.get("owed", ())
    ]
    soon = [Para((*words(f"{on}  ", "bold"), *words(what)), hang=4) for on, what in data.get("due", ())]
    none = (says("nothing", "dim", 2),)
    return [
        Text(tuple(owed) or none, words("Owed to consignors today", "accent bold"), "owed"),
        Text(tuple(soon) or none, words(f"Due within {SOON} days", "accent bold"), "due"),
    ]
