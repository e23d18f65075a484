"""Why a command cannot be done now, in a few words: what a list says of it before it is chosen."""

from benchtui.desk import hand, prices, queue
from benchtui.desk.asking import HERE, ahead, knows_pressings
from benchtui.desk.bench_verbs import is_of_a_past_day
from benchtui.desk.clues import foretold
from benchtui.desk.core import Desk
from benchtui.desk.refusals_page import PAGE_NEEDS, Why, parcel_open, part_in_hand, part_is_here, unless
from benchtui.desk.repeating import model_for
from benchtui.desk.runout import disc_in_question
from benchtui.model.record import answer_to, latest_grade


def why_not(desk: Desk, action: str) -> str:
    """Why the action would be refused where one stands; "" where it can be done."""
    from benchtui.desk.press import barred  # which imports all verbs

    if barred(desk, action):
        return "open for reading only" if desk.parcel and desk.parcel.read_only else "the parcel is closed"
    return next((said for need in NEEDS.get(action, ()) if (said := need(desk))), "")


def _record(desk: Desk) -> str:
    return unless(desk.record, "no record on the bench")


def _title(desk: Desk) -> str:
    return unless(desk.record and desk.record["title"], "no title yet")


def _graded(desk: Desk) -> str:
    return unless(desk.part and latest_grade(desk.part, desk.side), "no grade to shade yet")


def _kind(words: str, *kinds: str) -> Why:
    def why(desk: Desk) -> str:
        parts = hand.in_hand_order(desk.record) if desk.record else []
        return unless(any(part["kind"] in kinds for part in parts), f"no {words} here")

    return why


def _other_part(desk: Desk) -> str:
    return unless(desk.record and hand.next_part(desk, desk.record), "no other part")


def _parts(desk: Desk) -> str:
    return unless(desk.record and desk.record["parts"], "no title yet")


def _question_before(desk: Desk) -> str:
    record = desk.record
    answered = record is not None and any(one["part"] == desk.part_id for one in record["answers"])
    return unless(desk.trail or answered, "no question before this")


def _to_repeat(desk: Desk) -> str:
    """Whether something copied or foretold waits to be confirmed, or a copy before to be repeated."""
    record, following = desk.record, ahead(desk)
    asked, part = (following.asked, following.part) if following else (desk.asked, desk.part)
    if record is None:
        return "no record on the bench"
    clue = desk.library.clue(asked[1]) if asked and asked != HERE else None
    standing_now = answer_to(record, part["id"], *asked) if part and asked else None
    waits = clue is not None and standing_now is not None and standing_now["how"] != "seen"
    fresh = not any(answer["how"] in ("seen", "copied") for answer in record["answers"])
    if waits or (fresh and model_for(desk, record) is not None):
        return ""
    return unless(clue is not None and foretold(desk, clue), "nothing to repeat or confirm")


def _disc(desk: Desk) -> str:
    return unless(desk.record and disc_in_question(desk, desk.record), "no disc here")


def _second_look(desk: Desk) -> str:
    weighing = desk.weighing()
    return unless(weighing and weighing.second_look, "no second look is asked for")


def _pressings(desk: Desk) -> str:
    return unless(knows_pressings(desk.weighing()), "no pressing is known")


def _worked(desk: Desk) -> str:
    worked = prices.worked_for(desk)
    return "" if worked is not None and worked.price is not None else worked.say if worked else "no title yet"


def _nothing_lacks(desk: Desk) -> str:
    record = desk.record
    if record is None:
        return "no record on the bench"
    lacks = queue.lacking(desk, record)
    if lacks == ["title"]:
        return "no title yet"
    if not lacks or desk.lacking_said == record["id"]:
        return ""
    more = f" and {len(lacks) - 1} more" if len(lacks) > 1 else ""
    return f"lacks {lacks[0]}{more}; Enter twice takes it in"


def _beside(by: int) -> Why:
    def why(desk: Desk) -> str:
        there = queue.at(desk) + by
        return unless(0 <= there < len(desk.records), f"the {'end' if by > 0 else 'start'} of the queue")

    return why


def _to_undo(desk: Desk) -> str:
    here = desk.parcel
    if here is None:
        return "no parcel is open"
    if here.closed:
        return "the parcel is closed"
    at = len(here.history) - here.head["undone"] - 1
    if at < 0 or here.history[at].kept:
        return "nothing to take back"
    return unless(not is_of_a_past_day(desk, here), "that day is over")


def _to_redo(desk: Desk) -> str:
    here = desk.parcel
    if here is None:
        return "no parcel is open"
    return unless(here.head["undone"] > 0 and not here.closed, "nothing to do again")


NEEDS: dict[str, tuple[Why, ...]] = {
    **dict.fromkeys(
        ("record-page", "find-title", "add-part", "chore", "note", "price-hand", "terms", "why"), (_record,)
    ),
    "next-part": (_other_part,),
    "take-cover": (_kind("cover", "cover", "box", "wrap"),),
    "take-disc": (_kind("disc", "disc"),),
    "take-inner": (_kind("inner", "inner"),),
    **dict.fromkeys(("not-here", "next-clue", "ruling", "grade-ladder"), (part_in_hand,)),
    "jump-clue": (_parts,),
    "previous-clue": (_question_before,),
    "ditto": (_to_repeat,),
    "runout": (_disc,),
    "looked": (_second_look,),
    "pressing": (_pressings,),
    **dict.fromkeys(("shade-up", "shade-down"), (_graded,)),
    "fault": (part_is_here,),
    "price-accept": (_worked,),
    "sale-seen": (_title,),
    "take-in": (_nothing_lacks,),
    "next-record": (_beside(1),),
    "previous-record": (_beside(-1),),
    **dict.fromkeys(("parcel-page", "page-parcel", "result-page", "page-list", "page-add"), (parcel_open,)),
    **dict.fromkeys(("undo", "page-undo"), (_to_undo,)),
    **dict.fromkeys(("redo", "page-redo"), (_to_redo,)),
    **PAGE_NEEDS,
}
"""What each command asks for, first things first."""
