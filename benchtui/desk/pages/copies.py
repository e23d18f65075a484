"""The copies of this title that the shop had before, beside the one on the bench."""

from benchtui.desk.core.desk import Desk
from benchtui.desk.core.page_parts import Column, PageView, Para, Row, Section, Table, Text, says, words
from benchtui.desk.core.pages import page
from benchtui.desk.look.earlier import (
    Earlier,
    as_that_one,
    differences,
    earlier_copies,
    pressing_name,
    runouts_of,
)
from benchtui.model.listening import opinion_words
from benchtui.model.money import Money
from benchtui.model.naming import grades_of
from benchtui.model.record import RecordDoc

COLUMNS = (
    Column("number", key="stock"),
    Column("grades", key="grades"),
    Column("asked", right=True, key="asked"),
    Column("sold", right=True, key="sold"),
    Column("days", right=True, key="days"),
    Column("", rank=2, least=8, key="came"),
    Column("pressing", rank=1, least=10, key="pressing"),
    Column("runouts", rank=3, least=10, key="runouts"),
)


@page(
    "copies",
    "Copies of this title that the shop had before, those of the same pressing first. Enter takes over the"
    " price or the note of the marked one.",
    keys=("page-enter", "page-leave"),
    enter=as_that_one,
    count=lambda desk: len(earlier_copies(desk)),
    place="on the page of earlier copies ({copies})",
    opener="copies",
)
def copies(desk: Desk) -> PageView:
    """This copy in a row of its own above the others; under them how the marked one differs."""
    here, found = desk.work.record, earlier_copies(desk)
    if here is None or not found:
        return PageView((("Earlier copies", "accent bold"),))
    at = desk.open.marked(len(found))
    rows = [_this(desk, here), *(_row(one, here, n == at) for n, one in enumerate(found))]
    sections: list[Section] = [Table(COLUMNS, rows, name="copies")]
    sections.append(_beside(desk, here, found[at]))
    title = here["title"] or {"artist": "", "title": ""}
    return PageView(
        (("Earlier copies", "accent bold"), (f"  {title['artist']} \N{MIDDLE DOT} {title['title']}", "dim")),
        sections=tuple(sections),
    )


def _this(desk: Desk, here: RecordDoc) -> Row:
    price = here["price"]
    asked = Money(price["minor"], price["currency"]).show() if price else ""
    texts = ("this copy", grades_of(here), asked, "", "", "", pressing_name(desk, here), runouts_of(here))
    return Row("this", tuple(words(text, "accent") for text in texts), markable=False)


def _row(one: Earlier, here: RecordDoc, is_marked: bool) -> Row:
    style = "bold" if is_marked else ""
    sold = one.now.price.show() if one.now and one.now.what == "sold" and one.now.price else ""
    mine = runouts_of(here)
    unlike = bool(mine and one.runouts and mine.casefold() != one.runouts.casefold())
    cells = (
        words(one.record["stock"] or f"{one.parcel}/{one.record['no']}", style),
        words(one.grades, style),
        words(one.asked, style),
        words(sold, style),
        words("" if one.days is None else str(one.days), style),
        words(_came(one), "warn" if one.now and one.now.returns else "dim"),
        words(one.pressing or "left open", "good" if one.same else style),
        words(one.runouts, "warn" if unlike else style),
    )
    return Row(f"copy:{one.record['id']}", cells, marked=is_marked)


def _came(one: Earlier) -> str:
    """``sold``, ``in the shop``, ``came back twice``."""
    if one.now is None:
        return "its events cannot be read"
    if one.now.returns:
        return "came back" if one.now.returns == 1 else f"came back {one.now.returns} times"
    return one.now.what if one.record["state"] == "taken-in" else str(one.record["state"]).replace("-", " ")


def _opinions(here: RecordDoc, other: RecordDoc) -> list[Para]:
    """How the marked copy sounded, and this one against it: opinions, which weigh nothing."""
    mine = [one for one in here.get("listening", []) if one.get("against") == other["stock"]]
    heard = [
        *(("this copy", one) for one in mine),
        *(("that one", one) for one in other.get("listening", [])),
    ]
    return [says(f"{one['at']}  {whose}, {opinion_words(one)}", "dim", 2, 3) for whose, one in heard]


def _beside(desk: Desk, here: RecordDoc, other: Earlier) -> Text:
    """What of the marked copy is not as it is here, and what was said of it."""
    lines = [
        Para(((f"{about}  ", "dim"), (mine, ""), ("  there: ", "dim"), (theirs, "warn")), 2, 2)
        for about, mine, theirs in differences(desk, here, other.record)
    ]
    if not lines:
        lines.append(says("nothing seen on both copies differs", "good", 2))
    faults = [fault for part in other.record["parts"] for fault in part["faults"]]
    if faults:
        known = {fault.id: fault.text for fault in desk.references.faults}
        said = ", ".join(dict.fromkeys(known.get(fault["fault"], fault["fault"]) for fault in faults))
        lines.append(says(f"its faults: {said}", "", 2, 2))
    if other.record["note"].strip():
        lines.append(says(f"said of it: {other.record['note']}", "", 2, 2))
    if pictures := len(other.record.get("photographs", [])):
        lines.append(says(f"photographs: {pictures}, on its own page", "", 2, 2))
    lines += _opinions(here, other.record)
    name = other.record["stock"] or f"record {other.record['no']} of {other.parcel}"
    return Text(tuple(lines), words(f"{name} beside this copy", "bold"), "beside")
