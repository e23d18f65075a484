"""The stock book written parcel by parcel: a line of bytes a record, put in order at the end.

A book of 30,000 records is some 10 MB of lines; the records themselves would be half a gigabyte.
"""

from collections.abc import Callable, Iterable, Iterator
from decimal import Decimal

from benchtui.base.signs import obeyed_in, visible
from benchtui.export.ask import Ask
from benchtui.export.csvfile import encoded, header_line, row_line
from benchtui.export.files import Out, put_out
from benchtui.export.gather import Progress
from benchtui.export.laying_out import heads, is_laid_out, laid_row, line_of, row_says, sum_row
from benchtui.export.layout import load_layout
from benchtui.export.money_tables import columns_of
from benchtui.export.table import BREAKS, Column, Table
from benchtui.model.parcel import HeadDoc
from benchtui.money.book_after import CORRECTION, stated_of, with_sales
from benchtui.money.closing import read_closed
from benchtui.money.notice import ESTIMATE
from benchtui.money.policy import Rates
from benchtui.money.stated_rows import closed_beside, closed_rows
from benchtui.money.stock import COLUMNS, Entry, Once, parcel_lines, unbroken
from benchtui.store.shop import Shop

IDENTITY = (
    Column("seller_address", "text", "of a private seller, where the law of the place asks for it"),
    Column("seller_identity", "text", "how identity was checked"),
    Column("seller_checked", "text", "day"),
    Column("keep", "text", "how long personal data is kept is for the law of the place to say"),
)
KEEP = "personal data: keep it as long as the law of the place asks, and no longer"
Row = dict[str, str]


def stockbook_file(
    shop: Shop,
    ask: Ask,
    out: Out,
    progress: Progress | None = None,
    tell: Callable[[str], None] | None = None,
) -> int:
    """Writes the stock book and gives the number of its lines. BenchError as money says."""
    book = _Book(shop, ask)
    for row in book.rows(progress):
        book.keep(row)
    lines = book.in_order()
    text = "".join([book.header(), *lines])
    put_out(encoded(text, book.encoding, out or "standard output"), out)
    if tell is not None and book.signs:
        tell(f"{book.signs} control signs stand as escapes such as \\x1b in the file")
    return len(lines)


