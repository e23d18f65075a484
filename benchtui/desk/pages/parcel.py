"""The parcel's page: its fields, what it costs and asks, the pace, the sender's list, the queue."""

from collections.abc import Mapping, Sequence

from benchtui.base.errors import BenchError
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.needs import unless
from benchtui.desk.core.pace import Pace, each_in_words, long_in_words, pace_of, session_in_words
from benchtui.desk.core.page_parts import (
    SIGNS,
    Bar,
    Column,
    PageView,
    Para,
    Row,
    Section,
    Table,
    Text,
    says,
    words,
)
from benchtui.desk.core.pages import page
from benchtui.desk.line.amount_typed import shown
from benchtui.desk.line.fields import BY_NAME
from benchtui.desk.look.guess import score
from benchtui.desk.parcel.closing import short_or_over
from benchtui.desk.parcel.opening import why_reading
from benchtui.desk.parcel.parcel import Row as Marked
from benchtui.desk.parcel.parcel import enter, marked, rows, sender_name
from benchtui.desk.queue.so_far import so_far
from benchtui.desk.queue.state_sign import state_of
from benchtui.desk.queue.usual_pace import usual
from benchtui.model.money import Money
from benchtui.model.naming import grades_of
from benchtui.model.record import RecordDoc
from benchtui.money.charges import GET_HERE
from benchtui.money.late import LateBill, late_bills
from benchtui.money.notice import ESTIMATE
from benchtui.money.policy import policy_of
from benchtui.money.standings import standing
from benchtui.store import Parcel

SESSIONS = 4
"""So many of the latest sessions are listed."""


def _about(desk: Desk) -> tuple[str, str]:
    row = marked(desk)
    if row is not None and row.kind == "list":
        return ("the sender's line", "listed-tied" if _is_tied(desk, row) else "listed-open")
    return (BY_NAME[row.id].label, f"field-{row.id}") if row and row.kind == "field" else ("", "")


def _is_tied(desk: Desk, row: Marked) -> bool:
    """Whether a line of the sender's list is a record already."""
    return desk.work.parcel is not None and desk.work.parcel.head["list"][int(row.id)]["record"] is not None


def _enter_word(desk: Desk) -> str:
    row = marked(desk)
    return "tie" if row is not None and row.kind == "list" and not _is_tied(desk, row) else ""


def _cannot_open(desk: Desk) -> str:
    row, parcel = marked(desk), desk.parcel
    types = row is not None and row.kind == "field"
    return unless(not (types and parcel.read_only), f"open for reading only: {why_reading(parcel)}")


@page(
    "parcel",
    "The parcel: who sent it, what it cost, the sender's list, the queue. Arrows mark a line, Enter opens"
    " it.",
    keys=(
        "page-enter",
        "page-leave",
        "page-list",
        "page-add",
        "page-out",
        "page-earlier",
        "page-later",
        "page-close",
        "result-page",
        "sender-page",
    ),
    enter=enter,
    enter_needs=_cannot_open,
    enter_word=_enter_word,
    count=lambda desk: len(rows(desk)),
    about=_about,
    place="on the parcel's page ({parcel-page})",
    restored=True,
)
def parcel(desk: Desk) -> PageView:
    here = desk.work.parcel
    if here is None:
        return PageView((("Parcel", "accent bold"),))
    pace = pace_of(here.head, here.records)
    each = each_in_words(pace)
    title = (
        ("Parcel ", "accent bold"),
        (here.id, "bold"),
        (f"  {here.head['state']}", "dim"),
        (f"  {each} a record" if each else "", "dim"),
    )
    at = marked(desk)
    found = rows(desk)
    fields = [_field(desk, here, row.id, row == at) for row in found if row.kind == "field"]
    numbers = {record["id"]: record["no"] for record in desk.work.records}
    listed = [_listed(here, numbers, row.id, row == at) for row in found if row.kind == "list"]
    sections: list[Section] = [Table((Column(), Column(rank=1)), fields, name="fields"), _cost(desk)]
    sections += _pace(desk, pace)
    if listed:
        heading = words("sender's list", "bold")
        sections.append(Table((Column(), Column(rank=1)), listed, heading, name="list"))
    return PageView(title, sections=(*sections, *_queue(desk, here, at)))


