"""The record as the stack it is: each part a band with grade, faults and its span on one time line."""

from benchtui.bench.draw.brief import draw_brief, gone, to_do
from benchtui.bench.draw.low_band import FAULTS, draw_low, faults_below, faults_in_words, too_long
from benchtui.bench.draw.timeline import Axis, axis_for, draw_axis, draw_span
from benchtui.bench.pieces import Glyphs, Line, clean, cut, fill, shed, width_of, wrap
from benchtui.desk import hand, prices
from benchtui.desk.amounts import shown
from benchtui.desk.core import Desk
from benchtui.desk.grading import above_ceiling, shown_grade
from benchtui.desk.lines import FUNCTION_KEYS
from benchtui.evidence import Weighing
from benchtui.model.naming import grades_of
from benchtui.model.record import PartDoc, RecordDoc, half_words, is_here, sides_of, why_apart
from benchtui.model.span import Span

NAME = 13
SEVERAL = 4
"""Rows from which a list can spare one to say how much of it is out of sight."""
SPAN_TEXT = 25
BELONGS = {"own": "belongs", "swapped": "from another copy", "unsure": "may not belong"}
"""The dealer's word on a part, as a band shows it."""


def draw_stack(desk: Desk, width: int, height: int, glyphs: Glyphs) -> list[Line]:
    """The whole middle of the bench for the record on it; briefly where there are few rows."""
    lines = stack_rows(desk, width, height, glyphs)
    return lines if len(lines) <= height else draw_brief(desk, width, height, glyphs, odds=False)


def stack_rows(desk: Desk, width: int, height: int, glyphs: Glyphs) -> list[Line]:
    """The record's rows for that height; more than that where it is too low for them."""
    record = desk.work.record
    if record is None:
        return [[("no record on the bench", "dim")]]
    lines, foot = _heading(desk, record, width), _foot(desk, record, width)
    weighing = desk.weighing()
    if record["parts"] and weighing is not None:
        most = height - len(lines) - len(foot)
        lines += _bands(desk, record, weighing, width, height - len(lines) - 3, most, glyphs)
    return [cut(line, width) for line in [*lines, *foot]]


def _heading(desk: Desk, record: RecordDoc, width: int) -> list[Line]:
    title = record["title"]
    number: Line = [(f"{record['no']} ", "accent bold")]
    if title is None:
        how = "type a few letters of artist, title or number"
        if desk.open.line is None:
            how = f"{desk.key('find-title')} opens the line for its title"
        return [[*number, ("what is it?", "bold"), (f"  {how}", "dim")], []]
    first = [*number, (clean(title["artist"]), "bold"), ("  ", ""), (clean(title["title"]), "bold")]
    facts = [title["catalogue"], f"first {title.get('first')}" if title.get("first") else ""]
    size = f'{record["size_in"]}"' if record["size_in"] else ""
    facts += [" ".join(filter(None, (size, record["channels"]))), title.get("company", "")]
    facts += [title.get("country", ""), record["stock"] or ""]
    second: Line = [("  " + clean("  ".join(filter(None, facts))), "dim")]
    left = gone(record)
    if left:
        return [cut(first, width), cut(second, width), cut([(f"  {left}", "warn bold")], width)]
    apart = record["set_apart"]
    if apart is not None:
        why = ", ".join(filter(None, (why_apart(apart), apart["note"])))
        return [cut(first, width), cut(second, width), cut([(f"  SET APART: {clean(why)}", "clash")], width)]
    return [cut(first, width), cut(second, width)]


def _bands(
    desk: Desk, record: RecordDoc, weighing: Weighing, width: int, room: int, most: int, glyphs: Glyphs
) -> list[Line]:
    """Every part's band under one axis; ``most`` rows, where that can be had by leaving out some bands."""
    parts = [part for part in hand.in_hand_order(record) if part["kind"] != "extra"]
    spans = [span for part in parts if (span := _likely(weighing, part)) is not None]
    copy = weighing.copy_span.likely
    span_text = SPAN_TEXT if width >= 64 else 0
    extras = _extras(desk, record, width, glyphs)
    spare = most - 2 - len(extras)  # what the axis, the copy and the extras leave
    tall = room >= 3 * len(parts) + 4 and spare >= 3 * len(parts)
    low = room < 2 * len(parts) + 3 or spare < 2 * len(parts)
    if low and not span_text and any(part["faults"] for part in parts):
        span_text = FAULTS + 1
    axis = axis_for(spans + ([copy] if copy else []), max(12, width - NAME - 3 - span_text))
    lines: list[Line] = [[(" " * (NAME + 2), ""), *draw_axis(axis, glyphs)]]
    shown = _around_hand(desk, parts, spare - 1) if len(parts) > spare else parts
    for part in shown:
        lines += _band(desk, record, part, weighing, axis, width, glyphs, low, tall)
        if low and part["id"] == desk.work.part_id and room > len(parts) + 5 and spare > len(parts):
            lines += faults_below(desk, part, width, min(room - len(parts) - 5, spare - len(parts)))
        if tall:
            rows = 2 if room >= 4 * len(parts) + 4 and spare >= 4 * len(parts) else 1
            lines += faults_below(desk, part, width, rows) if too_long(desk, part, width) else [[]]
    left_out = [hand.part_name(record, part) for part in parts if part not in shown]
    lines += [cut([(f"  … and {', '.join(left_out)}", "dim")], width)] if left_out else []
    return [*lines, *_copy_band(desk, weighing, axis, width, glyphs), *extras]


