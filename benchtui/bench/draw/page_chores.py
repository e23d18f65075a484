"""The work list: a line a chore, and what to mind at the one that is marked."""

from benchtui.bench.draw.scroll import around
from benchtui.bench.pieces import Glyphs, Line, clean, shed, wrap
from benchtui.books.cautions import said
from benchtui.desk.core import Desk
from benchtui.desk.paging import work_list
from benchtui.desk.work import Work, caution_of


def draw_chores(desk: Desk, width: int, height: int, glyphs: Glyphs) -> list[Line]:
    found, page = work_list(desk), desk.page
    marked = min(page.marked, len(found) - 1) if page else 0
    lines: list[Line] = [
        [("Work list", "accent bold"), (f"  {len(found)} to do over all parcels", "dim")],
        [],
    ]
    if not found:
        return [*lines, [("no work is waiting", "dim")]]
    lines += [_row(chore, n == marked, glyphs) for n, chore in enumerate(found)]
    below = shed(
        _mind(found[marked].apart, caution_of(desk, found[marked]), width, glyphs), max(0, height - 4), width
    )
    return [*around(lines, 2, marked, height - len(below)), *below]


def _row(chore: Work, here: bool, glyphs: Glyphs) -> Line:
    return [
        (f"{glyphs.here if here else ' '} ", "accent bold"),
        (f"{chore.what:<15}", "bold"),
        (f"{chore.stock or '(not taken in)':<15}", "bold" if here else ""),
        (f"{glyphs.apart} " if chore.apart else "", "clash"),
        (clean(chore.title), ""),
        (clean(f"  {chore.part}  {chore.note}"), "dim"),
    ]


def _mind(apart: str, caution: str, width: int, glyphs: Glyphs) -> list[Line]:
    """Why it is set apart, and the caution that goes with the work."""
    lines: list[Line] = []
    if apart:
        lines += wrap(f"{glyphs.apart} set apart: {apart}", width, "clash", "  ")
    if caution:
        lines += wrap(f"Mind: {caution}", width, "warn", "      ")
        lines += wrap(said("rules"), width, "dim")
    return [[], *lines] if lines else []
