"""A window with no room for the evidence beside the record: the question stands under it."""

from benchtui.bench.draw.brief import draw_brief
from benchtui.bench.draw.pane import draw_pane
from benchtui.bench.draw.question import draw_question
from benchtui.bench.draw.stack import draw_stack, stack_rows
from benchtui.bench.pieces import Glyphs, Line
from benchtui.desk.core import Desk


def draw_narrow(desk: Desk, width: int, height: int, glyphs: Glyphs) -> list[Line]:
    """The record with its question under it: in full where both fit, else the question first."""
    record, weighing = desk.work.record, desk.weighing()
    if record is None or weighing is None or not record["parts"]:
        return draw_stack(desk, width, height, glyphs)
    if desk.open.line is not None:
        return draw_brief(desk, width, height, glyphs)
    pane = draw_pane(desk, width, height * 2, glyphs)
    whole = stack_rows(desk, width, height - len(pane) - 1, glyphs)
    if len(whole) + 1 + len(pane) <= height:
        return [*whole, [(glyphs.axis * width, "dim")], *pane]
    above = 4 if height >= 10 else 3 if height >= 8 else 1
    asked = draw_question(desk, record, weighing, width, height - above, glyphs)
    if desk.asking.unseen:
        asked = draw_question(desk, record, weighing, width, height, glyphs)
    return [*draw_brief(desk, width, height - len(asked), glyphs), *asked]
