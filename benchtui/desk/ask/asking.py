"""Which question comes next: about the part in the hand, and about the part that follows it.

A question is wanted while it may tell something (evidence: ``NextClue.worthwhile``); of a part that no answer
dates yet, that nobody has looked at, or of which it is open whether it belongs, one more in any case, as a
check; of a disc the runouts; of an extra whether it is there. Once nothing is wanted of the part in the hand
and it has its grade, the question shown is the next part's, and every key goes to that part: the first one
takes it in the hand, whichever it is. Only a shade directly after a grade belongs to that grade, and a part
taken by a key of its own stays the one that is meant.
"""

from typing import NamedTuple

from benchtui.books.passed_on import pressing_of
from benchtui.books.shape import Pressing
from benchtui.desk.ask.forms import form_asked, form_of
from benchtui.desk.ask.inner import is_plain, is_printed
from benchtui.desk.core.desk import Asked, Desk
from benchtui.desk.core.shapes import RUNOUT
from benchtui.evidence import Likely, Weighing
from benchtui.evidence.timely import dated_apart
from benchtui.model.record import (
    AnswerDoc,
    PartDoc,
    RecordDoc,
    answer_ids,
    answer_to,
    is_here,
    is_touched,
    part_of,
    sides_of,
)

HERE: Asked = ("whole", "?here")
"""The question every extra is asked first: is it there?"""
FAR_MORE = 1.5
"""A question goes before the one that stands next where it tells so many times as much a second: ours."""
DOUBT = 0.2
"""As likely as this to come from another copy, and to belong, a part is asked about further."""
LEADS = 0.5
"""Below this nobody leads: nothing is foretold, since it would only lead the eye."""
COPY_NUMBER = "copy"
"""The unit of a number that each copy has for itself."""


class Ahead(NamedTuple):
    """The part that follows the one in the hand, its order of questions, and the one asked of it first."""

    part: PartDoc
    order: tuple[Asked, ...]
    asked: Asked | None


def is_runout(desk: Desk, asked: Asked | None) -> bool:
    """Whether the question is answered by writing down a runout."""
    if asked is None or asked == HERE:
        return False
    form = form_asked(asked, desk.library.clue(asked[1]))
    return form is not None and form.written


def typed_on(disc: PartDoc, side: str) -> str:
    """What was typed of the runout of that side, "" where nothing was."""
    return disc.get("sides", {}).get(side, {}).get("typed", "")


def is_answered(desk: Desk, record: RecordDoc, part: PartDoc, asked: Asked) -> bool:
    """Seen answers count; copied ones are still to be confirmed. A runout is answered by what was typed."""
    if asked == HERE:
        return part.get("state") in ("present", "missing")
    if is_runout(desk, asked):
        return bool(typed_on(part, asked[0].split()[-1]))
    answer = answer_to(record, part["id"], *asked)
    return answer is not None and answer["how"] == "seen"


def answer_now(desk: Desk) -> AnswerDoc | None:
    """What already stands as the answer to the question shown."""
    record, part_id, asked = desk.work.record, desk.work.part_id, desk.asking.asked
    return answer_to(record, part_id, *asked) if record and part_id and asked else None


def is_incomplete(part: PartDoc) -> bool:
    """A disc or cover without a grade, or with that of one side; an extra nobody knows to be there or not."""
    if part["kind"] == "extra":
        return bool(part.get("expected")) and part.get("state", "unknown") == "unknown"
    return part["kind"] in ("disc", "cover", "box") and is_here(part) and not _is_graded(part)


def _is_graded(part: PartDoc) -> bool:
    """As a whole, or both of its halves."""
    halves = {event["side"] for event in part["grades"]}
    return "" in halves or len(halves) > 1


def wants_grade(desk: Desk, part: PartDoc) -> bool:
    """Whether its grade is asked before the hand goes on: also of an inner that is printed, or of which a
    question was passed over.
    """
    if part["kind"] != "inner":
        return is_incomplete(part)
    if not is_here(part) or part["grades"] or desk.work.record is None:
        return False
    passed = any(part_id == part["id"] for part_id, _ in desk.asking.passed)
    return passed or lacks_grade(desk, desk.work.record, part)


