"""What leaves the shop: intake, stock book, statement, chores, descriptions."""

from benchtui.export.csvfile import csv_text, out_csv, read_csv, write_csv
from benchtui.export.intake import intake, kinds
from benchtui.export.items import Item, leaving
from benchtui.export.table import Column, Table, table_of
from benchtui.export.wording import Wording

__all__ = [
    "Column",
    "Item",
    "Table",
    "Wording",
    "csv_text",
    "intake",
    "kinds",
    "leaving",
    "out_csv",
    "read_csv",
    "table_of",
    "write_csv",
]
