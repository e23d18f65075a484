"""Moving along the queue, and taking a record in."""

from typing import Any

from benchtui.books.passed_on import pressing_of
from benchtui.desk.ask.asking import knows_pressings, lacks_grade
from benchtui.desk.book.cards import cards
from benchtui.desk.core.command import Legend, Need, command
from benchtui.desk.core.desk import Desk, OpenLine, Tone
from benchtui.desk.core.needs import unless
from benchtui.desk.hand import hand, prices
from benchtui.desk.hand.price_follows import stale_price
from benchtui.desk.line import amount_typed
from benchtui.desk.line.lines import LINES, LineKind, close_line, open_line
from benchtui.desk.look.guess import guess_in_words
from benchtui.desk.queue import chores_by_rule, so_far
from benchtui.desk.queue.title import find_title
from benchtui.desk.queue.usual_pace import pace_in_words
from benchtui.evidence import read_runout
from benchtui.evidence.clashes import looked_again, said_so, unresolved, unruled
from benchtui.model.naming import grades_of, with_the
from benchtui.model.record import (
    PartDoc,
    RecordDoc,
    half_words,
    is_touched,
    part_of,
    parts_of,
    ungraded_half,
    why_apart,
)

NOT_LOOKED_FOR = "not looked for yet: "
WITHOUT_PRICE = " without a price"
"""Before the extras of which nobody knows whether they are there: they are not said to be lacking."""


def arrive(desk: Desk, record: RecordDoc | None) -> None:
    """Stand at a record: its title line opens if it has none, else the part that still wants something."""
    desk.open.page, desk.open.menu, desk.open.line, desk.work.refused = None, None, None, ""
    desk.work.record_id = record["id"] if record else None
    desk.work.part_id, desk.work.side, desk.work.taken, desk.asking.order, desk.asking.asked = (
        None,
        "",
        [],
        [],
        None,
    )
    desk.asking.trail, desk.asking.passed = [], []
    desk.tally.record_since = desk.clock()
    if record is None:
        desk.place()
        return
    if record["title"] is None and not record["parts"]:
        find_title(desk)
        return
    waiting = [part for part in hand.in_hand_order(record) if not is_touched(record, part)]
    first = next(iter(waiting or hand.in_hand_order(record)), None)
    hand.take(desk, record, first["id"] if first else None)
    desk.place()


def at(desk: Desk) -> int:
    """The present record's place among those of the queue, from 0; -1 where there is none."""
    return next((n for n, record in enumerate(desk.work.records) if record["id"] == desk.work.record_id), -1)


def next_open(desk: Desk) -> RecordDoc | None:
    """The next record after this one that is not taken in yet, going round once."""
    records = desk.work.records
    here = at(desk)
    for record in records[here + 1 :] + records[: max(here, 0)]:
        if record["state"] in ("empty", "started"):
            return record
    return None


def _beside(by: int) -> Need:
    def why(desk: Desk) -> str:
        there = at(desk) + by
        end = f"this is the {'end' if by > 0 else 'start'} of the queue"
        return unless(0 <= there < len(desk.work.records), end)

    return why


def _not_begun(desk: Desk) -> str:
    """Nothing was said of it, or it is done; one begun wants a key of its own."""
    record = desk.work.record
    if record is None or record["state"] != "started":
        return ""
    lacks = in_words(lacking(desk, record)) or "lacks nothing"
    done = f"{desk.key('take-in')} takes it in, {desk.key('later')} leaves it for later"
    return f"record {record['no']} is begun: {done}; {lacks}"


@command(
    "next-record",
    "bench",
    "next record, from one not started",
    short="next record",
    group="Queue",
    also="skip forward",
    legend=Legend(untitled=30),
    needs=[_not_begun, _beside(1)],
    changes="nothing",
    one_write=True,
    often=90,
    order=400,
)
def skip(desk: Desk) -> None:
    _step(desk, 1)


@command(
    "later",
    "bench",
    "leave this record for later",
    short="later",
    group="Queue",
    also="skip leave postpone unfinished next record",
    legend=Legend(record=220),
    needs=[_beside(1)],
    changes="nothing",
    one_write=True,
    order=405,
)
def leave_for_later(desk: Desk) -> None:
    _step(desk, 1)


