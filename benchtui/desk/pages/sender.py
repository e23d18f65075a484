"""A sender's page: what was agreed, a line each, and the account as it stands."""

from benchtui.base.errors import BenchError
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.needs import unless
from benchtui.desk.core.page_parts import Column, PageView, Para, Row, Table, says, words
from benchtui.desk.core.pages import page
from benchtui.desk.parcel.parcel import sender_name
from benchtui.desk.people.sender import enter
from benchtui.desk.people.sender_terms import TERMS, TermsField, show_terms
from benchtui.money.consign import terms_of
from benchtui.money.dated import is_dated
from benchtui.money.given_back import RETURNED
from benchtui.money.notice import CONSIGNED_ESTIMATE
from benchtui.money.policy import policy_of
from benchtui.money.statements import Statement

NAMED = 3
"""So many parcels of a kind are named."""


def _about(desk: Desk) -> tuple[str, str]:
    term = TERMS[desk.open.marked(len(TERMS))]
    return term.label, f"terms-{term.name}"


@page(
    "sender",
    "What is agreed with the sender, the account as of today, and what is due.",
    keys=("page-enter", "page-leave", "sender-statement", "sender-payout", "sender-book"),
    enter=enter,
    enter_needs=lambda desk: unless(not desk.shop.read_only, "this shop is open for reading only"),
    count=lambda desk: len(TERMS),
    about=_about,
    place="on the sender's page",
    opener="sender-page",
)
def sender(desk: Desk) -> PageView:
    data = desk.open.page.data if desk.open.page is not None else {}
    doc = desk.shop.senders.get(str(data.get("sender")))
    if doc is None:
        return PageView((("this sender is no longer in the shop", "dim"),))
    at = desk.open.marked(len(TERMS))
    came: dict[str, list[str]] = data.get("came_as") or {}
    return PageView(
        (("Sender ", "accent bold"), (sender_name(desk, str(data.get("sender"))), "bold")),
        (
            *_account(doc, data.get("account"), str(data.get("trouble") or "")),
            says(_agreed(desk, doc, set(came))),
            *_parcels(came),
        ),
        (Table((Column(), Column(rank=1)), [_field(doc, n, n == at) for n in range(len(TERMS))]),),
    )


def _parcels(came: dict[str, list[str]]) -> list[Para]:
    """Which parcel is which, where some of what came was bought and some is consigned; the latest first."""
    if len(came) < 2:
        return []
    told = []
    for terms, ids in sorted(came.items()):
        more = f" and {len(ids) - NAMED} more" if len(ids) > NAMED else ""
        told.append(f"{terms} {', '.join(sorted(ids, reverse=True)[:NAMED])}{more}")
    return [says("; ".join(told), "dim")]


def _field(doc: dict[str, object], n: int, here: bool) -> Row:
    field = TERMS[n]
    cells = (words(field.label, "bold" if here else "dim"), words(_shown(field, doc), "bold" if here else ""))
    return Row(f"terms:{field.name}", cells, marked=here)


def _shown(field: TermsField, doc: dict[str, object]) -> str:
    """As it is typed; what a file edited by hand holds instead is shown as it stands."""
    try:
        return show_terms(field, doc)
    except (AttributeError, KeyError, TypeError, ValueError):
        return str(doc.get(field.name))


def _nothing_agreed(doc: dict[str, object]) -> bool:
    return not (doc.get("commission") or doc.get("bands"))


_SINCE_EVER = "; this commission holds from the beginning"


def _agreed(desk: Desk, doc: dict[str, object], came: set[str]) -> str:
    """``came``: as what their records came; what was bought from them never stands on their account."""
    if _nothing_agreed(doc) and "consigned" in came:
        bought = " What was bought from them needs none." if "bought" in came else ""
        return f"No commission agreed yet: nothing they consigned can be accounted for.{bought}"
    if _nothing_agreed(doc) and ("bought" in came or doc.get("terms") == "bought"):
        return "Bought from: a commission is agreed only for what they consign."
    if _nothing_agreed(doc):
        return "No commission agreed yet: nothing can be accounted for."
    try:
        since = "" if any(is_dated(doc.get(name)) for name in ("commission", "bands")) else _SINCE_EVER
        agreed = f"Agreed: {terms_of(doc, policy_of(desk.settings)).say()}{since}."
    except BenchError as error:
        return str(error)
    none = "" if "consigned" in came else " Nothing of theirs is consigned so far."
    return f"{agreed}{none} What was bought from them stands on no account." if "bought" in came else agreed


def _account(doc: dict[str, object], made: Statement | None, trouble: str) -> list[Para]:
    """Sums of the statement, with what of them is an estimate."""
    if made is None:
        said = trouble or "The account is worked out when you write the statement."
        paras = [] if _nothing_agreed(doc) else [says(said, "warn" if trouble else "dim")]
        return [*paras, says(CONSIGNED_ESTIMATE, "dim")]
    vat = f" - VAT on it {made.vat.plain()}" if made.vat.minor else ""
    return [
        Para((("Account ", "accent bold"), (f"as of {made.as_of}: {_counts(made)}", "dim"))),
        says(
            f"sold {made.gross.plain()} - commission {made.commission.plain()}{vat}"
            f" - charges {made.charges.plain()} = net {made.net.show()}"
        ),
        Para(((f"paid out {made.paid_out.plain()}, ", ""), (f"due {made.due.show()}", "bold"))),
        says(CONSIGNED_ESTIMATE, "dim"),
    ]


def _counts(made: Statement) -> str:
    returned = {(line.record, line.sold_on) for line in made.lines if line.state == RETURNED}
    sales = [line for line in made.lines if line.state == "sold"]
    off = {(line.record, -line.price.minor) for line in made.lines if line.state == "correction"}
    void = [one for one in sales if one.price.minor and (one.record, one.price.minor) in off]
    left = [one for one in sales if one not in void]
    sold = sum(not any(key == one.record and on >= one.sold_on for key, on in returned) for one in left)
    back = sum(line.state == "handed back" for line in made.lines)
    counts = f"{sold} sold, {len(made.in_the_shop())} still in the shop"
    counts += f", {back} handed back" if back else ""
    return counts + (f", {made.apart} set apart, on no statement" if made.apart else "")
