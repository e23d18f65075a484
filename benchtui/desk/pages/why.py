"""The weight of evidence: every figure of the pane with its clue and its source."""

from collections.abc import Callable

from benchtui.books.passed_on import said_now
from benchtui.books.shape import hardness_text
from benchtui.desk.ask.asking import asks_the_look
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.lives import has_left
from benchtui.desk.core.page_parts import PageView, Para, Section, Text, says, words
from benchtui.desk.core.pages import page
from benchtui.desk.hand import hand
from benchtui.desk.hand.prices import book_price_words, worked_for
from benchtui.desk.look import clues
from benchtui.desk.pages import compare
from benchtui.desk.record.teaching import lesson, why_not
from benchtui.desk.record.verdicts import is_chosen, leading_first, percent
from benchtui.evidence import PartSpan, Weighing, say_held
from benchtui.evidence.seen import mark_of
from benchtui.model.record import DatedDoc, RecordDoc, part_of
from benchtui.model.span import Span, dated_text, days_text, months_text

BESIDE = 9
"""Cells for a figure; its words begin after it."""
MOST = 6
MOST_ODDS = 999


@page(
    "why",
    "What speaks for and against each pressing, clue by clue, in points: 10 is ten to one, 20 a hundred to"
    " one.",
    keys=("page-leave", "why-compare", "why-pressing", "why-answer"),
    place="on the page that says why ({why})",
    opener="why",
)
def why(desk: Desk) -> PageView:
    record, weighing = desk.work.record, desk.weighing()
    if record is None or weighing is None:
        return PageView((("Why", "accent bold"),))
    parts = (candidates, _unlike, _weights, _dates, _parts, _open, _price, _compared, _lesson)
    sections = [section for part in parts for section in part(desk, record, weighing)]
    return PageView((("Why", "accent bold"),), sections=tuple(sections))


def _compared(desk: Desk, record: RecordDoc, weighing: Weighing) -> list[Section]:
    """What is unusual, what tells the first two apart, what would prove or disprove the first."""
    if len(weighing.pressings) < 2:
        return []
    first, second = (one.id for one in leading_first(record, weighing)[:2])
    sections = [
        *compare.unusual(weighing, first),
        *compare.apart(record, weighing, first, second, compare.ON_WHY),
    ]
    return (
        sections
        if weighing.settled
        else [*sections, *compare.proofs(record, weighing, first, compare.ON_WHY)]
    )


def _points(decibans: float) -> str:
    """With its sign, in the column of figures; what rounds to nothing has no minus."""
    return f"{round(decibans, 1) + 0.0:+7.1f}"


def _hung(figure: str, style: str, text: str, source: str = "") -> Para:
    """A figure, its words beside it, and its source after them."""
    beside = (("  ", ""), (source, "dim")) if source else ()
    return Para(((text, ""), *beside), lead=words(figure.ljust(BESIDE), style))


def candidates(desk: Desk, record: RecordDoc, weighing: Weighing) -> list[Section]:
    """The pressings with their odds and prices, what leads first; why none is sure where nothing is left."""
    pressings = desk.book_title.pressings if desk.book_title else ()
    lines = []
    listed = leading_first(record, weighing)
    for likely in listed[:MOST]:
        price = f"  {likely.price.show()}" if likely.price else ""
        known = next((one for one in pressings if one.id == likely.id), None)
        made = f"made {days_text(known.period)}" if known and known.period.known else ""
        mine = "your choice" if is_chosen(record, likely) else ""
        told = "  ".join(filter(None, (mine, made, known.source if known else "")))
        lines.append(_hung(f"{percent(likely.p):>7}", "bold", f"{likely.name}{price}", told))
    if len(listed) > MOST:
        rest = sum(one.p for one in listed[MOST:])
        lines.append(_hung(f"{rest * 100:6.1f}%", "dim", f"{len(listed) - MOST} more together"))
    if any(likely.price for likely in listed[:MOST]):
        lines.append(says(f"prices: {book_price_words(record)}", "dim", BESIDE))
    lines += [says(weighing.stop.say(), "dim", BESIDE)] if lines else []
    if weighing.nothing_left and record["pressing"]["how"] != "hand" and lines:
        lines.append(says(_undecided(desk, weighing), "warn", BESIDE))
    return [Text(tuple(lines), name="candidates")] if lines else []


_HELD = {
    "unlike": "the likeliest does not fit the copy",
    "runout": "a runout does not fit the title",
    "contradicted": "the likeliest always shows something else",
}


