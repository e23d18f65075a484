"""Recognising the title: completion, picking, a new one from what was typed, repeating the last copy."""

from collections.abc import Iterator
from functools import partial
from typing import Any

from benchtui.desk.core.command import Legend, command
from benchtui.desk.core.desk import Desk, OpenLine, Pick
from benchtui.desk.core.field import facts_of_new
from benchtui.desk.core.needs import record_here
from benchtui.desk.hand import hand
from benchtui.desk.line.lines import (
    LINES,
    LineKind,
    close_line,
    marked_pick,
    open_line,
    refresh,
    settle,
    show_first,
)
from benchtui.desk.look.contradicted import title_of, with_new
from benchtui.desk.look.repeating import copy_last
from benchtui.desk.look.ticking import tick_off
from benchtui.desk.look.title_picks import TITLE_COLUMNS, picks_for, steps_for
from benchtui.desk.queue.background import load_again, load_on
from benchtui.desk.queue.dressing import dress
from benchtui.desk.queue.foresight import foreseen_parts
from benchtui.model.title import Title
from benchtui.titles.barcode import read_barcode
from benchtui.titles.lists import signature

ABOUT = "a few letters of artist, title or number, in any order; Enter takes one"


@command(
    "find-title",
    "bench",
    "find the record's title by a few letters",
    short="title",
    group="Record",
    also="artist album search identify catalogue barcode",
    legend=Legend(untitled=10),
    needs=[record_here],
    one_write=True,
    often=80,
    order=20,
)
def find_title(desk: Desk) -> None:
    """Open the title line, empty or with what it held when it was left."""
    if desk.work.record is None:
        desk.refuse("no record on the bench: choose one in the queue")
        return
    _look_for_lists(desk)
    open_line(desk, "title", "title", about=ABOUT)


def _look_for_lists(desk: Desk) -> None:
    """Load the title lists anew where the command line, or another bench, changed them since."""
    now = signature(desk.shop.path / "titles")
    was, desk.background.lists_seen = desk.background.lists_seen, now
    if was is not None and was != now and desk.background.job is None:
        desk.background.job = load_again(desk)


def _suggest(desk: Desk, line: OpenLine) -> list[Pick]:
    return with_new(desk.library, line.text, picks_for(desk, line.text))


def _steps(desk: Desk, line: OpenLine) -> Iterator[list[Pick]]:
    for picks in steps_for(desk, line.text):
        yield with_new(desk.library, line.text, picks)


def _typed(desk: Desk, line: OpenLine) -> None:
    """A barcode whose check digit is wrong is said at once, without a sound: more digits may come.

    A take-in pressed twice is no title: its second sign goes nowhere.
    """
    if line.text == desk.key("take-in") and not line.text.isalnum():
        line.text = ""
        refresh(desk)
        return
    remark = desk.finder.remark(line.text)
    if remark:
        desk.open.message, desk.open.tone = remark, "refused"
    elif line.text and not len(desk.finder):
        desk.open.message = (
            "no titles are known yet: artist - title - number makes one; F5 on the page of parcels"
        )
        desk.open.message, desk.open.tone = f"{desk.open.message} takes in a list", "plain"


def _accept(desk: Desk, line: OpenLine) -> None:
    pick = marked_pick(line)
    if pick is None and line.text.strip() and not line.picks:  # the lists may have come since it was typed
        while load_on(desk):
            pass
        refresh(desk)
        settle(desk)
        if line.picks and line.text == line.back:  # what is typed just now is known to whoever typed it
            show_first(desk)
            return
        pick = marked_pick(line)
    if pick is not None:
        title: Title = pick.value
        new = not title.id  # known from the sender's list only
        if new:
            title = make_title(desk, title)
        close_line(desk)
        take_title(desk, title, new)
        if new and pick.cells:
            back = f"{desk.key('undo')} takes it back"
            desk.say(f"{desk.open.message}: made of the sender's own words; {back}", desk.open.tone)
    elif line.text.strip():
        _new_if_meant(desk, line)
    else:
        close_line(desk)
        desk.say("")
        desk.place()


