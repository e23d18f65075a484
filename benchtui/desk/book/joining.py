"""One title however many sources speak of it: titles made here that a book has too.

What is surely one title, and what may be, is listed and asked once; the answer stands in the shop's settings,
so that records already taken in are of the one title at once, and of two again when it is taken back or the
book goes. Nothing is rewritten for it.
"""

from collections.abc import Mapping
from typing import Any, Literal, NamedTuple

from benchtui.books.as_table import title_table
from benchtui.books.from_bench import OWN_BOOK
from benchtui.books.joins import APART, joins_of
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Desk, Page
from benchtui.desk.core.page_parts import Column, PageView, Para, Row, Table, says, words
from benchtui.desk.core.pages import page
from benchtui.desk.own_book.growing import change_book
from benchtui.knowledge.alike import Card, Shelf
from benchtui.model.record import TitleRef
from benchtui.model.span import readable_span
from benchtui.model.title import Title, title_ref
from benchtui.store import Had
from benchtui.titles.columns import identity

Decision = Literal["", "one", "mine", "two"]
"""``one``: under the name and id of the other; ``mine``: under those of the first."""
TOLD: dict[Decision, str] = {
    "": "not decided", "one": "one title", "mine": "one title", "two": "two titles"
}  # fmt: skip


class Pair(NamedTuple):
    """A title of the shop's own making and one of a book; ``sure``: whether number and names agree."""

    mine: Title
    other: Title
    sure: bool
    decision: Decision
    either: bool = False
    """Whether none is a book's, so that either name may stay."""

    @property
    def stays(self) -> Title | None:
        """The one under whose name both stand, where they are one."""
        return {"one": self.other, "mine": self.mine}.get(self.decision)


def pairs(desk: Desk) -> list[Pair]:
    """Titles made here and of records in any parcel that a book or another list has too, open ones first."""
    rows = list(desk.library.titles())
    own = OWN_BOOK.removesuffix(".toml")
    by_id = {row.id: row for row in rows if row.book != own}
    # a title to whose book only pressings were added is that book's own
    fresh = [mine for mine in _made(desk, rows, own).values() if mine.id not in by_id]
    listed = [one for mine in fresh if (one := _in_a_list(desk, mine)) is not None]
    shelf = Shelf(map(_card, [*by_id.values(), *fresh, *listed])) if fresh else Shelf(())
    decided = desk.settings.get("joins")
    kept: Mapping[str, Any] = decided if isinstance(decided, Mapping) else {}
    known = by_id | {one.id: one for one in (*listed, *fresh)}
    found: dict[str, Pair] = {}
    for mine in fresh:
        same, doubtful = (
            [one.id for one in several if _is_other(one.id, mine.id, by_id, found)]
            for several in shelf.find(_card(mine))
        )
        ranked = sorted(same or doubtful, key=lambda one: one not in by_id)  # a book's before a list's
        if ranked:
            other = known[ranked[0]]
            found[mine.id] = _pair(mine, other, bool(same), kept, either=other.id not in by_id)
    return sorted(
        found.values(), key=lambda one: (one.decision != "", not one.sure, one.mine.artist, one.mine.title)
    )


def _in_a_list(desk: Desk, mine: Title) -> Title | None:
    """The title of a list with the same words and number: its id is made of them."""
    listed = identity(mine.artist, mine.title, mine.catalogue)
    return desk.finder.by_id(listed) if listed != mine.id else None


def _pair(mine: Title, other: Title, sure: bool, kept: Mapping[str, Any], either: bool) -> Pair:
    said, back = str(kept.get(mine.id) or ""), str(kept.get(other.id) or "") if either else ""
    decision: Decision = ""
    if APART in (said, back):
        decision = "two"
    elif said == other.id:
        decision = "one"
    elif back == mine.id:
        decision = "mine"
    return Pair(mine, other, sure, decision, either)


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
        title.country, readable_span(title.first), title.size_in, title.channels, title.book,
    )  # fmt: skip


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
    """One title (under either name, where neither is a book's), two, not decided: the next of these."""
    opened, one = desk.open.page, desk.open.marked_of(pairs(desk))
    if opened is None or one is None:
        desk.say("nothing to decide: no title made here is in a book too")
        return
    order = _order(desk, one)
    decide(desk, one, order[(order.index(one.decision) + 1) % len(order)])
    after = [again.mine.id for again in pairs(desk)]
    opened.marked = after.index(one.mine.id) if one.mine.id in after else opened.marked