def _undecided(desk: Desk, weighing: Weighing) -> str:
    """Why no question is left and the pressing is not sure all the same, with the key that decides."""
    leader, second = weighing.pressings[0], weighing.second_look
    call = f"{desk.key('pressing')} on the record calls it one of them"
    if leader.p < weighing.stop.at:
        why_not = f"the likeliest has no more than {percent(leader.p).strip()}"
    elif leader.id is None:
        why_not = "it is likeliest none of them"
    elif weighing.waits_for_look and second is not None:
        call = f"{desk.key('looked')} calls it so; {call}"
        why_not = f"a mistake would cost {second.cost.show()} on average, more than a look is worth"
    else:
        why_not = _HELD.get(weighing.held, "what was seen contradicts itself")
    return f"undecided: no clue that is left would tell, and {why_not}. {call}"


def _unlike(desk: Desk, record: RecordDoc, weighing: Weighing) -> list[Section]:
    """What of the copy its leader hardly ever shows, most surprising first."""
    if weighing.fit is None or not (weighing.fit.surprises or weighing.held):
        return []
    said = say_held(weighing) or "It fits what is known, but for:"
    lines = [says(said, "warn" if weighing.held else "", 0, 2)]
    lines += [
        _hung(f"{one.decibans:7.1f}", "warn", f"{_part_name(record, one.part)}: {one.ask}: {one.text}")
        for one in weighing.fit.surprises[:MOST]
    ]
    return [Text(tuple(lines), words("Does it fit?", "bold"), "fit")]


def _part_name(record: RecordDoc, part_id: str) -> str:
    part = part_of(record, part_id)
    return hand.part_name(record, part) if part is not None else part_id


def _price(desk: Desk, record: RecordDoc, weighing: Weighing) -> list[Section]:
    """What the worked price rests on, each thing in a line of its own: it is cut beside the price."""
    worked = worked_for(desk)
    if worked is None:
        return []
    price = [says(worked.price.show(), "bold", 2)] if worked.price else []
    lines = [*price, *(says(one, "", 2) for one in worked.say.split("; "))]
    return [Text(tuple(lines), words("The worked price, an estimate", "bold"), "price")]


def _lesson(desk: Desk, record: RecordDoc, weighing: Weighing) -> list[Section]:
    """What the record teaches, or why it teaches nothing; only once it was called something."""
    if record["state"] != "taken-in" and record["pressing"]["how"] != "hand":
        return []
    lines = [says(one, "", 2) for one in lesson(desk, record)]
    if why := record["pressing"].get("because"):
        lines.insert(0, says(f"What made you sure: {why}", "bold", 2))
    back = f"{desk.key('teach')} takes it back" if lines else ""
    lines = [*lines, says(why_not(record) or back, "dim", 2)]
    return [Text(tuple(lines), words("What this record teaches", "bold"), "lesson")]


def _weights(desk: Desk, record: RecordDoc, weighing: Weighing) -> list[Section]:
    """Decibans clue by clue; they add up to the odds of the leader against the runner-up."""
    if not weighing.why:
        return []
    first, second = (one.name for one in leading_first(record, weighing)[:2])
    lines = [says(f"Points for {first} against {second}; 10 points are ten to one", "bold")]
    for one in weighing.why:
        style = "good" if one.decibans > 0.05 else "warn" if one.decibans < -0.05 else "dim"
        lines.append(_hung(_points(one.decibans), style, one.label, one.source))
    whole = sum(one.decibans for one in weighing.why)
    lines.append(_hung(_points(whole), "bold", f"together: {_odds(whole, first, second)}"))
    return [Text(tuple(lines), name="weights")]


def _odds(decibans: float, first: str, second: str) -> str:
    """``12 to 1 for the first``, by its name."""
    odds = 10 ** (abs(decibans) / 10)
    said = f"over {MOST_ODDS}" if odds > MOST_ODDS else f"{odds:.0f}" if odds >= 9.95 else f"{odds:.1f}"
    return f"{said} to 1 for {first if decibans >= 0 else second}"


def _dates(desk: Desk, record: RecordDoc, weighing: Weighing) -> list[Section]:
    """What bounds each part's date, and so the copy's."""
    lines = [_span("the copy", weighing.copy_span)]
    if weighing.copy_date is not None:
        lines.append(says(f"made {weighing.copy_date.say()}", "", BESIDE))
    title = desk.book_title
    listed = record["title"].get("first", "") if record["title"] else ""
    first = title.first.edtf() if title else listed
    if first:
        source = f"the book {title.book}" if title else "the title list"
        lines.append(says(f"first issued {dated_text(first)}: {source}", "dim", BESIDE))
    lines += [says(_by_you(own), "dim", BESIDE) for own in record.get("dated", ()) if not own["part"]]
    for part in hand.in_hand_order(record):
        span = weighing.parts.get(part["id"])
        bounds = _bounds(desk, record, part["id"])
        if span is not None and bounds:
            away = " (of another copy: does not date this one)" if part["id"] in weighing.elsewhere else ""
            lines.append(_span(hand.part_name(record, part) + away, span))
            lines += [says(text, "dim", BESIDE) for text in bounds]
    return [Text(tuple(lines), words("Dates", "bold"), "dates")]


