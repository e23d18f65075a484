"""Figures typed ahead for a question that is asked no longer: they answer others, and it is said which.

Whoever knows the order of questions types on before reading. Where an answer takes from the questions wanted
the one that stood next, and that one takes figures (the number of a copy), each figure answers one of its own
or begins another line. Nothing is refused, for the next reader of the screen means what is shown.
"""

from benchtui.desk.ask.asking import is_answered, waits_next, wanted
from benchtui.desk.ask.forms import form_asked
from benchtui.desk.core.desk import Asked, Desk
from benchtui.desk.core.state import Unasked
from benchtui.desk.keyboard.perform import run


def run_told(desk: Desk, use: str) -> None:
    """Do the command; an answer says with it what is no longer asked."""
    answers = use.startswith("answer-") or use in ("ditto", "line-accept")
    if not answers or desk.open.page is not None:
        desk.asking.unasked = None
        run(desk, use)
        return
    before, awaited = (desk.work.record_id, desk.work.part_id), _awaited(desk)
    run(desk, use)
    if desk.asking.unasked is not None:
        _tell(desk, desk.asking.unasked)
    elif awaited is not None and before == (desk.work.record_id, desk.work.part_id):
        desk.asking.unasked = _dropped(desk, awaited)


def _awaited(desk: Desk) -> Asked | None:
    """The question that stands next on the part in the hand, where its answer begins with a figure."""
    asked = waits_next(desk)
    form = form_asked(asked, desk.library.clue(asked[1])) if asked is not None else None
    return asked if form is not None and form.any_digit else None


def _dropped(desk: Desk, awaited: Asked) -> Unasked | None:
    """That question, where it is wanted no more."""
    record, part, weighing = desk.work.record, desk.work.part, desk.weighing()
    clue = desk.library.clue(awaited[1])
    if record is None or part is None or weighing is None or clue is None:
        return None
    if desk.asking.asked == awaited or is_answered(desk, record, part, awaited):
        return None
    return None if awaited in wanted(desk, record, part, desk.asking.order, weighing) else Unasked(clue.ask)


def _tell(desk: Desk, unasked: Unasked) -> None:
    """Beside what the figure did: what it may have been meant for, and what the ones before it answered."""
    said, refused = desk.open.message, desk.open.tone == "refused"
    behind = f"; answered just before: {', '.join(unasked.told)}" if unasked.told else ""
    jump = desk.key("jump-clue")
    desk.open.message = (
        f"{said}{'. ' if said else ''}'{unasked.ask}' is not asked now ({jump} jumps to it){behind}"
    )
    told = unasked.told if refused or not said else (*unasked.told, said.partition(", ")[2] or said)
    left = unasked.figures - 1
    desk.asking.unasked = Unasked(unasked.ask, told, left) if left else None
