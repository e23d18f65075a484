"""Records of which nobody can say here what happened to them: what leaves without them, what cannot leave.

An event of a kind that this version does not know, or one that was spoilt, may be anything: a sale, a return,
the correction of a closed day. So every sum (sales, VAT, stock, journal, stock book, what is insured, the
account of the record's sender) stops until the event is known or void: a file that left it out would be
handed in. What is of single records, or a paper of one sale, goes on without it, and says so.
"""

from collections.abc import Callable, Iterable, Iterator
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.export.items import Item
from benchtui.model.record import RecordDoc
from benchtui.money.book import Parcels
from benchtui.money.standings import life_fault

Tell = Callable[[str], object] | None
_JOINS = ("invoice", "deal", "credit_note")
"""What makes events of several records one paper."""


def told_items(items: Iterable[Item], tell: Tell) -> list[Item]:
    """The items without those; BenchError where nobody is told of it."""
    found = []
    for item in items:
        if fault := life_fault(item.head, item.record):
            _left_out(fault, tell)
        else:
            found.append(item)
    return found


def told_parcels(parcels: Parcels, tell: Tell) -> Parcels:
    """For papers: without those, and without what stands on a paper with one of them: the rest of it would
    be a paper that was never issued. BenchError where nobody is told of it."""
    faults = {one["id"]: fault for head, mine in parcels for one in mine if (fault := life_fault(head, one))}
    if not faults:
        return parcels
    for fault in faults.values():
        _left_out(fault, tell)
    every = [(one, set(_papers(one))) for _, mine in parcels for one in mine]
    out, names = set(faults), set[str]()
    while more := {name for one, mine in every if one["id"] in out for name in mine} - names:
        names |= more
        out |= {one["id"] for one, mine in every if mine & names}
    also = [str(one["stock"]) for one, _ in every if one["id"] in out - set(faults)]
    if also and tell is not None:
        tell(f"left out too, on one paper with it: {', '.join(also)}")
    return [(head, [one for one in mine if one["id"] not in out]) for head, mine in parcels]


def _left_out(fault: BenchError, tell: Tell) -> None:
    if tell is None:
        raise fault
    tell(f"left out: {fault.one_line()}")


def _papers(record: RecordDoc) -> Iterator[str]:
    """The papers that its events are on, whatever became of them."""
    for event in record["life"]:
        said: Any = event  # it may be spoilt
        for one in (said, said.get("now")) if hasattr(said, "get") else ():
            yield from (f"{name} {one[name]}" for name in _JOINS if isinstance(one, dict) and one.get(name))
