"""A table put into a dealer's own layout."""

from collections.abc import Callable, Mapping, Sequence
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal

from benchtui.base.errors import BenchError
from benchtui.export.claims import say
from benchtui.export.csvfile import csv_text, encoded, quote, row_line
from benchtui.export.files import Out, put_out
from benchtui.export.items import Item
from benchtui.export.layout import Layout, Shape
from benchtui.export.table import Column, Table, is_number, table_of, with_totals
from benchtui.export.template import fill
from benchtui.export.wording import Wording

Say = Callable[[str], str]
_ROUND = {"nearest": ROUND_HALF_UP, "up": ROUND_CEILING, "down": ROUND_FLOOR}


def lay_out(layout: Layout, table: Table, items: Sequence[Item], words: Wording) -> Table:
    """The table's rows in the layout's columns; ``items`` hold the records that an intake's templates speak
    of (the others speak of the row's own cells).

    BenchError where a price step is asked of what is no number, or a cell is longer than its limit.
    """
    by_stock = {item.stock: item for item in items}
    laid = []
    for row in table.dicts():
        if is_laid_out(layout, row):
            record = by_stock.get(row.get("stock_number", "")) if layout.of == "intake" else None
            laid.append(laid_row(layout, row, record_says(record, words) if record else row_says(row)))
    return Table(tuple(heads(layout, table.columns)), tuple(laid))


def laid_row(layout: Layout, row: Mapping[str, str], say: Say) -> tuple[str, ...]:
    """One row in the layout's columns. BenchError as ``lay_out``."""
    return tuple(_cell(layout, shape, row, say) for shape in layout.columns)


def record_says(item: Item, words: Wording) -> Say:
    """What a template of the intake says of a record."""
    return lambda name: say(name, item, words).text


def row_says(row: Mapping[str, str]) -> Say:
    """What a template of any other table says: the row's own cells."""
    return lambda name: row.get(name, "")


def with_sums(layout: Layout, laid: Table, table: Table) -> Table:
    """The laid-out table with a last row of sums for each currency, of the columns that add up."""
    wanted = [row for row in table.dicts() if is_laid_out(layout, row)]
    kept = table_of(table.columns, wanted)
    sums = Table(table.columns, with_totals(kept).rows[len(kept.rows) :])
    rows = [sum_row(layout, row, table.columns) for row in sums.dicts()]
    return Table(laid.columns, (*laid.rows, *rows))


def sum_row(layout: Layout, row: Mapping[str, str], columns: Sequence[Column]) -> tuple[str, ...]:
    """A row of sums in the layout's columns: its first one that has no sum says that it is one."""
    shown = {column.name for column in columns if column.adds} | {"currency", "basis"}
    cells = [
        row[shape.take].replace(".", shape.point if is_number(row[shape.take]) else ".")
        if shape.take in shown
        else ""
        for shape in layout.columns
    ]
    if (first := next((at for at, cell in enumerate(cells) if not cell), None)) is not None:
        cells[first] = "total"
    return tuple(cells)


def is_laid_out(layout: Layout, row: Mapping[str, str]) -> bool:
    """Whether the layout has this row of the intake."""
    return all(row[name] == wanted for name, wanted in layout.only.items())


def out_layout(layout: Layout, laid: Table, out: Out, encoding: str = "") -> None:
    """The laid-out table to a file or to standard output, as the layout wants it, unless another encoding is
    asked for."""
    text = csv_text(laid, layout.separator) if layout.guard else _bare(laid, layout.separator)
    if not layout.header:
        text = text[len(_head(laid, layout)) :]
    put_out(encoded(text, encoding or layout.encoding, out or "standard output"), out)


def stepped(price: str, step: Decimal, rounding: str = "nearest") -> str:
    """A plain decimal rounded to a multiple of the step, with as many decimals as it had."""
    amount = Decimal(price)
    steps = (amount / step).to_integral_value(rounding=_ROUND[rounding])
    return str((steps * step).quantize(amount, rounding=ROUND_HALF_UP))


def _cell(layout: Layout, shape: Shape, row: Mapping[str, str], say: Say) -> str:
    if shape.fixed is not None:
        cell = shape.fixed
    elif shape.template is not None:
        pieces = (*shape.template.title, *shape.template.body)
        cell = fill(pieces, say, shape.limit).text
    else:
        cell = _number(layout, shape, row[shape.take], row.get("stock_number", ""))
    cell = shape.words.get(cell, cell) or shape.empty
    if shape.limit is not None and len(cell) > shape.limit:
        what = f"{row.get('stock_number', '')}: {len(cell)} characters where {shape.limit} are allowed"
        raise BenchError(what, f"layout {layout.name}, column {shape.name}", "shorten it at the bench")
    return cell


def _number(layout: Layout, shape: Shape, cell: str, row_of: str) -> str:
    if shape.step is not None and cell:
        if not is_number(cell):
            raise BenchError(
                f"{cell!r} is not a price", f"layout {layout.name}, column {shape.name}", "leave out step"
            )
        rounded = stepped(cell, shape.step, shape.rounding)
        if Decimal(rounded) == 0 != Decimal(cell):
            what = f"{row_of} {cell} becomes {rounded} by step = {shape.step}"
            raise BenchError(what, f"layout {layout.name}, column {shape.name}", "give a smaller step")
        cell = rounded
    return cell.replace(".", shape.point) if is_number(cell) else cell


def line_of(layout: Layout, columns: Sequence[Column], cells: Sequence[str]) -> str:
    """One laid-out row as a line, for files that are written row by row."""
    if layout.guard:
        return row_line(Table(tuple(columns), ()), tuple(cells), layout.separator)
    return layout.separator.join(quote(cell, layout.separator) for cell in cells) + "\r\n"


def heads(layout: Layout, columns: Sequence[Column]) -> list[Column]:
    """The layout's columns: a number stays one unless words may stand in it."""
    kinds = {column.name: column.kind for column in columns}
    return [
        Column(
            shape.name, "number" if kinds.get(shape.take) == "number" and _is_plain(shape, layout) else "text"
        )
        for shape in layout.columns
    ]


def _is_plain(shape: Shape, layout: Layout) -> bool:
    readable = shape.point == "." or layout.separator != ","
    return readable and not shape.words and (not shape.empty or is_number(shape.empty))


def _bare(laid: Table, separator: str) -> str:
    lines = [laid.names, *laid.rows]
    return "".join(separator.join(quote(cell, separator) for cell in line) + "\r\n" for line in lines)


def _head(laid: Table, layout: Layout) -> str:
    only_head = Table(laid.columns, ())
    return csv_text(only_head, layout.separator) if layout.guard else _bare(only_head, layout.separator)
