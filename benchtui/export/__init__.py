"""What leaves the shop: intake, stock book, statement, chores, slips, descriptions, reports.

``run.export`` is the front for the command line and the bench; everything else works on plain documents
(``Item``: head, record, sender's name, weighing) and needs neither shop nor screen.
"""

from benchtui.export.chores import by_rule, chores
from benchtui.export.csvfile import csv_text, out_csv, read_csv, write_csv
from benchtui.export.describe import (
    Description,
    check_templates,
    describe,
    description_columns,
    edit,
    load_templates,
)
from benchtui.export.gather import gather, weigher, wording_of
from benchtui.export.intake import intake, kinds
from benchtui.export.items import Item, leaving
from benchtui.export.layout import check_layouts, load_layout
from benchtui.export.report import parcel_report, sender_report
from benchtui.export.run import KINDS, Ask, export, file_name, read_day
from benchtui.export.slips import slip_sheet, slips
from benchtui.export.table import Column, Table, table_of
from benchtui.export.wording import Wording

__all__ = [
    "KINDS", "Ask", "Column", "Description", "Item", "Table", "Wording", "by_rule", "check_layouts",
    "check_templates", "chores", "csv_text", "describe", "description_columns", "edit", "export", "file_name",
    "gather", "intake", "kinds", "leaving", "load_layout", "load_templates", "out_csv", "parcel_report",
    "read_csv", "read_day", "sender_report", "slip_sheet", "slips", "table_of", "weigher", "wording_of",
    "write_csv",
]  # fmt: skip
