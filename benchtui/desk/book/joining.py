"""One title however many sources speak of it: titles made here that a book has too.

What is surely one title, and what may be, is listed and asked once; the answer stands in the shop's settings,
so that records already taken in are of the one title at once, and of two again when it is taken back or the
book goes. Nothing is rewritten for it.
"""

from collections.abc import Mapping
from typing import Any, Literal, NamedTuple

from benchtui.books.from_bench import OWN_BOOK
from benchtui.books.joins import APART, joins_of
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Desk, Page
from benchtui.desk.core.page_parts import Column, PageView, Row, Table, says, words
from benchtui.desk.core.pages import page
from benchtui.knowledge.alike import Card, Shelf
from benchtui.model.record import TitleRef
from benchtui.model.span import UNKNOWN, Span, parse_edtf
from benchtui.model.title import Title
from benchtui.store import Had

Decision = Literal["", "one", "two"]
NEXT: dict[Decision, Decision] = {"": "one", "one": "two", "two": ""}
TOLD: dict[Decision, str] = {"": "not decided", "one": "one title", "two": "two titles"}


class Pair(NamedTuple):
    """A title of the shop's own making and one of a book; ``sure``: whether number and names agree."""

    mine: Title
    other: Title
    sure: bool
    decision: Decision


def pairs(desk: Desk) -> list[Pair]:
    """Titles made here and of records in any parcel that a book or another list has too, open ones first."""
    rows = list(desk.library.titles())
    own = OWN_BOOK.removesuffix(".toml")
    by_id = {row.id: row for row in rows if row.book != own}
    # a title to whose book only pressings were added is that book's own
    fresh = [mine for mine in _made(desk, rows, own).values() if mine.id not in by_id]
    shelf = Shelf(map(_card, [*by_id.values(), *fresh])) if fresh else Shelf(())
    decided = desk.settings.get("joins")
    kept: Mapping[str, Any] = decided if isinstance(decided, Mapping) else {}
    known = by_id | {one.id: one for one in fresh}
    found: dict[str, Pair] = {}
    for mine in fresh:
        same, doubtful = (
            [one.id for one in several if _is_other(one.id, mine.id, by_id, found)]
            for several in shelf.find(_card(mine))
        )
        ranked = sorted(same or doubtful, key=lambda one: one not in by_id)  # a book's before a list's
        if ranked:
            said, other = str(kept.get(mine.id) or ""), known[ranked[0]]
            decision: Decision = "two" if said == APART else "one" if said == other.id else ""
            found[mine.id] = Pair(mine, other, bool(same), decision)
    return sorted(
        found.values(), key=lambda one: (one.decision != "", not one.sure, one.mine.artist, one.mine.title)
    )


def _is_other(other: str, mine: str, books: Mapping[str, Title], found: Mapping[str, Pair]) -> bool:
    """Whether it is another title, and not one of two lists that was paired with this one already."""
    return other != mine and (other in books or other not in found or found[other].other.id != mine)


def _made(desk: Desk, rows: list[Title], own: str) -> dict[str, Title]:
    """Titles of the shop's own making, and of every record of any parcel, sold ones too."""
    made: dict[str, Title] = {}
    for doc in desk.shop.made_titles():
        known = {key: value for key, value in doc.items() if key in Title._fields}
        made[doc["id"]] = Title(**known)
    for row in rows:
        if row.book == own:
            made.setdefault(row.id, row)
    for record in desk.work.records:  # of a list, or of a book that has gone meanwhile
        if (ref := record["title"]) is not None:
            made.setdefault(ref["id"], _of_record(ref))
    for title_id in () if desk.shop.still_reading else desk.shop.stock_by_title():
        if title_id not in made and (listed := desk.finder.by_id(title_id)) is not None:
            made[title_id] = listed
    for title_id, had in _had(desk).items():
        if title_id not in made:
            listed = desk.finder.by_id(title_id)
            made[title_id] = listed or Title(title_id, had.artist, had.title, had.catalogue)
    return made


def _had(desk: Desk) -> Mapping[str, Had]:
    """Titles of all the shop's records, looked through once for the page."""
    page = desk.open.page
    if page is None or page.name != "same-titles" or desk.shop.still_reading:
        return {}
    if "had" not in page.data:
        page.data["had"] = desk.shop.titles_had()
    found: Mapping[str, Had] = page.data["had"]
    return found


