"""The whole screen as rows: which block gets which, at any size."""

from dataclasses import dataclass

from benchtui.bench.draw.question import question_asked
from benchtui.bench.draw.room import NARROW, Room, room_at
from benchtui.bench.draw.screen import draw_label, draw_message, draw_middle
from benchtui.bench.draw.strip import draw_strip
from benchtui.bench.pieces import Glyphs, Line, cut, shed
from benchtui.bench.widgets_new.keyline import draw_legend
from benchtui.desk.core import Desk


@dataclass(frozen=True)
class Drawn:
    """The rows of every block, none longer or wider than its room."""

    room: Room
    strip: list[Line]
    middle: list[Line]
    message: list[Line]
    label: list[Line]
    legend: list[Line]


def draw_whole(desk: Desk, width: int, height: int, glyphs: Glyphs) -> Drawn:
    """The screen at a size, and on the desk whether the question asked is in sight (``asking.unseen``)."""
    room = room_at(width, height)
    said = _said(desk, width, room, glyphs)
    own_row = not (room.shared and desk.open.line is not None)
    wanted = len(said) - own_row
    urgent = desk.open.tone in ("refused", "clash") or not room.shared
    pushed = wanted if urgent else min(wanted, 0 if own_row else 1)
    middle, above = _middle(desk, width, room.middle, glyphs, wanted, pushed)
    shown = shed(said, above + own_row, width)
    return Drawn(
        room,
        _within(draw_strip(desk, width, glyphs, room.strip)[: room.strip], width),
        _within([*middle, *shown[:above]], width),
        _within(shown[above:], width),
        [draw_label(desk, room.label)],
        draw_legend(desk, width, room.legend),
    )


def _within(lines: list[Line], width: int) -> list[Line]:
    """No row wider than the window: in a very narrow one some rows have parts of a fixed width."""
    return lines if width >= NARROW else [cut(line, width) for line in lines]


def _said(desk: Desk, width: int, room: Room, glyphs: Glyphs) -> list[Line]:
    """What was said last. What a line is for is not said at the cost of the list under it."""
    line = desk.open.line
    if (
        room.shared
        and line is not None
        and not desk.open.message
        and (bool(line.text and line.picks) or not line.about)
    ):
        return []
    return draw_message(desk, width, glyphs)


def _middle(
    desk: Desk, width: int, height: int, glyphs: Glyphs, wanted: int, pushed: int
) -> tuple[list[Line], int]:
    """The middle, and how many of its rows are left to a long word: as many as it wants where nothing stands
    in them, so that the rest stands still; else up to ``pushed``, the middle drawn lower, but never so low
    that the question is lost.
    """
    page, top = desk.open.page, desk.open.page.top if desk.open.page else 0
    for above in range(min(max(0, wanted), height - 1), -1, -1):
        if page is not None:  # a page knows how far it can be scrolled in the rows it had last
            page.top = top
        _forget_seen(desk)
        lines = _padded(draw_middle(desk, width, height, glyphs), height)
        if not above or all(_is_blank(line, glyphs) for line in lines[height - above :]):
            return lines[: height - above], above
        if above > pushed:
            continue
        if page is not None:
            page.top = top
        _forget_seen(desk)
        lines = _padded(draw_middle(desk, width, height - above, glyphs), height - above)
        if not desk.asking.unseen:
            return lines, above
    return lines, 0


def _forget_seen(desk: Desk) -> None:
    """A question that a digit would answer now is unseen until it is drawn; under a menu it is as it was."""
    if desk.open.scope == "bench":
        desk.asking.unseen = (
            desk.work.record is not None and question_asked(desk, desk.work.record) is not None
        )
    elif desk.open.scope != "menu":
        desk.asking.unseen = False


def _padded(lines: list[Line], height: int) -> list[Line]:
    return [*lines, *([] for _ in range(height - len(lines)))][:height]


def _is_blank(line: Line, glyphs: Glyphs) -> bool:
    return not "".join(text for text, _ in line).replace(glyphs.split, "").strip()
