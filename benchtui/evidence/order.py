"""The order in which a part's clues are asked once it is in the hand (evidence.md: *Next*)."""

from benchtui.evidence.reference import Reference
from benchtui.evidence.results import Weighing
from benchtui.model.record import RecordDoc, part_of

_LEAST = 1e-6


def plan(record: RecordDoc, part_id: str, weighing: Weighing, library: Reference) -> list[tuple[str, str]]:
    """(place, clue id) of the clues not yet seen on a part: best first, then those that tell nothing.

    To be frozen when the part is taken up: the order does not change under the dealer's fingers.
    """
    if part_of(record, part_id) is None:
        return []
    found = weighing.next.get(part_id, ())
    telling = [one for one in found if one.bits >= _LEAST]
    silent = [one for one in found if one.bits < _LEAST]
    return [(one.place, one.clue.id) for one in [*telling, *silent]]
