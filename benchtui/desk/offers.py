"""What can be done where one stands, in the order in which it is listed: on the bench, and on each page."""

from benchtui.desk.actions import ACTIONS, BY_ID, Action
from benchtui.desk.core import Desk
from benchtui.desk.near import page_of
from benchtui.desk.verbs import VERBS

COMMON = (
    "take-in",
    "runout",
    "fault",
    "price-accept",
    "price-hand",
    "chore",
    "not-here",
    "find-title",
    "next-record",
    "undo",
    "next-clue",
    "ditto",
    "ruling",
    "pressing",
    "parcel-page",
    "export-day",
    "jump-clue",
    "explain",
)
"""What the list of every command begins with."""
OPENED = ("parcel", "parcels", "chores", "sender", "rules", "regrade", "regraded")
"""Pages on which Enter opens something."""
FROM_PAGES = (
    "page-new",
    "result-page",
    "sender-page",
    "sender-book",
    "page-list",
    "page-close",
    "record-sell",
    "page-undo",
    "page-redo",
    "page-parcel",
    "page-help",
    "page-leave",
)
"""What any page lets do, beside what is its own."""
FROM_BENCH = (
    "parcels-page",
    "chores-page",
    "search",
    "jump-record",
    "record-page",
    "why",
    "rules-page",
    "regrade-page",
    "export-day",
    "help",
    "theme",
    "quit",
)
"""What the bench's keys do that a page lets do too, though it has no key for it."""
MOVES = ("page-up", "page-down", "page-screen-up", "page-screen-down")
ALSO_ON = {"parcels-undo-list": ("taken",)}


def on_bench() -> list[Action]:
    """Every command of the bench, the common ones first."""
    found = [
        one
        for one in ACTIONS
        if one.id == "quit"
        or (one.scope == "bench" and not one.id.startswith("answer-") and one.id != "commands")
    ]
    return sorted(found, key=lambda one: COMMON.index(one.id) if one.id in COMMON else len(COMMON))


def own(desk: Desk) -> list[Action]:
    """What can be done on the open page alone."""
    page = desk.page.name if desk.page else ""
    return [
        one
        for one in ACTIONS
        if one.scope == "page"
        and one.id not in ("page-more", f"{page}-page")
        and (page_of(one.id) == page or page in ALSO_ON.get(one.id, ()))
    ]


def on_page(desk: Desk) -> list[Action]:
    """What the open page lets do by its keys, without marking and scrolling: its own first."""
    page = desk.page.name if desk.page else ""
    if page == "doubtful":  # a list is on its way in: decide, or leave
        return [*own(desk), BY_ID["page-leave"]]
    found = own(desk)
    found += [BY_ID["page-enter"]] if page in OPENED else []
    found += [BY_ID[one] for one in FROM_PAGES if one not in (f"{page}-page", f"page-{page}")]
    return _once(found)


def everything_here(desk: Desk) -> list[Action]:
    """All that can be typed for where one stands."""
    if desk.page is None:
        return on_bench()
    found = on_page(desk)
    if desk.page.name != "doubtful":
        found += [BY_ID[one] for one in FROM_BENCH if one not in (f"{desk.page.name}-page", desk.page.name)]
    return _once([*found, *(BY_ID[one] for one in MOVES)])


def _once(actions: list[Action]) -> list[Action]:
    """Two names for the same deed are listed once, by the first."""
    seen: dict[object, Action] = {}
    for one in actions:
        seen.setdefault(VERBS.get(one.id, one.id), one)
    return list(seen.values())
