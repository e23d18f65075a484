"""The record in full: sections one under the other, each by a function of its own."""

from collections.abc import Callable

from benchtui.base.errors import BenchError
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.page_parts import PageView, Section, Text, says
from benchtui.desk.core.pages import page
from benchtui.desk.pages.record_after import custody, listening, listing, post
from benchtui.desk.pages.record_life import life, money
from benchtui.desk.pages.record_state import faults, grades
from benchtui.desk.pages.record_text import description
from benchtui.desk.pages.record_work import chores, photographs, questions
from benchtui.model.record import RecordDoc

Part = Callable[[Desk, RecordDoc], list[Section]]
PARTS: tuple[Part, ...] = (
    life,
    listing,
    post,
    custody,
    listening,
    money,
    description,
    grades,
    faults,
    chores,
    questions,
    photographs,
)
"""From top to bottom; a new section is a function here."""


@page(
    "record",
    "The record in full: its description as it would go out, grades, faults, work, and what happened to it.",
    keys=(
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
    ),
    place="on the record's page ({record-page})",
    opener="record-page",
)
def record(desk: Desk) -> PageView:
    doc = desk.work.record
    if doc is None:
        return PageView((("no record on the bench", "dim"),))
    sections: list[Section] = []
    for part in PARTS:
        try:
            sections += part(desk, doc)
        except BenchError as error:  # a file edited into nonsense is said, the other sections stand
            sections.append(Text((says(str(error), "warn"),), name=part.__name__))
    title = doc["title"]
    name = f"{title['artist']}  {title['title']}" if title else "no title yet"
    number = (("Record ", "accent bold"), (str(doc["no"]), "bold"), (f"  {doc['stock'] or ''}", "dim"))
    return PageView(number, (says(name, "bold"),), tuple(sections))
