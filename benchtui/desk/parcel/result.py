"""The parcel's result: what it cost and should bring, and how its cost is shared out."""

from functools import partial

from benchtui.base.errors import BenchError
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Choice, Desk, Menu, OpenLine, Page
from benchtui.desk.core.needs import parcel_open, unless
from benchtui.desk.line.amount_typed import read_amount
from benchtui.desk.line.lines import LINES, LineKind, close_line, left_empty, open_line
from benchtui.model.parcel import HeadDoc
from benchtui.money.charges import landed, own_terms
from benchtui.money.policy import policy_of
from benchtui.money.result import ParcelResult, parcel_result
from benchtui.money.spreading import freeze, spread

HOWS = (
    ("w", "worked", "by worked price"),
    ("e", "even", "evenly"),
    ("h", "hand", "by hand, the rest by worked price"),
)
HOW_WORDS = {how: words for _, how, words in HOWS}


def result_of(desk: Desk) -> ParcelResult:
    """The result of the parcel as it stands, worked out once for each change. BenchError as money says."""
    parcel, page = desk.work.parcel, desk.open.page
    assert parcel is not None
    key = (parcel.id, parcel.head["revision"])
    kept = page.data.get("result") if page else None
    if kept is not None and kept[0] == key:
        found: ParcelResult = kept[1]
        return found
    made = parcel_result(parcel.head, parcel.records, desk.settings, senders=desk.shop.senders)
    if page is not None:
        page.data["result"] = (key, made)
    return made


def frozen_shares(desk: Desk) -> dict[str, int]:
    """What each record that stays in the parcel cost, to be frozen when it is closed. BenchError as money
    says: shares that do not add up, a charge without its rate."""
    parcel = desk.work.parcel
    assert parcel is not None
    policy = policy_of(desk.settings)
    staying = [record for record in parcel.records if record["state"] != "empty"]
    return freeze(spread(parcel.head, landed(parcel.head, policy.currency, policy.conversion), staying))


@command(
    "result-page",
    "page",
    "paid, cost to get here, asked, expected margin, as bars",
    short="result",
    also="profit margin money bars",
    needs=[parcel_open],
    changes="nothing",
    on=("parcel",),
    offered=20,
    order=1200,
)
def open_result(desk: Desk) -> None:
    desk.open.page = Page("result")


def _shares_open(desk: Desk) -> str:
    return unless(not desk.parcel.closed, "the shares are frozen since the parcel was closed")


@command(
    "result-how",
    "page",
    "share the cost by worked price, evenly or by hand",
    short="shares",
    also="spread cost apportion",
    needs=[_shares_open],
    on=("result",),
    order=1210,
)
def how_menu(desk: Desk) -> None:
    now = desk.parcel.head["share_how"] or "worked"
    choices = [
        Choice(key, words, partial(share_by, desk, how), "•" if how == now else "")
        for key, how, words in HOWS
    ]
    desk.open.menu = Menu("The cost to get here is shared ...", tuple(choices), name="shares")


def share_by(desk: Desk, how: str) -> None:
    """Choose how the cost is shared. BenchError where it does not come out, and then nothing is changed."""
    with desk.act(f"parcel: shares {HOW_WORDS[how]}") as change:
        change.head["share_how"] = how
        if desk.work.parcel is not None:
            _must_come_out(desk, change.head, {})


@command(
    "result-share",
    "page",
    "set a record's share of the cost by hand",
    short="by hand",
    also="cost own",
    needs=[_shares_open],
    on=("result",),
    order=1220,
)
def open_share(desk: Desk) -> None:
    open_line(
        desk,
        "share-by-hand",
        "share by hand",
        about="number in the queue and amount: 3 12.50; 5 8 (a number alone: by price again)",
    )


@left_empty
def _take_share(desk: Desk, line: OpenLine) -> None:
    """Shares set by hand, those of the other records spread over what is left."""
    try:
        given = [_one(desk, cell) for cell in line.text.split(";") if cell.strip()]
    except ValueError as error:
        desk.refuse(str(error))
        return
    numbers = ", ".join(str(no) for no, _, _ in given)
    with desk.act(f"parcel: cost of record {numbers} by hand") as change:
        change.head["share_how"] = "hand"
        for _, record_id, minor in given:
            copy = change.record(record_id)
            copy["cost_by_hand"] = None if minor is None else {"minor": minor, "currency": desk.currency}
        _must_come_out(desk, change.head, {record_id: minor for _, record_id, minor in given})
    said = desk.open.message
    close_line(desk)
    desk.place()
    desk.say(said, "done")


def _one(desk: Desk, cell: str) -> tuple[int, str, int | None]:
    """(number, record id, minor units or None) of ``3 12.50``. ValueError saying what would be right."""
    number, _, amount = cell.strip().partition(" ")
    record = next((one for one in desk.work.records if str(one["no"]) == number), None)
    if record is None:
        raise ValueError(f"'{number}' is not a record here: the queue has 1 to {desk.work.next_no - 1}")
    if amount.strip() and own_terms(desk.parcel.head, record) == "consigned":
        raise ValueError(f"record {number} is consigned: what it bears follows from the postage, not by hand")
    minor = read_amount(amount, desk.currency).minor if amount.strip() else None
    return record["no"], record["id"], minor


def _must_come_out(desk: Desk, head: HeadDoc, given: dict[str, int | None]) -> None:
    """BenchError, before anything is saved, where the shares would not add up."""
    assert desk.work.parcel is not None
    policy = policy_of(desk.settings)
    records = [dict(record) for record in desk.work.parcel.records]
    for record in records:
        if record["id"] in given:
            minor = given[record["id"]]
            cost = None if minor is None else {"minor": minor, "currency": desk.currency}
            record["cost_by_hand"] = cost
    try:
        spread(head, landed(head, policy.currency, policy.conversion), records)  # type: ignore[arg-type]
    except BenchError as error:
        raise BenchError(error.what, "", error.right or "enter less, or share the cost another way") from None


LINES["share-by-hand"] = LineKind(_take_share)
