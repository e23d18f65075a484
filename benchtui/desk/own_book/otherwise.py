"""Nothing that was right becomes wrong unseen: which records taken in the books would call otherwise now.

After every change of the books the records that it can bear on are weighed with the books as they were and as
they are, between the keys. What is called otherwise is said once, and decided on a page of its own.
"""

from collections.abc import Generator, Iterator
from contextlib import suppress
from functools import partial
from typing import Any, NamedTuple

from benchtui.base.errors import BenchError
from benchtui.books.ladder import Laddered, is_grown
from benchtui.books.library import Library
from benchtui.books.passed_on import pressing_of
from benchtui.books.shape import BookTitle, Clue
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Choice, Desk, Menu, Page
from benchtui.desk.core.lives import changing, parcel_for
from benchtui.desk.core.needs import unless
from benchtui.desk.core.page_parts import Column, PageView, Row, Table, says, words
from benchtui.desk.core.pages import page
from benchtui.desk.own_book.halves import other_half, shows_that_of
from benchtui.evidence import Weighing, weigh
from benchtui.evidence.clashes import unresolved
from benchtui.evidence.results import Likely
from benchtui.model.record import RecordDoc

NEVER = 2.0
"""No leader is ever that likely: its fit, which takes longest, is not asked for."""
KEPT = "named_differently"
"""The setting that holds the list while some of it is not decided."""

NAMED = 3
"""So many records that contradict the books are told by their numbers."""
MOST_DECIDED = 20
"""So many of those decided last are kept, so that a decision taken back puts one on the list again."""


class Otherwise(NamedTuple):
    """A record taken in, what the books called it so far, and what they call it now."""

    parcel: str
    record: str
    stock: str
    title: str
    so_far: Likely
    now: Likely
    decided: tuple[Any, ...] | None = None
    """Once it is decided: what the record was called before that. As long as it is not called so again."""
    open: bool = False
    """It may be either: ``now`` is as good as what it was called so far, since that was split."""

    @property
    def told(self) -> str:
        would = "may as well be" if self.open else "would now be"
        return f"{self.stock}, so far '{self.so_far.name}', {would} '{self.now.name}'"


def found_otherwise(desk: Desk) -> list[Otherwise]:
    """Those not decided yet, the oldest change first; with those whose decision was taken back."""
    return [one for one in _kept(desk) if one.decided is None or _taken_back(desk, one)]


def _taken_back(desk: Desk, one: Otherwise) -> bool:
    """Only an action of the parcel on the bench can be taken back."""
    here = desk.work.parcel is not None and desk.work.parcel.id == one.parcel
    return here and any(
        record["id"] == one.record and _called(record) == one.decided for record in desk.work.records
    )


def _called(record: RecordDoc) -> tuple[Any, ...]:
    pressing = record["pressing"]
    return pressing["id"], pressing["how"], pressing["p"]


def _kept(desk: Desk) -> list[Otherwise]:
    """The whole list, with what was decided of it last."""
    if desk.background.otherwise is None:
        desk.background.otherwise = _restored(desk)
    found: list[Otherwise] = desk.background.otherwise
    return found


def _keep(desk: Desk, found: list[Otherwise]) -> None:
    """The list as it is from now on, in the shop's settings too: a restart finds it again."""
    decided = [one for one in found if one.decided is not None][:-MOST_DECIDED]
    found = [one for one in found if one not in decided]
    desk.background.otherwise = found
    docs = [
        {
            **one._asdict(),
            "so_far": _doc(one.so_far),
            "now": _doc(one.now),
            "decided": one.decided if one.decided is None else list(one.decided),  # as it is read again
        }
        for one in found
    ]
    if docs != (desk.settings.get(KEPT) or []):
        with suppress(BenchError):  # a full disk: the list is there until the bench is left
            desk.shop.change_settings(**{KEPT: docs})


def _doc(likely: Likely) -> dict[str, Any]:
    return {"id": likely.id, "name": likely.name, "p": likely.p}


