"""What this room asks of the books: look-ups only, so that any table can stand in for them."""

from typing import Protocol

from benchtui.books.shape import BookTitle, Cipher, Clue
from benchtui.model.record import PartDoc, RecordDoc


class Reference(Protocol):
    """The look-ups of ``benchtui.books.Library`` that weighing needs."""

    def title(self, title_id: str) -> BookTitle | None:
        """The title with its pressings, or None where no book knows it."""
        ...

    def clue(self, clue_id: str) -> Clue | None:
        """The clue of that id, or None where the books have lost it."""
        ...

    def clues_for(self, record: RecordDoc, part: PartDoc) -> tuple[Clue, ...]:
        """The clues that apply to that part of that record, in the printed order."""
        ...

    def cipher(self, cipher_id: str) -> Cipher | None:
        """The stamper cipher of that id, or None."""
        ...

    def currency(self, book: str) -> str | None:
        """ISO 4217 code of the prices in that book, or None."""
        ...
