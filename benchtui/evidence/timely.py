"""Questions about features that no candidate can show at its date: they are asked of nobody, and no look at
them is named. They can still be gone to.
"""

from collections.abc import Callable, Sequence
from functools import cache

from benchtui.books.shape import Clue
from benchtui.evidence.bounds import moved
from benchtui.evidence.case import Case
from benchtui.evidence.results import PartSpan
from benchtui.evidence.spans import Spans
from benchtui.model.span import Span, hull

GRACE, LATER = 2, 5
"""Years that a pressing may lie outside its period, and those after its first issue in which a copy of a
title that no book describes was most likely made: ours.
"""
GATHERED = 4
"""So many dated answers: the question gathers features of several times."""

Timely = Callable[[str, Clue], bool]
"""Whether a clue is worth asking of the part of that id."""


def timely_of(case: Case, spans: Spans) -> Timely:
    """Where a book describes the title, what gathers features of any later time (late marks) is asked all the
    same: it finds the copy that nobody has described.
    """
    periods = [one.period for one in (case.title.pressings if case.title else ()) if one.known != "grown"]
    made = cache(lambda part: _made(periods, case.first, spans.parts.get(part)))

    def timely(part: str, clue: Clue) -> bool:
        when = made(part)
        apart = 0 if when is None else dated_apart(clue, when)
        return apart == 0 or (bool(periods) and apart >= GATHERED)

    return timely


def dated_apart(clue: Clue, time: Span) -> int:
    """How many dated answers the question has, where all lie outside that time and no two others are left to
    choose from: a barcode on a sleeve of before there were any; else 0.
    """
    shown = [one.span for one in clue.answers if not one.absent]
    dated = [span for span in shown if span is not None]
    apart = len(shown) - len(dated) < 2 and all(span.meet(time) is None for span in dated)
    return len(dated) if apart else 0


def _made(periods: Sequence[Span], first: Span, part: PartSpan | None) -> Span | None:
    """When all that the copy may be was made: the pressings known or proposed, else the years after the first
    issue; None where that is not known, and where what was seen puts the part outside it.
    """
    known = (part.likely or part.certain) if part is not None else None
    issued = hull(periods) if periods else first
    if known is None or not issued.earliest or not issued.latest:
        return None
    made = Span(moved(issued.earliest, -GRACE), moved(issued.latest, GRACE if periods else LATER))
    return made if made.meet(known) is not None else None