def _restored(desk: Desk) -> list[Otherwise]:
    """What was left undecided; nothing of a setting that was edited into nonsense."""
    try:
        return [_otherwise(doc) for doc in desk.settings.get(KEPT) or []]
    except (TypeError, KeyError, ValueError):
        return []


def _otherwise(doc: dict[str, Any]) -> Otherwise:
    parcel, record, stock, title = (str(doc[name]) for name in ("parcel", "record", "stock", "title"))
    decided = None if doc.get("decided") is None else tuple(doc["decided"])
    so_far, now = _likely(doc["so_far"]), _likely(doc["now"])
    return Otherwise(parcel, record, stock, title, so_far, now, decided, bool(doc.get("open")))


def _likely(doc: dict[str, Any]) -> Likely:
    return Likely(None if doc["id"] is None else str(doc["id"]), str(doc["name"]), float(doc["p"]))


def look_again(desk: Desk, before: Library) -> None:
    """The books were changed: begin to look, with the books as they were when all was last looked through."""
    since = desk.background.books_before
    desk.background.books_before = before if since is None else since
    desk.background.checking = _looking(desk, desk.background.books_before)


def _looking(desk: Desk, old: Library) -> Iterator[None]:
    yield
    while desk.shop.still_reading:
        yield
    new = desk.library
    clash: list[str] = []
    found = yield from _all_otherwise(desk, old, new, clash)
    desk.background.books_before = None
    again = {one.record for one in found}
    waiting = [one for one in _kept(desk) if one.record not in again]
    _keep(desk, [*(one for one in waiting if one.decided is not None or _still(desk, one)), *found])
    told = []
    if found:
        first, more = found[0], len(found) - 1
        also = f" and {more} more" if more else ""
        where = f"{desk.key('commands')} 'named differently' decides"
        told.append(f"{first.told}{also}: {where}")
    if clash:
        rest = f" and {len(clash) - NAMED} more" if len(clash) > NAMED else ""
        told.append(f"what was seen on {', '.join(clash[:NAMED])}{rest} contradicts the books now")
    if told:
        desk.say("; ".join(filter(None, [desk.open.message, *told])), "clash")


def _all_otherwise(
    desk: Desk, old: Library, new: Library, clash: list[str]
) -> Generator[None, None, list[Otherwise]]:
    """Those called otherwise; the numbers of those that the change makes contradict the books go to
    ``clash``.
    """
    found: list[Otherwise] = []
    changed = _changed_clues(old, new)
    yield
    before, after = (Laddered(one.trusting(one.trusts(desk.weighings.counts()))) for one in (old, new))
    bears: dict[str, bool] = {}
    for parcel_id, titles in desk.shop.titles_by_parcel():
        for title_id in titles - bears.keys():
            bears[title_id] = _bears_on(title_id, old, new, changed)
            yield
        for record in _records(desk, parcel_id) if any(map(bears.__getitem__, titles)) else ():
            title = record["title"]
            if record["state"] == "taken-in" and title is not None and bears.get(title["id"]):
                one = yield from _compared(desk, parcel_id, record, before, after, clash)
                found += [one] if one is not None else []
        yield
    return found


def _still(desk: Desk, one: Otherwise) -> bool:
    """Whether the books still call it otherwise: not where the change was taken back."""
    for record in _records(desk, one.parcel):
        if record["id"] == one.record and record["title"] is not None:
            weighing = desk.weighings.of(record, None)
            if one.open and not any(one.now.is_called(each.id) for each in weighing.pressings):
                return False
            leader, settle = weighing.leader, desk.weighings.settings_for(record).settle
            called = leader is not None and leader.is_called(one.so_far.id)
            return leader is not None and (not called or (one.open and leader.p < settle))
    return False


def _changed_clues(old: Library, new: Library) -> list[Clue]:
    """Questions whose answers say something else now, and new ones that date."""
    found = []
    for clue in new.clues():
        was = old.clue(clue.id)
        if was is not clue and was != clue and (was is not None or sum(map(_dates, clue.answers)) > 1):
            found.append(clue)
    return found


