"""The record on the bench as the exports see it: its item, its wording, its description."""

from typing import cast

from benchtui.books.passed_on import said_now
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.weighings import called_of
from benchtui.desk.parcel.parcel import sender_name
from benchtui.export.describe import Description, describe, load_templates, template_named
from benchtui.export.items import Item
from benchtui.export.template import Template
from benchtui.export.wording import Wording
from benchtui.model.record import RecordDoc

FIRST = ("long", "short", "bare")
"""The shipped templates come first on the page, the shop's own after them by name."""


def item_of(desk: Desk, record: RecordDoc) -> Item:
    """The record with its parcel's head, its sender and what the evidence says of it."""

    assert desk.work.parcel is not None
    head = desk.work.parcel.head
    record, weighing = said_now(desk.library.card_now(record), desk.library.clue), desk.weighing()
    if record["state"] == "started" and record["pressing"]["how"] != "hand":  # as taking it in would call it
        record = cast(RecordDoc, {**record, "pressing": called_of(weighing, False)})
    return Item(head, record, sender_name(desk, head["sender"]), weighing)


def wording(desk: Desk) -> Wording:
    """The words of the shop's scales and faults."""

    return Wording.of(desk.references.scales, desk.references.faults)


def templates(desk: Desk) -> dict[str, Template]:
    """Every template by name, read once a page. BenchError with line and column for one that cannot mean."""

    page = desk.open.page
    if page is None:
        return load_templates(desk.shop.path)
    if "templates" not in page.data:
        page.data["templates"] = load_templates(desk.shop.path)
    return cast(dict[str, Template], page.data["templates"])


def template_names(desk: Desk) -> list[str]:
    found = templates(desk)
    return [name for name in FIRST if name in found] + sorted(set(found) - set(FIRST))


def template_shown(desk: Desk) -> str:
    """The name of the template the page shows now."""
    chosen = str(desk.open.page.data.get("template", FIRST[0])) if desk.open.page else FIRST[0]
    return chosen if chosen in templates(desk) else FIRST[0]


def described(desk: Desk, record: RecordDoc, name: str, *, made: bool = False) -> Description:
    """The description as it would go out; ``made``: from the facts, whatever the dealer edited."""

    item = item_of(desk, record)
    if made:
        bare = cast(RecordDoc, {**item.record, "description": None})
        item = item._replace(record=bare)
    return describe(item, wording(desk), template_named(templates(desk), name), name)