@command(
    "previous-record",
    "bench",
    "go back to the record before",
    short="record before",
    group="Queue",
    also="back before",
    legend=Legend(untitled=40),
    needs=[_beside(-1)],
    changes="nothing",
    one_write=True,
    order=410,
)
def back(desk: Desk) -> None:
    _step(desk, -1)


def _step(desk: Desk, by: int) -> None:
    left, to = desk.work.record, desk.work.records[at(desk) + by]
    lacks = lacking(desk, left) if left is not None and left["state"] == "started" else []
    arrive(desk, to)
    if left is not None and lacks:
        desk.refuse(f"record {left['no']} is left unfinished, {in_words(lacks)}")
    elif desk.open.line is None:
        desk.say(f"record {to['no']}")


@command(
    "jump-record",
    "bench",
    "jump to a record by its number",
    short="jump",
    group="Queue",
    also="go goto number",
    legend=Legend(untitled=50),
    changes="nothing",
    offered=160,
    order=420,
)
def jump(desk: Desk) -> None:
    open_line(desk, "jump-record", "to record", about="its number in the queue")


def _jump(desk: Desk, line: OpenLine) -> None:
    text = line.text.strip()
    found = next((record for record in desk.work.records if str(record["no"]) == text), None)
    if not text:
        close_line(desk)
        desk.say("")
        desk.place()
    elif found is None:
        desk.refuse(f"no record {text} here: the queue has 1 to {desk.work.next_no - 1}")
    else:
        close_line(desk)
        arrive(desk, found)


def lacking(desk: Desk, record: RecordDoc) -> list[str]:
    """What is still lacking at the record, in words; an unsettled pressing is no lack, but cuts that
    are to be read first."""
    if record["title"] is None:
        return ["title"]
    if record["set_apart"] is not None:  # what goes into no file wants nothing more
        return []
    so = f" ({desk.key('looked')}: it is so)"
    lacks = [*(words + so for words, _ in contradictions(desk, record)), *verdicts_wanted(desk, record)]
    weighing = desk.weighing() if record["id"] == desk.work.record_id else None
    if weighing is not None and weighing.held == "cuts" and record["pressing"]["how"] != "hand":
        lacks.append(f"the cuts in the runout, which tell the pressing ({desk.key('runout')})")
    waiting = _waiting(desk, record)
    graded = [part for part in waiting if part["kind"] != "extra"]
    lacks += [f"grade of {_with_half(record, part)}" for part in graded]
    if record["price"] is None and prices.price_at_hand(desk, record) is None:
        lacks.append("price")
    elif (
        not any(part["kind"] != "inner" for part in graded)
        and record["state"] != "taken-in"
        and (stale := stale_price(desk, record))
    ):
        lacks.append(f"a new price ({stale})")
    unknown = [part.get("name", "extra") for part in waiting if part["kind"] == "extra"]
    return [*lacks, NOT_LOOKED_FOR + ", ".join(unknown)] if unknown else lacks


def waits_for_grade(desk: Desk, record: RecordDoc) -> bool:
    """Whether a part lacks its grade or its being there, a printed inner's among them."""
    return bool(_waiting(desk, record))


def _waiting(desk: Desk, record: RecordDoc) -> list[PartDoc]:
    parts = [part for part in hand.in_hand_order(record) if hand.is_incomplete(part)]
    return [*parts, *(one for one in parts_of(record, "inner") if lacks_grade(desk, record, one))]


def _with_half(record: RecordDoc, part: PartDoc) -> str:
    """``disc 1``, or ``disc 1 side B`` where only the other side has its grade."""
    half = half_words(ungraded_half(part))
    return " ".join(filter(None, (hand.part_name(record, part), half)))


def in_words(lacks: list[str]) -> str:
    """``lacks: grade of cover; price; not looked for yet: poster``; "" where nothing is lacking."""
    known = [one for one in lacks if not one.startswith(NOT_LOOKED_FOR)]
    return "; ".join([*(["lacks: " + "; ".join(known)] if known else []), *lacks[len(known) :]])


