"""How the shop reckons: its rates and rules, a line each, and the accounts by period."""

from benchtui.desk.core.desk import Desk
from benchtui.desk.core.page_parts import Column, PageView, Row, Section, Table, Text, says, words
from benchtui.desk.core.pages import page
from benchtui.desk.people.reckoning import RULES_SET, enter, shown_rule
from benchtui.money.notice import ESTIMATE
from benchtui.money.scheme import Period

SHOWN = 4
"""So many of the latest periods are shown."""


def _about(desk: Desk) -> tuple[str, str]:
    rule = RULES_SET[desk.open.marked(len(RULES_SET))]
    return rule.label, f"rule-{rule.name}"


@page(
    "rules",
    "The shop's rules. Figures of tax are estimates: your authority and accountant decide.",
    keys=("page-enter", "page-leave"),
    enter=enter,
    count=lambda desk: len(RULES_SET),
    about=_about,
    place="on the page of the shop's rules ({rules-page})",
    opener="rules-page",
)
def rules(desk: Desk) -> PageView:
    data = desk.open.page.data if desk.open.page is not None else {}
    trouble = str(data.get("trouble") or "")
    return PageView(
        (("The shop's rules", "accent bold"), ("  no rates are shipped: set your own", "dim")),
        (says(ESTIMATE, "dim"), *([says(trouble, "warn")] if trouble else [])),
        (*_periods(data.get("periods") or []), _rules(desk)),
    )


def _rules(desk: Desk) -> Table:
    at = desk.open.marked(len(RULES_SET))
    rows = []
    for n, rule in enumerate(RULES_SET):
        cells = (
            words(rule.label, "bold" if n == at else "dim"),
            words(shown_rule(rule, desk.settings), "bold" if n == at else ""),
        )
        rows.append(Row(f"rule:{rule.name}", cells, marked=n == at))
    return Table((Column(), Column(rank=1)), rows, name="rules")


def _periods(periods: list[Period]) -> list[Section]:
    """The last few, the newest below; a shortfall is carried on and never a tax below nothing."""
    if not periods:
        return []
    names = ("bought", "sold", "carried in", "margin", "VAT in it", "carried on")
    rows = []
    for one in periods[-SHOWN:]:
        amounts = (one.purchases, one.sales, one.carried_in, one.margin, one.vat, one.carried_on)
        cells = (words(one.name), *(words(money.plain()) for money in amounts))
        rows.append(Row(f"period:{one.name}", cells, markable=False))
    columns = (Column("period"), *(Column(name, right=True) for name in names))
    left_out = says("without the records whose margin scheme is not answered yet", "dim")
    return [Table(columns, rows, name="periods"), Text((left_out,))]
