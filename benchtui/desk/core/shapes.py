"""What can be open on the bench: a text line with its list, a menu, a page."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal, NamedTuple, cast

from benchtui.desk.core.page_parts import Piece, Words
from benchtui.model.parcel import DraftDoc

Tone = Literal["plain", "done", "refused", "clash"]
Asked = tuple[str, str]
"""A question: place and clue id."""
RUNOUT = "?runout"
"""The id where the book has no clue for the runout that is to be written."""


class Pick(NamedTuple):
    """A line of the list under an open text line: (text, style) pieces, and the ``value`` it stands for.

    ``end`` stands at the right, whatever else has to be cut for it. ``cells``: the same in the columns of its
    kind of line (``LineKind.columns``), which line up down the list.
    """

    spans: Words
    value: Any
    end: Piece = ("", "")
    cells: tuple[Words, ...] = ()


def pick_of(cells: tuple[Words, ...], value: Any) -> Pick:
    """A line of a list in columns."""
    spans = [piece for cell in cells if cell for piece in (("  ", ""), *cell)]
    return Pick(tuple(spans[1:]), value, cells=cells)


@dataclass
class OpenLine:
    """A text line that is open: what it asks, what is typed, what fits."""

    name: str
    label: str
    text: str = ""
    about: str = ""
    picks: Sequence[Pick] = ()
    marked: int = 0
    data: dict[str, Any] = field(default_factory=dict)
    replace: bool = False
    """What it held at opening is marked: typing replaces it."""
    opened: str = ""
    """What stood in it at opening."""
    back: str = ""
    """What was typed at an earlier opening and came back with it."""

    def draft(self) -> DraftDoc:
        """The line as the parcel keeps it."""
        draft: dict[str, Any] = {"line": self.name, "text": self.text, "at": len(self.text)}
        draft["label"], draft["about"] = self.label, self.about
        if self.data:
            draft["data"] = self.data
        return cast(DraftDoc, draft)


class Choice(NamedTuple):
    """One line of a menu: its key, its words, and what happens."""

    key: str
    words: str
    act: Callable[[], object]
    mark: str = ""
    ends: tuple[str, ...] = ()
    """What stands at the end of its row where there is room: the longest that fits. One of them is kept at
    the words' cost, unless "" is among them: then what there is no room for beside the words is cut.
    """


class Menu(NamedTuple):
    """Choices, each by one key."""

    title: str
    choices: tuple[Choice, ...]
    about: str = ""
    name: str = ""
    """Which list it is, for the words of the help key (desk/keyboard/meaning.py)."""
    over: bool = False
    """Whether it is answered before a text line that is open too."""
    top: int = 0
    """The first choice in sight, where a small window does not hold them all."""
    back: Callable[[], object] | None = None
    """What opens the list that it was chosen from: leaving goes back to that."""
    kept: str = ""
    """Of a heavy deed: said where a key that is none of its choices leaves the list, so
    that a word typed while it is open does not go on to one of them.
    """


class Explained(NamedTuple):
    """What the help key says: paragraphs, then rows of key and meaning, then the keys that go on."""

    title: str
    words: tuple[str, ...]
    rows: tuple[tuple[str, str], ...]
    keys: str
    top: int = 0
    """How far it was scrolled: 0 is its beginning, in short where there is no room for all."""


@dataclass
class Page:
    """A page over the record: which, and the line marked on it."""

    name: str
    marked: int = 0
    top: int = 0
    data: dict[str, Any] = field(default_factory=dict)
    below: tuple[int, int] = (-1, 0)
    """The last row, from which what stands below the rows is read, and the page's top when that began."""

    def at(self, count: int) -> int:
        """The marked one of so many rows, be there fewer than there were when it was marked."""
        return max(0, min(self.marked, count - 1))

    @property
    def reads_below(self) -> bool:
        """Whether what stands below the last row is read, be that row in sight or not."""
        return self.below[0] == self.marked
