"""The parcel's result as bars: paid, landed, asked, expected margin, the whole and each record."""

from benchtui.base.errors import BenchError
from benchtui.bench.draw.scroll import scrolled
from benchtui.bench.pieces import Glyphs, Line, clean, cut, fill, wrap
from benchtui.desk.core import Desk
from benchtui.desk.result import HOW_WORDS, result_of
from benchtui.model.money import Money
from benchtui.money import ESTIMATE, ParcelResult, ResultRow, moved_over

NARROW = 100


def draw_result(desk: Desk, width: int, height: int, glyphs: Glyphs) -> list[Line]:
    """The head stays where it is, the records scroll under it."""
    if desk.parcel is None:
        return []
    try:
        result = result_of(desk)
    except (BenchError, ValueError) as error:
        said = [
            [("Result ", "accent bold"), (desk.parcel.id, "bold")],
            *wrap(f"  {error}", width, "warn", "  "),
        ]
        return [*said, *wrap(ESTIMATE, width, "dim")]
    head = _head(desk, result, width)
    body = [*_whole(result, width, glyphs), [], _headings(width)]
    most = max([1, *(max(_minor(row.asked), row.share.cost_share.minor) for row in result.rows)])
    body += [_row(row, most, width, glyphs) for row in result.rows]
    body += _below(result, width)
    head = head[: max(0, height - 2)]
    return head + scrolled(desk, body, max(1, height - len(head)))


def _head(desk: Desk, result: ParcelResult, width: int) -> list[Line]:
    assert desk.parcel is not None
    how = HOW_WORDS.get(result.spread.how, result.spread.how)
    frozen = f", frozen {(desk.parcel.head['closed_at'] or '')[:10]}" if result.spread.frozen else ""
    first: Line = [("Result ", "accent bold"), (result.parcel, "bold"), (f"  shares {how}{frozen}", "dim")]
    return [cut(first, width), *wrap(ESTIMATE, width, "dim")]


def _whole(result: ParcelResult, width: int, glyphs: Glyphs) -> list[Line]:
    """Four bars on one scale; a loss has its own sign and colour."""
    figures = [
        ("paid to the seller", result.paid),
        ("landed", result.landed),
        ("asked", result.asked),
        ("expected margin", result.margin),
    ]
    most = max(1, *(abs(money.minor) for _, money in figures))
    room = max(10, width - 40)
    lines: list[Line] = []
    for label, money in figures:
        loss = money.minor < 0
        cells = max(abs(money.minor) * room // most, 1 if money.minor else 0)
        bar = (glyphs.rest if loss else glyphs.bar) * cells
        style = "clash" if loss else "good" if label == "expected margin" else "bar"
        lines.append([(f"  {label:<19}", "dim"), (f"{money.show():>16}  ", "bold"), (bar, style)])
    priced = f"  {result.priced} of {len(result.rows)} records have a price"
    signs = f"{glyphs.bar} cost {glyphs.half} margin {glyphs.rest} lacking"
    lines.append([(f"{priced:<{max(0, width - len(signs) - 1)}}{signs}", "dim")])
    if result.asked_consigned.minor:
        open_ones = [
            row for row in result.rows if row.share.terms != "bought" and row.asked and not row.margin
        ]
        earned = "no commission agreed for some" if open_ones else "commission less postage"
        text = f"  consigned: asked {result.asked_consigned.show()}, {earned}: {result.commission.show()}"
        lines.append([(text, "warn" if open_ones else "dim")])
    return lines


def _row(row: ResultRow, most: int, width: int, glyphs: Glyphs) -> Line:
    """Number, name, cost, asked, margin, and a bar: what it cost, then what it brings or lacks."""
    cost = row.share.cost_share if row.share.terms == "bought" else row.share.inbound
    bar_room, name_room = _rooms(width)
    name = row.label or "(no title yet)"
    line: Line = [(f"{row.no:>3} ", "dim"), *fill(cut([(clean(name), "")], name_room), name_room)]
    line.append((f" {cost.plain():>9}{'*' if row.share.guessed else ' '}", "dim"))
    line.append((f"{row.asked.plain() if row.asked else '-':>9} ", "bold"))
    style = "dim" if row.margin is None else "clash" if row.margin.minor < 0 else "good"
    line.append((f"{row.margin.plain() if row.margin else '?':>9}  ", style))
    return line + _bar(row, cost, most, bar_room, glyphs)


def _rooms(width: int) -> tuple[int, int]:
    """Cells for the bar and for the name."""
    bar = 14 if width < NARROW else 30
    return bar, max(8, width - bar - 38)


def _headings(width: int) -> Line:
    _, name = _rooms(width)
    return [(f" no {'record':<{name}} {'cost':>9} {'asked':>9} {'margin':>9}", "dim")]


def _minor(money: Money | None) -> int:
    return 0 if money is None else money.minor


def _bar(row: ResultRow, cost: Money, most: int, room: int, glyphs: Glyphs) -> Line:
    if row.share.terms != "bought":
        return [("consigned", "dim")]
    asked = _minor(row.asked)
    whole = max(cost.minor, asked) * room // most or int(bool(cost.minor or asked))
    covered = min(cost.minor, asked) * whole // max(1, cost.minor, asked)
    if row.asked is None:
        return [(glyphs.rest * whole, "dim")]
    if asked >= cost.minor:
        return [(glyphs.bar * covered, "bar"), (glyphs.half * (whole - covered), "good")]
    return [(glyphs.bar * covered, "bar"), (glyphs.rest * (whole - covered), "clash")]


def _below(result: ParcelResult, width: int) -> list[Line]:
    """What a reader of the bars has to know: guesses, changes since the closing, what no record carries."""
    lines: list[Line] = [[]]
    guessed = sum(row.share.guessed for row in result.rows)
    if guessed and result.spread.how != "even" and not result.spread.frozen:
        lines += wrap(f"* no price yet: weighs like the middle one of the others ({guessed})", width, "dim")
    by_id = {row.record: f"record {row.no}" for row in result.rows}
    for record_id, (before, now) in result.since.items():
        was, would = Money(before, result.currency).plain(), Money(now, result.currency).plain()
        name = by_id.get(record_id, "a record gone")
        text = f"changed since it was closed: {name} {was}, now it would be {would}"
        lines += wrap(text, width, "warn")
    if result.spread.moved.minor:
        lines += wrap(moved_over(result.spread.moved), width, "dim")
    if result.spread.unspread.minor:
        lines += wrap(f"on no record: {result.spread.unspread.show()}", width, "warn")
    return lines
