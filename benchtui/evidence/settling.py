"""What holds a likely leader back: the copy does not look like it, or shows what it never should."""

from collections.abc import Sequence

from benchtui.books.shape import NOT_BY_THE_COMPANY
from benchtui.evidence.bounds import dating_disc
from benchtui.evidence.case import Case
from benchtui.evidence.results import Clash, Fit, HeldBack, Likely, PartSpan, Weighing
from benchtui.evidence.seen import PartSeen
from benchtui.evidence.spans import Spans
from benchtui.evidence.why import without
from benchtui.model.record import PressingRef

NONE = 0.5
"""From these odds on "none of these" is what the copy is taken for."""


def held_back(case: Case, leader: Likely, fit: Fit | None) -> HeldBack:
    """Why a leader that is likely enough is not settled all the same; "" where nothing holds it back.

    ``unlike``: the copy does not fit it. Where something was seen instead of what it always shows: ``cuts``
    until those were read, for they tell a late pressing from a misread label better than any label; then
    ``contradicted`` while it is not likelier still (``WeighSettings.contradicted``). That it may be ``new``,
    one that nobody has described, is asked after all of these (``weighing.py``). ``runout``: that of a disc
    which nobody has ruled on is another title's.
    """
    if fit is not None and not fit.holds:
        return "unlike"
    if any(part.stray and part.id not in case.record["rulings"] for part in case.seen.parts):
        return "runout"
    if fit is None:
        return ""
    if not fit.contradicted:
        return ""
    if any(_unread(case, part) for part in case.seen.parts):
        return "cuts"
    return "contradicted" if leader.p < max(case.settings.contradicted, case.settings.settle) else ""


def fits_none(called: PressingRef, leader: Likely, held: HeldBack) -> bool:
    """Whether the copy is none of the pressings known, by the dealer's word or by what was seen: their times
    say nothing of it, only its own answers do.
    """
    if called["how"] == "hand":
        return called["id"] is None
    return held == "unlike" or (leader.id is None and leader.p >= NONE)


def holds_back(case: Case, clashes: Sequence[Clash], lead: int) -> bool:
    """Whether a contradiction leaves the leader in doubt: one of a hard end, with the title's own date or
    between two parts always; one within a part, of which one clue was misread, where the leader does not
    stand without each of them.
    """
    return any(one.hard or not one.within or not _stands(case, one, lead) for one in clashes)


def own_of(case: Case, clashes: Sequence[Clash]) -> list[Clash]:
    """Those that touch no part of another copy: what such a part says leaves the copy's pressing as it is."""
    return [one for one in clashes if case.elsewhere.isdisjoint(one.parts)]


def dated(case: Case, spans: Spans, lead: int) -> PartSpan:
    """When the copy was made by its parts: not established where the disc that dates it contradicts itself.

    It is where the pressing it is called is of two times by nature, or stands without each of the clues that
    clash.
    """
    disc = dating_disc(case.seen, case.elsewhere)
    if disc is None or disc.id not in spans.torn:
        return spans.copy
    called = lead if case.named is None else case.named
    pressing = case.pressing(called)
    its = [one for one in own_of(case, spans.clashes) if disc.id in one.parts]
    if pressing is not None and (pressing.kind in NOT_BY_THE_COMPANY or not holds_back(case, its, called)):
        return spans.copy
    return spans.copy._replace(likely=None)


def of_its_pressing(case: Case, copy: PartSpan, disc: PartSpan, sure: int | None) -> PartSpan:
    """The copy's date within the years of the pressing that the dealer named, where the two can meet, else
    of the one that is ``sure``, where its parts allow all of those. Where a part of which nobody knows
    whether it belongs is later than that pressing, the copy's date is the disc's under it.
    """
    which = sure if case.named is None else case.named
    pressing = None if which is None else case.pressing(which)
    if pressing is None or copy.likely is None:
        return copy
    met = copy.likely.meet(pressing.period)
    if met is None and _is_open(case) and disc.likely is not None:
        met = disc.likely.meet(pressing.period)
    elif case.named is None and met != pressing.period:
        return copy
    return copy if met is None else copy._replace(likely=met)


def _is_open(case: Case) -> bool:
    """Whether of some part it is not established that it belongs, and the dealer did not say so either."""
    rulings = case.record["rulings"]
    return any(one.stands == "open" and part not in rulings for part, one in case.agreement.items())


def _stands(case: Case, clash: Clash, lead: int) -> bool:
    for key, clue in clash.ends:
        part = case.post.parts.get(key)  # the title's first issue is of no part
        for one in [] if part is None else [one for one in part.weighed if one.clue == clue]:
            odds = without(case.post, key, case.post.parts[key], one)
            if odds[lead] < case.settings.settle * sum(odds):
                return False
    return True


def say_held(weighing: Weighing, most: int = 3) -> str:
    """Why a likely leader is not settled, in words; "" where nothing holds it back."""
    if weighing.held == "new":
        new = next(one.p for one in weighing.pressings if one.id is None)
        return f"not sure yet: {new:.0%} that it is a pressing nobody has described"
    if weighing.held == "runout":
        return "not sure: a runout does not fit this title"
    if weighing.fit is None or not weighing.held:
        return ""
    if weighing.held == "unlike":
        asked = list(dict.fromkeys(one.ask for one in weighing.fit.surprises)) or ["all of it together"]
        more = f" and {len(asked) - most} more" if len(asked) > most else ""
        return f"does not fit what is known: {', '.join(asked[:most])}{more}"
    against = ", ".join(dict.fromkeys(one.ask for one in weighing.fit.surprises if one.always))
    if weighing.held == "cuts":
        return f"read the cuts first: that pressing always shows something else ({against})"
    return f"not sure yet: that pressing always shows something else ({against})"


def _unread(case: Case, part: PartSeen) -> bool:
    """Whether the title has cuts to tell apart and nobody has looked at those of this disc."""
    known = case.post.model.cuts_read is not None
    return known and part.kind == "disc" and part.doc.get("number", 1) == 1 and not (
        part.cuts or any(side.get("typed") for side in part.doc.get("sides", {}).values())
    )  # fmt: skip
