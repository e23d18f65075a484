"""How the shop reckons: its rates and rules, set by the dealer a line each, and the accounts by period."""

import re
from collections.abc import Callable, Mapping
from datetime import date, timedelta
from typing import Any, NamedTuple

from benchtui.base.errors import BenchError
from benchtui.desk.core import keeping
from benchtui.desk.core.closed_books import change_of_closed
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Desk, OpenLine, Page
from benchtui.desk.core.every_parcel import all_parcels
from benchtui.desk.core.field import ABOUT, field_read, read_field, show_field
from benchtui.desk.line.amount_typed import read_amount, shown
from benchtui.desk.line.as_read import shows
from benchtui.desk.line.day_typed import read_day
from benchtui.desk.line.lines import LINES, LineKind, open_line
from benchtui.desk.sale.record_life import leave_line
from benchtui.export.paper_vat import MARGIN_WORDS
from benchtui.model.currencies import read_currencies
from benchtui.model.money import minor_units
from benchtui.money.accounts import periods_of
from benchtui.money.closing import close_books, read_closed, still_open
from benchtui.money.dated import always_by_default, read_dated, show_dated, words_read
from benchtui.money.entries import ROLES, Closed, Entry
from benchtui.money.journal import account_names
from benchtui.money.ledger import shop_entries
from benchtui.money.policy import Rates, policy_of
from benchtui.money.price_index import read_price_index, show_price_index
from benchtui.money.rounding import RULES, rate_of

Settings = Mapping[str, Any]
_UNSAID = {"half_life_days": "730", "disc_weight": "0.6", "missing_extra": "0.9", "swapped_part": "0.8"}
"""What an emptied line goes back to."""


class Rule(NamedTuple):
    """``read(text, currency, today)`` gives the setting, or raises ValueError; the whole is then checked."""

    name: str
    label: str
    about: str
    read: Callable[[str, str, date], Any]
    show: Callable[[Settings], str]
    dated: bool = False
    """Whether it holds from a day on: figures of earlier days are never reckoned with a later rate."""
    words: bool = False
    """Whether it is only written on papers, and moves no figure."""


_FIGURE = re.compile(r"\d+(?:\.\d+)?(?:/\d+)?")


def _text(name: str, label: str, about: str, dated: bool = False) -> Rule:
    def read(text: str, currency: str, today: date) -> Any:
        said = text.replace("%", "").replace(",", ".").strip()
        if name != "vat_rate":
            return said
        if said and said.casefold() != "none" and not _FIGURE.fullmatch(said):
            raise ValueError(f"'{text.strip()}' is no rate: write 20, 20 from 2026-04-01, 20 always, or none")
        return "" if said.casefold() == "none" else said

    def show(settings: Settings) -> str:
        return str(settings.get(name) or _UNSAID.get(name, ""))

    return Rule(name, label, about, read, show, dated)


def _one_of(
    name: str, label: str, choices: tuple[str, ...], silent: str, about: str = "", dated: bool = False
) -> Rule:
    """One of a few words, typed as far as it is told from the others; ``silent``: what holds unsaid."""

    def read(text: str, currency: str, today: date) -> Any:
        word = " ".join(text.casefold().split())
        found = [one for one in choices if one == word] or [
            one for one in choices if word and one.startswith(word)
        ]
        if len(found) != 1:
            raise ValueError(f"'{text.strip()}' is not one of {', '.join(choices)}")
        return found[0]

    days = f"{choices[-1]} from today, {choices[-1]} from 2026-04-01, or {choices[-1]} always: "
    return Rule(
        name,
        label,
        f"{days if dated else ''}{about}one of {', '.join(choices)}",
        read,
        lambda settings: str(settings.get(name) or silent),
        dated,
    )


def _read_steps(text: str, currency: str, today: date) -> list[list[str | None]]:
    """``10 0.50; 50 1; 5``: below 10 to 0.50, below 50 to 1, above to 5. Empty: the steps shipped."""
    rows: list[list[str | None]] = []
    for cell in filter(None, (cell.strip() for cell in text.split(";"))):
        words = cell.replace(",", ".").split()
        if len(words) > 2:
            raise ValueError(
                f"'{cell}' is not a price step: write the limit, then the step: 10 0.50; 50 1; 5"
            )
        rows.append([words[0] if len(words) == 2 else None, words[-1]])
    return rows


