"""The stock book's rows for a closed day, as the closings have them."""

from collections.abc import Mapping, Sequence

from benchtui.money.entries import Closed
from benchtui.money.stock import LATER

Row = dict[str, str]


def closed_beside(closed: Sequence[Closed], as_of: str = "9999") -> dict[str, list[Row]]:
    """Stock number -> the rows that stand before its own: stated and no longer so, and corrections."""
    found: dict[str, list[Row]] = {}
    for one in closed:
        for stock, steps in (one.beside or {}).items():
            for on, rows in steps:
                if on <= as_of:
                    found[stock] = [dict(row) for row in rows]
    return found


def closed_rows(closed: Sequence[Closed], as_of: str = "9999") -> dict[str, Row]:
    """Stock number -> its row of the stock book as it was written down, for a closed day; not to be changed.

    Of a day within a period the rows of that day; where an older version closed it, those of its end without
    what was bought, sold or otherwise gone later.
    """
    found: dict[str, Row] = {}
    for one in closed:
        if one.days is None:
            found |= {stock: _as_of(row, as_of) for stock, row in one.rows.items()}
        elif one.through <= as_of:
            found |= one.rows
        else:
            found |= {stock: _within(one, stock, found.get(stock), as_of) for stock in one.rows}
        if one.through >= as_of:
            break
    return found


def _within(one: Closed, stock: str, before: Row | None, as_of: str) -> Row:
    """The row of a day in that period: of the last change by then, else as it was before the period."""
    steps = [row for on, row in (one.days or {}).get(stock, ()) if on <= as_of]
    if steps:
        return dict(steps[-1] or one.rows[stock])
    return before or _bought_later(one.rows[stock])


def _bought_later(row: Mapping[str, str]) -> Row:
    return dict.fromkeys(row, "") | {"stock_number": row["stock_number"], "left_how": LATER}


_SALE = ("sold_on", "sales_invoice", "selling_price", "left_how", "buyer", "margin", "vat_due")


def _as_of(row: Row, as_of: str) -> Row:
    if row.get("bought_on", "") > as_of:
        return _bought_later(row)
    if row.get("sold_on", "") > as_of:
        return row | dict.fromkeys(_SALE, "")
    return row
