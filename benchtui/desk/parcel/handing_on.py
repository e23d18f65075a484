"""Handing on: the day's intake by one key, and the note for the sender when a parcel is closed."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from functools import partial
from pathlib import Path

from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Choice, Desk, Menu
from benchtui.desk.core.keeping import exports, write_soon
from benchtui.desk.core.lives import changing, parcel_for
from benchtui.desk.parcel.parcel import sender_name
from benchtui.export.files import write_whole
from benchtui.export.gather import left_out_of, weigher
from benchtui.export.handed_out import LAST
from benchtui.export.layout import layouts_of
from benchtui.export.listed import Listings, keep_listings
from benchtui.export.run import Ask, export, file_name
from benchtui.export.wording import local_day
from benchtui.store import Change


@command(
    "export-day",
    "bench",
    "write the day's intake as CSV",
    short="export",
    group="Queue",
    also="csv file write website intake save",
    changes="nothing",
    offered=210,
    often=160,
    order=490,
)
def export_day(desk: Desk) -> None:
    """Write today's intake over all parcels as CSV among the shop's exports."""
    write_soon(desk, "the day's intake", partial(_export_day, desk))


def _export_day(desk: Desk) -> None:
    day = date.fromisoformat(desk.today())
    ask = Ask("intake", today=day, day=day)
    path = exports(desk) / file_name(ask)
    told: list[str] = []
    rows = export(desk.shop, ask, path, weigher(desk.shop, desk.library), tell=told.append)
    said = f"{rows} {'row' if rows == 1 else 'rows'} of {day.isoformat()} written: {path}"
    unpriced = _without_price(desk, day)
    if unpriced:
        said += f"; without a price: {', '.join(unpriced)}"
    left = left_out_of(desk.shop, day)
    if left:
        said += f"; {len(left)} left out, set apart: " + "; ".join(one.say for one in left[:3])
    desk.say("; ".join((said, *told)), "done")


@command(
    "hand-out",
    "bench",
    "export what changed since the last time: new, changed, price, gone",
    short="changes",
    group="Queue",
    also="listing website update changes since last place places",
    offered=212,
    order=492,
)
@command(
    "parcels-hand-out",
    "page",
    "export what changed since the last time: new, changed, price, gone",
    short="changes",
    also="listing website update changes since last place places",
    on=("parcels",),
    order=812,
)
def hand_out(desk: Desk) -> None:
    """What changed since the last hand-out, as CSV among the shop's exports; for which place is asked."""
    layouts = layouts_of(desk.shop.path, "intake")
    if not layouts:
        _hand_out_soon(desk, None)
        return
    places = [("the intake, all columns", None), *((f"the layout {name}", name) for name in layouts)]
    choices = [
        Choice(str(n), words, partial(_hand_out_soon, desk, name))
        for n, (words, name) in enumerate(places[:9], 1)
    ]
    desk.open.menu = Menu("What changed, for which place?", tuple(choices), name="hand-out")


def _hand_out_soon(desk: Desk, layout: str | None) -> None:
    desk.open.menu = None
    write_soon(desk, "what changed", partial(_hand_out, desk, layout))


def _hand_out(desk: Desk, layout: str | None) -> None:
    ask = Ask("intake", today=date.fromisoformat(desk.today()), layout=layout, handed=LAST)
    told: list[str] = []
    missed: list[str] = []
    path = exports(desk) / file_name(ask)

    def noted(found: Listings, place: str) -> None:
        missed.extend(keep_listings(found, place, partial(_opened, desk)))

    export(desk.shop, ask, path, weigher(desk.shop, desk.library), tell=told.append, noted=noted)
    behind = f"; not noted with its records: {missed[0]}" if missed else ""
    *before, said = told
    desk.say("; ".join((f"{said}: {path}{behind}", *before)), "done")


@contextmanager
def _opened(desk: Desk, parcel_id: str, say: str) -> Iterator[Change]:
    with parcel_for(desk, parcel_id) as parcel, changing(desk, parcel, say) as change:
        yield change


def _without_price(desk: Desk, day: date) -> list[str]:
    """Stock numbers of the day's records in the open parcel that have no price and are not set apart."""

    found = []
    for record in desk.work.records:
        today = local_day(record.get("taken_in_at")) == day
        if record["state"] == "taken-in" and today and record["price"] is None and not record["set_apart"]:
            found.append(str(record["stock"]))
    return found


def write_sender_note(desk: Desk, said: list[str]) -> Path:
    """What came short or over, as a text fit to be sent."""

    parcel = desk.work.parcel
    assert parcel is not None
    head = parcel.head
    lines = [
        f"Parcel {head['id']}, opened {head['opened']}",
        f"To {sender_name(desk, head['sender']) or 'the sender'}",
        "",
        *said,
    ]
    if head["packing"] or head["damage"]:
        lines += [
            "",
            *filter(
                None,
                (
                    f"Packing: {head['packing']}" if head["packing"] else "",
                    f"Damage seen: {head['damage']}" if head["damage"] else "",
                ),
            ),
        ]
    path = exports(desk) / f"note-{head['id']}.txt"
    write_whole(path, ("\n".join(lines) + "\n").encode())
    return path
