"""The statement as a table; the money room makes its lines."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date
from decimal import Decimal

from benchtui.base.errors import BenchError
from benchtui.export.items import Item
from benchtui.export.table import Column, Table, table_of
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money.account import Account
from benchtui.money.book import BookColumn, known_as
from benchtui.money.closing import read_closed
from benchtui.money.handed_in import statement_after
from benchtui.money.statement_rows import COLUMNS, statement_rows
from benchtui.money.statements import consignors
from benchtui.store.shop import Shop

SENDER = Column("sender", "text", "whose account it is")


def statement_table(
    shop: Shop,
    items: Iterable[Item],
    sender: str | None,
    as_of: date,
    tell: Callable[[str], None] | None = None,
) -> Table:
    """One sender's account up to a day, or one after the other's of all who consign.

    Of all, whoever cannot be accounted to (no terms agreed) is left out and told of; BenchError for one.
    """
    parcels, closed = _parcels(items), read_closed(shop.closings())
    rows: list[dict[str, str]] = []
    left_out: list[BenchError] = []
    for one in [sender] if sender else consignors(parcels):
        doc = shop.senders.get(one)
        try:
            if doc is None:
                raise BenchError(f"nobody has the id {one}", "statement", "set the record's terms again")
            account = Account(one, doc, parcels, shop.settings, closed)
            made = statement_after(account, as_of.isoformat())
        except BenchError as error:
            left_out.append(error)
            continue
        rows.extend({"sender": known_as(shop.senders, one)} | row for row in statement_rows(made))
    if left_out and (sender or not rows):
        raise left_out[0]
    if tell is not None:
        for fault in left_out:
            tell(f"left out: {fault.one_line()}")
    return table_of((SENDER, *columns_of(COLUMNS)), rows)


def carried(whole: Table, kept: Table) -> Table:
    """The rows of some days with the balance of all others carried into the first of each account."""
    rows, due = kept.dicts(), defaultdict[str, Decimal](Decimal)
    for table, sign in ((whole.dicts(), 1), (rows, -1)):
        for row in table:
            due[row["sender"]] += sign * _moved(row)
    for row in rows:
        before = due[row["sender"]]
        after = due[row["sender"]] = before + _moved(row)
        row |= {"balance_before": f"{before:f}", "balance_after": f"{after:f}"}
    return table_of(kept.columns, rows)


def _moved(row: Mapping[str, str]) -> Decimal:
    return Decimal(row["net"]) - Decimal(row["paid_out"])


def columns_of(columns: Sequence[BookColumn]) -> tuple[Column, ...]:
    """The money room's columns as a table has them."""
    return tuple(Column(column.name, column.kind, column.about, column.adds) for column in columns)


def _parcels(items: Iterable[Item]) -> list[tuple[HeadDoc, list[RecordDoc]]]:
    """The items' records under their heads again."""
    heads: dict[str, HeadDoc] = {}
    records: dict[str, list[RecordDoc]] = {}
    for item in items:
        heads.setdefault(item.head["id"], item.head)
        records.setdefault(item.head["id"], []).append(item.record)
    return [(head, records[parcel]) for parcel, head in heads.items()]
