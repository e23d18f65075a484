"""The columns that each table has, for the check of layouts."""

from benchtui.export import chores, insured, intake, money_tables, regrade, shop_books, slips, stockfile
from benchtui.export.ask import GROUPS
from benchtui.export.describe import DEFAULT, description_columns
from benchtui.export.table import Column
from benchtui.export.template import Template
from benchtui.money import statement_rows, stock


def known_columns(template: Template) -> dict[str, tuple[str, ...]]:
    """Export -> the names of its columns; the description's are named after that template."""
    whole = [column for column, _ in intake.COLUMNS]
    found: dict[str, list[Column]] = {
        "intake": [*whole, *(column for column, _ in description_columns(template, DEFAULT))],
        "stockbook": [*money_tables.columns_of(stock.COLUMNS), *stockfile.IDENTITY],
        "statement": [money_tables.SENDER, *money_tables.columns_of(statement_rows.COLUMNS)],
        "chores": list(chores.COLUMNS),
        "slips": [*(column for column in whole if column.name in slips.NAMES), slips.MIND[0]],
        "regrade": list(regrade.COLUMNS),
        "insured": list(insured.COLUMNS),
        "sales": [*shop_books.SALES, *(Column(name) for name in (*GROUPS, "sales"))],
        "stock": list(shop_books.STOCK),
        "vat": list(shop_books.VAT),
    }
    return {kind: tuple(dict.fromkeys(one.name for one in columns)) for kind, columns in found.items()}