class _Book:
    """The lines so far, by stock number."""

    def __init__(self, shop: Shop, ask: Ask) -> None:
        self._shop, self._ask = shop, ask
        self._rates = Rates(shop.settings)
        columns = columns_of(COLUMNS)
        self.table = Table((*columns, *IDENTITY) if ask.private else columns, ())
        self._layout = load_layout(shop.path, ask.layout, self.table.names, ask.kind) if ask.layout else None
        self._heads = heads(self._layout, self.table.columns) if self._layout else []
        self._lines: dict[str, list[bytes]] = {}
        self._how: dict[str, str] = {}
        self._sums = dict.fromkeys((column.name for column in columns if column.adds), Decimal(0))
        self.signs = 0

    @property
    def encoding(self) -> str:
        """As was asked for, else the layout's."""
        return self._ask.encoding or (self._layout.encoding if self._layout else self._ask.written_in)

    def header(self) -> str:
        """The first line, "" where the layout wants none."""
        if self._layout is None:
            return header_line(self.table)
        names = [column.name for column in self._heads]
        return line_of(self._layout, _texts(names), names) if self._layout.header else ""

    def rows(self, progress: Progress | None) -> Iterator[Row]:
        """Every line of the book, closed days as they were written down."""
        ask, once = self._ask, Once()
        as_of = ask.last if ask.day or ask.ranged else None
        closed = read_closed(self._shop.closings())
        if as_of and closed and as_of <= closed[-1].through:
            yield from self._written(closed_rows(closed, as_of), closed_beside(closed, as_of), progress)
            return
        senders, ids = self._shop.senders, self._shop.parcel_ids()
        stated = stated_of(closed, senders, self._shop.settings)
        if ask.parcel is not None:
            self._shop.read_parcel(ask.parcel)
        for no, parcel_id in enumerate(ids):
            if progress is not None:
                progress(no / len(ids))
            head, records = self._shop.read_parcel(parcel_id)
            of_parcel = stated.parcel(head, records) if stated else None
            by_stock = {record["stock"]: record for record in records}
            for entry in parcel_lines(head, records, senders, self._rates, as_of, once):
                self._how[entry.stock] = entry.left_how
                if ask.parcel not in (None, parcel_id):
                    continue
                if of_parcel is not None:
                    before, row = of_parcel.lines(by_stock[entry.stock], entry, as_of or "9999")
                else:
                    before, row = with_sales([], entry.over, entry.row(self._rates.currency))
                self._how[entry.stock] = row[
                    "left_how"
                ]  # a number that was stated ends its series all the same
                yield from in_turn(before, row | self._identity(head, entry.purchase is not None))

    def _written(
        self, rows: dict[str, Row], beside: dict[str, list[Row]], progress: Progress | None
    ) -> Iterator[Row]:
        """The rows of a closed day; of one parcel, or with who sold it, the parcels say which are which."""
        ask = self._ask
        if not (ask.private or ask.parcel):
            for stock, row in rows.items():
                yield from in_turn(beside.get(stock, ()), row)
            return
        ids = [ask.parcel] if ask.parcel else self._shop.parcel_ids()
        for no, parcel_id in enumerate(ids):
            if progress is not None:
                progress(no / len(ids))
            head, records = self._shop.read_parcel(parcel_id)
            for row in filter(None, (rows.get(record["stock"] or "") for record in records)):
                whole = row | self._identity(head, row["purchase_price"] != "")
                yield from in_turn(beside.get(row["stock_number"], ()), whole)

    def _identity(self, head: HeadDoc, bought: bool) -> Row:
        seller = head.get("seller") or {}
        if not self._ask.private or not seller or not bought:
            return {}
        named = {f"seller_{name}": str(seller.get(name, "")) for name in ("address", "identity", "checked")}
        return named | {"keep": KEEP}

    def keep(self, row: Row) -> None:
        """The row as a line, unless it is not of the days that are wanted."""
        if row["left_how"] != CORRECTION:
            self._how.setdefault(row["stock_number"], row["left_how"])
        if not self._wanted(row):
            return
        if self._layout is not None and not is_laid_out(self._layout, row):
            return
        for name in self._sums:
            self._sums[name] += Decimal(row[name] or 0)
        self._lines.setdefault(row["stock_number"], []).append(self._line(row))

    def _wanted(self, row: Row) -> bool:
        """Of a range what was bought or sold in it; of the whole book every number."""
        first = self._ask.first if self._ask.start else ""
        return not first or any(
            first <= row.get(name, "") <= self._ask.last for name in ("bought_on", "sold_on")
        )

    def _line(self, row: Row, summed: bool = False) -> bytes:
        """The row as it stands in the file; ``summed``: the row of sums."""
        row = self._visible(row)
        if self._layout is None:
            return row_line(self.table, tuple(row.values())).encode("utf-8")
        columns = self.table.columns
        cells = sum_row(self._layout, row, columns) if summed else laid_row(self._layout, row, row_says(row))
        heads = _texts(list(cells)) if summed and "total" in cells else self._heads
        return line_of(self._layout, heads, cells).encode("utf-8")

    def _visible(self, row: Row) -> Row:
        cells = []
        for column in self.table.columns:
            cell = row.get(column.name, "")
            if count := obeyed_in(cell, BREAKS):
                self.signs += count
                cell = visible(cell, BREAKS)
            cells.append(cell)
        return dict(zip(self.table.names, cells, strict=True))

    def in_order(self) -> list[str]:
        """The lines by series and number, a line for each number that nothing bears, and the totals."""
        whole = not self._ask.start and self._ask.parcel is None and not (self._layout and self._layout.only)
        wanted = unbroken(self._how) if whole else [one for one in unbroken(self._how) if one in self._lines]
        empty = Entry("", "not used")
        found = [
            line.decode("utf-8")
            for stock in wanted
            for line in self._lines.get(stock) or [self._line(_numbered(empty, stock, self._rates))]
        ]
        if self._ask.totals or (self._layout is not None and self._layout.totals):
            sums = {name: format(value, "f") for name, value in self._sums.items()}
            total = {"stock_number": "total", "currency": self._rates.currency, "basis": ESTIMATE} | sums
            found.append(self._line(total, summed=True).decode("utf-8"))
        return found


def in_turn(before: Iterable[Row], row: Row) -> Iterator[Row]:
    """The rows of a number, each correction below the row that it corrects."""
    above: list[Row] | None = []
    for one in [*before, row]:
        if above is not None and one["left_how"] == CORRECTION:
            above.append(one)
            continue
        yield one
        yield from above or ()
        above = None


def _texts(names: list[str]) -> list[Column]:
    return [Column(str(n)) for n in range(len(names))]


def _numbered(empty: Entry, stock: str, rates: Rates) -> Row:
    return empty.row(rates.currency) | {"stock_number": stock}
