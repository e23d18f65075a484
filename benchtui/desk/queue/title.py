"""Recognising the title: completion, picking, a new one from what was typed, repeating the last copy."""

from collections.abc import Iterator
from functools import partial
from typing import Any

from benchtui.desk.book.book_edits import can_correct, correct_first
from benchtui.desk.book.outside import look_at_books
from benchtui.desk.core.command import Legend, command
from benchtui.desk.core.desk import Choice, Desk, Menu, OpenLine, Pick
from benchtui.desk.core.needs import record_here
from benchtui.desk.hand import hand
from benchtui.desk.line.lines import (
    LINES,
    LineKind,
    close_line,
    is_undo,
    marked_pick,
    open_line,
    refresh,
    settle,
    show_first,
)
from benchtui.desk.line.when_typed import read_when
from benchtui.desk.look.contradicted import (
    Beside,
    beside,
    facts_of,
    new_of_list,
    new_title_read,
    of_number,
    pieces_of,
    title_typed,
    with_new,
)
from benchtui.desk.look.dating import COPY, keep_date
from benchtui.desk.look.repeating import copy_last
from benchtui.desk.look.short_form import short_form
from benchtui.desk.look.ticking import tick_off
from benchtui.desk.look.title_picks import TITLE_COLUMNS, picks_for, steps_for
from benchtui.desk.queue.background import load_again, load_on
from benchtui.desk.queue.dressing import dress
from benchtui.desk.queue.foresight import foreseen_parts
from benchtui.model.span import dated_text
from benchtui.model.title import Title
from benchtui.titles.barcode import read_barcode
from benchtui.titles.columns import identity
from benchtui.titles.fold import fold, number_key
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
    _look_for_lists(desk)
    open_line(desk, "title", "title", about=ABOUT)


def _look_for_lists(desk: Desk) -> None:
    """Load the title lists anew where the command line, or another bench, changed them since."""
    now = signature(desk.shop.path / "titles")
    was, desk.background.lists_seen = desk.background.lists_seen, now
    if was is not None and was != now and desk.background.job is None:
        desk.background.job = load_again(desk)


def _suggest(desk: Desk, line: OpenLine) -> list[Pick]:
    picks = _headed(desk, line, picks_for(desk, line.text))
    line.about = _reading(desk, line, picks)
    return picks


def _steps(desk: Desk, line: OpenLine) -> Iterator[list[Pick]]:
    picks: list[Pick] = []
    for found in steps_for(desk, line.text):
        picks = _headed(desk, line, found)
        yield picks
    line.about = _reading(desk, line, picks)


def _headed(desk: Desk, line: OpenLine, picks: list[Pick]) -> list[Pick]:
    if not picks:
        return picks
    told = _told(desk, line.text, picks[0].value)
    if len(pieces_of(line.text)) < 2 and (same := of_number(desk.library, told, picks)) is not None:
        return [same, *(pick for pick in picks if pick is not same)]
    return with_new(desk, told, picks)


def _told(desk: Desk, text: str, title: Title) -> Title:
    """What the line says of that title: in full, or its number and year behind a few letters of it."""
    return short_form(desk.library, text, title) or title_typed(desk, text)


def _reading(desk: Desk, line: OpenLine, picks: list[Pick]) -> str:
    """How a full line is read, before Enter takes it; what the line is for where it is only searched with."""
    undoes = f"{desk.key('line-leave')} {desk.key('undo')} undoes"
    if not line.text:
        return f"letters of artist, title or number; Enter takes one; {undoes}"
    if is_undo(desk, line):
        return f"to undo: {undoes}; Enter would take the marked title"
    first = picks[0] if picks else None
    short = first and (first if first.value.id or not picks[1:] else picks[1]).value
    told = _told(desk, line.text, short) if short else title_typed(desk, line.text)
    makes = desk.key("line-accept")
    if first is not None and first.cells and not first.value.id:  # its row says artist and title
        new = new_of_list(told, first.value)
        added = Beside(new.catalogue, new.first).added
        company = new.company or facts_of(desk, new).get("company", "")
        whose = f", company {company}" if company else ""
        return f"{makes} makes it a new title{f' with {added}' if added else ''}{whose}"
    if not told.artist and line.data.get("unknown") != line.text.strip():
        return ABOUT
    if first is None or not first.value.id:
        read = new_title_read(told, facts_of(desk, told))
        return f"{makes} makes this new title: {''.join(text for text, _ in read)}"
    said = beside(desk.library, told, first.value)
    if said.other_first:
        known, other = dated_text(said.mine), dated_text(said.other_first)
        return f"known as first issued {known}; Enter asks what {other} is"
    return f"Enter takes the title; this record keeps the {said.added}" if said.added else ABOUT


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
    if look_at_books(desk):  # somebody may have taken the marked one out: it is looked at again
        return
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
        said = Beside() if new else _beside(desk, line, title)
        if said.other_first:
            _ask_what_year(desk, line, title, said)
            return
        if new:
            title = make_title(desk, new_of_list(_told(desk, line.text, title), title))
        close_line(desk)
        if said.added:
            title = title._replace(catalogue=title.catalogue or said.number, first=title.first or said.first)
        take_title(desk, title, new)
        if said.added:
            desk.say(f"{desk.open.message}; the title has none: kept {said.added}", desk.open.tone)
        if new and pick.cells:
            back = f"{desk.key('undo')} takes it back"
            listed = (pick.value.artist, pick.value.title) == (title.artist, title.title)
            made = "made of the sender's own words" if listed else "made of your words, on the sender's list"
            whose = f", company {title.company}" if title.company else ""
            desk.say(f"{desk.open.message}: {made}{whose}; {back}", desk.open.tone)
    elif line.text.strip():
        _new_if_meant(desk, line)
    else:
        close_line(desk)
        desk.say("")
        desk.place()