def contradictions(desk: Desk, record: RecordDoc) -> list[tuple[str, dict[str, Any]]]:
    """What cannot all be true of one part, and a runout that is another title's: to be looked at again, and
    what the record keeps once that was done and it is so.
    """
    weighing = desk.weighing() if record["id"] == desk.work.record_id else None
    found = []
    for clash in unresolved(record, weighing.clashes if weighing is not None else ()):
        part = part_of(record, clash.within)
        if part is not None:
            name = with_the(hand.part_name(record, part))
            found.append((f"another look at {name}, whose clues contradict each other", said_so(clash)))
    for disc in parts_of(record, "disc"):
        for side, doc in disc.get("sides", {}).items():
            if (
                doc["typed"]
                and read_runout(doc["typed"], side, desk.book_title, desk.library).belongs is False
            ):
                so = {"part": disc["id"], "runout": side, "typed": doc["typed"]}
                key = desk.key("runout")
                found.append((f"another look at runout {side} ({key}): it does not fit this title", so))
    return [(words, so) for words, so in found if not looked_again(record, so)]


def verdicts_wanted(desk: Desk, record: RecordDoc) -> list[str]:
    """The parts that exclude each other, and those that are probably of another copy: whether they belong
    together only the dealer can say.
    """
    weighing = desk.weighing() if record["id"] == desk.work.record_id else None
    found = []
    for clash in unresolved(record, weighing.clashes if weighing is not None else ()):
        parts = [part for part in hand.in_hand_order(record) if part["id"] in clash.parts]
        if not clash.within and parts:
            names = " and ".join(with_the(hand.part_name(record, part)) for part in parts)
            found.append(f"your verdict on {names}, of different times ({desk.key('ruling')})")
    told = {part for clash in (weighing.clashes if weighing is not None else ()) for part in clash.parts}
    for part in unruled(record, weighing) if weighing is not None else ():
        if part["id"] not in told:
            name = with_the(hand.part_name(record, part))
            found.append(f"your verdict on {name}, probably from another copy ({desk.key('ruling')})")
    return found


def _nothing_lacks(desk: Desk) -> str:
    """What it lacks, once; without a title it is not taken in at all."""
    lacks = lacking(desk, desk.record)
    if lacks == ["title"]:
        keys = f"{desk.key('find-title')} finds or makes one, {desk.key('next-record')} goes on without"
        return f"the title first; {keys}"
    keyed = [f"price ({_price_key(desk)})" if one == "price" else one for one in lacks]
    asks = lacks and desk.work.refused != "take-in"
    return f"{in_words(keyed)}. Press the key again to take it in as it is" if asks else ""


def _learn_of_it(desk: Desk) -> None:
    """What was learnt is on the disk only now."""
    desk.weighings.forget_counts()


@command(
    "take-in",
    "bench",
    "done: take it in, go on to the next",
    short="taken in",
    group="Record",
    also="done finish finished save stock complete",
    legend=Legend(record=10),
    needs=[_nothing_lacks],
    one_write=True,
    often=10,
    order=390,
    after=_learn_of_it,
)
def take_in(desk: Desk) -> None:
    """Taken in; where something is lacking it is named first and a second press takes it in as it is."""
    record = desk.record
    _write_taken_in(desk, record)
    done_with = desk.open.message
    tone: Tone = "done" if record["set_apart"] is None else "clash"
    following = next_open(desk)
    if following is None:
        desk.work.refused = ""
        waiting = len(cards(desk))
        asks = f"; {desk.key('cards')}: {waiting} for you" if waiting else ""
        shows = f"{desk.key('parcel-page')}: the parcel{asks}"
        desk.say(f"{done_with}. That was the last: {pace_in_words(desk, short=True)}. {shows}", tone)
        desk.place()
        return
    arrive(desk, following)
    desk.say(done_with, tone)


def way_in(desk: Desk, record: RecordDoc) -> str:
    """The key that takes the record in; before it the one for its price, where that is still lacking, and the
    one that says of what contradicts itself that it is so.
    """
    lacks = lacking(desk, record)
    if again := contradictions(desk, record):
        return f"{again[0][0]}. {desk.key('looked')}: looked again, it is so"
    if verdicts := verdicts_wanted(desk, record):
        return verdicts[0]
    take = f"{desk.key('take-in')} takes the record in"
    return f"{_price_key(desk)}; {take}" if "price" in lacks else take


