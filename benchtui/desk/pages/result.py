"""The parcel's result as bars: paid, landed, asked, expected margin, the whole and each record."""

from benchtui.base.errors import BenchError
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.page_parts import Bar, Column, PageView, Para, Row, Section, Table, Text, says, words
from benchtui.desk.core.pages import page
from benchtui.desk.parcel.result import HOW_WORDS, result_of
from benchtui.model.earlier import local_day
from benchtui.model.money import Money
from benchtui.money.charges import GET_HERE
from benchtui.money.moved_cost import moved_over
from benchtui.money.notice import ESTIMATE
from benchtui.money.result import ParcelResult, ResultRow, guess_in_words


@page(
    "result",
    "What the parcel cost, what is asked for it, and the margin that should be left.",
    keys=(
        "page-leave",
        "result-how",
        "result-share",
        "result-rules",
        "sender-page",
        "sender-book",
        "record-sell",
    ),
    place="on the parcel's result",
    opener="result-page",
)
def result(desk: Desk) -> PageView:
    if desk.work.parcel is None:
        return PageView((("Result", "accent bold"),))
    title = (("Result ", "accent bold"), (desk.work.parcel.id, "bold"))
    try:
        found = result_of(desk)
    except (BenchError, ValueError) as error:
        return PageView(title, (says(str(error), "warn", 2), says(ESTIMATE, "dim")))
    how = HOW_WORDS.get(found.spread.how, found.spread.how)
    frozen = f", frozen {local_day(desk.work.parcel.head['closed_at'] or '')}" if found.spread.frozen else ""
    return PageView(
        (*title, (f"  shares {how}{frozen}", "dim")),
        (says(ESTIMATE, "dim"),),
        (*_whole(found), _records(found), *_below(found)),
    )


def _whole(found: ParcelResult) -> list[Section]:
    """Four bars on one scale; a loss has its own sign and colour."""
    figures = [
        ("paid to the seller", found.paid),
        (GET_HERE, found.landed),
        ("asked", found.asked),
        ("expected margin", found.margin),
    ]
    most = max(1, *(abs(money.minor) for _, money in figures if money is not None))
    rows = []
    for label, money in figures:
        if money is None:
            cells = (words(label, "dim"), words("not known yet", "dim"), Bar())
            rows.append(Row(f"whole:{label}", cells, markable=False))
            continue
        loss = money.minor < 0
        style = "clash" if loss else "good" if label == "expected margin" else "bar"
        bar = Bar(((abs(money.minor) / most, "rest" if loss else "full", style),))
        cells = (words(label, "dim"), words(money.show(), "bold"), bar)
        rows.append(Row(f"whole:{label}", cells, markable=False))
    table = Table((Column(), Column(right=True), Column(bar=True, rank=1)), rows, name="whole")
    return [table, Text(tuple(_under(found)))]


def _under(found: ParcelResult) -> list[Para]:
    paras = [
        says(
            f"{found.priced} of {len(found.rows)} records have a price; █ cost, ▌ margin, · shortfall",
            "dim",
            2,
        )
    ]
    if found.asked_consigned.minor:
        open_ones = [
            row for row in found.rows if row.share.terms != "bought" and row.asked and not row.margin
        ]
        earned = "no commission agreed for some" if open_ones else "commission less costs"
        text = f"consigned: asked {found.asked_consigned.show()}, {earned}: {found.commission.show()}"
        paras.append(says(text, "warn" if open_ones else "dim", 2))
    return paras


def _records(found: ParcelResult) -> Table:
    """Number, name, cost, asked, margin, and a bar: what it cost, then what it brings or lacks."""
    most = max([1, *(max(_minor(row.asked), row.share.cost_share.minor) for row in found.rows)])
    columns = (
        Column("no", right=True),
        Column("record", rank=1, least=8),
        Column("cost", right=True),
        Column("asked", right=True),
        Column("margin", right=True),
        Column(bar=True, rank=2, least=9),
    )
    return Table(columns, [_row(row, most) for row in found.rows], name="records")


def _row(row: ResultRow, most: int) -> Row:
    cost = row.share.cost_share if row.share.terms == "bought" else row.share.inbound
    style = "dim" if row.margin is None else "clash" if row.margin.minor < 0 else "good"
    cells = (
        words(str(row.no), "dim"),
        words(row.label or "(no title yet)"),
        words(f"{cost.plain()}{'*' if row.share.guessed else ' '}", "dim"),
        words(row.asked.plain() if row.asked else "-", "bold"),
        words(row.margin.plain() if row.margin else "?", style),
        _bar(row, cost, most),
    )
    return Row(f"record:{row.record}", cells, markable=False)


def _minor(money: Money | None) -> int:
    return 0 if money is None else money.minor


def _bar(row: ResultRow, cost: Money, most: int) -> Bar:
    if row.share.terms != "bought":
        return Bar(words=words("consigned", "dim"))
    asked = _minor(row.asked)
    if row.asked is None:
        return Bar(((cost.minor / most, "rest", "dim"),))
    covered = (min(cost.minor, asked) / most, "full", "bar")
    if asked >= cost.minor:
        return Bar((covered, ((asked - cost.minor) / most, "half", "good")))
    return Bar((covered, ((cost.minor - asked) / most, "rest", "clash")))


def _below(found: ParcelResult) -> list[Section]:
    """What a reader of the bars has to know: guesses, changes since the closing, what no record carries."""
    paras: list[Para] = []
    if guess := guess_in_words(found):
        paras.append(says(f"* {guess}: {sum(row.share.guessed for row in found.rows)}", "dim"))
    by_id = {row.record: f"record {row.no}" for row in found.rows}
    for record_id, (before, now) in found.since.items():
        was, would = Money(before, found.currency).plain(), Money(now, found.currency).plain()
        name = by_id.get(record_id, "a record gone")
        paras.append(says(f"changed since it was closed: {name} {was}, now {would}", "warn"))
    if found.spread.moved.minor:
        paras.append(says(moved_over(found.spread.moved), "dim"))
    if found.spread.late.minor:
        paras.append(says(f"in the shares, from bills after the closing: {found.spread.late.show()}", "dim"))
    if found.sunk.minor:
        paras.append(says(f"cost that no price will recover, in the margin: {found.sunk.show()}", "dim"))
    if found.spread.unspread.minor:
        paras.append(says(f"on no record: {found.spread.unspread.show()}", "warn"))
    return [Text(tuple(paras))] if paras else []
