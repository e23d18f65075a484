"""A sender's page: what was agreed, a line each, and the account as it stands."""

from benchtui.bench.desk.core import Desk
from benchtui.bench.desk.sender_terms import TERMS
from benchtui.bench.draw.sheet import Glyphs, Line, clean, wrap
from benchtui.errors import BenchError
from benchtui.money import ESTIMATE, Statement, policy_of, terms_of

LABEL = 18


def draw_sender(desk: Desk, width: int, height: int, glyphs: Glyphs) -> list[Line]:
    page = desk.page
    sender = desk.shop.senders.get(str(page.data["sender"])) if page else None
    if page is None or sender is None:
        return [[("this sender is no longer in the shop", "dim")]]
    page.marked = max(0, min(page.marked, len(TERMS) - 1))
    lines: list[Line] = [[("Sender ", "accent bold"), (clean(str(sender.get("name", ""))), "bold")]]
    for n, field in enumerate(TERMS):
        here = n == page.marked
        lines.append(
            [
                (f"{glyphs.here if here else ' '} ", "accent bold"),
                (f"{field.label:<{LABEL}}", "bold" if here else "dim"),
                (clean(field.show(sender)), "bold" if here else ""),
            ]
        )
    lines += [[], *wrap(_agreed(desk, sender), width), *_account(desk, width)]
    start = max(0, min(page.marked + 1 - height // 2, len(lines) - height))
    return lines[start : start + height]


def _agreed(desk: Desk, sender: dict[str, object]) -> str:
    if not (sender.get("commission") or sender.get("bands")):
        return "No commission is agreed: nothing can be accounted for yet."
    try:
        return f"Agreed: {terms_of(sender, policy_of(desk.settings)).say()}."
    except BenchError as error:
        return str(error)


def _account(desk: Desk, width: int) -> list[Line]:
    """Sums of the statement; every figure an estimate."""
    page = desk.page
    made: Statement | None = page.data.get("account") if page else None
    if made is None:
        trouble = str(page.data.get("trouble") or "") if page else ""
        said = trouble or "The account is worked out when the statement is written."
        return [*wrap(said, width, "warn" if trouble else "dim"), *wrap(ESTIMATE, width, "dim")]
    sold = sum(bool(line.sold_on) for line in made.lines)
    back = sum(line.state == "handed back" for line in made.lines)
    counts = f"{sold} sold, {len(made.in_the_shop())} still in the shop"
    counts += f", {back} handed back" if back else ""
    counts += f", {made.apart} set apart and on no statement" if made.apart else ""
    rows = (
        ("sold for", made.gross),
        ("commission", -made.commission),
        ("charges", -made.charges),
        ("net", made.net),
        ("paid out", -made.paid_out),
        ("due", made.due),
    )
    lines: list[Line] = [[], [("Account ", "accent bold"), (f"as of {made.as_of}: {counts}", "dim")]]
    lines += [
        [(f"  {label:<{LABEL}}", "dim"), (f"{money.show():>18}", "bold" if label == "due" else "")]
        for label, money in rows
    ]
    return [*lines, *wrap(ESTIMATE, width, "dim")]
