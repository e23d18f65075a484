"""The record as the stack it is: each part a band with grade, span on one time line, faults and runouts.

A part has its row whatever is said of it, so that no answer moves another row.
"""

from collections.abc import Sequence
from typing import NamedTuple

from benchtui.base.errors import BenchError
from benchtui.bench.pieces import Glyphs, Line, clean, cut, fill, shed, width_of, wrap
from benchtui.bench.widgets.rows import Rows
from benchtui.bench.widgets.timeline import Axis, axis_of, axis_row, span_row
from benchtui.desk.ask.asking import knows_pressings, target
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.needs import way_on
from benchtui.desk.grade.grading import above_ceiling, shown_grade
from benchtui.desk.hand import hand, prices
from benchtui.desk.line.amount_typed import shown
from benchtui.desk.queue import queue
from benchtui.evidence import Weighing
from benchtui.model.grade import Fault
from benchtui.model.naming import grades_of, part_grade, side_grades
from benchtui.model.record import PartDoc, RecordDoc, half_words, halves_of, is_here, sides_of
from benchtui.model.span import Span, dated_text, months_text, years_text
from benchtui.money.condition import is_graded
from benchtui.money.standings import standing

NAME, GRADE = 9, 6
"""Cells of a part's name and of its grade in a narrow panel."""
LONG_NAME, LONG_GRADE = 10, 11
WIDE = 64
"""Cells of the panel from which grades of every side have their room and dates are written out."""
DATES = 25
PRICE = 2
"""Rows that a price's source may need below its first, before each part has a third row."""
EXTRA = 4
"""Cells that an extra's name keeps in the row of all."""
ARTIST = 8
"""Cells that an artist keeps in the heading, beside title and number."""
BELONGS = {"own": "belongs", "swapped": "from another copy", "unsure": "may not belong"}
"""The dealer's word on a part, as a band shows it."""


class Stack(Rows):
    """The panel of the record on the bench."""

    DEFAULT_CSS = """
    Stack { border: round $bench-line; padding: 0 1; }
    """


def stack_title(desk: Desk, width: int) -> Line:
    """Number, artist and title on the left edge; what it is by its number, date and size on the right."""
    record = desk.work.record
    if record is None:
        return [("no record", "bold")]
    title = record["title"]
    number: Line = [(f"{record['no']} ", "accent bold")]
    if title is None:
        return [*number, ("what is it?", "bold")]
    facts = [title["catalogue"], f"first {dated_text(title['first'])}" if title.get("first") else ""]
    facts.append(f'{record["size_in"]}"' if record["size_in"] else "")
    facts += [record["stock"] or "", record["channels"], title.get("company", "")]
    facts = [clean(fact) for fact in facts if fact]
    least = 1 if title["catalogue"] else 0
    rights: list[Line] = [[(" · ".join(facts[:n]), "dim")] for n in range(len(facts), least - 1, -1)]
    called: Line = [(" · ", "dim"), (clean(title["title"]), "bold")]
    room = width - width_of(number) - width_of(called) - width_of(rights[-1]) - 4
    name = [*number, *cut([(clean(title["artist"]), "bold")], max(ARTIST, room)), *called]
    return ended(name, rights, width, "edge")


def ended(left: Line, rights: Sequence[Line], width: int, style: str = "frame") -> Line:
    """Both ends of a frame's edge, the frame's own line between them.

    ``rights``: the first of them beside which the left one fits whole; beside the last it is cut.
    """
    fitting = (right for right in rights if width_of(left) + width_of(right) + 4 <= width)
    right = next(fitting, rights[-1])
    room = width - width_of(right) - 3
    if not width_of(right) or room < 12:
        return cut(left, width)
    kept = cut(left, room)
    between = width - width_of(kept) - width_of(right) - 2
    return [*kept, (f" {'─' * between} ", style), *right]


class _Frame(NamedTuple):
    """What every band of one drawing shares."""

    desk: Desk
    record: RecordDoc
    weighing: Weighing
    axis: Axis
    width: int
    signs: Glyphs
    target: str | None

    @property
    def wide(self) -> bool:
        return self.width >= WIDE

    @property
    def head(self) -> int:
        """Cells before the time line."""
        return (2 + LONG_NAME + LONG_GRADE) if self.wide else (2 + NAME + GRADE)