def _of_record(ref: TitleRef) -> Title:
    return Title(
        ref["id"], ref["artist"], ref["title"], ref["catalogue"], ref.get("first", ""),
        ref.get("company", ""), ref.get("country", ""),
    )  # fmt: skip


def _card(title: Title) -> Card:
    return Card(
        title.id, title.artist, title.title, tuple(filter(None, [title.catalogue])), title.company,
        title.country, _span(title.first), title.size_in, title.channels, title.book,
    )  # fmt: skip


def _span(text: str) -> Span:
    try:
        return parse_edtf(text)
    except ValueError:
        return UNKNOWN


def say_open_joins(desk: Desk) -> None:
    """Say once, when the shop is opened, that titles are to be joined; nothing where none is."""
    waiting = (
        sum(one.decision == "" for one in pairs(desk)) if desk.shop.made_titles() or desk.work.records else 0
    )
    if waiting and not desk.open.message and desk.open.line is None:
        titles = "1 title made here seems" if waiting == 1 else f"{waiting} titles made here seem"
        desk.say(f"{titles} to be in a book too: {desk.key('same-titles')} asks which are one")


@command(
    "same-titles",
    "bench",
    "titles made here that a book has too: one title or two",
    short="same titles",
    group="Bench",
    also="join merge duplicate identity book",
    changes="nothing",
    offered=187,
    order=248,
)
def same_titles(desk: Desk) -> None:
    desk.open.page = Page("same-titles")
    desk.say("")
    desk.place()


def _turn(desk: Desk) -> None:
    """One title, two titles, not decided: the next of these for the marked pair."""
    found, opened = pairs(desk), desk.open.page
    if opened is None or not found:
        desk.say("nothing to decide: no title made here is in a book too")
        return
    one = found[min(opened.marked, len(found) - 1)]
    decide(desk, one, NEXT[one.decision])
    after = [again.mine.id for again in pairs(desk)]
    opened.marked = after.index(one.mine.id) if one.decision or one.mine.id not in after else opened.marked


def decide(desk: Desk, pair: Pair, decision: Decision) -> None:
    """Keep the answer; records of the title are weighed anew, and the search lists it once."""
    kept = desk.settings.get("joins")
    joins = {**(kept if isinstance(kept, Mapping) else {})}
    joins.pop(pair.mine.id, None)
    if decision:
        joins[pair.mine.id] = pair.other.id if decision == "one" else APART
    desk.shop.change_settings(joins=joins)
    desk.references = desk.references._replace(library=desk.library.joined(joins_of({"joins": joins})))
    desk.weighings.forget()
    had = _had(desk).get(pair.mine.id)
    told = f"; {had.records} record{'s' * (had.records != 1)} of it" if had else ""
    if had is not None and had.records > had.held:
        told += f", {had.records - had.held} of them not in stock"
    desk.say(f"{pair.mine.title}: {TOLD[decision]}{told}", "done")


@page(
    "same-titles",
    "Titles made here or from a list that another list or a book has. Enter: one title, two, not decided.",
    keys=("page-enter", "page-leave"),
    enter=_turn,
    count=lambda desk: len(pairs(desk)),
    opener="same-titles",
)
def view(desk: Desk) -> PageView:
    found, opened = pairs(desk), desk.open.page
    at = max(0, min(opened.marked, len(found) - 1)) if opened is not None else 0
    rows = []
    for n, one in enumerate(found):
        pressings = f"{one.other.pressings} pressing{'s' if one.other.pressings != 1 else ''}"
        cells = (
            words(_named(one.mine), "bold" if n == at else ""),
            words(_named(one.other)),
            words(f"{one.other.book}, {pressings}" if one.other.book else "from a list, or made here", "dim"),
            words("surely" if one.sure else "perhaps", "dim"),
            words(TOLD[one.decision], "good" if one.decision else "warn"),
        )
        rows.append(Row(f"pair:{one.mine.id}", cells, marked=n == at))
    columns = (
        Column("made here, or from a list", rank=1),
        Column("the same as", rank=2),
        Column(rank=3),
        Column(),
        Column(),
    )
    nothing = words("No title made here is in a book too.", "dim")
    facts = (
        says(
            "As one title its pressings of all sources stand together, with every record of it, sold ones and"
            " closed parcels too; what was booked or handed in stays as it is.",
            "dim",
        ),
    )
    return PageView(
        (("One title or two", "accent bold"),), facts, (Table(columns, rows, empty=nothing, name="pairs"),)
    )


def _named(title: Title) -> str:
    return ", ".join(filter(None, (title.artist, title.title, title.catalogue)))