def _field(desk: Desk, here: Parcel, name: str, is_marked: bool) -> Row:
    field = BY_NAME[name]
    value = sender_name(desk, here.head["sender"]) if name == "sender" else field.show(here.head)
    cells = (words(field.label, "bold" if is_marked else "dim"), words(value, "bold" if is_marked else ""))
    return Row(f"field:{name}", cells, marked=is_marked)


def _listed(here: Parcel, numbers: dict[str, int], n: str, is_marked: bool) -> Row:
    line = here.head["list"][int(n)]
    no = numbers.get(line["record"] or "")
    tick = words(f"{SIGNS['done']} {no}", "good") if no else words(SIGNS["empty"], "dim")
    return Row(f"list:{n}", (tick, words(line["line"], "bold" if is_marked else "")), marked=is_marked)


def _cost(desk: Desk) -> Section:
    try:
        now = so_far(desk)
    except (BenchError, ValueError) as error:
        return Text((says(f"{GET_HERE}: {error}", "warn", 2), says(ESTIMATE, "dim", 2)), name="cost")
    theirs = f"; for consigned ones {now.consigned.show()}" if now.consigned.minor else ""
    rows = [
        Row(
            "cost",
            (words(GET_HERE, "dim"), words(now.cost.show(), "bold"), ()),
            markable=False,
        ),
        Row(
            "asked",
            (
                words("asked so far", "dim"),
                words(now.asked.show(), "bold"),
                words(f"for {now.priced} record{'' if now.priced == 1 else 's'}{theirs}", "dim"),
            ),
            markable=False,
        ),
    ]
    stocks = {one["id"]: one["stock"] or f"record {one['no']}" for one in desk.work.records}
    rows += [_late(n, bill, stocks) for n, bill in enumerate(_bills(desk), 1)]
    return Table((Column(), Column(right=True), Column(rank=1)), rows, words(ESTIMATE, "dim"), name="cost")


def _bills(desk: Desk) -> Sequence[LateBill]:
    policy, parcel = policy_of(desk.settings), desk.work.parcel
    return late_bills(parcel.head, policy.currency, policy.conversion) if parcel is not None else ()


def _late(n: int, bill: LateBill, stocks: Mapping[str, str]) -> Row:
    """A bill or credit after the closing: its day, where it went, what it was about."""
    kind = (
        "taken back" if bill.takes_back else "credit" if bill.amount.minor < 0 else f"late {bill.charge.what}"
    )
    name, count, borne = f"{n} {kind}", len(bill.shares), sum(bill.inbound.values())
    on = stocks.get(next(iter(bill.shares), ""), "1 record") if count == 1 else f"{count} records"
    parts = [f"on {on}"] if count else []
    if borne:
        whole = borne == bill.amount.minor
        part = "" if whole else f"{Money(abs(borne), bill.amount.currency).show()} "
        parts.append(f"{part}on the sender's statement")
    where = "comes back" if bill.reclaimed else "; ".join(parts) or "expensed"
    said = "; ".join(filter(None, (bill.on, where, bill.about)))
    cells = (words(name, "dim"), words(bill.amount.show(), "bold"), words(said, "dim"))
    return Row(f"late:{n}", cells, markable=False)


# -- the pace ---------------------------------------------------------------------------------------


def _pace(desk: Desk, pace: Pace) -> list[Section]:
    """Records, time and keys each beside what is usual; nothing before the first record is taken in."""
    if not pace.records:
        return []
    before = usual(desk)
    share = pace.records / max(1, len(desk.work.records))
    found = [_paced("taken in", f"{pace.records} of {len(desk.work.records)}", "", share)]
    usually = _minutes(before)
    if (mine := _minutes(pace)) is not None:
        found.append(_paced("minutes a record", f"{mine:.1f}", _usually(usually, 1, before)))
    if pace.keys is not None:
        keys = before.keys if before else None
        found.append(_paced("keys a record", f"{pace.keys:.0f}", _usually(keys, 0, before)))
    if (guessed := score(desk)) is not None:
        bench = f"the bench {guessed['bench']} of {guessed['n']}, over the whole shop"
        found.append(_paced("guesses right", f"{guessed['you']} of {guessed['n']}", bench))
    columns = (Column(), Column(), Column(rank=1), Column(bar=True, rank=2))
    table = Table(columns, found, words("pace", "bold"), name="pace")
    return [table, *_sessions(pace)]