def _beside(desk: Desk, line: OpenLine, title: Title) -> Beside:
    """What a full line says beside the title; nothing of one that was only searched with."""
    told = _told(desk, line.text, title)
    return beside(desk.library, told, title) if told.artist else Beside()


def _ask_what_year(desk: Desk, line: OpenLine, title: Title, said: Beside) -> None:
    """Of a full line that names the title with another year the dealer is asked what that year is."""
    year = dated_text(said.other_first)
    choices = [
        Choice("1", f"this copy was made {year}: date it so", partial(_copy_of, desk, line, title, said)),
        Choice("2", f"the same title: leave {year} out", partial(_taken_as, desk, line, title)),
        Choice("3", f"another title, first issued {year}", partial(_second, desk, line, title)),
    ]
    if can_correct(desk, title.id):
        put_right = partial(_put_right, desk, line, title, said.other_first)
        choices.append(Choice("4", f"the title was first issued {year}: put its card right", put_right))
    about = f"the title as it is known was first issued {dated_text(said.mine)}; Escape goes back to the line"
    desk.open.menu = Menu(f"{title.title}: what is {year}?", tuple(choices), about, "title-year", over=True)


def _second(desk: Desk, line: OpenLine, title: Title) -> None:
    """A title beside the one of the same words, as the dealer has just said."""
    desk.open.line = line
    _make(desk, _told(desk, line.text, title))


def _taken_as(desk: Desk, line: OpenLine, title: Title) -> None:
    desk.open.line = line
    close_line(desk)
    take_title(desk, title)


def _copy_of(desk: Desk, line: OpenLine, title: Title, said: Beside) -> None:
    """The title, and the copy dated by the dealer's own word."""
    _taken_as(desk, line, title)
    taken = desk.open.message
    when = read_when(f"{said.other_first}; typed with the title")
    keep_date(desk, COPY, "the whole copy", when)
    desk.say(f"{taken}; the copy is dated {dated_text(said.other_first)} by you", "done")


def _put_right(desk: Desk, line: OpenLine, title: Title, first: str) -> None:
    correct_first(desk, title.id, first)
    _taken_as(desk, line, desk.finder.by_id(title.id) or title)
    desk.say(f"{desk.open.message}; its card says first issued {dated_text(first)} now", desk.open.tone)


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
    told = title_typed(desk, text)
    if (twin := _twin(line, told)) is not None and line.data.get("second") != text:
        line.data["second"] = text
        name = ", ".join(filter(None, (twin.artist, twin.title, twin.catalogue)))
        take, make = desk.key("line-accept"), desk.key("line-new")
        desk.refuse(
            f"'{name}' is there already: {take} on its line takes it; {make} once more makes a second one"
        )
        desk.place()
        return
    _make(desk, told)


def _make(desk: Desk, told: Title) -> None:
    title = make_title(desk, told)
    close_line(desk)
    take_title(desk, title, new=True)


def _twin(line: OpenLine, told: Title) -> Title | None:
    """The title of the list under the line that has the same number and artist, or the same words."""
    mine = identity(told.artist, told.title, told.catalogue)
    number, artist = number_key(told.catalogue), fold(told.artist)
    for pick in line.picks:
        title: Title = pick.value
        same = number and artist and (number_key(title.catalogue), fold(title.artist)) == (number, artist)
        if title.id and (same or identity(title.artist, title.title, title.catalogue) == mine):
            return title
    return None


def make_title(desk: Desk, told: Title) -> Title:
    """A title of the shop's own: in the shop's file first, so that the parcel never refers to nothing.

    The shop's field says its company, country and channels; the books' numbering its first date, where
    the year was not typed.
    """
    fields: dict[str, Any] = {"artist": told.artist, "title": told.title, "catalogue": told.catalogue}
    fields |= facts_of(desk, told)
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
    with desk.act(
        f"record {record['no']}: {'new title ' if new else ''}{name}", _made(desk, title) if new else None
    ) as change:
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


def _made(desk: Desk, title: Title) -> dict[str, Any]:
    """The title as the shop keeps it, for undo and redo of what made it."""
    return {"new_title": next((one for one in desk.shop.made_titles() if one["id"] == title.id), None)}


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
