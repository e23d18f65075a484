"""Which commands the key line shows now, most useful first: made from what they declare."""

from benchtui.desk.command import Command, Legend, command_of, commands
from benchtui.desk.core import Desk

ON_PAGES: dict[str, list[str]] = {
    "parcel": [
        "page-enter",
        "page-leave",
        "page-list",
        "page-add",
        "page-out",
        "page-earlier",
        "page-later",
        "page-close",
        "result-page",
        "sender-page",
    ],
    "parcels": ["page-enter", "page-new", "page-leave", "parcels-titles", "parcels-undo-list"],
    "doubtful": ["doubtful-merge", "doubtful-keep", "doubtful-skip", "doubtful-rest", "page-leave"],
    "taken": ["page-leave", "parcels-undo-list"],
    "record": [
        "page-leave",
        "record-edit",
        "record-template",
        "record-drop",
        "record-play",
        "record-grade",
        "record-move",
        "record-sell",
        "record-hold",
        "sender-page",
        "page-more",
    ],
    "why": ["page-leave", "why-pressing", "why-answer"],
    "chores": ["page-enter", "page-done", "page-leave"],
    "result": [
        "page-leave",
        "result-how",
        "result-share",
        "result-rules",
        "sender-page",
        "sender-book",
        "record-sell",
    ],
    "rules": ["page-enter", "page-leave"],
    "regrade": ["page-enter", "page-leave"],
    "regraded": ["page-enter", "page-leave"],
    "sender": ["page-enter", "page-leave", "sender-statement", "sender-payout", "sender-book"],
}
"""The key line of each page; the others show how to leave."""


def wanted(desk: Desk) -> list[str]:
    """Ids of the commands worth showing now."""
    if desk.scope == "page":
        return [*(one for one in _on_page(desk) if one != "page-more"), "page-more", "page-help"]
    rows = [(rank, one) for one in commands() if (rank := _rank(desk, one))]
    return [one.id for _, one in sorted(rows, key=lambda row: row[0])]


def _rank(desk: Desk, one: Command) -> int:
    legend, scope = one.legend, desk.scope
    if scope == "bench":
        record = desk.record
        if record is None:
            return legend.nothing
        if record["title"] is None:
            return legend.untitled
        return legend.record if legend.record and _now(desk, legend) else 0
    rank = legend.line if scope == "line" else legend.menu
    return rank if rank and _now(desk, legend) else 0


def _now(desk: Desk, legend: Legend) -> bool:
    return legend.when is None or bool(legend.when(desk))


def _on_page(desk: Desk) -> list[str]:
    page = desk.page
    name = page.name if page else ""
    found = ON_PAGES.get(name, ["page-leave"])
    if desk.parcel is None and name == "parcels":
        found = ["page-new"] if not desk.shop.parcels() else ["page-enter", "page-new"]
        found.append("parcels-titles")
    return found


def word(desk: Desk, action: str) -> str:
    """The action's short word; on the empty title line the key for a new one repeats the record before."""
    line = desk.line
    if action == "line-new" and line is not None and line.name == "title" and not line.text:
        return "repeat"
    return command_of(action).short
