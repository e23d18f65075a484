"""How the shop reckons: its rates and rules, a line each, and the accounts by period."""

from benchtui.bench.draw.scroll import around
from benchtui.bench.pieces import Glyphs, Line, clean, wrap
from benchtui.desk.core import Desk
from benchtui.desk.reckoning import RULES_SET, shown_rule
from benchtui.money import ESTIMATE, Period

LABEL = 18
SHOWN = 4


def draw_rules(desk: Desk, width: int, height: int, glyphs: Glyphs) -> list[Line]:
    page = desk.page
    if page is None:
        return []
    page.marked = max(0, min(page.marked, len(RULES_SET) - 1))
    head: list[Line] = [
        [("How the shop reckons", "accent bold"), ("  no rate is shipped: you set them", "dim")],
        *wrap(ESTIMATE, width, "dim"),
        *_periods(page.data.get("periods") or [], width),
        *wrap(str(page.data.get("trouble") or ""), width, "warn"),
        [],
    ]
    lines: list[Line] = []
    for n, rule in enumerate(RULES_SET):
        here = n == page.marked
        lines.append(
            [
                (f"{glyphs.here if here else ' '} ", "accent bold"),
                (f"{rule.label:<{LABEL}}", "bold" if here else "dim"),
                (clean(shown_rule(rule, desk.settings)), "bold" if here else ""),
            ]
        )
    return around(head + lines, len(head), page.marked, height)


def _periods(periods: list[Period], width: int) -> list[Line]:
    """The last few, the newest below; a shortfall is carried on and never a tax below nothing."""
    if not periods:
        return []
    names = ("period", "bought", "sold", "carried in", "margin", "VAT in it", "carried on")
    lines: list[Line] = [[("".join(f"{name:>11}" for name in names), "dim")]]
    for one in periods[-SHOWN:]:
        amounts = (one.purchases, one.sales, one.carried_in, one.margin, one.vat, one.carried_on)
        cells = f"{one.name:>11}" + "".join(f"{money.plain():>11}" for money in amounts)
        lines.append([(cells, "")])
    return [*lines, *wrap("without the records whose scheme is not answered yet", width, "dim")]