def _dates(answer: object) -> bool:
    return getattr(answer, "span", None) is not None


def _bears_on(title_id: str, old: Library, new: Library, changed: list[Clue]) -> bool:
    """Whether the change can bear on what a copy of the title is called: its pressings differ, or a question
    that is asked of its company's records, or its company's ladder.
    """
    title = new.title(title_id)
    if title is not None and title != old.title(title_id):
        return True
    return any(_is_asked_of(clue, title) for clue in changed)


def _is_asked_of(clue: Clue, title: BookTitle | None) -> bool:
    if title is None or not title.pressings:
        return not clue.titles
    laddered = all(is_grown(one) for one in title.pressings)
    spoken = any(clue.id in one.expect for one in title.pressings)
    here = not clue.companies or title.company in clue.companies
    return here and (spoken or laddered or sum(map(_dates, clue.answers)) > 0)


def _records(desk: Desk, parcel_id: str) -> list[RecordDoc]:
    if desk.work.parcel is not None and desk.work.parcel.id == parcel_id:
        return list(desk.work.parcel.records)
    try:
        return desk.shop.read_parcel(parcel_id)[1]
    except BenchError:
        return []


def _compared(
    desk: Desk, parcel_id: str, record: RecordDoc, before: Laddered, after: Laddered, clash: list[str]
) -> Generator[None, None, Otherwise | None]:
    """None where the books call it as before, were not sure of it before, or say what the dealer said."""
    title, named = record["title"], record["pressing"]["id"]
    assert title is not None
    counts = desk.weighings.counts(title["artist"], title["title"])
    settings = desk.weighings.settings_for(record)
    unsettled = settings._replace(settle=NEVER)
    weighed = []
    for books in (before, after):
        books.meet(record)
        weighed.append(weigh(record, books, counts=counts, settings=unsettled, ask=False))
        yield  # either takes some 50 ms the first time that a title is weighed
    was, is_now = weighed
    if unresolved(record, is_now.clashes) and not unresolved(record, was.clashes):
        clash.append(record["stock"] or f"record {record['no']}")
    so_far, now = _known(was), _known(is_now)
    if (
        so_far is None
        or now is None
        or not (so_far.p >= settings.settle or _is_named(record, so_far, settings.settle))
    ):
        return None
    name = f"{title['artist']}: {title['title']}"
    told = Otherwise(parcel_id, record["id"], record["stock"] or str(record["no"]), name, so_far, now)
    if now.is_called(so_far.id) and now.p < settings.settle:
        half = other_half(now, is_now, *(books.title(title["id"]) for books in (before, after)))
        if half is None or half.p < 1 - settings.settle or half.is_called(named):
            return None
        this, other = (pressing_of(books.title(title["id"]), one.id) for one in (now, half))
        if shows_that_of(record, this, other):  # seen is what only the one it is called by now has
            return None
        return told._replace(now=half, open=True)
    if now.is_called(named):
        return None
    if is_now.leader is not None and is_now.leader.id is None and was.leader is so_far:
        now = is_now.leader  # it was that one, and is none of the pressings now
    if now.is_called(so_far.id):
        return None
    return told._replace(now=now)


def _is_named(record: RecordDoc, so_far: Likely, settle: float) -> bool:
    """Whether the dealer called the record so, or its pressing was settled: what only led is no name."""
    pressing = record["pressing"]
    settled = pressing["how"] == "hand" or (pressing["p"] or 0.0) >= settle
    return settled and so_far.is_called(pressing["id"])


def _known(weighing: Weighing) -> Likely | None:
    """The likeliest of the pressings that are known: "none of these" may lead while few are."""
    return next((one for one in weighing.pressings if one.id is not None), None)


# -- the page ---------------------------------------------------------------------------------------------


def _any(desk: Desk) -> str:
    return unless(found_otherwise(desk), "the books name every record taken in as before")