def _show_steps(settings: Settings) -> str:
    pairs = (row if isinstance(row, list | tuple) else row.values() for row in settings["price_steps"] or [])
    return "; ".join(" ".join(str(word) for word in pair if word is not None) for pair in pairs)


def _show_currencies(settings: Settings) -> str:
    return "; ".join(f"{code} {decimals}" for code, decimals in settings["currencies"].items())


def _read_rates(text: str, currency: str, today: date) -> dict[str, str]:
    """``EUR 0.86; JPY 1/188``: BenchError or ValueError for a rate or a currency that there is not."""
    found = {}
    for cell in filter(None, (cell.strip() for cell in text.split(";"))):
        code, _, rate = (word.strip() for word in cell.partition(" "))
        minor_units(code.upper())
        rate_of(rate, f"the rate of {code.upper()}")
        found[code.upper()] = rate
    if currency in found:
        raise ValueError(f"{currency} is the shop's own money: give rates of others")
    return found


def _show_rates(settings: Settings) -> str:
    return "; ".join(f"{code} {rate}" for code, rate in (settings.get("rates") or {}).items())


def _read_wage(text: str, currency: str, today: date) -> Any:
    return dict(read_amount(text, currency).to_doc()) if text.strip() else None


def _read_closed(text: str, currency: str, today: date) -> str:
    return read_day(text, today).isoformat() if text.strip() else ""


def _words(name: str, label: str, about: str) -> Rule:
    """Words that stand on papers as they were typed."""
    return Rule(name, label, about, lambda text, currency, today: " ".join(text.split()),
                lambda settings: str(settings.get(name) or ""), words=True)  # fmt: skip


def _read_accounts(text: str, currency: str, today: date) -> dict[str, str]:
    """``bank Assets:Till; sales Income:Records``; BenchError for a role or an account that there is not."""
    pairs = [cell.strip().rpartition(" ") for cell in text.split(";") if cell.strip()]
    named = {role.strip(): account for role, _, account in pairs}
    account_names({"accounts": named})
    return named


def _show_accounts(settings: Settings) -> str:
    return "; ".join(f"{role} {account}" for role, account in (settings.get("accounts") or {}).items())


