"""The weight of evidence: every figure of the pane with its clue and its source, wrapped, to be scrolled."""

from benchtui.bench.draw.scroll import scrolled
from benchtui.bench.pieces import Glyphs, Line, clean, width_of, wrap
from benchtui.desk import clues, hand
from benchtui.desk.core import Desk
from benchtui.desk.words import percent
from benchtui.evidence import PartSpan, Weighing
from benchtui.model.record import RecordDoc
from benchtui.model.span import Span

INDENT = 9


def draw_why(desk: Desk, width: int, height: int, glyphs: Glyphs) -> list[Line]:
    record, weighing = desk.record, desk.weighing()
    if record is None or weighing is None or desk.page is None:
        return []
    lines: list[Line] = [[("Why", "accent bold")]]
    for section in (_candidates, _weights, _dates, _parts, _open):
        lines += section(desk, record, weighing, width)
    return scrolled(desk, lines, height)


def _candidates(desk: Desk, record: RecordDoc, weighing: Weighing, width: int) -> list[Line]:
    lines: list[Line] = [[]]
    pressings = desk.book_title.pressings if desk.book_title else ()
    for likely in weighing.pressings[:6]:
        price = f"  {likely.price.show()}" if likely.price else ""
        known = next((one for one in pressings if one.id == likely.id), None)
        made = f"made {known.period.edtf()}" if known and known.period.known else ""
        told = "  ".join(filter(None, (made, known.source if known else "")))
        lines += _hung(f"{percent(likely.p):>7}", "bold", f"{likely.name}{price}", width, told)
    if len(weighing.pressings) > 6:
        rest = sum(one.p for one in weighing.pressings[6:])
        lines += _hung(f"{rest * 100:6.1f}%", "dim", f"{len(weighing.pressings) - 6} more together", width)
    return lines


def _weights(desk: Desk, record: RecordDoc, weighing: Weighing, width: int) -> list[Line]:
    """Decibans clue by clue; they add up to the odds of the leader against the runner-up."""
    if not weighing.why:
        return []
    first, second = (one.name for one in weighing.pressings[:2])
    lines: list[Line] = [[]]
    lines += wrap(f"Decibans for {first} against {second}; 10 is ten to one", width, "bold")
    for why in weighing.why:
        sign = "good" if why.decibans > 0.05 else "warn" if why.decibans < -0.05 else "dim"
        lines += _hung(f"{why.decibans:+7.1f}", sign, why.label, width, why.source)
    whole = sum(one.decibans for one in weighing.why)
    lines += _hung(f"{whole:+7.1f}", "bold", "all together, which is the odds between the two", width)
    return lines


def _dates(desk: Desk, record: RecordDoc, weighing: Weighing, width: int) -> list[Line]:
    """What bounds each part's date, and so the copy's."""
    lines: list[Line] = [[], [("Dates", "bold")]]
    lines += _span("the copy", weighing.copy_span, width)
    title = desk.book_title
    listed = record["title"].get("first", "") if record["title"] else ""
    first = title.first.edtf() if title else listed
    if first:
        lines += _under(f"first issued {first}: {_list_of(desk, record)}", width)
    for part in hand.in_hand_order(record):
        span = weighing.parts.get(part["id"])
        bounds = _bounds(desk, record, part["id"])
        if span is not None and bounds:
            lines += _span(hand.part_name(record, part), span, width)
            for text in bounds:
                lines += _under(text, width)
    return lines


def _list_of(desk: Desk, record: RecordDoc) -> str:
    title = desk.book_title
    return f"the book {title.book}" if title else "the title list"


def _span(name: str, span: PartSpan, width: int) -> list[Line]:
    text = f"{name}: likely {_dated(span.likely)}, certain {_dated(span.certain)}"
    return wrap(text, width, "", "  ")


def _dated(span: Span | None) -> str:
    if span is None:
        return "nothing (the clues clash)"
    return span.edtf() or "open"


def _bounds(desk: Desk, record: RecordDoc, part_id: str) -> list[str]:
    """Each answer of the part that bounds when it was made, or when the copy was sold."""
    found = []
    for answer in record["answers"]:
        clue = desk.library.clue(answer["clue"])
        known = clue.answer(answer["answer"]) if clue else None
        if answer["part"] != part_id or answer["how"] != "seen" or clue is None:
            continue
        if answer["answer"] == "titles":
            found.append(f"{answer['place']}, {answer['text']}: no earlier than the newest of them")
        elif known is not None and known.span is not None and known.span.known:
            what = "sold" if known.caps_sale else "made"
            bound = f"{what} {known.span.edtf()} ({known.hardness})  {known.source or clue.source}"
            found.append(f"{answer['place']}, {answer['text']}: {bound}")
    return found


def _parts(desk: Desk, record: RecordDoc, weighing: Weighing, width: int) -> list[Line]:
    """Whether the parts belong together: the chance that each came from another copy."""
    lines: list[Line] = []
    for part in hand.in_hand_order(record):
        found = weighing.agreement.get(part["id"])
        if found is not None and found.say:
            told = f"{found.p_swapped * 100:6.1f}%"
            weight = "by rule" if found.by_rule else f"{found.decibans:+.1f} decibans"
            lines += _hung(told, "warn" if found.p_swapped >= 0.2 else "", f"{found.say} ({weight})", width)
    return [[], [("From another copy", "bold")], *lines] if lines else []


def _open(desk: Desk, record: RecordDoc, weighing: Weighing, width: int) -> list[Line]:
    """What would tell most now, and what a mistake would cost."""
    lines: list[Line] = []
    if weighing.second_look is not None:
        lines += [[], [("Second look", "bold")], *wrap(weighing.second_look.say, width, "warn", "  ")]
    offers = [(row, part) for part in record["parts"] for row in weighing.next.get(part["id"], ())[:2]]
    offers.sort(key=lambda one: -one[0].bits / max(one[0].seconds, 0.1))
    if offers:
        lines += [[], [("What would tell most a second", "bold")]]
    for row, part in offers[:4]:
        worth = f", worth {row.worth.show()}" if row.worth else ""
        text = f"{hand.part_name(record, part)}, {row.place}: {row.clue.ask} ({row.seconds:g} s{worth})"
        lines += _hung(f"{row.bits:5.2f} b", "", text, width)
    for answer, then, now in clues.reworded(desk, record):
        text = f"{answer['place']}: answered as '{then}'; the book now says '{now}'"
        lines += wrap(text, width, "warn", "  ")
    for answer in weighing.lost:
        lines += wrap(f"lost by the book, weighs nothing: {answer['text']}", width, "warn", "  ")
    return lines


def _hung(figure: str, style: str, text: str, width: int, source: str = "") -> list[Line]:
    """A figure, its words hanging beside it, and its source after them or under them."""
    room = max(20, width - INDENT)
    body = wrap(text, room) or [[]]
    beside: Line = [(f"  {clean(source)}", "dim")] if source else []
    if width_of([*body[-1], *beside]) <= room:
        body[-1] = [*body[-1], *beside]
    elif source:
        body += wrap(source, room, "dim")
    first: Line = [(figure.ljust(INDENT), style), *body[0]]
    return [first, *([(" " * INDENT, ""), *line] for line in body[1:])]


def _under(text: str, width: int) -> list[Line]:
    """A source, dim, under what it speaks for."""
    return [[(" " * INDENT, ""), *line] for line in wrap(clean(text), max(20, width - INDENT), "dim")]
