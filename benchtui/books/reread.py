"""Which titles of a large book are as they were when it was prepared last, by digests of their texts."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from benchtui.books.blocks import LARGE, split_pieces
from benchtui.books.whole import digest_of


@dataclass(frozen=True)
class Marks:
    """``titles``: digest of each title with its pressings -> its text, in the book's order; ``other``: all
    else, on which the reading of every title depends, ``rest`` its digest.
    """

    rest: str
    other: str
    titles: Mapping[str, str]

    def text_without(self, kept: Mapping[str, object]) -> str:
        """The book without the titles of those digests."""
        return self.other + "".join(text for mark, text in self.titles.items() if mark not in kept)


Kept = Mapping[str, tuple[Any, bytes]]
"""What was prepared of each title: digest of its text -> its row, its table's text."""


def changed_of(before: str, after: str) -> str:
    """What has to be read of a book to know that it can be read, where it could before: of a large one the
    titles that are new or another, and all that is no title."""
    if len(after) <= LARGE or not before:
        return after
    was, now = marks_of(before.encode()), marks_of(after.encode())
    return after if was is None or now is None else now.text_without(was.titles)


def marks_of(data: bytes) -> Marks | None:
    """The digests of a book's text; None where it is not written by headers, or has a title twice."""
    try:
        pieces = split_pieces(data.decode("utf-8-sig").replace("\r\n", "\n"))
    except UnicodeDecodeError:
        return None
    if pieces is None:
        return None
    titles: list[list[str]] = []
    other: list[str] = []
    for piece in pieces:
        if piece.path == ("title",):
            titles.append([piece.text])
        elif piece.path[:1] == ("title",):
            titles[-1].append(piece.text)
        else:
            other.append(piece.text)
    texts = ["".join(title) for title in titles]
    marked = {digest_of(text.encode()): text for text in texts}
    rest = "".join(other)
    return Marks(digest_of(rest.encode()), rest, marked) if len(marked) == len(texts) else None


def kept_of(old: bytes, marks: Marks) -> Kept | None:
    """The titles of a prepared text that are as they were; None where anything but titles is another."""
    head, rows, *keyed = old.split(b"\n")
    seen = json.loads(head)["marks"]
    if not seen or seen["rest"] != marks.rest:
        return None
    bodies = dict(line.split(b"\t", 1) for line in keyed)
    found = zip(seen["titles"], json.loads(rows), strict=True)
    by_mark = {mark: row for mark, row in found if mark in marks.titles}
    keys = {mark: json.dumps("=" + row[0]).encode() for mark, row in by_mark.items()}
    return {mark: (row, bodies[keys[mark]]) for mark, row in by_mark.items() if keys[mark] in bodies}