FROM = "20 from today, 20 from 2026-04-01, or 20 always: "
RULES_SET: tuple[Rule, ...] = (
    _one_of("margin_scheme", "margin scheme", ("none", "item", "period"), "none", dated=True),
    _text("vat_rate", "VAT rate %", f"{FROM}the rate your tax authority gives; none is shipped", True),
    _one_of("vat_rounding", "VAT is rounded", RULES, "half-up", dated=True),
    _one_of("vat_period", "VAT period", ("month", "quarter", "year"), "quarter", dated=True),
    _text(
        "period_limit",
        "item limit",
        f"{FROM}a record that cost more goes item by item: see your authority's notice; none: no limit",
        True,
    ),
    _one_of("postage_in_margin", "postage in margin", ("yes", "no"), "yes", dated=True),
    _one_of("commission_vat", "VAT on commission", ("none", "added", "included"), "none", dated=True),
    _one_of(
        "late_cost",
        "late bills go to",
        ("unsold", "expense"),
        "unsold",
        "what is unsold, or no record: ",
        True,
    ),
    _one_of("conversion_rounding", "rates are rounded", RULES, "half-up"),
    Rule("price_steps", "price steps", "10 0.50; 50 1; 5 (below 10 to 0.50 ...)", _read_steps, _show_steps),
    Rule(
        "currencies",
        "other currencies",
        "codes newer than this program, with their decimals: XYZ 2; empty: none",
        lambda text, currency, today: read_currencies(text),
        _show_currencies,
    ),
    Rule(
        "rates",
        "rates for prices",
        "of books and sales seen in other money, yours for one of theirs: EUR 0.86; JPY 1/188; empty: none",
        _read_rates,
        _show_rates,
    ),
    _text("half_life_days", "a sale fades in", "days after which a sale seen counts half; empty: 730"),
    _text("disc_weight", "disc's weight", "the disc's share of a copy's worth, 0 to 1; empty: 0.6"),
    _text("missing_extra", "an extra missing", "leaves so much of the worth, 0 to 1; empty: 0.9"),
    _text("swapped_part", "a part swapped", "leaves so much of the worth, 0 to 1; empty: 0.8"),
    Rule(
        "price_index",
        "price index",
        "of a statistics office: 2020 100; 2024 117.3, or the path of a CSV or TOML file; empty: none",
        lambda text, currency, today: read_price_index(text),
        show_price_index,
    ),
    Rule(
        "hour_wage",
        "an hour of work",
        "what an hour is worth to you: the second look counts with it",
        _read_wage,
        lambda settings: shown(settings.get("hour_wage")),
    ),
    Rule(
        "opening_margin",
        "carried in at start",
        "by period: stock value or shortfall on the day you began here, an amount; empty: none",
        _read_wage,
        lambda settings: shown(settings.get("opening_margin")),
    ),
    Rule(
        "closed_through",
        "books closed to",
        "a day: its figures are written down and stay; later, corrections are entries of their own day",
        _read_closed,
        lambda settings: str(settings.get("closed_through") or ""),
    ),
    _words("name", "shop's name", "as invoices, receipts and files show it"),
    _words("address", "shop's address", "street, town, country: as invoices and receipts show it"),
    _words("vat_number", "VAT number", "as your tax authority writes it: invoices show it; empty: none"),
    _words(
        "margin_wording",
        "margin wording",
        f"what your law asks for on an invoice under the margin scheme; empty: {MARGIN_WORDS}",
    ),
    Rule(
        "accounts",
        "journal's accounts",
        f"role and account: bank Assets:Till; sales Income:Records. Roles: {', '.join(ROLES)}",
        _read_accounts,
        _show_accounts,
        words=True,
    ),
    Rule("field", "your field", ABOUT, lambda text, currency, today: read_field(text), show_field),
)
BY_NAME = {rule.name: rule for rule in RULES_SET}


@command(
    "rules-page",
    "bench",
    "the shop's rules: VAT, rounding, price steps",
    short="rules",
    group="Queue",
    also="reckoning settings options tax vat scheme rounding shop's name address number wording accounts",
    changes="nothing",
    offered=190,
    order=470,
)
@command(
    "result-rules",
    "page",
    "the shop's rules: margin scheme, VAT rate, rounding, price steps",
    short="rules",
    also="reckoning settings options tax vat scheme rounding shop's name address number wording accounts",
    changes="nothing",
    on=("result",),
    order=1230,
)
def open_rules(desk: Desk) -> None:
    desk.open.page = Page("rules")
    read_periods(desk)


@command(
    "books-close",
    "bench",
    "close the books to a day: its figures stay as they are",
    short="close books",
    group="Queue",
    also="month end quarter year finish period accounts",
    changes="nothing",
    order=477,
)
@command(
    "close-books",
    "page",
    "close the books to a day: its figures stay as they are",
    short="close books",
    also="month end quarter year finish period accounts",
    changes="nothing",
    on=("parcel", "parcels", "result", "rules", "year", "sender"),
    order=1236,
)
def open_close_books(desk: Desk) -> None:
    """The line of that rule, on the page of all of them; with the last day of the month before in it."""
    open_rules(desk)
    if desk.open.page is not None:
        desk.open.page.marked = next(n for n, rule in enumerate(RULES_SET) if rule.name == "closed_through")
    enter(desk)
    line = desk.open.line
    if line is not None:
        through = date.fromisoformat(desk.today()).replace(day=1) - timedelta(days=1)
        line.text = max(line.text, through.isoformat())
        line.about = f"{BY_NAME['closed_through'].about}; today is {desk.today()}"
        desk.place()