def lacks_grade(desk: Desk, record: RecordDoc, inner: PartDoc) -> bool:
    """Whether a printed inner has no grade: it is named before the record is taken in."""
    return is_here(inner) and not inner["grades"] and is_printed(desk, record, inner)


def in_hand_order(record: RecordDoc) -> list[PartDoc]:
    """Parts in the order a dealer handles them: cover, disc, inner, wrap, extras."""
    rank: dict[str, int] = {"cover": 0, "box": 0, "wrap": 1, "disc": 2, "inner": 3, "extra": 4}
    parts = [part for part in record["parts"] if not part.get("gone")]
    return sorted(parts, key=lambda part: (rank[part["kind"]], part.get("number", 1)))


def order_of(desk: Desk, part: PartDoc, weighing: Weighing) -> list[Asked]:
    """All that may be asked of a part, best first, as it is when the part is taken up.

    Runouts are written first side first, whichever side would tell more.
    """
    order = [HERE] if part["kind"] == "extra" else []
    order += weighing.order(part["id"]) if is_here(part) else []
    return _first_side_first(desk, order)


def _first_side_first(desk: Desk, order: list[Asked]) -> list[Asked]:
    cuts = [n for n, asked in enumerate(order) if is_runout(desk, asked)]
    for n, asked in zip(cuts, sorted(order[n] for n in cuts), strict=True):
        order[n] = asked
    return order


def _anew(desk: Desk, record: RecordDoc, part: PartDoc, weighing: Weighing) -> list[Asked]:
    """The order after an answer: what is answered or passed over as it stood, then what tells more than
    ``FAR_MORE`` times as much a second as the one that stands next, then the rest as it stood.

    So copies of one title are asked in the same order, which hands get to know, unless another one is worth
    it. What is in sight, the question shown, never moves.
    """
    order, shown = desk.asking.order, desk.asking.asked
    passed = {asked for part_id, asked in desk.asking.passed if part_id == part["id"]}
    done = [a for a in order if a != shown and (a in passed or is_answered(desk, record, part, a))]
    if shown in order:
        done.append(shown)
    rest = [asked for asked in order if asked not in done]
    rates = {(one.place, one.clue.id): one.bits / one.seconds for one in weighing.ask_next(part["id"])}
    least = FAR_MORE * rates.get(rest[0], 0.0) if rest else 0.0
    sooner = [asked for asked, rate in rates.items() if asked in rest and rate > least]
    return [*done, *_first_side_first(desk, sooner + [asked for asked in rest if asked not in sooner])]


def knows_pressings(weighing: Weighing | None) -> bool:
    """Whether the books know any pressing of the title at all."""
    return weighing is not None and any(likely.id for likely in weighing.pressings)


def wanted(
    desk: Desk, record: RecordDoc, part: PartDoc, order: list[Asked], weighing: Weighing
) -> list[Asked]:
    """The questions of the order that are worth asking now, in it; none that was passed over."""
    passed = {asked for part_id, asked in desk.asking.passed if part_id == part["id"]}
    left = [a for a in order if a not in passed and not is_answered(desk, record, part, a)]
    if HERE in left:
        return [HERE]
    if not is_here(part) or part["id"] in weighing.elsewhere:  # another copy's says nothing of this one
        return []
    if part["kind"] == "inner" and is_plain(desk, record, part):
        left = [asked for asked in left if not _lists_titles(desk, asked)]
    left = [asked for asked in left if _is_timely(desk, part, asked, weighing)]
    timely = [asked for asked in left if not _out_of_time(desk, part, asked, weighing)]
    found = timely if not knows_pressings(weighing) else _telling(desk, part, left, weighing)
    if not passed and all(_is_typed(desk, asked) for asked in found):
        found = _check(desk, record, part, timely, weighing) + found
    found += [asked for asked in _copy_number(desk, record, left, weighing) if asked not in found]
    cuts = [asked for asked in left if is_runout(desk, asked)] if weighing.held == "cuts" else []
    found = [*cuts, *(asked for asked in found if asked not in cuts)]
    again = _looked_again(part, weighing)
    found.sort(key=lambda asked: asked != again)
    return found + [asked for asked in _runouts(desk, record, part) if asked not in passed][:1]


