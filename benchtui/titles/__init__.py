"""Title lists and completion as you type."""

from benchtui.titles.barcode import Barcode, read_barcode
from benchtui.titles.build import build_piece, build_steps
from benchtui.titles.finder import Finder
from benchtui.titles.hit import Context, Hit, Marks
from benchtui.titles.piece import Piece

__all__ = [
    "Barcode", "Context", "Finder", "Hit", "Marks", "Piece",
    "build_piece", "build_steps", "read_barcode",
]  # fmt: skip
