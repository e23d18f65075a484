"""What holds a likely leader back: the copy does not look like it, or shows what it never should."""

from benchtui.evidence.case import Case
from benchtui.evidence.results import Fit, HeldBack, Likely
from benchtui.evidence.seen import PartSeen


def held_back(case: Case, leader: Likely, fit: Fit | None) -> HeldBack:
    """Why a leader that is likely enough is not settled all the same; "" where nothing holds it back.

    ``unlike``: the copy does not fit it. Where something was seen instead of what it always shows: ``cuts``
    until those were read, for they tell a late pressing from a misread label better than any label; then
    ``contradicted`` while it is not likelier still (``WeighSettings.contradicted``).
    """
    if fit is None:
        return ""
    if not fit.holds:
        return "unlike"
    if not fit.contradicted:
        return ""
    if any(_unread(case, part) for part in case.seen.parts):
        return "cuts"
    return "contradicted" if leader.p < case.settings.contradicted else ""


def _unread(case: Case, part: PartSeen) -> bool:
    """Whether the title has cuts to tell apart and nobody has looked at those of this disc."""
    known = case.post.model.cuts_read is not None
    return known and part.kind == "disc" and part.doc.get("number", 1) == 1 and not (
        part.cuts or any(side.get("typed") for side in part.doc.get("sides", {}).values())
    )  # fmt: skip
