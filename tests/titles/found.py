"""What a finder gives in the end, and all lists of a folder: without the steps that keep a screen alive."""

from pathlib import Path

from benchtui.titles.finder import Finder
from benchtui.titles.hit import Context, Hit
from benchtui.titles.lists import load_steps
from benchtui.titles.piece import Piece


def find(finder: Finder, typed: str, limit: int = 8, context: Context | None = None) -> list[Hit]:
    """The whole answer, best first."""
    hits: list[Hit] = []
    for hits in finder.steps(typed, limit, context):  # noqa: B007
        pass
    return hits


def load_lists(folder: Path) -> list[Piece]:
    """All lists of the folder, ready to be handed to a finder."""
    return [step.piece for step in load_steps(folder, apart=False) if step.piece is not None]