def _span(name: str, span: PartSpan) -> Para:
    likely, certain = _dated(span.likely, "any time", months_text), _dated(span.certain, "")
    said = f"for certain {certain}" if certain else "nothing for certain"
    return says(f"{name}: likely {likely}, {said}", "", 0, 2)


def _dated(span: Span | None, unknown: str, text: Callable[[Span], str] = days_text) -> str:
    if span is None:
        return "not established (the clues contradict each other)"
    return text(span) or unknown


def _bounds(desk: Desk, record: RecordDoc, part_id: str) -> list[str]:
    """Each answer of the part that bounds when it was made, or when the copy was sold."""
    found = []
    for answer in said_now(record, desk.library.clue)["answers"]:
        clue = desk.library.clue(answer["clue"])
        if answer["part"] != part_id or answer["how"] != "seen" or clue is None:
            continue
        mark = mark_of(answer, clue, desk.library)
        known = mark.bound if mark is not None else None
        if answer["answer"] == "titles":
            found.append(f"{answer['place']}, {answer['text']}: no older than the newest of them")
        elif known is not None and known.span is not None and known.span.known:
            what = "sold" if known.caps_sale else "made"
            sure = hardness_text(known.span, known.ends)
            when = " or ".join(map(days_text, known.spans))
            bound = f"{what} {when} ({sure})  {known.source or clue.source}"
            found.append(f"{answer['place']}, {answer['text']}: {bound}")
    for own in record.get("dated", ()):
        if own["part"] == part_id:
            found.append(_by_you(own))
    return found


def _by_you(own: DatedDoc) -> str:
    return f"dated by you: {dated_text(own['span'])} ({own['sure']})  {own['why']}".rstrip()


def _parts(desk: Desk, record: RecordDoc, weighing: Weighing) -> list[Section]:
    """Whether the parts belong together: the chance that each came from another copy."""
    lines = []
    for part in hand.in_hand_order(record):
        found = weighing.agreement.get(part["id"])
        if found is not None and found.say:
            told = f"{found.p_swapped * 100:6.1f}%"
            weight = "by the dates alone" if found.by_rule else f"{_points(found.decibans).strip()} points"
            lines.append(_hung(told, "warn" if found.p_swapped >= 0.2 else "", f"{found.say} ({weight})"))
    return [Text(tuple(lines), words("From another copy", "bold"), "parts")] if lines else []


def _open(desk: Desk, record: RecordDoc, weighing: Weighing) -> list[Section]:
    """What would tell most now, and what a mistake would cost."""
    sections: list[Section] = []
    if weighing.second_look is not None and not has_left(record):
        second = weighing.second_look
        asked = asks_the_look(desk, weighing)
        look = says(f"{second.stake}; look at what the record asks" if asked else second.say, "warn", 0, 2)
        heading = "At stake before the first look" if second.is_first(record) else "Second look"
        sections.append(Text((look,), words(heading, "bold"), "second-look"))
    offers = [(row, part) for part in record["parts"] for row in weighing.ask_next(part["id"])[:2]]
    offers.sort(key=lambda one: -one[0].bits / max(one[0].seconds, 0.1))
    lines = []
    for row, part in offers[:4]:
        worth = f", worth {row.worth.show()}" if row.worth and row.worth.minor else ""
        text = f"{hand.part_name(record, part)}, {row.place}: {row.clue.ask} ({row.seconds:g} s{worth})"
        lines.append(_hung(f"{row.points:7.1f}", "", text))
    if lines:
        sections.append(
            Text(
                tuple(lines), words("Best looks for the time they take, in points on average", "bold"), "next"
            )
        )
    lost = [
        says(f"{answer['place']}: answered '{then}', but the book now says '{now}'", "warn", 0, 2)
        for answer, then, now in clues.reworded(desk, record)
    ]
    lost += [
        says(f"no longer in the book, not counted: {one['text']}", "warn", 0, 2) for one in weighing.lost
    ]
    return [*sections, *([Text(tuple(lost), name="lost")] if lost else [])]
