"""Title lists and completion as you type.

``Finder`` finds; ``load_steps`` brings the shop's lists to it without a stall; ``TakeIn`` takes a new list
in.
"""

from benchtui.titles.barcode import Barcode, read_barcode
from benchtui.titles.build import build_piece, build_steps
from benchtui.titles.columns import COLUMNS
from benchtui.titles.finder import Finder
from benchtui.titles.hit import TIERS, Context, Hit, Marks
from benchtui.titles.listfile import list_faults
from benchtui.titles.lists import Loading, load_lists, load_steps, signature, undo_take_in
from benchtui.titles.piece import Piece
from benchtui.titles.report import CHOICES, Choice, Doubt, Noted, Report
from benchtui.titles.takein import TakeIn, take_in

__all__ = [
    "CHOICES", "COLUMNS", "TIERS", "Barcode", "Choice", "Context", "Doubt", "Finder", "Hit", "Loading",
    "Marks", "Noted", "Piece", "Report", "TakeIn", "build_piece", "build_steps", "list_faults", "load_lists",
    "load_steps", "read_barcode", "signature", "take_in", "undo_take_in",
]  # fmt: skip
