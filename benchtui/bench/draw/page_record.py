"""The record in full: sections one under the other, each drawn by a function of its own."""

from collections.abc import Callable

from benchtui.base.errors import BenchError
from benchtui.bench.draw.page_life import life, money
from benchtui.bench.draw.page_state import faults, grades
from benchtui.bench.draw.page_words import description
from benchtui.bench.draw.page_work import chores, photographs
from benchtui.bench.draw.scroll import scrolled
from benchtui.bench.pieces import Glyphs, Line, clean, wrap
from benchtui.desk.core import Desk
from benchtui.model.record import RecordDoc

Section = Callable[[Desk, RecordDoc, int, Glyphs], list[Line]]


def draw_record(desk: Desk, width: int, height: int, glyphs: Glyphs) -> list[Line]:
    record = desk.record
    if record is None:
        return [[("no record on the bench", "dim")]]
    lines: list[Line] = []
    starts: dict[str, int] = {}
    for section in SECTIONS:
        starts[section.__name__] = len(lines)
        try:
            lines += [*section(desk, record, width, glyphs), []]
        except BenchError as error:  # a file edited into nonsense is said, the other sections stand
            lines += [*wrap(str(error), width, "warn"), []]
    if desk.page is not None and (wanted := desk.page.data.pop("wanted", "")) in starts:
        desk.page.top = max(0, starts[wanted] - 1)  # a verb asked for that section to be seen
    return scrolled(desk, lines, height)


def _name(desk: Desk, record: RecordDoc, width: int, glyphs: Glyphs) -> list[Line]:
    title = record["title"]
    name = f"{title['artist']}  {title['title']}" if title else "no title yet"
    return [
        [("Record ", "accent bold"), (str(record["no"]), "bold"), (f"  {record['stock'] or ''}", "dim")],
        [(clean(name), "bold")],
    ]


SECTIONS: list[Section] = [_name, life, money, description, grades, faults, chores, photographs]
"""From top to bottom; a new section is a function here."""