@command(
    "field",
    "bench",
    "your field: the usual company and country, what number prefixes mean",
    short="your field",
    group="Look",
    also="company country prefix mono stereo usual",
    changes="nothing",
    offered=184,
    order=244,
)
def open_field(desk: Desk) -> None:
    """The line of that rule, on the page of all of them."""
    open_rules(desk)
    if desk.open.page is not None:
        desk.open.page.marked = next(n for n, rule in enumerate(RULES_SET) if rule.name == "field")
    enter(desk)


def read_periods(desk: Desk) -> None:
    """The accounts by period for the page, where the shop reckons by period; else why there are none."""
    page = desk.open.page
    if page is None or page.name != "rules":
        return
    page.data["periods"], page.data["trouble"] = [], ""
    try:
        if policy_of(desk.settings).scheme == "period":
            page.data["periods"] = periods_of(*_books(desk))
    except BenchError as error:
        page.data["trouble"] = str(error)


def _books(desk: Desk) -> tuple[list[Entry], Rates, str, list[Closed]]:
    """Entries, rates, today and what was closed, as `periods_of` wants them."""
    closed, settings, today = read_closed(desk.shop.closings()), desk.settings, desk.today()
    entries = shop_entries(all_parcels(desk), desk.shop.senders, settings, closed, today)
    return entries, Rates(settings), today, closed


def enter(desk: Desk) -> None:
    """Open the marked line with what it holds."""
    rule = RULES_SET[desk.open.marked(len(RULES_SET))]
    open_line(
        desk, f"rule-{rule.name}", rule.label, shown_rule(rule, desk.settings), rule.about, replace=True
    )


def shown_rule(rule: Rule, settings: Settings) -> str:
    """As it is typed; a setting edited into something else is shown as it stands."""
    try:
        return show_dated(settings, (rule.name,), rule.show) if rule.dated else rule.show(settings)
    except (AttributeError, KeyError, TypeError, ValueError):
        return str(settings.get(rule.name))


def _take(desk: Desk, line: OpenLine) -> None:
    """Keep it where all settings together still make sense; refused in one sentence otherwise."""
    rule = BY_NAME[line.name.removeprefix("rule-")]
    try:
        value = _read(rule, line.text, desk)
    except ValueError as error:
        desk.refuse(str(error))
        return
    value = value or _UNSAID.get(rule.name, value)
    if rule.name == "closed_through":
        _close_for_good(desk, line, value)
        return
    if rule.name == "currencies" and (kept := _currency_in_use(desk, value)):
        desk.refuse(f"{kept} keeps its decimals: there are amounts in that currency")
        return
    meant = Rates({**desk.settings, rule.name: value})
    for start in meant.starts:
        meant.on(start)  # raises where it is none on some day, past or to come
    was, before = shown_rule(rule, desk.settings) or "none", {rule.name: desk.settings.get(rule.name)}
    noted = {
        "at": desk.now(),
        "say": f"{rule.label} {_as_read(rule, line.text, desk) or 'none'}, was {was}",
        "names": [rule.name],
    }
    desk.shop.change_settings(**{rule.name: value}, **({} if rule.words else {"noted": noted}))
    desk.weighings.forget()
    booked = change_of_closed(desk.settings, desk.today(), before, {rule.name: value})
    since = _since_ever(rule, line.text, before[rule.name], value)
    desk.say(f"{rule.label}: {shown_rule(rule, desk.settings) or 'none'}{since}{booked}", "done")
    leave_line(desk)
    read_periods(desk)


def _since_ever(rule: Rule, typed: str, before: Any, now: Any) -> str:
    """What to say of the first value of a rule that holds by day: "" where a day or ``always`` was typed."""
    if not rule.dated or typed.strip().casefold().endswith("always") or not always_by_default(before, now):
        return ""
    return f" always, as nothing was set before; only from now on: {typed.strip()} from today"


def _told(desk: Desk, line: OpenLine) -> str:
    """What Enter makes of the line of a rule that holds by day: all of it, with the day from which."""
    rule = BY_NAME[line.name.removeprefix("rule-")]
    value, before = _read(rule, line.text, desk), desk.settings.get(rule.name)
    now = shown_rule(rule, {**desk.settings, rule.name: value})
    return f"{now}{_since_ever(rule, line.text, before, value)}" if now else "none"


