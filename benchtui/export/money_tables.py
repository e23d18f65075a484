"""Stock book and statement as tables; the money room makes their lines."""

from collections.abc import Callable, Iterable, Sequence
from datetime import date

from benchtui.base.errors import BenchError
from benchtui.export.items import Item
from benchtui.export.table import Column, Table, table_of
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money import statements, stock
from benchtui.money.book import BookColumn
from benchtui.store.shop import Shop


def stockbook_table(shop: Shop, items: Iterable[Item], as_of: date | None = None) -> Table:
    """Every stock number of the shop in unbroken order, as things stand or stood on a day."""
    day = as_of.isoformat() if as_of else None
    entries = stock.stockbook(_parcels(items), shop.senders, shop.settings, day)
    return table_of(_columns(stock.COLUMNS), stock.stockbook_rows(entries, shop.settings))


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
    parcels = _parcels(items)
    rows: list[dict[str, str]] = []
    left_out: list[BenchError] = []
    for one in [sender] if sender else statements.consignors(parcels):
        doc = shop.senders.get(one)
        try:
            if doc is None:
                raise BenchError(f"nobody has the id {one}", "statement", "a record's terms, set again")
            made = statements.statement(one, doc, parcels, shop.settings, as_of.isoformat())
        except BenchError as error:
            left_out.append(error)
            continue
        rows.extend({"sender": str(doc.get("name") or one)} | row for row in statements.statement_rows(made))
    if left_out and (sender or not rows):
        raise left_out[0]
    if tell is not None:
        for fault in left_out:
            tell(f"left out: {fault.one_line()}")
    columns = (Column("sender", "text", "whose account it is"), *_columns(statements.COLUMNS))
    return table_of(columns, rows)


def _columns(columns: Sequence[BookColumn]) -> tuple[Column, ...]:
    return tuple(Column(column.name, column.kind, column.about) for column in columns)


def _parcels(items: Iterable[Item]) -> list[tuple[HeadDoc, list[RecordDoc]]]:
    """The items' records under their heads again."""
    heads: dict[str, HeadDoc] = {}
    records: dict[str, list[RecordDoc]] = {}
    for item in items:
        heads.setdefault(item.head["id"], item.head)
        records.setdefault(item.head["id"], []).append(item.record)
    return [(head, records[parcel]) for parcel, head in heads.items()]
