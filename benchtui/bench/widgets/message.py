"""What was said last, on as many rows as it needs."""

from benchtui.bench.pieces import Glyphs, Line, shed, wrap
from benchtui.bench.widgets.rows import Rows
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.unsaved import why_unsaved

MOST = 4
_STYLES = {"plain": "dim", "done": "good", "refused": "warn", "clash": "clash"}


class Message(Rows):
    """Between the prompt and the keys."""

    DEFAULT_CSS = """
    Message { height: 1; padding: 0 1; background: $background; }
    """


def message_rows(desk: Desk, width: int, signs: Glyphs) -> list[Line]:
    """The last word; else what is in memory only, as long as it is."""
    if desk.open.message:
        sign = f"{signs.apart} " if desk.open.tone in ("refused", "clash") else ""
        return shed(wrap(sign + desk.open.message, width, _STYLES[desk.open.tone], "  "), MOST, width)
    if desk.background.unsaved is not None:
        return shed(
            wrap(f"{signs.apart} {why_unsaved(desk.background.unsaved)}", width, "warn", "  "), MOST, width
        )
    return []
