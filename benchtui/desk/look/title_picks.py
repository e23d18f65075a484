"""The list under the title line: what ranks it, how it is searched in steps, and how each title shows."""

from collections.abc import Iterator, Mapping
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.books.joins import all_ids
from benchtui.desk.core.desk import Desk, Pick
from benchtui.desk.core.field import facts_of_new
from benchtui.desk.core.page_parts import Column, words
from benchtui.desk.core.shapes import pick_of
from benchtui.desk.line.lines import refresh
from benchtui.model.span import parse_edtf, years_text
from benchtui.model.title import Title
from benchtui.titles.hit import Context, Hit


def context_of(desk: Desk) -> Context:
    """What ranks titles here: the sender's list, this parcel, what was picked lately and often, the stock."""
    parcel = desk.work.parcel
    head = parcel.head if parcel else None
    lines = tuple(line for line in (head["list"] if head else []) if line["record"] is None)
    here = {desk.library.one_id(r["title"]["id"]) for r in desk.work.records if r["title"]}
    picks = desk.shop.picks()
    sender = head["sender"] if head else None
    return Context(
        unticked=lines,
        parcel=frozenset(here),
        picks={title_id: (pick["count"], pick["last"]) for title_id, pick in picks.items()},
        sender_picks={
            title_id: (pick["senders"][sender], pick["last"])
            for title_id, pick in picks.items()
            if sender in pick["senders"]
        },
        stock=_stock(desk),
    )


def _stock(desk: Desk) -> Mapping[str, str]:
    """What is in stock; nothing is said of it while the parcels cannot be looked through."""
    try:
        stock = desk.shop.stock_by_title()
    except BenchError:
        return {}
    return OneTitle(stock, desk.library.joins) if desk.library.joins else stock


def _is_another_s(desk: Desk, title_id: str) -> bool:
    """Whether the title is joined to another that can be found: one line of the list stands for both."""
    one = desk.library.one_id(title_id)
    return one != title_id and desk.finder.by_id(one) is not None


class OneTitle(Mapping[str, str]):
    """What is in stock of a title, with that of the titles joined to it."""

    def __init__(self, stock: Mapping[str, str], joins: Mapping[str, str]) -> None:
        self._stock, self._joins = stock, joins

    def __getitem__(self, title_id: str) -> str:
        found = [said for one in all_ids(self._joins, title_id) if (said := self._stock.get(one))]
        if not found:
            raise KeyError(title_id)
        return "; ".join(found)

    def __iter__(self) -> Iterator[str]:
        return iter(self._stock)

    def __len__(self) -> int:
        return len(self._stock)


def picks_for(desk: Desk, text: str) -> list[Pick]:
    """The titles that fit, best first, with the letters that matched marked."""
    picks: list[Pick] = []
    for picks in steps_for(desk, text):  # noqa: B007
        pass
    return picks


def steps_for(desk: Desk, text: str) -> Iterator[list[Pick]]:
    """The same in steps of a few milliseconds, each giving the list so far; nothing for no text.

    Until it is known what each line of the sender's list means, a line offered itself comes last.
    """
    if not any(char.isalnum() for char in text):
        return  # a stray sign is no search
    last, picks, context = None, [], _cached_context(desk)
    for hits in desk.finder.steps(text, 8, context):
        if hits is not last:
            last = hits
            hits = [hit for hit in hits if not _is_another_s(desk, hit.title.id)]
            shown = hits if desk.finder.is_warm(context) else sorted(hits, key=lambda hit: not hit.title.id)
            picks = [_pick(hit, _company(desk, hit.title)) for hit in shown]
        yield picks


def warm(desk: Desk) -> Iterator[None]:
    """What the first letters will want, made ready in steps while nothing is typed yet.

    A line that is opened does it for itself (``warm_on``): in turns, each would begin the other's work anew,
    for ever.
    """
    steps = desk.finder.warm(context_of(desk))
    while desk.open.ranked_by is None and next(steps, DONE) is not DONE:
        yield


def _cached_context(desk: Desk) -> Context:
    """One context per opening of the line: it cannot change while letters are typed."""
    line = desk.open.line
    if line is None:
        return context_of(desk)
    if desk.open.ranked_by is None or desk.open.ranked_by[0] is not line:
        desk.open.ranked_by = (line, context_of(desk))
        desk.background.warming = desk.finder.warm(desk.open.ranked_by[1])
        while not desk.background.patient and warm_on(desk):
            pass
    return desk.open.ranked_by[1]


def warm_on(desk: Desk) -> bool:
    """One step of making ready what the open line wants; at its end the list is searched anew, but for one
    on which somebody has moved the mark already. False when there is nothing left.
    """
    if desk.background.warming is None:
        return False
    if next(desk.background.warming, DONE) is not DONE:
        return True
    desk.background.warming, line = None, desk.open.line
    if (
        desk.background.patient
        and line is not None
        and desk.open.ranked_by
        and desk.open.ranked_by[0] is line
        and not line.marked
    ):
        refresh(desk)
    return False


DONE = object()


TITLE_COLUMNS = (
    Column(key="artist", rank=2, least=20),
    Column(key="title", rank=1, least=12),
    Column(key="number"),
    Column(key="first"),
    Column(key="company", rank=5, least=0),
    Column(key="apart", rank=3, least=8),
    Column(key="pressings", rank=6, least=0),
    Column(key="stands", rank=3, least=14),
    Column(key="stock", rank=4, least=0),
)
"""What a title line's list shows; where there is not room for all, pressings and company go first."""


def _company(desk: Desk, title: Title) -> str:
    """Whose the title is; of one that only the sender's list has, whose it would be made."""
    if title.company or title.id:
        return title.company
    return facts_of_new(desk.settings, desk.library, title.catalogue).get("company", "")


def _pick(hit: Hit, company: str) -> Pick:
    title = hit.title
    known = (
        ""
        if not title.pressings
        else "1 pressing"
        if title.pressings == 1
        else f"{title.pressings} pressings"
    )
    listed = "sender's list" if title.id else "new, as on the sender's list"
    stands = [listed] * bool(hit.line) + ["in this parcel"] * bool(hit.here)
    cells = (
        tuple(_marked(title.artist, hit.marks.get("artist", ()), "bold")),
        tuple(_marked(title.title, hit.marks.get("title", ()), "")),
        tuple(_marked(title.catalogue, hit.marks.get("catalogue", ()), "dim")),
        words(year_shown(title.first), "dim"),
        words(company, "dim"),
        words(hit.apart, "dim"),
        words(known, "dim"),
        words(", ".join(stands), "accent"),
        words(f"in stock {hit.stock}" if hit.stock else "", "accent"),
    )
    return pick_of(cells, title)


def year_shown(edtf: str) -> str:
    """The year, or the years of a span; of a date that is no EDTF the first four signs."""
    try:
        return years_text(parse_edtf(edtf)) if edtf.startswith("[") else edtf[:4]
    except ValueError:
        return edtf[:4]


def _marked(text: str, marks: Any, style: str) -> list[tuple[str, str]]:
    """The text in pieces, the matched letters underlined."""
    pieces, at = [], 0
    for start, end in sorted(marks):
        if start < at:
            continue
        pieces += [(text[at:start], style), (text[start:end], f"{style} match".strip())]
        at = end
    pieces.append((text[at:], style))
    return [piece for piece in pieces if piece[0]]
