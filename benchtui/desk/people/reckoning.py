"""How the shop reckons: its rates and rules, set by the dealer a line each, and the accounts by period."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Desk, OpenLine, Page
from benchtui.desk.line.amount_typed import read_amount, shown
from benchtui.desk.line.day_typed import read_day
from benchtui.desk.line.lines import LINES, LineKind, open_line
from benchtui.desk.people.sender import all_parcels
from benchtui.desk.sale.record_life import leave_line
from benchtui.model.currencies import read_currencies
from benchtui.money import period_accounts, policy_of
from benchtui.money.rounding import RULES

Settings = Mapping[str, Any]
_UNSAID = {"half_life_days": "730", "disc_weight": "0.6", "missing_extra": "0.9", "swapped_part": "0.8"}
"""What an emptied line goes back to."""


@dataclass(frozen=True)
class Rule:
    """``read(text, currency, today)`` gives the setting, or raises ValueError; the whole is then checked."""

    name: str
    label: str
    about: str
    read: Callable[[str, str, date], Any]
    show: Callable[[Settings], str]


def _text(name: str, label: str, about: str) -> Rule:
    def read(text: str, currency: str, today: date) -> Any:
        return text.replace("%", "").replace(",", ".").strip()

    return Rule(name, label, about, read, lambda settings: str(settings.get(name) or _UNSAID.get(name, "")))


def _one_of(name: str, label: str, choices: tuple[str, ...], silent: str) -> Rule:
    """One of a few words, typed as far as it is told from the others; ``silent``: what holds unsaid."""

    def read(text: str, currency: str, today: date) -> Any:
        word = " ".join(text.casefold().split())
        found = [one for one in choices if one == word] or [
            one for one in choices if word and one.startswith(word)
        ]
        if len(found) != 1:
            raise ValueError(f"'{text.strip()}' is not one of {', '.join(choices)}")
        return found[0]

    return Rule(
        name,
        label,
        f"one of {', '.join(choices)}",
        read,
        lambda settings: str(settings.get(name) or silent),
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


def _read_wage(text: str, currency: str, today: date) -> Any:
    return dict(read_amount(text, currency).to_doc()) if text.strip() else None


def _read_closed(text: str, currency: str, today: date) -> str:
    return read_day(text, today).isoformat() if text.strip() else ""


RULES_SET: tuple[Rule, ...] = (
    _one_of("margin_scheme", "margin scheme", ("none", "item", "period"), "none"),
    _text("vat_rate", "VAT rate %", "the rate your tax authority gives; none is shipped; empty: none set"),
    _one_of("vat_rounding", "VAT is rounded", RULES, "half-up"),
    _one_of("vat_period", "VAT period", ("month", "quarter", "year"), "quarter"),
    _text("period_limit", "dearest by period", "a dearer record goes item by item; empty: no limit"),
    _one_of("conversion_rounding", "rates are rounded", RULES, "half-up"),
    Rule("price_steps", "price steps", "10 0.50; 50 1; 5 (below 10 to 0.50 ...)", _read_steps, _show_steps),
    Rule(
        "currencies",
        "other currencies",
        "codes newer than this program, with their decimals: XYZ 2; empty: none",
        lambda text, currency, today: read_currencies(text),
        _show_currencies,
    ),
    _text("half_life_days", "a sale fades in", "days after which a sale seen counts half; empty: 730"),
    _text("disc_weight", "disc's weight", "the disc's share of a copy's worth, 0 to 1; empty: 0.6"),
    _text("missing_extra", "an extra missing", "leaves so much of the worth, 0 to 1; empty: 0.9"),
    _text("swapped_part", "a part swapped", "leaves so much of the worth, 0 to 1; empty: 0.8"),
    Rule(
        "hour_wage",
        "an hour of work",
        "what an hour is worth to you: the second look counts with it",
        _read_wage,
        lambda settings: shown(settings.get("hour_wage")),
    ),
    Rule(
        "closed_through",
        "books closed to",
        "nothing can be entered on that day or before; empty: open",
        _read_closed,
        lambda settings: str(settings.get("closed_through") or ""),
    ),
)
BY_NAME = {rule.name: rule for rule in RULES_SET}


@command(
    "rules-page",
    "bench",
    "the shop's rules: VAT, rounding, price steps",
    short="reckoning",
    group="Queue",
    also="settings options tax vat scheme rounding",
    changes="nothing",
    offered=190,
    order=470,
)
@command(
    "result-rules",
    "page",
    "the shop's rules: margin scheme, VAT rate, rounding, price steps",
    short="rules",
    also="settings options tax vat scheme rounding",
    changes="nothing",
    on=("result",),
    order=1230,
)
def open_rules(desk: Desk) -> None:
    desk.open.page = Page("rules")
    read_periods(desk)


def read_periods(desk: Desk) -> None:
    """The accounts by period for the page, where the shop reckons by period; else why there are none."""
    page = desk.open.page
    if page is None or page.name != "rules":
        return
    page.data["periods"], page.data["trouble"] = [], ""
    try:
        if policy_of(desk.settings).scheme == "period":
            page.data["periods"] = period_accounts(all_parcels(desk), desk.settings, until=desk.today())
    except BenchError as error:
        page.data["trouble"] = str(error)


def enter(desk: Desk) -> None:
    """Open the marked line with what it holds."""
    page = desk.open.page
    if page is None:
        return
    rule = RULES_SET[max(0, min(page.marked, len(RULES_SET) - 1))]
    open_line(
        desk, f"rule-{rule.name}", rule.label, shown_rule(rule, desk.settings), rule.about, replace=True
    )


def shown_rule(rule: Rule, settings: Settings) -> str:
    """As it is typed; a setting edited into something else is shown as it stands."""
    try:
        return rule.show(settings)
    except (AttributeError, KeyError, TypeError, ValueError):
        return str(settings.get(rule.name))


def _take(desk: Desk, line: OpenLine) -> None:
    """Keep it where all settings together still make sense; refused in one sentence otherwise."""
    rule = BY_NAME[line.name.removeprefix("rule-")]
    try:
        value = rule.read(line.text, desk.currency, date.fromisoformat(desk.today()))
    except ValueError as error:
        desk.refuse(str(error))
        return
    value = value or _UNSAID.get(rule.name, value)
    if rule.name == "currencies" and (kept := _currency_in_use(desk, value)):
        desk.refuse(f"{kept} keeps its decimals: there are amounts in that currency")
        return
    policy_of({**desk.settings, rule.name: value})
    desk.shop.change_settings(**{rule.name: value})
    desk.weighings.forget()
    desk.say(f"{rule.label}: {shown_rule(rule, desk.settings) or 'none'}", "done")
    leave_line(desk)
    read_periods(desk)


def _currency_in_use(desk: Desk, given: dict[str, int]) -> str:
    """A currency that would lose or change its decimals though something is kept in it; "" for none."""
    before = desk.settings["currencies"]
    lost = [code for code, decimals in before.items() if given.get(code) != decimals]
    kept = str((all_parcels(desk), desk.shop.sales_seen(), desk.shop.senders)) if lost else ""
    return next((code for code in lost if code == desk.currency or f"'{code}'" in kept), "")


for _rule in RULES_SET:
    LINES[f"rule-{_rule.name}"] = LineKind(_take)