def _around_hand(desk: Desk, parts: list[PartDoc], room: int) -> list[PartDoc]:
    """So many of the parts, the one in the hand among them."""
    at = next((n for n, part in enumerate(parts) if part["id"] == desk.work.part_id), 0)
    start = max(0, min(at - room // 2, len(parts) - room))
    return parts[start : start + max(1, room)]


def _likely(weighing: Weighing, part: PartDoc) -> Span | None:
    found = weighing.parts.get(part["id"])
    return found.likely if found else None


def _band(
    desk: Desk,
    record: RecordDoc,
    part: PartDoc,
    weighing: Weighing,
    axis: Axis,
    width: int,
    glyphs: Glyphs,
    low: bool = False,
    tall: bool = False,
) -> list[Line]:
    """A part in two lines, its state over its span; ``low``: in one, name, grade and span; ``tall``: faults
    that are too long for the first have a line of their own below.
    """
    held = part["id"] == desk.work.part_id
    name = hand.part_name(record, part)
    head: Line = [(glyphs.hand + " " if held else "  ", "hand"), (f"{name:<{NAME}}", "hand" if held else "")]
    if not is_here(part):
        return [[*head, ("not there", "warn")]]
    if low:
        return draw_low(desk, part, name, _bar(weighing, part, held, axis, glyphs), width, glyphs)
    head += _grades(desk, part)
    head += _faults(desk, part) if not (tall and too_long(desk, part, width)) else []
    if part["kind"] == "disc":
        head += _runouts(record, part, width - width_of(head))
    ruling = record["rulings"].get(part["id"])
    if ruling:
        head.append((f"  {BELONGS[ruling]}", "accent"))
    bars: Line = [(" " * (NAME + 2), ""), *_bar(weighing, part, held, axis, glyphs)]
    likely = _likely(weighing, part)
    if width - width_of(bars) > 12 and likely is not None:
        bars.append((f"  {likely.edtf()}", "clash" if _clashes(weighing, part) else "dim"))
    return [cut(head, width), cut(bars, width)]


def _clashes(weighing: Weighing, part: PartDoc) -> bool:
    return any(part["id"] in (clash.part_a, clash.part_b) for clash in weighing.clashes)


def _bar(weighing: Weighing, part: PartDoc, held: bool, axis: Axis, glyphs: Glyphs) -> Line:
    """The part's likely span on the common axis."""
    style = "clash" if _clashes(weighing, part) else "hand" if held else "bar"
    return draw_span(_likely(weighing, part), None, axis, glyphs, style)


def _grades(desk: Desk, part: PartDoc) -> Line:
    last: dict[str, str] = {}
    for event in part["grades"]:
        when = "" if event["when"] == "arrived" else f" {event['when']}"
        last[event["side"]] = shown_grade(event["grade"], event["shade"]) + when
    pieces: Line = [
        (f"{side + ' ' if side else ''}{grade}  ", "bold") for side, grade in sorted(last.items())
    ] or [("--  ", "dim")]
    if part["id"] == desk.work.part_id and desk.work.side:
        pieces.append((f"[{half_words(desk.work.side)}]  ", "hand"))
    if above_ceiling(desk, part):
        pieces.append(("above its faults  ", "warn"))
    return pieces


def _faults(desk: Desk, part: PartDoc) -> Line:
    words = faults_in_words(desk, part)
    return [(words + "  ", "warn")] if words else []


def _runouts(record: RecordDoc, part: PartDoc, room: int) -> Line:
    sides = part.get("sides", {})
    found = [
        f"{letter} {clean(sides[letter].get('full') or sides[letter].get('typed', ''))}"
        for letter in sides_of(record, part)
        if letter in sides
    ]
    return cut([("  ".join(found), "dim")], max(0, room)) if found else []


def _copy_band(desk: Desk, weighing: Weighing, axis: Axis, width: int, glyphs: Glyphs) -> list[Line]:
    """The copy as a whole: no older than its youngest part."""
    likely = weighing.copy_span.likely
    line: Line = [(f"  {'copy':<{NAME}}", "dim"), *draw_span(likely, None, axis, glyphs, "accent")]
    if likely is not None and width - width_of(line) > 12:
        line.append((f"  {likely.edtf()}", "dim"))
    return [cut(line, width)]


def _extras(desk: Desk, record: RecordDoc, width: int, glyphs: Glyphs) -> list[Line]:
    pieces: Line = []
    for part in hand.in_hand_order(record):
        if part["kind"] != "extra":
            continue
        held = part["id"] == desk.work.part_id
        state = part.get("state", "unknown")
        sign, style = {"present": (glyphs.done, "good"), "missing": ("missing", "warn")}.get(
            state, (glyphs.open, "dim")
        )
        pieces.append(
            (f"{glyphs.hand if held else ' '}{clean(part.get('name', 'extra'))} ", "hand" if held else "")
        )
        pieces.append((f"{sign}  ", style))
        if part["grades"]:
            pieces.append(
                (shown_grade(part["grades"][-1]["grade"], part["grades"][-1]["shade"]) + "  ", "bold")
            )
    return [cut([(f"  {'extras':<{NAME}}", "dim"), *pieces], width)] if pieces else []


def _foot(desk: Desk, record: RecordDoc, width: int) -> list[Line]:
    if record["title"] is None:
        return []
    lines: list[Line] = [[]]
    price: Line = [(f"  {'price':<{NAME}}", "dim")]
    if record["price"] is not None:
        price += [(shown(record["price"]), "bold"), (f"  {record['price']['how']}", "dim")]
    else:
        worked = prices.worked_for(desk)
        if worked is not None and worked.price is not None:
            price += [(f"{worked.price.show()}?", "accent"), (f"  {worked.say}", "dim")]
        elif worked is not None:
            price.append((worked.say, "dim"))
    lines.append(cut(price, width))
    lines += [cut(line, width) for line in _other_copy(desk, record)]
    waiting = [chore["what"] for chore in record["chores"] if not chore["done"]]
    if waiting:
        lines.append(cut([(f"  {'chores':<{NAME}}", "dim"), (", ".join(dict.fromkeys(waiting)), "")], width))
    if record["note"]:
        lines.append(cut([(f"  {'note':<{NAME}}", "dim"), (clean(record["note"]), "")], width))
    if record["state"] == "started":
        text = to_do(desk, record)
        lines += [[("  " + "".join(t for t, _ in piece), "dim")] for piece in wrap(text, width - 2, "dim")]
    return lines


def _other_copy(desk: Desk, record: RecordDoc) -> list[Line]:
    """What another copy of the title in this parcel was priced at, the last one, while this has no price."""
    if record["title"] is None or record["price"] is not None:
        return []
    wanted, here = record["title"]["id"], record["id"]
    for other in reversed(desk.work.records):
        priced = other["id"] != here and other["title"] is not None and other["title"]["id"] == wanted
        if priced and other["price"] is not None:
            words = f"record {other['no']}, {grades_of(other, desk.scale)}: {shown(other['price'])}"
            return [[(f"  {'other copy':<{NAME}}", "dim"), (words, "dim")]]
    return []


def draw_picks(desk: Desk, width: int, height: int, glyphs: Glyphs) -> list[Line]:
    """The list under an open text line around the marked one, which has a sign in front."""
    line = desk.open.line
    if line is None:
        return []
    lines: list[Line] = []
    room = height - 1 if len(line.picks) > height >= SEVERAL else height
    start = max(0, min(line.marked - room // 2, len(line.picks) - room))
    for n, pick in enumerate(line.picks[start : start + room], start):
        here = n == line.marked
        mark = f"{glyphs.here if here else ' '}{f'F{n + 1}' if n < FUNCTION_KEYS else '  '} "
        pieces = [(clean(text), style or ("bold" if here else "")) for text, style in pick.spans]
        row: Line = [(mark, "accent bold" if here else "dim"), *pieces]
        if pick.end[0]:
            row = [*fill(row, width - width_of([pick.end]) - 2), ("  ", ""), pick.end]
        lines.append(fill(row, width) if here else cut(row, width))
    above, below = start, len(line.picks) - start - len(lines)
    if room < height:
        said = ", ".join([f"{above} above"] * (above > 0) + [f"{below} below"] * (below > 0))
        return [*lines, [(f"    … {said}", "dim")]]
    return shed([*lines, []], height, width) if below else lines