def _lists_titles(desk: Desk, asked: Asked) -> bool:
    clue = desk.library.clue(asked[1])
    return clue is not None and clue.form == "titles"


def _is_timely(desk: Desk, part: PartDoc, asked: Asked, weighing: Weighing) -> bool:
    clue = desk.library.clue(asked[1])
    return clue is None or weighing.timely(part["id"], clue)


def _out_of_time(desk: Desk, part: PartDoc, asked: Asked, weighing: Weighing) -> bool:
    """Whether each dated answer of the question lies outside the time of the part, and no two others are left
    to choose from: a barcode on a sleeve of before there were any. It can still be gone to.
    """
    spans, clue = weighing.parts.get(part["id"]), desk.library.clue(asked[1])
    known = (spans.likely or spans.certain) if spans is not None else None
    return clue is not None and known is not None and known.known and dated_apart(clue, known) > 0


def leading(record: RecordDoc, weighing: Weighing) -> Likely | None:
    """What leads: the pressing that the dealer named, else the likeliest; None where that is not likely."""
    named, leader = weighing.named(record["pressing"]), weighing.leader
    return named or (leader if leader is not None and leader.p >= LEADS else None)


def _copy_number(desk: Desk, record: RecordDoc, left: list[Asked], weighing: Weighing) -> list[Asked]:
    """The number of this copy, where the pressing that leads is a numbered one: no other answer makes it
    known, and a buyer asks for it, however sure the pressing is.
    """
    leader = leading(record, weighing)
    if leader is None or leader.id is None:
        return []
    numbers = [asked for asked in left if (clue := desk.library.clue(asked[1])) and clue.unit == COPY_NUMBER]
    pressing = pressing_of(desk.book_title, leader.id) if numbers else None
    return [asked for asked in numbers if pressing is not None and _has_one(desk, pressing, asked[1])]


def _has_one(desk: Desk, pressing: Pressing, clue_id: str) -> bool:
    """Whether the pressing usually shows the clue, whatever its answer."""
    clue, words = desk.library.clue(clue_id), pressing.expect.get(clue_id, {})
    shown = {one.id for one in clue.answers if not one.absent} if clue is not None else set()
    return any(word in ("always", "usually") for answer, word in words.items() if answer in shown)


def _looked_again(part: PartDoc, weighing: Weighing) -> Asked | None:
    """The question of this part that the second look names, once nothing else keeps the pressing open: it is
    asked before all others.
    """
    second = weighing.second_look
    if second is None or second.clue is None or second.part != part["id"]:
        return None
    return (second.place, second.clue.id) if _is_sure(weighing) else None


def _is_sure(weighing: Weighing) -> bool:
    return weighing.pressings[0].p >= weighing.stop.at


def asks_the_look(desk: Desk, weighing: Weighing) -> bool:
    """Whether the question shown is the look that what is at stake calls for: while the pressing is not sure
    any question that is asked, for what tells most comes first; then the one that saves most.
    """
    following, second = ahead(desk), weighing.second_look
    asked = following.asked if following is not None else desk.asking.asked
    part = following.part["id"] if following is not None else desk.work.part_id
    if second is None or second.clue is None or asked is None:
        return False
    named = (second.part, second.place, second.clue.id)
    return (part, *asked) == named or not (second.imitation or _is_sure(weighing))


def _is_typed(desk: Desk, asked: Asked) -> bool:
    """Whether it is asked though it gives no expectation, and is answered in a line."""
    clue = desk.library.clue(asked[1])
    return clue is not None and bool(form_of(clue).asked_of)


def _check(
    desk: Desk, record: RecordDoc, part: PartDoc, left: list[Asked], weighing: Weighing
) -> list[Asked]:
    """What is asked though it should tell nothing: of a part that no answer dates yet, what dates it best for
    the look it takes; of one nobody looked at, or whose belonging is open, simply the first.
    """
    if not _is_dated(desk, record, part) and part["kind"] != "extra":
        dating = max(left, key=lambda asked: _dates(desk, asked), default=None)
        if dating is not None and _dates(desk, dating) > 0:
            return [dating]
    if not is_touched(record, part) or is_doubted(record, part, weighing):
        return left[:1]
    return []