def stack_rows(desk: Desk, width: int, height: int, signs: Glyphs) -> list[Line]:
    """The record's rows for that height: what matters least is left out first, with a sign."""
    record = desk.work.record
    if record is None:
        return wrap(f"no record on the bench: {way_on(desk)}", width, "dim")
    weighing = desk.weighing()
    foot, work = _foot(desk, record, width), _work(desk, record, width)
    if not record["parts"] or weighing is None:
        foot += work
        return [cut(line, width) for line in shed([*_notices(record), *foot], height, width)]
    frame = _frame(desk, record, weighing, width, signs)
    room = height - 3 - len(_notices(record)) - len(foot)  # beside the years, the copy, the extras
    count = sum(part["kind"] != "extra" for part in record["parts"])
    work = shed(work, max(1, room - count), width)  # each part keeps its row
    foot += work
    bands = _bands(frame, room - len(work))
    top: Line = [(" " * frame.head, ""), (axis_row(frame.axis), "dim")]
    above = [*_notices(record), top, *bands, _copy(frame), *_extras(frame)]
    if price := foot[:1]:  # in full where rows are free
        price = _price_rows(desk, record, width, 1 + max(0, height - len(above) - len(foot)))
    return [cut(line, width) for line in shed([*above, *price, *foot[1:]], height, width)]