def _as_read(rule: Rule, text: str, desk: Desk) -> str:
    """The line as it was read: ``period from 2026-04-01`` of ``p from 1 april``."""
    if not rule.dated:
        return text.strip()
    today = date.fromisoformat(desk.today())

    def one(cell: str) -> dict[str, Any]:
        return {rule.name: rule.read(cell, desk.currency, today)}

    return words_read(text, one, rule.show, today, read_day)


def _read(rule: Rule, text: str, desk: Desk) -> Any:
    """The setting that the line makes; a dated one keeps what held before. ValueError as the rule says."""
    today = date.fromisoformat(desk.today())
    if not rule.dated:
        return rule.read(text, desk.currency, today)
    if text.strip() == shown_rule(rule, desk.settings):
        return desk.settings.get(rule.name)

    def one(cell: str) -> dict[str, Any]:
        return {rule.name: rule.read(cell, desk.currency, today)}

    return read_dated(text, desk.settings, one, today, read_day)[rule.name]


def _close_for_good(desk: Desk, line: OpenLine, through: str) -> None:
    """The first Enter says what a closing means, the second one of the same day closes."""
    may_close(desk, through)
    if line.data.get("asked") != through:
        line.data["asked"] = through
        desk.place()
        again = desk.key("line-accept")
        said = f"close for good to {through}? {again} again: no entry on or before it any more"
        desk.say(said + _open_over(desk, through))
        return
    close_through(desk, through)
    leave_line(desk)


_NAMED = 3
"""So many open parcels are named."""


def _open_over(desk: Desk, through: str) -> str:
    """Which parcels are still open, and how many sales rest on shares that may still move; "" for none."""
    found = still_open(all_parcels(desk), through)
    said = [f"{parcel} ({sold} sale{'' if sold == 1 else 's'})" for parcel, sold in found[:_NAMED]]
    more = f" and {len(found) - _NAMED} more" if len(found) > _NAMED else ""
    return f"; still open, so what sales cost may still move: {', '.join(said)}{more}" if found else ""


def may_close(desk: Desk, through: str) -> None:
    """BenchError for a day that is not over, one that is closed already, and for none."""
    if not through:
        right = "closed entries stay; enter corrections today"
        raise BenchError("closed books are not opened again", "", right)
    if through >= desk.today():
        yesterday = (date.fromisoformat(desk.today()) - timedelta(days=1)).isoformat()
        said = (
            "is not over: nothing more could be sold on it" if through == desk.today() else "has not come yet"
        )
        raise BenchError(f"{through} {said}", "", f"close to {yesterday} or an earlier day")
    closed = str(desk.settings.get("closed_through") or "")
    if closed and through <= closed:
        right = f"enter a day after {closed}; what was wrong is corrected by an entry of today"
        raise BenchError(f"the books are closed to {closed}", "", right)


def close_through(desk: Desk, through: str) -> None:
    """Close the books up to a day: the figures are written down. BenchError says what speaks against it."""
    may_close(desk, through)
    keeping.all_saved(desk, "the books cannot be closed meanwhile")
    closed = read_closed(desk.shop.closings())
    doc = close_books(all_parcels(desk), desk.shop.senders, desk.settings, closed, through, desk.now())
    desk.shop.close_through(doc)
    desk.say(f"books closed to {through}: {len(doc['entries'])} entries written down", "done")


def _currency_in_use(desk: Desk, given: dict[str, int]) -> str:
    """A currency that would lose or change its decimals though something is kept in it; "" for none."""
    before = desk.settings["currencies"]
    lost = [code for code, decimals in before.items() if given.get(code) != decimals]
    kept = str((all_parcels(desk), desk.shop.sales_seen(), desk.shop.senders)) if lost else ""
    return next((code for code in lost if code == desk.currency or f"'{code}'" in kept), "")


for _rule in RULES_SET:
    LINES[f"rule-{_rule.name}"] = LineKind(_take, typed=shows(_told) if _rule.dated else None)
LINES["rule-field"] = LineKind(_take, typed=shows(lambda desk, line: field_read(line.text)))
