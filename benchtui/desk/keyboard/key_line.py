"""Which commands the key line shows now, most useful first: made from what they declare."""

from benchtui.desk.core.command import Command, Legend, command_of, with_legend
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.pages import keys_now, page_now
from benchtui.model.record import RecordDoc


def wanted(desk: Desk) -> list[str]:
    """Ids of the commands worth showing now."""
    if desk.open.scope == "page":
        return [*(one for one in keys_now(desk) if one != "page-more"), "page-more", "page-help"]
    record = desk.work.record
    rows = [(rank, one) for one in with_legend() if (rank := _rank(desk, record, one))]
    return [one.id for _, one in sorted(rows, key=lambda row: row[0])]


def _rank(desk: Desk, record: RecordDoc | None, one: Command) -> int:
    legend, scope = one.legend, desk.open.scope
    if scope == "bench":
        if record is None:
            return legend.nothing
        if record["title"] is None:
            return legend.untitled
        return legend.record if legend.record and _now(desk, legend) else 0
    rank = legend.line if scope == "line" else legend.menu
    return rank if rank and _now(desk, legend) else 0


def _now(desk: Desk, legend: Legend) -> bool:
    return legend.when is None or bool(legend.when(desk))


def word(desk: Desk, action: str) -> str:
    """The action's short word; on the empty title line the key for a new one repeats the record before."""
    line = desk.open.line
    if action == "line-new" and line is not None and line.name == "title" and not line.text:
        return "repeat"
    if action == "page-enter" and (kind := page_now(desk)) is not None:
        said = kind.enter_word if isinstance(kind.enter_word, str) else kind.enter_word(desk)
        return said or command_of(action).short
    if action == "book-retire" and desk.open.page is not None and desk.open.page.name == "book":
        return "take out"
    if action == "page-leave" and desk.work.record is None and not desk.work.records:
        return "all parcels" if desk.open.page is not None and desk.open.page.name == "parcel" else "back"
    return command_of(action).short
