"""Whose the record is, where it differs from its parcel: bought, or consigned by somebody."""

from functools import partial

from benchtui.base.errors import BenchError
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Choice, Desk, Menu, OpenLine
from benchtui.desk.core.late_change import dated
from benchtui.desk.core.needs import record_here
from benchtui.desk.line.lines import LINES, LineKind, close_line, left_empty, marked_pick, open_line
from benchtui.desk.parcel.parcel import SENDER_COLUMNS, sender_name, sender_picks
from benchtui.model.money import Money
from benchtui.money.standings import standing


@command(
    "record-terms",
    "page",
    "bought or consigned, if not as its parcel; after closing a dated correction",
    short="terms",
    also="owner consignment consigned bought whose",
    on=("record",),
    order=1195,
)
@command(
    "terms",
    "bench",
    "bought or consigned, if not as its parcel",
    short="terms",
    group="Record",
    also="owner consignment consigned bought whose",
    needs=[record_here],
    order=360,
)
def terms_menu(desk: Desk) -> None:
    head = desk.parcel.head
    who = sender_name(desk, head["sender"]) or "the sender"
    desk.open.menu = Menu(
        "This record is ...",
        (
            Choice("1", "bought: the shop's own", partial(set_terms, desk, "shop")),
            Choice(
                "2",
                f"consigned: to be sold for {who}",
                partial(set_terms, desk, head["sender"] or "sender"),
            ),
            Choice("3", "consigned by somebody else", partial(_ask_owner, desk)),
        ),
        f"the parcel's own terms: {head['terms']}",
        "terms",
    )


def _ask_owner(desk: Desk) -> None:
    open_line(desk, "owner", "consigned by", about="a few letters; Insert makes a new one")


def set_terms(desk: Desk, owner: str) -> None:
    """Write the record's terms and whose its parts are; of a closed day the difference is a correction of
    today.
    """
    record = desk.work.record
    if record is None:
        return
    if paid := standing(record).paid_out:
        said = f"{Money(paid, desk.currency).show()} was paid to its sender"
        raise BenchError(said, f"record {record['no']}", "correct that payment first")
    consigned = owner != "shop"
    name = desk.shop.senders.get(owner, {}).get("name", owner)  # alone: the parcel's history keeps the words
    words = f"consigned by {name}" if consigned else "bought"
    with dated(desk, f"record {record['no']}: {words}") as change:
        copy = desk.changed(change)
        copy["terms"] = "consigned" if consigned else "bought"
        copy["consignor"] = owner if consigned and owner in desk.shop.senders else None
        for part in copy["parts"]:
            part["owner"] = owner


@left_empty
def _take_owner(desk: Desk, line: OpenLine) -> None:
    pick = marked_pick(line)
    if pick is not None:
        close_line(desk)
        set_terms(desk, pick.value)
    else:
        _new_owner(desk, line)


def _new_owner(desk: Desk, line: OpenLine) -> None:
    name = " ".join(line.text.split())
    sender = desk.shop.add_sender(name)  # first, as a disk may not take it
    close_line(desk)
    set_terms(desk, sender)


LINES["owner"] = LineKind(_take_owner, sender_picks, new=_new_owner, columns=SENDER_COLUMNS)