@command(
    "called-otherwise",
    "bench",
    "records taken in that the books would now name differently",
    short="named differently",
    group="Book",
    also="look again changed wrong pressing name rule",
    needs=[_any],
    changes="nothing",
    offered=189,
    order=2035,
)
def open_otherwise(desk: Desk) -> None:
    """The page of them, without what was decided or mended elsewhere; Enter decides the marked one."""
    _keep(desk, [one for one in _kept(desk) if one.decided is not None or not _is_moot(desk, one)])
    if said := _any(desk):
        desk.refuse(said)
        return
    desk.open.page = Page("otherwise")
    desk.say("")
    desk.place()


def _is_moot(desk: Desk, one: Otherwise) -> bool:
    """Whether the record is gone, or called by now what the books call it."""
    records = {record["id"]: record for record in _records(desk, one.parcel)}
    if not records:  # a parcel that cannot be read now says nothing of it
        return False
    mine = records.get(one.record)
    if mine is None or one.now.is_called(mine["pressing"]["id"]):
        return True
    desk.weighings.forget_counts()
    return not _still(desk, one)


def _decide(desk: Desk) -> None:
    one = desk.open.marked_of(found_otherwise(desk))
    if one is None:
        return
    keeps = f"it stays '{one.so_far.name}', by your word"
    choices = [Choice("1", keeps, partial(_call, desk, one, one.so_far))]
    if one.now.id is not None:
        choices.append(Choice("2", f"it is '{one.now.name}'", partial(_call, desk, one, one.now)))
    choices.append(Choice("l", "later: leave it on the list", partial(desk.say, "")))
    about = "either counts as your own word, and teaches; in a closed parcel it is a dated correction"
    desk.open.menu = Menu(f"{one.stock}, {one.title}", tuple(choices), about, "otherwise")


def _call(desk: Desk, one: Otherwise, likely: Likely) -> None:
    with parcel_for(desk, one.parcel) as parcel:
        say = f"record {parcel.record(one.record)['no']}: pressing chosen: {likely.name}"
        with changing(desk, parcel, say) as change:
            said, copy = likely.by_hand(), change.record(one.record)
            before = _called(copy)
            if copy["pressing"].get("because") and copy["pressing"]["id"] == likely.id:
                said["because"] = copy["pressing"]["because"]
            copy["pressing"] = said
            after = _called(copy)
    decided = one._replace(decided=before if before != after else ())
    _keep(desk, [decided if each is one else each for each in _kept(desk)])
    if desk.open.page is not None and parcel is desk.work.parcel and parcel.next_undo is not None:
        desk.open.page.data["done"] = parcel.next_undo.n
    desk.weighings.forget_counts()
    desk.say(f"{one.stock} is '{likely.name}'", "done")


@page(
    "otherwise",
    "Records taken in that the books would now name differently. Enter says what the marked one is.",
    keys=("page-enter", "page-undo", "page-leave"),
    enter=_decide,
    count=lambda desk: len(found_otherwise(desk)),
    opener="called-otherwise",
)
def view(desk: Desk) -> PageView:
    found = found_otherwise(desk)
    at = desk.open.marked(len(found))
    rows = [
        Row(
            f"record:{one.record}",
            (
                words(one.stock, "bold" if n == at else ""),
                words(one.title),
                words(one.so_far.name),
                words(f"{'either, or ' if one.open else ''}{one.now.name}  {one.now.p:.0%}", "warn"),
            ),
            marked=n == at,
        )
        for n, one in enumerate(found)
    ]
    columns = (Column("number"), Column("title", rank=2, least=12), Column("so far", rank=1),
               Column("now", rank=1))  # fmt: skip
    empty = words("The books name every record taken in as before.", "dim")
    facts = (
        says("You changed the books: these records would now be another pressing, or may be either.", "dim"),
    )
    return PageView((("Named differently", "accent bold"),), facts, (Table(columns, rows, empty=empty),))
