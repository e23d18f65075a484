"""What may be asked of an export. Imports no room, so that the command line starts without any."""

from dataclasses import dataclass
from datetime import date

KINDS = ("intake", "stockbook", "statement", "chores", "slips", "report", "regrade")
WEIGHED = ("intake", "report")
"""The kinds that say something of the evidence; the others need no weighing."""


@dataclass(frozen=True, slots=True)
class Ask:
    """What is wanted. ``layout`` and ``template`` are names; ``sender`` an id or a name; ``today`` the
    dealer's day; ``sample`` and ``seed`` are the regrading's.
    """

    kind: str
    today: date
    day: date | None = None
    parcel: str | None = None
    sender: str | None = None
    layout: str | None = None
    template: str | None = None
    sample: int = 20
    seed: int | None = None
