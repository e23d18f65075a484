"""A sender's page: what was agreed, a line each, and the account as it stands."""

from benchtui.base.errors import BenchError
from benchtui.bench.draw.scroll import around
from benchtui.bench.pieces import Glyphs, Line, clean, wrap
from benchtui.desk.core import Desk
from benchtui.desk.sender_terms import TERMS, TermsField
from benchtui.money import ESTIMATE, Statement, policy_of, terms_of

LABEL = 18


def draw_sender(desk: Desk, width: int, height: int, glyphs: Glyphs) -> list[Line]:
    page = desk.page
    sender = desk.shop.senders.get(str(page.data["sender"])) if page else None
    if page is None or sender is None:
        return [[("this sender is no longer in the shop", "dim")]]
    page.marked = max(0, min(page.marked, len(TERMS) - 1))
    head: list[Line] = [
        [("Sender ", "accent bold"), (clean(str(sender.get("name", ""))), "bold")],
        *_account(desk, width),
        *wrap(_agreed(desk, sender), width),
        [],
    ]
    fields = [_field(sender, n, n == page.marked, glyphs) for n in range(len(TERMS))]
    return around(head + fields, len(head), page.marked, height)


def _field(sender: dict[str, object], n: int, here: bool, glyphs: Glyphs) -> Line:
    field = TERMS[n]
    return [
        (f"{glyphs.here if here else ' '} ", "accent bold"),
        (f"{field.label:<{LABEL}}", "bold" if here else "dim"),
        (clean(_shown(field, sender)), "bold" if here else ""),
    ]


def _shown(field: TermsField, sender: dict[str, object]) -> str:
    """As it is typed; what a file edited by hand holds instead is shown as it stands."""
    try:
        return field.show(sender)
    except (AttributeError, KeyError, TypeError, ValueError):
        return str(sender.get(field.name))


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
        if "no commission" in trouble:
            return wrap(ESTIMATE, width, "dim")
        said = trouble or "The account is worked out when the statement is written."
        return [*wrap(said, width, "warn" if trouble else "dim"), *wrap(ESTIMATE, width, "dim")]
    sold = sum(bool(line.sold_on) for line in made.lines)
    back = sum(line.state == "handed back" for line in made.lines)
    counts = f"{sold} sold, {len(made.in_the_shop())} still in the shop"
    counts += f", {back} handed back" if back else ""
    counts += f", {made.apart} set apart and on no statement" if made.apart else ""
    sums = (
        f"sold {made.gross.plain()} - commission {made.commission.plain()} - charges {made.charges.plain()}"
        f" = net {made.net.show()}"
    )
    return [
        [("Account ", "accent bold"), (f"as of {made.as_of}: {counts}", "dim")],
        *wrap(sums, width),
        [(f"paid out {made.paid_out.plain()}, ", ""), (f"due {made.due.show()}", "bold")],
        *wrap(ESTIMATE, width, "dim"),
    ]
