"""A title (a work as issued) as the lists know it."""

from typing import NamedTuple

from benchtui.model.record import TitleRef
from benchtui.model.span import UNKNOWN, Span, readable_span


class Title(NamedTuple):
    """One row of a title list; the record keeps a copy of what it used.

    ``first`` is EDTF or "" (first issued); ``country`` ISO 3166 alpha-2 (user-assigned codes
    such as XV are allowed); ``size_in`` inches, ``discs`` how many; ``pressings`` how many the
    books know (0: none); ``book`` the file the pressings stand in; ``numbers`` its other catalogue
    numbers, parted by slashes.
    """

    id: str
    artist: str
    title: str
    catalogue: str = ""
    first: str = ""
    company: str = ""
    country: str = ""
    barcode: str = ""
    channels: str = ""
    size_in: int | None = None
    discs: int = 1
    pressings: int = 0
    book: str = ""
    numbers: str = ""


def first_issued(ref: TitleRef | None) -> Span:
    """When the title was first issued, as far as the record knows."""
    return readable_span(str(ref.get("first") or "")) if ref is not None else UNKNOWN


def title_ref(title: Title) -> TitleRef:
    """What the record keeps of its title, so that it stands alone."""
    return {
        "id": title.id,
        "artist": title.artist,
        "title": title.title,
        "catalogue": title.catalogue,
        "first": title.first,
        "company": title.company,
        "country": title.country,
        "book": title.book,
    }
