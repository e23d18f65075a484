"""All parcels of the shop, a row each."""

from benchtui.base.signs import visible
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.needs import unless
from benchtui.desk.core.page_parts import Column, PageView, Para, Row, Table, words
from benchtui.desk.core.pages import Keys, page
from benchtui.desk.parcel.parcel import sender_name
from benchtui.desk.session.paging import open_parcel
from benchtui.store import Summary

COPIES_SHOWN = 2


def _keys(desk: Desk) -> Keys:
    if desk.work.parcel is not None:
        return ("page-enter", "page-new", "page-leave", "parcels-titles", "parcels-undo-list")
    return (*(["page-enter"] if desk.shop.parcels() else []), "page-new", "parcels-titles")


def _none_yet(desk: Desk) -> str:
    return unless(desk.shop.parcels(), "no parcel yet")


def _enter(desk: Desk) -> None:
    found = desk.shop.parcels()
    if found:
        open_parcel(desk, found[desk.open.marked(len(found))].id)


@page(
    "parcels",
    "All parcels of the shop. Enter opens the marked one where it was left.",
    keys=_keys,
    enter=_enter,
    enter_needs=_none_yet,
    count=lambda desk: len(desk.shop.parcels()),
    place="on the page of all parcels ({parcels-page})",
)
def parcels(desk: Desk) -> PageView:
    found = desk.shop.parcels()
    at = desk.open.marked(len(found))
    title = [("Parcels", "accent bold"), (f"  {visible(str(desk.shop.home.where))}", "dim")]
    if desk.background.loading and desk.work.parcel is None:  # else the strip says it
        title.append((f"  loading {desk.background.loading}", "warn"))
    columns = (
        Column("parcel"),
        Column("opened", rank=6, least=0),
        Column("sender", rank=2),
        Column("terms", rank=4, least=9),
        Column("taken in"),
        Column("", rank=5),
    )
    empty = "No parcel yet. n opens one: its sender, what it cost, how many records are in it."
    rows = [_row(desk, one, n == at) for n, one in enumerate(found)]
    table = Table(columns, rows, empty=words(empty), name="parcels")
    return PageView(tuple(title), sections=(table,), foot=(*_given_up(desk), *_copies(desk)))


def _given_up(desk: Desk) -> tuple[Para, ...]:
    count, again = len(desk.shop.given_up()), desk.key("parcels-take-up")
    said = f"given up: {count} {'parcel' if count == 1 else 'parcels'}; {again} takes one up again"
    return (Para(words(said, "dim")),) if count else ()


def _copies(desk: Desk) -> tuple[Para, ...]:
    """What a folder-sync service left beside the shop's files."""
    found = desk.shop.copies()
    said = [one.line() for one in found[:COPIES_SHOWN]]
    if len(found) > COPIES_SHOWN:
        said.append(f"{len(found) - COPIES_SHOWN} more conflict copies: benchtui check lists them all")
    return tuple(Para(words(line, "warn"), lead=words("! ", "warn"), hang=2) for line in said)


def _row(desk: Desk, one: Summary, here: bool) -> Row:
    style = "bold" if here else ""
    cells = (
        words(one.id, style),
        words(one.opened or "-", style),
        words(sender_name(desk, one.sender) or "no sender yet", style),
        words(one.terms, "dim"),
        words(f"{one.counts.get('taken-in', 0)} of {sum(one.counts.values())}", "dim"),
        words(one.state, "dim"),
    )
    return Row(f"parcel:{one.id}", cells, marked=here)
