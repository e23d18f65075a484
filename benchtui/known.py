"""The titles a shop knows without any list: those of its books and those made on the bench."""

from benchtui.books.library import Library
from benchtui.model.title import Title
from benchtui.store import Shop


def known_titles(shop: Shop, library: Library) -> list[Title]:
    """The books' titles, then those made on the bench (the later wins where an id stands in both)."""
    fields = set(Title.__dataclass_fields__)
    made = [
        Title(**{key: value for key, value in doc.items() if key in fields}) for doc in shop.made_titles()
    ]
    return [*library.titles(), *made]
