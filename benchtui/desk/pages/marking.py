"""Which row of the open page is marked."""

from benchtui.desk.core.desk import Desk


def marked_at(desk: Desk, count: int) -> int:
    """The marked row's place among so many; the first where none can be, 0 of none."""
    return max(0, min(desk.open.page.marked, count - 1)) if desk.open.page is not None else 0
