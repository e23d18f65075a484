"""The parcel's pace on its page: records, time and keys each, beside what is usual, and the sessions."""

from benchtui.bench.pieces import Glyphs, Line, bar, wrap
from benchtui.desk.core import Desk
from benchtui.desk.pace import Pace, long_in_words, session_in_words, usual

LABEL = 18
BAR = 12
SESSIONS = 4
"""So many of the latest sessions are listed."""


def draw_pace(desk: Desk, pace: Pace, width: int, glyphs: Glyphs) -> list[Line]:
    """Nothing before the first record is taken in."""
    if not pace.records:
        return []
    before = usual(desk)
    share = pace.records / max(1, len(desk.records))
    lines: list[Line] = [
        [("  the work", "bold")],
        _row("taken in", f"{pace.records} of {len(desk.records)}", bar(share, BAR, glyphs), ""),
    ]
    for label, mine, usually in (
        ("minutes a record", _minutes(pace), _minutes(before)),
        ("keys a record", pace.keys, before.keys if before else None),
    ):
        if mine is not None:
            lines.append(_beside(label, mine, usually, before))
    return [*lines, *_sessions(pace, width)]


def _minutes(pace: Pace | None) -> float | None:
    return None if pace is None or pace.seconds is None else pace.seconds / 60


def _row(label: str, value: str, drawn: str, beside: str) -> Line:
    return [(f"  {label:<{LABEL}}", "dim"), (f"{value:<10}", "bold"), (drawn, "bar"), (beside, "dim")]


def _beside(label: str, mine: float, usually: float | None, before: Pace | None) -> Line:
    """The figure and, where there is one, what is usual."""
    places = 1 if label.startswith("minutes") else 0
    beside = ""
    if usually is not None and before is not None:
        over = "1 parcel" if before.parcels == 1 else f"{before.parcels} parcels"
        beside = f"usually {usually:.{places}f} over {over} before"
    return _row(label, f"{mine:.{places}f}", "", beside)


def _sessions(pace: Pace, width: int) -> list[Line]:
    if not pace.sessions:
        return []
    whiles = [session_in_words(one) for one in pace.sessions[-SESSIONS:]]
    more = len(pace.sessions) - len(whiles)
    text = (f"{more} earlier; " if more else "") + "; ".join(whiles)
    head: Line = [(f"  {'at the bench':<{LABEL}}", "dim"), (long_in_words(pace.at_bench), "bold")]
    return [head, *([(" " * (LABEL + 2), ""), *line] for line in wrap(text, width - LABEL - 2, "dim"))]
