"""What is in stock of each title, in words; after a change only that parcel's titles are said anew."""

from collections.abc import Iterable

from benchtui.store.rows import Row
from benchtui.store.watch import by_day

Held = dict[str, list[str]]


class StockWords:
    """``said`` over all parcels, kept from one time to the next by the rows it was made from."""

    def __init__(self) -> None:
        self._rows: dict[str, list[Row]] = {}
        self._held: dict[str, Held] = {}
        self._where: dict[str, set[str]] = {}
        self._said: dict[str, str] = {}

    def said(self, parcels: Iterable[tuple[str, list[Row]]]) -> dict[str, str]:
        """Title id -> the newest copy in stock, and how many more. Not to be changed."""
        now = dict(parcels)
        changed = [key for key, rows in now.items() if self._rows.get(key) is not rows]
        gone = [key for key in self._rows if key not in now]
        touched: set[str] = set()
        for key in (*gone, *changed):
            old, fresh = self._held.get(key, {}), _held_of(now.get(key, []))
            touched.update(old, fresh)
            for title_id in old:
                self._where[title_id].discard(key)
            for title_id in fresh:
                self._where.setdefault(title_id, set()).add(key)
            self._held[key] = fresh
        self._rows = now
        for title_id in touched:
            self._say(title_id)
        return self._said

    def _say(self, title_id: str) -> None:
        where = sorted(self._where.get(title_id, ()), key=by_day)
        words = [one for key in where for one in self._held[key][title_id]]
        if words:
            self._said[title_id] = words[-1] + (f" and {len(words) - 1} more" if len(words) > 1 else "")
        else:
            self._said.pop(title_id, None)


def _held_of(rows: list[Row]) -> Held:
    held: Held = {}
    for row in rows:
        if row.held and row.title_id:
            held.setdefault(row.title_id, []).append(row.held)
    return held
