"""What can be done where one stands, in the order in which it is listed: on the bench, and on each page."""

from benchtui.desk.core.command import Command, command_of, commands
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.pages import page_now

MOVES = ("page-up", "page-down", "page-screen-up", "page-screen-down")


def on_bench() -> list[Command]:
    """Every command of the bench, the common ones first."""
    found = [
        one
        for one in commands()
        if one.where == "any"
        or (one.where == "bench" and not one.id.startswith("answer-") and one.id != "commands")
    ]
    return sorted(found, key=lambda one: one.often or one.order + 10_000)


def own(desk: Desk) -> list[Command]:
    """What can be done on the open page alone."""
    page = desk.open.page.name if desk.open.page else ""
    return [one for one in commands() if page in one.on and one.id != f"{page}-page"]


def on_page(desk: Desk) -> list[Command]:
    """What the open page lets do by its keys, without marking and scrolling: its own first."""
    page, kind = desk.open.page.name if desk.open.page else "", page_now(desk)
    if kind is not None and kind.alone:
        return [*own(desk), command_of("page-leave")]
    found = own(desk)
    found += [command_of("page-enter")] if kind is not None and kind.enter is not None else []
    return _once([*found, *_offered(page, "page")])


def everything_here(desk: Desk) -> list[Command]:
    """All that can be typed for where one stands."""
    if desk.open.page is None:
        return on_bench()
    page, kind = desk.open.page.name, page_now(desk)
    found = on_page(desk)
    if kind is None or not kind.alone:
        found += [*_offered(page, "bench"), *_offered(page, "any")]
    return _once([*found, *(command_of(one) for one in MOVES)])


def _offered(page: str, where: str) -> list[Command]:
    """What any page lets do of the commands of a page or of the bench, but what opens this one again."""
    found = [one for one in commands() if one.offered and one.where == where]
    itself = (f"{page}-page", f"page-{page}", page)
    return sorted((one for one in found if one.id not in itself), key=lambda one: one.offered)


def _once(found: list[Command]) -> list[Command]:
    """Two names for the same deed are listed once, by the first."""
    seen: dict[object, Command] = {}
    for one in found:
        seen.setdefault(one.do, one)
    return list(seen.values())
