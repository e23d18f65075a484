"""Each page declared once, above the function that says what it holds.

From the declarations follow its key line, what Enter does on a row, how many rows can be marked, what
the help key says of it, whether Enter is listed among what can be done, and how it is found again after
a restart. The id stands in people's parcels: it is never changed.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple

from benchtui.desk.core.command import Need
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.learn import learn_all
from benchtui.desk.core.page_parts import PageView

View = Callable[[Desk], PageView]
Keys = tuple[str, ...]


class OwnUndo(NamedTuple):
    """Both are told whether it goes back (else forth): why it cannot be done now, and what does it."""

    why_not: Callable[[Desk, bool], str]
    turn: Callable[[Desk, bool], None]


@dataclass(frozen=True)
class PageKind:
    """``words`` says what the page is for, ``place`` where its commands work ("on the work list"), a command
    in braces there becomes its key.
    """

    id: str
    words: str
    view: View
    keys: Keys | Callable[[Desk], Keys] = ("page-leave",)
    """Commands of the key line, most useful first."""
    enter: Callable[[Desk], object] | None = None
    """What Enter does on the marked row; where there is nothing to open Enter leaves the page."""
    enter_needs: Need | None = None
    """Why Enter opens nothing now."""
    enter_word: str | Callable[[Desk], str] = ""
    """What the key line calls Enter, where it does not open the marked row."""
    count: Callable[[Desk], int] | None = None
    """How many rows can be marked; a page without is read, and the arrows scroll it."""
    about: Callable[[Desk], tuple[str, str]] | None = None
    """The marked row's label, and the name of the text line that it opens, for the help key."""
    leave: Callable[[Desk], object] | None = None
    """What leaving it does, where that is not going back to the record."""
    place: str = ""
    opener: str = ""
    """The command that opens it again after a restart."""
    restored: bool = False
    """Whether a restart brings it back by itself."""
    alone: bool = False
    """Whether nothing but its own commands can be done until it is left."""
    undo: OwnUndo | None = None
    """How undo and redo go on a page whose changes are not a parcel's."""


PAGES: dict[str, PageKind] = {}


def page(
    id: str,  # noqa: A002  (what it is called in parcels)
    words: str,
    *,
    keys: Keys | Callable[[Desk], Keys] = ("page-leave",),
    enter: Callable[[Desk], object] | None = None,
    enter_needs: Need | None = None,
    enter_word: str | Callable[[Desk], str] = "",
    count: Callable[[Desk], int] | None = None,
    about: Callable[[Desk], tuple[str, str]] | None = None,
    leave: Callable[[Desk], object] | None = None,
    place: str = "",
    opener: str = "",
    restored: bool = False,
    alone: bool = False,
    undo: OwnUndo | None = None,
) -> Callable[[View], View]:
    """Declare the function below as what the page holds; see ``PageKind`` for each word."""

    def keep(view: View) -> View:
        PAGES[id] = PageKind(
            id, words, view, keys, enter, enter_needs, enter_word,
            count, about, leave, place, opener, restored, alone, undo,
        )  # fmt: skip
        return view

    return keep


def pages() -> dict[str, PageKind]:
    """All pages by their ids; one may stand in a file of desk/pages/ or beside the command that opens it."""
    learn_all()
    return PAGES


def page_now(desk: Desk) -> PageKind | None:
    """The page that is open."""
    return pages().get(desk.open.page.name) if desk.open.page is not None else None


def view_now(desk: Desk) -> PageView | None:
    """What the open page holds."""
    kind = page_now(desk)
    return kind.view(desk) if kind is not None else None


def keys_now(desk: Desk) -> Keys:
    """The commands of the open page's key line."""
    kind = page_now(desk)
    if kind is None:
        return ("page-leave",)
    return kind.keys(desk) if callable(kind.keys) else kind.keys
