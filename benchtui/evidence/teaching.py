"""Which records may teach: the bench must not be its own teacher.

Taking in whatever leads taught wrongly in one of eighteen lessons, and each wrong lesson makes the next one
likelier. So a record teaches if the dealer named its pressing, or if the book, without anything learnt, is
sure of it, finds that the copy is like it, and nothing contradicts itself.
"""

from benchtui.evidence.reference import Reference
from benchtui.evidence.settings import DEFAULTS, WeighSettings
from benchtui.evidence.weighing import weigh
from benchtui.model.record import RecordDoc

SURE = 0.99


def book_alone_is_sure(record: RecordDoc, library: Reference, settings: WeighSettings = DEFAULTS) -> bool:
    """Whether the books without learnt counts give the leader .99, with a fit and no clash."""
    found = weigh(record, library, settings=settings, ask=False)
    leader = found.leader
    if leader is None or leader.id is None or leader.p < SURE or found.clashes:
        return False
    return found.fit is None or found.fit.holds