def _paced(label: str, value: str, beside: str, share: float = 0.0) -> Row:
    bar = Bar(((share, "full", "bar"), (1 - share, "rest", "bar"))) if share else ()
    cells = (words(label, "dim"), words(value, "bold"), words(beside, "dim"), bar)
    return Row(f"pace:{label}", cells, markable=False)


def _minutes(pace: Pace | None) -> float | None:
    return None if pace is None or pace.seconds is None else pace.seconds / 60


def _usually(figure: float | None, places: int, before: Pace | None) -> str:
    if figure is None or before is None:
        return ""
    over = "1 earlier parcel" if before.parcels == 1 else f"{before.parcels} earlier parcels"
    return f"usually {figure:.{places}f} over {over}"


def _sessions(pace: Pace) -> list[Section]:
    if not pace.sessions:
        return []
    whiles = [session_in_words(one) for one in pace.sessions[-SESSIONS:]]
    more = len(pace.sessions) - len(whiles)
    told = (f"{more} earlier; " if more else "") + "; ".join(whiles)
    lead = words("  at the bench      ", "dim")
    return [
        Text((Para(words(long_in_words(pace.at_bench), "bold"), lead=lead), says(told, "dim", 20)), name="at")
    ]


# -- the queue --------------------------------------------------------------------------------------


def _queue(desk: Desk, here: Parcel, at: Marked | None) -> list[Section]:
    told = _told_row(desk)
    rows = _rows(desk, at, told)
    columns = (
        Column("no", right=True),
        Column(),
        Column("number", rank=3),
        Column("record", rank=1, least=12),
        Column("grades"),
        Column("price", right=True),
        Column(rank=2),
    )
    short = short_or_over(here.head, here.records) if here.head["state"] == "closed" else []
    said = [Text(tuple(says(one, "warn", 2, 2) for one in short), name="short")] if short else []
    return [*said, Table(columns, rows, words("queue", "bold"), name="queue")]


def _rows(desk: Desk, at: Marked | None, told: str | None) -> list[Row]:
    """A row a record. Those of documents that are still the same are kept while the page is open: none is
    ever changed in place, and a queue may have two thousand.
    """
    page = desk.open.page
    kept: dict[str, tuple[RecordDoc, Row]] = page.data.setdefault("rows", {}) if page is not None else {}
    rows = []
    for record in desk.work.records:
        key = record["id"]
        if at is not None and key == at.id:
            rows.append(_record(desk, record, True, told))
            continue
        if key == told or key not in kept or kept[key][0] is not record:
            row = _record(desk, record, False, told)
            if key == told:
                rows.append(row)
                continue
            kept[key] = (record, row)
        rows.append(kept[key][1])
    return rows


def _record(desk: Desk, record: RecordDoc, is_marked: bool, told: str | None) -> Row:
    sign, style = state_of(record)
    strong = "bold" if is_marked else ""
    cells = (
        words(str(record["no"]), strong or "dim"),
        words(SIGNS[sign], style),
        words(record["stock"] or "", "dim"),
        words(_name(desk, record, told), strong if record["title"] else "dim"),
        words(grades_of(record, desk.scale), "dim"),
        words(shown(record["price"]), "dim"),
        words(_left(record), "dim"),
    )
    return Row(f"record:{record['id']}", cells, marked=is_marked)


def _left(record: RecordDoc) -> str:
    """``sold`` and the like of a record that left the shop; "" of one that is here."""
    try:
        now = standing(record).what if record["life"] else ""
    except BenchError:
        return "its events cannot be read"
    return "" if now == "in the shop" else now


def _told_row(desk: Desk) -> str | None:
    """The one empty record whose row says what to do with it: the marked one, else the first."""
    empty = [record["id"] for record in desk.work.records if record["title"] is None]
    here = marked(desk)
    return here.id if here is not None and here.id in empty else next(iter(empty), None)


def _name(desk: Desk, record: RecordDoc, told: str | None) -> str:
    """Artist and title; of records without, one says what to do and the others are blank."""
    title = record["title"]
    if title is not None:
        return f"{title['artist']}  {title['title']}"
    if record["id"] != told:
        return ""
    if desk.work.parcel is None or desk.work.parcel.read_only or desk.work.parcel.closed:
        return "empty"
    return f"empty: {desk.key('page-enter')} on it, then type its title"