def _is_dated(desk: Desk, record: RecordDoc, part: PartDoc) -> bool:
    """Whether an answer seen bounds the making of the part."""
    for seen in record["answers"]:
        if seen["part"] == part["id"] and seen["how"] == "seen":
            clue = desk.library.clue(seen["clue"])
            said = [clue.answer(one) for one in answer_ids(seen)] if clue is not None else []
            if said and all(one is not None and one.span is not None for one in said):
                return True
    return False


def _dates(desk: Desk, asked: Asked) -> float:
    """How many choices of the question bound the making of their part, per second of looking; 0 below two."""
    clue = desk.library.clue(asked[1]) if asked != HERE else None
    if clue is None or not form_of(clue).chosen:
        return 0.0
    dated = sum(answer.span is not None for answer in clue.answers)
    return dated / max(clue.seconds, 0.1) if dated > 1 else 0.0


def is_doubted(record: RecordDoc, part: PartDoc, weighing: Weighing) -> bool:
    """Whether it is open if the part belongs to this copy, by the evidence and by the dealer's word."""
    found = weighing.agreement.get(part["id"])
    if (
        found is None
        or found.by_rule
        or part["id"] in weighing.elsewhere
        or record["rulings"].get(part["id"]) in ("own", "swapped")
    ):
        return False
    return DOUBT <= found.p_swapped <= 1 - DOUBT


def _telling(desk: Desk, part: PartDoc, left: list[Asked], weighing: Weighing) -> list[Asked]:
    """Those that may move the odds while the pressing is open; what cannot be foretold may tell anything.

    Where one side's runout tells something both are written, the first side first.
    """
    if weighing.settled:
        return []
    telling = {(one.place, one.clue.id) for one in weighing.ask_next(part["id"]) if one.worthwhile}
    cuts = {clue for _, clue in telling if is_runout(desk, ("", clue))}
    return [asked for asked in left if asked in telling or asked[1] in cuts or _advertises(desk, part, asked)]


def _advertises(desk: Desk, part: PartDoc, asked: Asked) -> bool:
    """Whether the question is which titles an inner or a wrap advertises; a cover seldom does."""
    clue = desk.library.clue(asked[1])
    return clue is not None and part["kind"] in form_of(clue).asked_of


def _runouts(desk: Desk, record: RecordDoc, part: PartDoc) -> list[Asked]:
    """The sides of a disc whose runout is not written down, where the books know how it begins."""
    title = desk.library.title(record["title"]["id"]) if record["title"] else None
    if title is None or part["kind"] != "disc":
        return []
    return [
        (f"runout {side}", RUNOUT)
        for side in sides_of(part)
        if title.stems.get(side) and not typed_on(part, side)
    ]


def next_question(desk: Desk, record: RecordDoc, insisted: bool = False) -> Asked | None:
    """The wanted question after the present one, else the first before it; None where nothing is wanted.

    ``insisted``: the present one was asked for although nothing was wanted: then simply the next one open.
    """
    part = part_of(record, desk.work.part_id)
    if part is None:
        return None
    if insisted:
        at = _place(desk)
        later = [asked for asked in desk.asking.order[at:] if not is_answered(desk, record, part, asked)]
        return next(iter(later), None)
    weighing = desk.weighings.of(record, desk.work.part_id)
    found = wanted(desk, record, part, desk.asking.order, weighing)
    if desk.asking.asked in found:  # neither answered nor passed over yet
        return desk.asking.asked
    if desk.asking.asked is not None:
        desk.asking.order = _anew(desk, record, part, weighing)
        found = wanted(desk, record, part, desk.asking.order, weighing)
    at = _place(desk)
    rest = [asked for asked in found if asked not in desk.asking.order[:at]]
    return next(iter(rest or found), None)


