"""The titles a shop knows without any list: those of its books and those made on the bench."""

from benchtui.books.library import Library
from benchtui.books.shape import BookTitle
from benchtui.books.whole import bare_title
from benchtui.model.title import Title
from benchtui.store import Shop


def known_titles(shop: Shop, library: Library) -> list[Title]:
    """The books' titles, then those made on the bench (the later wins where an id stands in both).

    A title made on the bench whose pressings the shop's own book holds says how many they are.
    """
    fields = set(Title._fields)
    rows = list(library.titles())
    by_id = {row.id: row for row in rows}
    made = []
    for doc in shop.made_titles():
        title = Title(**{key: value for key, value in doc.items() if key in fields})
        row = by_id.get(title.id)
        made.append(title._replace(pressings=row.pressings, book=row.book) if row else title)
    return [*rows, *made]


def in_no_book(shop: Shop, library: Library) -> list[BookTitle]:
    """The cards of titles made on the bench that no book has yet."""
    return [bare_title(one) for one in known_titles(shop, library) if library.title(one.id) is None]
