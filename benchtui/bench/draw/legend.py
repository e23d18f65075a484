"""The keys that do something now, made from the action table and the keymap in use."""

from benchtui.bench.actions import BY_ID
from benchtui.bench.desk import prices, queue
from benchtui.bench.desk.asking import DOUBT, ahead
from benchtui.bench.desk.clues import foretold
from benchtui.bench.desk.core import Desk
from benchtui.bench.desk.explain import asks
from benchtui.bench.draw.sheet import Line, cut, width_of
from benchtui.bench.keys import is_printable, shown
from benchtui.model.record import is_here, latest_grade


def wanted(desk: Desk) -> list[str]:
    """Actions worth showing now, most useful first."""
    scope = desk.scope
    if scope == "line":
        line = desk.line
        found = ["line-accept", "line-leave"]
        if line is not None and line.name in ("title", "field-sender"):
            found.append("line-new")  # on the empty title line it repeats the record before, as its words say
        return [*found, "line-help"]
    if scope == "menu":
        return ["menu-leave", "menu-help"]
    if scope == "page":
        return [*_on_page(desk), "page-help"]
    return _on_bench(desk)


def _on_page(desk: Desk) -> list[str]:
    page = desk.page
    name = page.name if page else ""
    found = {
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
    }.get(name, ["page-leave"])
    if desk.parcel is None and name == "parcels":
        found = ["page-new"] if not desk.shop.parcels() else ["page-enter", "page-new"]
        found.append("parcels-titles")
    return found


def _on_bench(desk: Desk) -> list[str]:
    record, part = desk.record, desk.part
    if record is None:
        return ["parcel-page", "parcels-page", "help", "quit"]
    if record["title"] is None:
        return [
            "find-title",
            "ditto",
            "next-record",
            "previous-record",
            "jump-record",
            "parcel-page",
            "undo",
            "help",
            "quit",
        ]
    found = ["take-in", "next-part"]
    if record["price"] is None:
        worked = prices.worked_for(desk)
        by_key = worked is not None and worked.price is not None and queue.price_at_hand(desk, record) is None
        found += ["price-accept"] if by_key else []
    found.append("price-hand")
    if part is not None and is_here(part):
        found.append("fault")
        found += ["runout"] if part["kind"] == "disc" else []
    found += ["not-here"] if part is not None else []
    found += ["jump-clue", "next-clue"] if desk.asked else ["jump-clue"]
    found += ["ditto"] if foretold(desk) is not None else []
    found += ["undo", "explain", "help", "chore", "note", "why", "pressing"]
    found += ["record-page", "next-record", "quit"]
    if part is not None and is_here(part) and latest_grade(part, desk.side):
        found += ["shade-up", "shade-down"]
    weighing = desk.weighing()
    if weighing is not None and part is not None and is_here(part):
        agreement = weighing.agreement.get(part["id"])
        if agreement is not None and agreement.p_swapped >= DOUBT:
            found.insert(1, "ruling")
    if weighing is not None and weighing.second_look is not None:
        found.insert(1, "looked")
    return found


def draw_legend(desk: Desk, width: int) -> list[Line]:
    """Two lines at most: grade letters first where they work, then commands."""
    keymap = desk.references.keymap
    items: list[Line] = []
    part = desk.part
    if desk.scope == "bench" and part is not None and is_here(part):
        letters = " ".join(
            f"{shown(key)}"
            for grade in desk.scale.grades
            if not grade.shade and (key := keymap.first_key(f"grade:{grade.id}"))
        )
        if letters:
            items.append([(letters, "key"), (" grade", "dim")])
    following = ahead(desk) if desk.scope == "bench" else None
    if desk.scope == "bench" and (desk.asked if following is None else following.asked):
        items.append([("0-9", "key"), (" answer", "dim")])
    for action in wanted(desk):
        key = _key_now(desk, action)
        if key:
            items.append([(shown(key), f"key@key:{key}"), (f" {BY_ID[action].short}", f"dim@key:{key}")])
    return _flow(items, width)


def _key_now(desk: Desk, action: str) -> str | None:
    """The first key that does it now: the help's sign only asks in an empty line."""
    keymap = desk.references.keymap
    if action != "line-help" or asks(desk.line):
        return keymap.first_key(action)
    return next((key for key in keymap.keys.get(action, ()) if not is_printable(key)), None)


def _flow(items: list[Line], width: int) -> list[Line]:
    lines: list[Line] = [[(" ", "")]]
    for item in items:
        room = width - width_of(lines[-1])
        if width_of(item) + 2 > room:
            if len(lines) == 2:
                break
            lines.append([(" ", "")])
        lines[-1] = [*lines[-1], *item, ("  ", "")]
    while len(lines) < 2:
        lines.append([])
    return [cut(line, width) for line in lines]