def _frame(desk: Desk, record: RecordDoc, weighing: Weighing, width: int, signs: Glyphs) -> _Frame:
    if width >= WIDE:
        cells = max(16, min(34, width - (2 + LONG_NAME + LONG_GRADE) - DATES - 4))
    else:
        cells = max(10, min(22, (width - 2 - NAME - GRADE) * 3 // 5))
    return _Frame(desk, record, weighing, axis_of(desk, record, cells), width, signs, target(desk))


def _notices(record: RecordDoc) -> list[Line]:
    """That it has left the shop, or that it is set apart and why."""
    left = gone(record)
    apart = record["set_apart"]
    lines: list[Line] = [[(left, "warn bold")]] if left else []
    if apart is not None:
        why = ", ".join(filter(None, (apart["why"], apart["note"])))
        lines.append([(f"SET APART: {clean(why)}", "clash")])
    return lines


def gone(record: RecordDoc) -> str:
    """What became of a record that is no longer in the shop, in words."""
    if not record["life"]:
        return ""
    try:
        now = standing(record)
    except BenchError:
        return "WHAT HAPPENED TO IT CANNOT BE READ: see its page"
    return "" if now.what == "in the shop" else f"{now.what.upper()} {now.since}"


# -- a band a part ------------------------------------------------------------------------------


def _bands(frame: _Frame, room: int) -> list[Line]:
    """Every part in one row; in three, faults in full among them, where the panel is high enough for all."""
    parts = [part for part in hand.in_hand_order(frame.record) if part["kind"] != "extra"]
    tall = frame.wide and room >= 2 * len(parts)
    airy = frame.wide and room >= 3 * len(parts) + PRICE
    shown = _around_hand(frame.target, parts, max(1, room - 1)) if len(parts) > room > 0 else parts
    lines: list[Line] = []
    for part in shown:
        lines.append(_band(frame, part))
        if tall:
            below = _below(frame, part, 2 if airy else 1)
            lines += [*below, *([] for _ in range((2 if airy else 1) - len(below)))]
    left_out = [hand.part_name(frame.record, part) for part in parts if part not in shown]
    return [*lines, *([[(f"  … and {', '.join(left_out)}", "dim")]] if left_out else [])]


def _around_hand(target: str | None, parts: list[PartDoc], room: int) -> list[PartDoc]:
    """So many of the parts, the one that keys go to among them."""
    at = next((n for n, part in enumerate(parts) if part["id"] == target), 0)
    start = max(0, min(at - room // 2, len(parts) - room))
    return parts[start : start + room]


def _band(frame: _Frame, part: PartDoc) -> Line:
    held = part["id"] == frame.target
    name = hand.part_name(frame.record, part)
    size = LONG_NAME if frame.wide else NAME
    head: Line = [
        (f"{frame.signs.hand} " if held else "  ", "hand"),
        *fill([(cut_name(name, size), "hand" if held else "")], size),
    ]
    if not is_here(part):
        return [*head, ("not there", "warn")]
    grade = fill(_grades(frame, part), LONG_GRADE if frame.wide else GRADE)
    row = [*head, *grade, *_bar(frame, part, held)]
    room = max(0, frame.width - width_of(row) - 2)
    tail = _dates(frame, part) if frame.wide else _tail(frame, part, room)
    return [*row, ("  ", ""), *cut(tail, room)]


def cut_name(name: str, size: int) -> str:
    return name if len(name) < size else f"{name[: size - 2]}…"


def _grades(frame: _Frame, part: PartDoc) -> Line:
    """The grade that holds: of each side where they differ, or one has none, and there is room; else the
    lower one's, as which it is sold.
    """
    standing = side_grades(part)
    if not standing:
        return [("--", "dim")]
    style = "warn bold" if above_ceiling(frame.desk, part) else "bold"
    said = {side: shown_grade(event["grade"], event["shade"]) for side, event in standing.items()}
    whole = "" in said or len(said) == len(halves_of(part))
    if not whole or len(set(said.values())) > 1:
        each = " ".join(f"{side} {grade}" for side, grade in said.items())
        if len(each) < (LONG_GRADE if frame.wide else GRADE):
            return [(each, style)]
    return [(part_grade(part, frame.desk.scale), style)]


def _bar(frame: _Frame, part: PartDoc, held: bool) -> Line:
    clashes = any(part["id"] in clash.parts for clash in frame.weighing.clashes)
    style = "clash" if clashes else "hand" if held else "bar"
    return span_row(_likely(frame.weighing, part), frame.axis, frame.signs, style)


def _likely(weighing: Weighing, part: PartDoc) -> Span | None:
    found = weighing.parts.get(part["id"])
    return found.likely if found else None


def _dates(frame: _Frame, part: PartDoc) -> Line:
    likely = _likely(frame.weighing, part)
    ruling = _ruling(frame, part, "")
    gap: Line = [("  ", "")] if ruling else []
    return [*ruling, *gap, (months_text(likely), "dim")] if likely is not None else ruling


def _ruling(frame: _Frame, part: PartDoc, gap: str) -> Line:
    ruling = frame.record["rulings"].get(part["id"])
    return [(f"{gap}{BELONGS[ruling]}", "accent")] if ruling else []


def _tail(frame: _Frame, part: PartDoc, room: int) -> Line:
    """What else there is to say in a narrow panel: the half in the hand, the ruling, faults, runouts."""
    pieces: Line = []
    if part["id"] == frame.desk.work.part_id == frame.target and frame.desk.work.side:
        pieces.append((f"{half_words(frame.desk.work.side)} ", "hand"))
    pieces += _ruling(frame, part, "")
    runouts = _runouts(part, " | ", "cut")
    if not part["faults"]:
        whole = width_of([*pieces, *runouts]) <= room
        if whole or not runouts or part["id"] in frame.record["rulings"]:
            return [*pieces, *runouts]
        return _runouts_cut(part, room)  # the half in the hand stands at the prompt too
    pieces += ((" ", "") for _ in pieces[:1])
    return [*pieces, *_faults_and_runouts(frame.desk, part, runouts, room - width_of(pieces))]


def _faults_and_runouts(desk: Desk, part: PartDoc, runouts: Line, room: int) -> Line:
    """The most that has room: faults before runouts; what is left out shows by its number or a sign."""
    names: Line = [(", ".join(map(clean, _fault_names(desk, part))), "warn")]
    short, count = faults_in_short(desk, part), len(part["faults"])
    number: Line = [(f"{count} faults" if count > 1 else "1 fault", "warn")]
    behind: Line = [("  ", ""), *runouts] if runouts else []
    left_out: Line = [(" …", "dim")] if runouts else []
    ways = ([*words, *rest] for rest in (behind, left_out) for words in (names, short, number))
    return next((one for one in ways if width_of(one) <= room), [*number, *left_out])


def _below(frame: _Frame, part: PartDoc, most: int) -> list[Line]:
    """Rows under a band in a wide panel: the half in the hand, faults in full, runouts."""
    if not is_here(part):
        return []
    said = []
    if part["id"] == frame.desk.work.part_id == frame.target and frame.desk.work.side:
        said.append((f"{half_words(frame.desk.work.side)} in hand", "hand"))
    if words := faults_in_words(frame.desk, part):
        said.append((words, "warn"))
    runouts = _runouts(part, "  ", "full")
    inset = 2 + LONG_NAME
    lines = [line for text, style in said for line in wrap(text, frame.width - inset, style)]
    if runouts and lines and width_of([*lines[-1], ("  ", ""), *runouts]) <= frame.width - inset:
        lines[-1] = [*lines[-1], ("  ", ""), *runouts]
    elif runouts:
        lines.append(runouts)
    return [[(" " * inset, ""), *line] for line in shed(lines, most, frame.width - inset)]


def _runouts(part: PartDoc, between: str, how: str) -> Line:
    """What is cut in the runouts; ``full`` with the letter of the side and the whole inscription."""
    sides = part.get("sides", {})
    found = []
    for letter in sides_of(part):
        if letter in sides:
            doc = sides[letter]
            typed = doc.get("typed", "")
            found.append(f"{letter} {doc.get('full') or typed}" if how == "full" else typed)
    return [(clean(between.join(found)), "dim")] if any(found) else []


def _runouts_cut(part: PartDoc, room: int) -> Line:
    """Both sides' runouts in so many cells: each has its half, and what the other leaves of its own."""
    read = part.get("sides", {})
    first, second = (clean(read.get(side, {}).get("typed", "")) for side in sides_of(part))
    if not first or not second:
        return cut([(first or second, "dim")], room)
    room, half = room - 1, (room - 1) // 2
    most = max(half, room - width_of([(second, "")]))
    kept = cut([(first, "dim")], most)
    return [*kept, ("|", "dim"), *cut([(second, "dim")], room - width_of(kept))]


def fault_of(desk: Desk, fault_id: str) -> Fault | None:
    return next((one for one in desk.references.faults if one.id == fault_id), None)


def faults_in_words(desk: Desk, part: PartDoc) -> str:
    """Every fault with how bad it is: ``A: scuffs, light, not felt, not heard; warp, ...``."""
    words = []
    for fault in part["faults"]:
        known = fault_of(desk, fault["fault"])
        severity = next((s.text for s in known.severities if s.id == fault["severity"]), "") if known else ""
        side = f"{fault['place']}: " if fault["place"] else ""
        words.append(f"{side}{known.text if known else fault['fault']}{', ' + severity if severity else ''}")
    return "; ".join(words)


def faults_in_short(desk: Desk, part: PartDoc) -> Line:
    """The fault noted first by its name, how many more before it: ``+2 scuffs``."""
    more, first = len(part["faults"]) - 1, _fault_names(desk, part)[0]
    return [(f"+{more} " if more else "", "warn"), (clean(first), "warn")]


def _fault_names(desk: Desk, part: PartDoc) -> list[str]:
    """The name of each fault, once."""
    known = ((fault_of(desk, fault["fault"]), fault["fault"]) for fault in part["faults"])
    return list(dict.fromkeys(fault.text if fault else fault_id for fault, fault_id in known))


# -- the copy, its extras, its price ---------------------------------------------------------------


def _copy(frame: _Frame) -> Line:
    """The copy as a whole: the months that hold nine tenths of the odds, else what its parts allow."""
    likely, found = frame.weighing.copy_span.likely, frame.weighing.copy_date
    when = found.run if found is not None else likely
    name = (f"  {'copy':<{frame.head - 2}}", "dim")
    if when is None:
        return [name, ("not established, the clues clash", "clash")]
    row: Line = [
        name,
        *span_row(when, frame.axis, frame.signs, "accent"),
    ]
    said = f"  {found.say()}" if found is not None else ""
    if said and frame.wide and sum(len(text) for text, _ in row) + len(said) <= frame.width:
        row.append((said, "dim"))
    else:
        row.append((f"  {months_text(when) if frame.wide else years_text(when)}", "dim"))
    return row


def _label(frame_head: int, words: str) -> tuple[str, str]:
    return (f"  {words:<{frame_head - 2}}", "dim")


def _extras(frame: _Frame) -> list[Line]:
    """Each extra's name, state and grade; names are shortened before a state or grade is lost."""
    extras = [part for part in hand.in_hand_order(frame.record) if part["kind"] == "extra"]
    names = [_extra_name(frame, part) for part in extras]
    states = [_extra_state(frame, part) for part in extras]
    sizes = [width_of([name]) for name in names]
    room = frame.width - 2 - NAME - sum(width_of(state) + 1 for state in states) - 3 * (len(extras) - 1)
    most = max(sizes, default=0)
    while most > EXTRA and sum(min(size, most) for size in sizes) > room:
        most -= 1
    pieces: Line = []
    for name, state in zip(names, states, strict=True):
        pieces += [*([("   ", "")] if pieces else []), *cut([name], most), (" ", ""), *state]
    return [[_label(2 + NAME, "extras"), *pieces]] if pieces else []


def _extra_name(frame: _Frame, part: PartDoc) -> tuple[str, str]:
    held = part["id"] == frame.target
    mark = frame.signs.hand if held else ""
    return f"{mark}{clean(part.get('name', 'extra'))}", "hand" if held else ""


def _extra_state(frame: _Frame, part: PartDoc) -> Line:
    """Whether it is there, and its grade."""
    state: Line = [
        {"present": (frame.signs.done, "good"), "missing": ("missing", "warn")}.get(
            part.get("state", "unknown"), (frame.signs.open, "dim")
        )
    ]
    if part["grades"]:
        last = part["grades"][-1]
        state.append((f" {shown_grade(last['grade'], last['shade'])}", "bold"))
    return state


def _foot(desk: Desk, record: RecordDoc, width: int) -> list[Line]:
    if record["title"] is None:
        return []
    lines = _price_rows(desk, record, width, 1)
    lines += [cut(line, width) for line in _other_copy(desk, record)]
    waiting = [chore["what"] for chore in record["chores"] if not chore["done"]]
    if waiting:
        lines.append(cut([_label(2 + NAME, "chores"), (", ".join(dict.fromkeys(waiting)), "")], width))
    if record["note"]:
        lines.append(cut([_label(2 + NAME, "note"), (clean(record["note"]), "")], width))
    return lines


def _work(desk: Desk, record: RecordDoc, width: int) -> list[Line]:
    """What is to do with a record that is begun."""
    if record["title"] is None or record["state"] != "started":
        return []
    return [[("  ", ""), *row] for row in wrap(to_do(desk, record), width - 2, "dim")]


def _price_rows(desk: Desk, record: RecordDoc, width: int, most: int) -> list[Line]:
    """The price and where it is from, in so many rows at most."""
    price, said = _price(desk, record)
    head: Line = [_label(2 + NAME, "price"), *([price, ("  ", "")] if price[0] else [])]
    inset = width_of(head)
    rows = wrap(said, width - inset, "dim") if most > 1 else [[(said, "dim")]]
    lines = [[*head, *rows[0]] if rows else head, *([(" " * inset, ""), *row] for row in rows[1:])]
    return [cut(line, width) for line in shed(lines, most, width)]


def _price(desk: Desk, record: RecordDoc) -> tuple[tuple[str, str], str]:
    """The price, and where it is from or why there is none; that grades are lacking stands below it."""
    if record["price"] is not None:
        return (shown(record["price"]), "bold"), prices.price_source(desk, record["price"])
    if not is_graded(record):
        return ("--", "dim"), ""
    worked = prices.worked_for(desk)
    if worked is None or worked.price is None:
        return ("", ""), worked.say if worked is not None else ""
    return (f"{worked.price.show()}?", "accent"), worked.say


def to_do(desk: Desk, record: RecordDoc) -> str:
    """What the record still lacks, or the key that takes it in, and that its pressing is open."""
    if lacks := queue.lacking(desk, record):
        return queue.in_words(lacks)
    if record["set_apart"] is not None:
        return "set apart: nothing more is needed"
    price, weighing = prices.price_at_hand(desk, record), desk.weighing()
    take = f"{desk.key('take-in')} takes it in at {price.show() if price else shown(record['price'])}"
    sure = weighing is None or weighing.settled or record["pressing"]["how"] == "hand"
    return take if sure or not knows_pressings(weighing) else f"pressing not sure; {take} all the same"


def _other_copy(desk: Desk, record: RecordDoc) -> list[Line]:
    """What another copy of the title in this parcel was priced at, the last one, while this has no price."""
    if record["title"] is None or record["price"] is not None:
        return []
    here, mine = record["id"], desk.library.one_id(record["title"]["id"])
    for other in reversed(desk.work.records):
        title = other["title"] if other["id"] != here and other["price"] is not None else None
        if title is not None and desk.library.one_id(title["id"]) == mine:
            words = f"record {other['no']} here, {grades_of(other, desk.scale)}: {shown(other['price'])}"
            return [[_label(2 + NAME, "also"), (words, "dim")]]
    return []
