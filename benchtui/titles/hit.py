"""What is found, and what the finder is told about the work at hand."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from benchtui.model.title import Title

Marks = dict[str, tuple[tuple[int, int], ...]]
Pick = tuple[int, str]


@dataclass(frozen=True, slots=True)
class Hit:
    """One line of the answer.

    ``marks``: field name -> half-open ranges of the letters that matched, in that field's text. ``line``
    is the sender's list line it stands for ("" for none); where ``title.id`` is "" the title is known from
    that line only, and picking it makes a new title. ``here``: already in this parcel. ``stock``: what the
    caller said of it. ``apart``: country, size and channels, as far as they tell it from another line of the
    same words.
    """

    title: Title
    marks: Marks = field(default_factory=dict)
    line: str = ""
    here: bool = False
    stock: str = ""
    apart: str = ""


@dataclass(frozen=True, slots=True)
class Context:
    """The work at hand. ``unticked``: the sender's list lines (documents with line, artist, title,
    catalogue) that no record has ticked off yet. ``parcel``: ids of titles in this parcel. ``picks`` and
    ``sender_picks``: title id -> (how often, when last as ISO text), of the shop and of this sender.
    ``stock``: title id -> what to say of it.
    """

    unticked: Sequence[Mapping[str, Any]] = ()
    parcel: Collection[str] = ()
    picks: Mapping[str, Pick] = field(default_factory=dict)
    sender_picks: Mapping[str, Pick] = field(default_factory=dict)
    stock: Mapping[str, str] = field(default_factory=dict)