def _new_if_meant(desk: Desk, line: OpenLine) -> None:
    """Enter on what no list knows: ``artist - title`` is meant as a new title; a bare word only when pressed
    once more, since it is as likely a slip.
    """
    text = line.text.strip()
    barcode = read_barcode(text)
    plain = " - " not in text and " / " not in text and (barcode is None or barcode.valid is None)
    if plain and line.data.get("unknown") != text:
        line.data["unknown"] = text
        makes = "Enter once more makes it a new title (artist - title - number - year)"
        desk.refuse(f"nothing fits '{text}'; {makes}")
        desk.place()
        return
    _new(desk, line)


def _new(desk: Desk, line: OpenLine) -> None:
    """A new title from what was typed: ``artist - title - number - year``, all but one may be missing.

    On the empty line there is nothing to make: the record before is repeated, for a second copy.
    """
    text = " ".join(line.text.split())
    if not text:
        close_line(desk)
        if not copy_last(desk):
            desk.refuse("nothing to repeat yet: type artist - title - number")
            desk.place()
        return
    barcode = read_barcode(text)
    if barcode is not None and barcode.valid is not None:
        unknown = f"no list has the barcode {barcode.digits}: type artist - title - number"
        desk.refuse(barcode.say or unknown)
        return
    title = make_title(desk, title_of(text))
    close_line(desk)
    take_title(desk, title, new=True)


def make_title(desk: Desk, told: Title) -> Title:
    """A title of the shop's own: in the shop's file first, so that the parcel never refers to nothing.

    The shop's field says its company, country and channels; the books' numbering its first date, where
    the year was not typed.
    """
    fields: dict[str, Any] = {"artist": told.artist, "title": told.title, "catalogue": told.catalogue}
    fields |= facts_of_new(desk.settings, desk.library, told.catalogue)
    fields |= {"first": told.first} if told.first else {}
    title = Title(id=desk.shop.add_title(fields), **fields)
    desk.finder.add(title)
    return title


def take_title(desk: Desk, title: Title, new: bool = False) -> None:
    """Give the record this title: everything the lists know is filled in, the first part is taken up."""
    record, parcel = desk.work.record, desk.work.parcel
    if record is None or parcel is None:
        return
    one_id = desk.library.one_id
    mine = one_id(title.id)
    before = [
        r
        for r in desk.work.records
        if r["title"] and one_id(r["title"]["id"]) == mine and r["id"] != record["id"]
    ]
    name = ", ".join(filter(None, (title.artist, title.title)))
    with desk.act(f"record {record['no']}: {'new title ' if new else ''}{name}") as change:
        copy = desk.changed(change)
        dress(desk, copy, record["title"], title)
        copy["parts"] = foreseen_parts(desk, record, title) or copy["parts"]
        tick_off(desk, change, copy)
        first = next(iter(hand.in_hand_order(copy)), None)
        hand.take(desk, copy, first["id"] if first else None)
    desk.background.later.add(partial(desk.shop.note_pick, title.id, parcel.head["sender"]))
    if not desk.background.patient:
        desk.background.later.do()
    old = record["title"]
    if old is not None and old["id"] != title.id:
        desk.say(
            f"{desk.open.message}; it was {old['title']} before; {desk.key('undo')} puts that back", "clash"
        )
    elif before:
        desk.say(
            f"{desk.open.message}; a copy is at {before[-1]['no']}: {desk.key('ditto')} repeats its answers",
            "done",
        )


def _take_extra_name(desk: Desk, line: OpenLine) -> None:
    name = " ".join(line.text.split())
    close_line(desk)
    if not name:
        desk.say("")
        desk.place()
        return
    hand.add_part(desk, "extra", name)


LINES["title"] = LineKind(
    _accept, _suggest, typed=_typed, new=_new, steps=_steps, one_write=True, columns=TITLE_COLUMNS
)
LINES["extra-name"] = LineKind(_take_extra_name, one_write=True)