def _price_key(desk: Desk) -> str:
    """The key that accepts the worked price on the screen, else the one for a price by hand."""
    worked = prices.worked_for(desk)
    if worked is None or worked.price is None:
        return f"{desk.key('price-hand')} sets its price"
    return f"{desk.key('price-accept')} accepts {worked.price.show()}"


def _write_taken_in(desk: Desk, record: RecordDoc) -> None:
    parcel, weighing = desk.work.parcel, desk.weighing()
    assert parcel is not None
    stock = record["stock"] or desk.shop.reserve_stock(parcel.id, record["id"])
    settled = bool(weighing and weighing.settled) or record["pressing"]["how"] == "hand"
    words = "" if settled or not knows_pressings(weighing) else ", pressing not sure"
    if record["set_apart"] is not None:
        words += f". SET APART ({why_apart(record['set_apart'])}): in nothing that goes to buyers or senders"
    price = prices.price_at_hand(desk, record)
    asked = record["price"]
    shown = price.show() if price is not None else amount_typed.shown(asked) if asked is not None else ""
    at = f" at {shown}" if shown else "" if record["set_apart"] is not None else WITHOUT_PRICE
    with desk.act(f"record {record['no']} taken in as {stock}{at}{words}") as change:
        copy = desk.changed(change)
        if price is not None:
            copy["price"] = {"minor": price.minor, "currency": price.currency, "how": "worked"}
        copy["stock"], copy["state"], copy["taken_in_at"] = stock, "taken-in", desk.now()
        if copy["pressing"]["how"] != "hand":
            copy["pressing"] = desk.weighings.called(record, weighing)
        prices.keep_worked(desk, copy)
        copy["channels"] = copy["channels"] or _channels(desk, copy["pressing"])
        chores_by_rule.work_by_rule(desk, copy)
        change.head["sessions"].append(_session(desk, record))
    desk.tally.keys_told[record["id"]] = desk.tally.keys_by_record.get(record["id"], 0)
    desk.weighings.forget_counts()
    done = parcel.record(record["id"])
    if done is not None:
        desk.say(_taken_in_words(desk, done, words), "done")


def _taken_in_words(desk: Desk, record: RecordDoc, doubts: str) -> str:
    """Number, price, grades, what it is; what the parcel asks so far beside what it cost. Of the last record
    only its number and price: more is said then.
    """
    title, price = record["title"], amount_typed.shown(record["price"])
    at = f" at {price}" if price else "" if record["set_apart"] is not None else WITHOUT_PRICE
    grades = f", {grades_of(record, desk.scale)}" if any(part["grades"] for part in record["parts"]) else ""
    name = f": {title['artist']}, {title['title']}" if title else ""
    money, guessed = so_far.in_words(desk), guess_in_words(record)
    if next_open(desk) is None:
        grades = name = money = guessed = ""
        doubts = doubts if record["set_apart"] is not None else ""
    doubts += f"; {guessed}" if guessed else ""
    return f"record {record['no']} taken in as {record['stock']}{at}{grades}{name}{doubts}" + (
        f". {money[0].upper()}{money[1:]}" if money else ""
    )


def _channels(desk: Desk, pressing: Any) -> str:
    """Mono or stereo as the pressing says, where the title came in both."""
    title = desk.book_title
    if title is None or pressing["how"] == "open":
        return ""
    known = pressing_of(title, pressing["id"])
    return known.channels if known else ""


def _session(desk: Desk, record: RecordDoc) -> dict[str, Any]:
    """Pace: keys and seconds at the record on this visit, kept with the parcel."""
    since = desk.tally.record_since or desk.clock()
    seconds = max(0, round((desk.clock() - since).total_seconds()))
    keys = desk.tally.keys_by_record.get(record["id"], 0)
    return {
        "record": record["id"],
        "at": desk.now(),
        "keys": keys - desk.tally.keys_told.get(record["id"], 0),
        "seconds": seconds,
    }


LINES["jump-record"] = LineKind(_jump, one_write=True)
