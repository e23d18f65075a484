"""What this room asks of the books: look-ups only, so that any table can stand in for them."""

from collections.abc import Iterable
from typing import Protocol

from benchtui.books.shape import BookTitle, Cipher, Clue
from benchtui.model.record import PartDoc, RecordDoc


class Reference(Protocol):
    """The look-ups of ``benchtui.books.Library`` that weighing needs."""

    def title(self, title_id: str) -> BookTitle | None:
        """The title with its pressings, or None where no book knows it."""
        ...

    def peers(self, title: BookTitle) -> tuple[BookTitle, ...]:
        """Other titles of its company, those first issued nearest to it first; none where none is known."""
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


class Shelf:
    """Books held in memory: tables that come from elsewhere than a file can be weighed as they are.

    Every clue applies to every part of its kind; ``money`` is the one currency of all prices.
    """

    def __init__(
        self,
        titles: Iterable[BookTitle] = (),
        clues: Iterable[Clue] = (),
        ciphers: Iterable[Cipher] = (),
        money: str | None = None,
    ) -> None:
        self._titles = {title.id: title for title in titles}
        self._clues = {clue.id: clue for clue in clues}
        self._ciphers = {cipher.id: cipher for cipher in ciphers}
        self._money = money
        self._peers: dict[str, tuple[BookTitle, ...]] = {}

    def peers(self, title: BookTitle) -> tuple[BookTitle, ...]:
        """All other titles of its company that have pressings."""
        if title.id not in self._peers:
            alike = (one for one in self._titles.values() if title.company and one.company == title.company)
            self._peers[title.id] = tuple(one for one in alike if one.pressings and one.id != title.id)
        return self._peers[title.id]

    def title(self, title_id: str) -> BookTitle | None:
        """The title of that id, or None."""
        return self._titles.get(title_id)

    def clue(self, clue_id: str) -> Clue | None:
        """The clue of that id, or None."""
        return self._clues.get(clue_id)

    def clues_for(self, record: RecordDoc, part: PartDoc) -> tuple[Clue, ...]:
        """The clues of the part's kind, in the order given."""
        return tuple(clue for clue in self._clues.values() if clue.part == part["kind"])

    def cipher(self, cipher_id: str) -> Cipher | None:
        """The cipher of that id, or None."""
        return self._ciphers.get(cipher_id)

    def currency(self, book: str) -> str | None:
        """The one currency, whatever the book."""
        return self._money
