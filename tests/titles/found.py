"""What a finder gives in the end, and all lists of a folder: without the steps that keep a screen alive."""

from itertools import product
from pathlib import Path

from benchtui.model.title import Title
from benchtui.titles.build import build_piece
from benchtui.titles.finder import EXACT, Finder
from benchtui.titles.hit import Context, Hit
from benchtui.titles.lists import load_steps
from benchtui.titles.match import Found, keep_best
from benchtui.titles.piece import Piece
from benchtui.titles.query import readings


def find(finder: Finder, typed: str, limit: int = 8, context: Context | None = None) -> list[Hit]:
    """The whole answer, best first."""
    hits: list[Hit] = []
    for hits in finder.steps(typed, limit, context):  # noqa: B007
        pass
    return hits


def load_lists(folder: Path) -> list[Piece]:
    """All lists of the folder, ready to be handed to a finder."""
    return [step.piece for step in load_steps(folder, apart=False) if step.piece is not None]


def plainly(title: Title, typed: str) -> str:
    """How the title is read from what was typed without supposing a slip; "" where it is not."""
    piece, found = build_piece([title]), Found()
    for search, query in product(EXACT, readings(typed)):
        keep_best(found, search(piece, query))
    return min(found.values(), key=lambda match: match.order).reading.tier if found else ""