def _order(desk: Desk, pair: Pair) -> list[Decision]:
    """What Enter goes through. Of two names that may both stay the one of more records comes first, else the
    older.
    """
    if not pair.either:
        return ["", "one", "two"]
    more = _records(desk, pair.other) > _records(desk, pair.mine)
    return ["", "one", "mine", "two"] if more else ["", "mine", "one", "two"]


def _records(desk: Desk, title: Title) -> int:
    had = _had(desk).get(title.id)
    return had.records if had is not None else 0


def decide(desk: Desk, pair: Pair, decision: Decision) -> None:
    """Keep the answer; records of the title are weighed anew, and the search lists it once."""
    kept = desk.settings.get("joins")
    joins = {**(kept if isinstance(kept, Mapping) else {})}
    for one in (pair.mine.id, pair.other.id) if pair.either else (pair.mine.id,):
        joins.pop(one, None)
    if decision == "mine":
        joins[pair.other.id] = pair.mine.id
    elif decision:
        joins[pair.mine.id] = pair.other.id if decision == "one" else APART
    _keep_card(desk, pair._replace(decision=decision))
    desk.shop.change_settings(joins=joins)
    desk.references = desk.references._replace(library=desk.library.joined(joins_of({"joins": joins})))
    desk.weighings.forget()
    had = _had(desk).get(pair.mine.id)
    told = f"; {had.records} record{'s' * (had.records != 1)} of it" if had else ""
    if had is not None and had.records > had.held:
        told += f", {had.records - had.held} of them not in stock"
    desk.say(f"{pair.mine.title}: {TOLD[decision]}{_under(pair._replace(decision=decision))}{told}", "done")


def _under(pair: Pair) -> str:
    """Under which of two names of the shop's own they stand, and how to take the other."""
    if pair.stays is None or not pair.either:
        return ""
    return f", '{_named(pair.stays)}' stays; Enter takes the other name, or makes them two again"


def _keep_card(desk: Desk, pair: Pair) -> None:
    """Where only the book's card of the name that goes is there, the one that stays gets its own: the shop's
    book would call both by the other's.
    """
    stays = pair.stays
    gone = pair.other if stays is pair.mine else pair.mine
    alone = desk.library.joined({})
    if (
        pair.either
        and stays is not None
        and alone.title(stays.id) is None
        and alone.title(gone.id) is not None
    ):
        table = title_table(title_ref(stays))
        change_book(desk, lambda book: book.put_title(table))


@page(
    "same-titles",
    "Titles made here or from a list that another list or a book has. "
    " Enter goes on: one title (under which name, where neither is a book's), two, not decided.",
    keys=("page-enter", "page-leave"),
    enter=_turn,
    count=lambda desk: len(pairs(desk)),
    opener="same-titles",
)
def view(desk: Desk) -> PageView:
    found = pairs(desk)
    at = desk.open.marked(len(found))
    rows = []
    for n, one in enumerate(found):
        cells = (
            words(one.mine.title, "bold" if n == at else ""),
            words(one.other.title),
            words("surely" if one.sure else "perhaps", "dim"),
            words(TOLD[one.decision], "good" if one.decision else "warn"),
        )
        rows.append(Row(f"pair:{one.mine.id}", cells, marked=n == at))
    columns = (
        Column("made here, or from a list", rank=1, least=20),
        Column("the same as", rank=1, least=20),
        Column(rank=3),
        Column(),
    )
    nothing = words("No title made here is in a book too.", "dim")
    facts = (
        says(
            "As one title its pressings of all sources stand together, with every record of it, sold ones and"
            " closed parcels too; what was booked or handed in stays as it is.",
            "dim",
        ),
        *(_beside(found[at]) if found else ()),
    )
    return PageView(
        (("One title or two", "accent bold"),), facts, (Table(columns, rows, empty=nothing, name="pairs"),)
    )


def _beside(pair: Pair) -> tuple[Para, ...]:
    """Both titles of the marked pair whole, one below the other, and which of them stays."""
    lines = []
    for title, what in ((pair.mine, "this"), (pair.other, "and")):
        book = f"{title.book}, {title.pressings} pressing{'s' * (title.pressings != 1)}" if title.book else ""
        facts = ", ".join(filter(None, (title.company, title.first, book or "from a list, or made here")))
        stays = "  stays" if pair.stays is title else ""
        lines.append(
            Para(
                ((f"{what:5}", "dim"), (_named(title), "bold"), (f"  {facts}", "dim"), (stays, "good")),
                hang=5,
            )
        )
    return tuple(lines)


def _named(title: Title) -> str:
    return ", ".join(filter(None, (title.artist, title.title, title.catalogue)))
