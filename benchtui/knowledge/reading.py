"""Another book read for itself: a file, or one of the shop's."""

from pathlib import Path

from benchtui.base.errors import BenchError
from benchtui.base.paths import path_from
from benchtui.books.library import UNIVERSAL, Library
from benchtui.books.prepared import prepare
from benchtui.books.shape import BookHead


def other_book(name: str, folder: Path) -> tuple[Library, BookHead]:
    """The book of that path, or of that name among the shop's, beside the universal one alone."""
    path = path_from(name)
    if not path.is_file():
        path = folder / f"{name.removesuffix('.toml')}.toml"
    if not path.is_file():
        raise BenchError(f"there is no book {name!r}", folder, "name a book's file, or a book of the shop")
    book = prepare(path)
    return Library([prepare(UNIVERSAL), book]), book.head
