"""The intake put into a dealer's own layout."""

from collections.abc import Iterable, Mapping, Sequence
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal

from benchtui.base.errors import BenchError
from benchtui.export.claims import say
from benchtui.export.csvfile import csv_text, encoded, quote
from benchtui.export.files import Out, put_out
from benchtui.export.items import Item
from benchtui.export.layout import Layout, Shape
from benchtui.export.table import Column, Kind, Table, is_number
from benchtui.export.template import fill
from benchtui.export.wording import Wording

_ROUND = {"nearest": ROUND_HALF_UP, "up": ROUND_CEILING, "down": ROUND_FLOOR}


def lay_out(layout: Layout, table: Table, items: Sequence[Item], words: Wording) -> Table:
    """The intake's rows in the layout's columns; ``items`` hold the records that templates speak of.

    BenchError where a price step is asked of what is no number, or a cell is longer than its limit.
    """
    by_stock = {item.stock: item for item in items}
    rows = [row for row in table.dicts() if is_laid_out(layout, row)]
    laid = [
        tuple(_cell(layout, shape, row, by_stock[row["stock_number"]], words) for shape in layout.columns)
        for row in rows
    ]
    kinds = {column.name: column.kind for column in table.columns}
    columns = [
        Column(shape.name, "number" if _stays_number(shape, kinds, laid, at) else "text")
        for at, shape in enumerate(layout.columns)
    ]
    return Table(tuple(columns), tuple(laid))


def is_laid_out(layout: Layout, row: Mapping[str, str]) -> bool:
    """Whether the layout has this row of the intake."""
    return all(row[name] == wanted for name, wanted in layout.only.items())


def out_layout(layout: Layout, laid: Table, out: Out) -> None:
    """The laid-out table to a file or to standard output, as the layout wants it."""
    text = csv_text(laid, layout.separator) if layout.guard else _bare(laid, layout.separator)
    if not layout.header:
        text = text[len(_head(laid, layout)) :]
    put_out(encoded(text, layout.encoding, out or "standard output"), out)


def stepped(price: str, step: Decimal, rounding: str = "nearest") -> str:
    """A plain decimal rounded to a multiple of the step, with as many decimals as it had."""
    amount = Decimal(price)
    steps = (amount / step).to_integral_value(rounding=_ROUND[rounding])
    return str((steps * step).quantize(amount, rounding=ROUND_HALF_UP))


def _cell(layout: Layout, shape: Shape, row: dict[str, str], item: Item, words: Wording) -> str:
    if shape.fixed is not None:
        cell = shape.fixed
    elif shape.template is not None:
        pieces = (*shape.template.title, *shape.template.body)
        cell = fill(pieces, lambda name: say(name, item, words).text, shape.limit).text
    else:
        cell = _number(layout, shape, row[shape.take], item.stock)
    cell = shape.words.get(cell, cell) or shape.empty
    if shape.limit is not None and len(cell) > shape.limit:
        what = f"{item.stock}: {len(cell)} characters where {shape.limit} are allowed"
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


def _stays_number(shape: Shape, kinds: Mapping[str, Kind], laid: Iterable[tuple[str, ...]], at: int) -> bool:
    """A number column stays one unless the layout put words or another decimal sign into it."""
    return kinds.get(shape.take) == "number" and all(not row[at] or is_number(row[at]) for row in laid)


def _bare(laid: Table, separator: str) -> str:
    lines = [laid.names, *laid.rows]
    return "".join(separator.join(quote(cell, separator) for cell in line) + "\r\n" for line in lines)


def _head(laid: Table, layout: Layout) -> str:
    only_head = Table(laid.columns, ())
    return csv_text(only_head, layout.separator) if layout.guard else _bare(only_head, layout.separator)
