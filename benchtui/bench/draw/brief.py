"""The record in few rows: what matters least is left out first, and a sign says that something is."""

from benchtui.bench.draw.low_band import draw_low
from benchtui.bench.pieces import Glyphs, Line, clean, cut, shed
from benchtui.desk import hand, prices, queue
from benchtui.desk.core import Desk
from benchtui.desk.words import percent
from benchtui.model.record import PartDoc, RecordDoc, is_here, why_apart
from benchtui.money import standing

HEADING, URGENT, HELD, ODDS, LACKS, PARTS = range(6)
"""What a row is, most wanted first."""
Ranked = tuple[int, Line]


def draw_brief(desk: Desk, width: int, height: int, glyphs: Glyphs, odds: bool = True) -> list[Line]:
    """At most so many rows. ``odds``: with the likeliest pressing, which else stands in the pane."""
    record, weighing = desk.work.record, desk.weighing()
    if record is None:
        return [[("no record on the bench", "dim")]][:height]
    rows: list[Ranked] = [(HEADING, _heading(record))]
    if gone(record):
        rows.append((URGENT, [(gone(record), "warn bold")]))
    apart = record["set_apart"]
    if apart is not None:
        rows.append((URGENT, [(f"SET APART: {clean(why_apart(apart))} {clean(apart['note'])}", "clash")]))
    for part in hand.in_hand_order(record):
        rank = HELD if part["id"] == desk.work.part_id else PARTS
        rows.append((rank, _part(desk, record, part, width, glyphs)))
    if weighing is not None and odds:
        rows += [
            (ODDS, [(f"{percent(likely.p)} {clean(likely.name)}", "")])
            for likely in weighing.pressings[:1]
            if any(one.id for one in weighing.pressings)
        ]
        rows += [(URGENT, [(f"{glyphs.apart} {clash.say}", "clash")]) for clash in weighing.clashes[:1]]
        look = weighing.second_look
        rows += [(URGENT, [(f"{glyphs.money} second look: {look.say}", "warn")])] if look is not None else []
    if record["state"] == "started":
        rows.append((LACKS, [(to_do(desk, record), "dim")]))
    return _best([(rank, cut(line, width)) for rank, line in rows], width, height)


def _best(rows: list[Ranked], width: int, height: int) -> list[Line]:
    """The most wanted rows in their order; the last one ends in a sign where some are left out."""
    kept = sorted(sorted(range(len(rows)), key=lambda n: rows[n][0])[: max(0, height)])
    left_out = len(rows) > len(kept)
    lines = [rows[n][1] for n in kept]
    return shed([*lines, []], len(lines), width) if left_out else lines


def _heading(record: RecordDoc) -> Line:
    title = record["title"]
    number = (f"{record['no']} ", "accent bold")
    if title is None:
        return [number, ("what is it?", "bold")]
    return [number, (clean(title["artist"]), "bold"), ("  ", ""), (clean(title["title"]), "bold")]


def _part(desk: Desk, record: RecordDoc, part: PartDoc, width: int, glyphs: Glyphs) -> Line:
    name = hand.part_name(record, part)
    if part["kind"] != "extra" and is_here(part):
        return draw_low(desk, part, name, [], width, glyphs)[0]
    held = part["id"] == desk.work.part_id
    state = {"present": glyphs.done, "missing": "not there"}.get(part.get("state", ""), glyphs.open)
    return [(glyphs.hand + " " if held else "  ", "hand"), (f"{clean(name)} ", ""), (state, "dim")]


def gone(record: RecordDoc) -> str:
    """What became of a record that is no longer in the shop, in words."""
    if not record["life"]:
        return ""
    now = standing(record)
    return "" if now.what == "in the shop" else f"{now.what.upper()} {now.since}"


def to_do(desk: Desk, record: RecordDoc) -> str:
    """What the record still lacks, or the key that takes it in."""
    lacks, price_now = queue.lacking(desk, record), prices.price_at_hand(desk, record)
    if not lacks and price_now is not None:
        return f"{desk.key('take-in')} takes it in at {price_now.show()}"
    return "lacking: " + "; ".join(lacks) if lacks else "nothing is missing"