def waits_next(desk: Desk) -> Asked | None:
    """The question of the part in the hand that comes next, were the answer to this one to tell nothing."""
    record, part, weighing = desk.work.record, desk.work.part, desk.weighing()
    if record is None or part is None or weighing is None or desk.asking.asked is None:
        return None
    found = wanted(desk, record, part, desk.asking.order, weighing)
    later = [asked for asked in found if asked not in desk.asking.order[: _place(desk)]]
    return next((asked for asked in (*later, *found) if asked != desk.asking.asked), None)


def _place(desk: Desk) -> int:
    """Where in the order the question after the one shown stands."""
    return desk.asking.order.index(desk.asking.asked) + 1 if desk.asking.asked in desk.asking.order else 0


def is_insisted(desk: Desk) -> bool:
    """Whether the question shown is one that the dealer went to although it is not wanted."""
    record, part = desk.work.record, desk.work.part
    if record is None or part is None or desk.asking.asked is None or _was_ahead(desk, record, part):
        return False
    weighing = desk.weighing()
    if weighing is None:
        return False
    return desk.asking.asked not in wanted(desk, record, part, desk.asking.order, weighing)


def _was_ahead(desk: Desk, record: RecordDoc, part: PartDoc) -> bool:
    """Whether the question is the one found ahead for the record as it still is: it was wanted then."""
    if desk.asking.ahead is None:
        return False
    (_, asked_for, *_), found = desk.asking.ahead
    return (
        asked_for is record
        and found is not None
        and (found.part["id"], found.asked) == (part["id"], desk.asking.asked)
    )


def is_finished(desk: Desk, part: PartDoc) -> bool:
    """Whether nothing more is wanted of the part: no question is open, and it has its grade."""
    return not is_here(part) or (desk.asking.asked is None and not wants_grade(desk, part))


def ahead(desk: Desk) -> Ahead | None:
    """The part that the next key takes up, once nothing is wanted of the one in the hand; else None."""
    record, part = desk.work.record, desk.work.part
    if desk.work.held or record is None or part is None or not is_finished(desk, part):
        return None
    weighing = desk.weighing()  # last: a part that is not finished asks for none
    if weighing is None:
        return None
    kept = (weighing, record, part["id"], desk.asking.asked, len(desk.asking.passed), len(desk.work.taken))
    if desk.asking.ahead is None or not all(
        a is b or a == b for a, b in zip(desk.asking.ahead[0], kept, strict=True)
    ):
        desk.asking.ahead = (kept, look_ahead(desk, record, weighing))
    return desk.asking.ahead[1]


def target(desk: Desk) -> str | None:
    """Where keys go: the part in the hand, or the one that the next key takes up."""
    following = ahead(desk)
    return following.part["id"] if following is not None else desk.work.part_id


def look_ahead(desk: Desk, record: RecordDoc, weighing: Weighing) -> Ahead | None:
    """The part to go on to: after an extra the next one not looked for; then the one the evidence asks for,
    else in the order of handling what is fresh, in doubt or lacking something.
    """
    parts = in_hand_order(record)
    at = next((n for n, part in enumerate(parts) if part["id"] == desk.work.part_id), 0)
    others = parts[at + 1 :] + parts[:at]
    if not weighing.settled:  # the part that the evidence asks for comes first
        others.sort(key=lambda part: part["id"] != weighing.next_part or part["kind"] == "extra")
    if parts and parts[at]["kind"] == "extra":  # whoever has begun to look for extras goes on with them
        others.sort(key=lambda part: part["kind"] != "extra" or not is_incomplete(part))
    for part in others:
        doubted = is_here(part) and is_doubted(record, part, weighing)
        asks = not weighing.settled and part["id"] == weighing.next_part
        fresh = is_here(part) and part["id"] not in desk.work.taken and not is_touched(record, part)
        if not (asks or fresh or doubted or is_incomplete(part)):
            continue
        order = order_of(desk, part, weighing)
        asked = next(iter(wanted(desk, record, part, order, weighing)), None)
        if asked is not None or is_incomplete(part):
            return Ahead(part, tuple(order), asked)
    return None
