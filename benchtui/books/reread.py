"""Which titles of a large book are as they were when it was prepared last, by digests of their texts."""

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from benchtui.books.blocks import LARGE, Piece, split_pieces
from benchtui.books.row import Problem
from benchtui.books.shape import BookHead
from benchtui.books.whole import digest_of
from benchtui.model.currencies import decimals_of
from benchtui.model.title import Title


class Marks(NamedTuple):
    """``titles``: digest of each title with its pressings -> its text, in the book's order; ``other``: the
    pieces of all else, which is read again with every change.
    """

    other: Sequence[str]
    titles: Mapping[str, str]

    def text_without(self, kept: Mapping[str, object]) -> str:
        """The book without the titles of those digests."""
        return "".join(self._pieces(kept))

    def line_in(self, book: str, kept: Mapping[str, object], line: int | None) -> int | None:
        """Where a line of the book without those titles stands in the whole of it."""
        left = line or 0
        for text in self._pieces(kept) if line is not None else ():
            if left <= text.count("\n"):
                return book.count("\n", 0, book.index(text)) + left
            left -= text.count("\n")
        return None

    def _pieces(self, kept: Mapping[str, object]) -> Iterator[str]:
        yield from self.other
        yield from (text for mark, text in self.titles.items() if mark not in kept)

    def sound(self, rows: Sequence[Any], aside: Sequence[Problem]) -> list[str]:
        """The digest of each row's title; "" where some of it was set aside, so that it is read again."""
        if not aside:
            return list(self.titles)
        by_id = {id_of(text): mark for mark, text in self.titles.items()}
        wrong = {one.where for one in aside}
        return ["" if _is_in(row[0], wrong) else by_id.get(row[0], "") for row in rows]


def id_of(title: str) -> str:
    """The id that a title's text gives."""
    return Piece(("title",), title).names.get("id", "").strip()


def _is_in(title_id: str, wrong: Iterable[str]) -> bool:
    name = f"title {title_id}"
    return any(one == name or one.startswith(f"{name}, ") for one in wrong)


Kept = Mapping[str, tuple[Any, bytes]]
"""What was prepared of each title: digest of its text -> its row, its table's text."""


def changed_of(before: str, after: str) -> str:
    """What has to be read of a book to know that it can be read, where it could before: of a large one the
    titles that are new or another, and all that is no title."""
    if len(after) <= LARGE or not before:
        return after
    was, now = marks_of(before.encode()), marks_of(after.encode())
    return after if was is None or now is None else now.text_without(was.titles)


def plain_text(data: bytes) -> str:
    """A book's text with plain ends of lines."""
    return data.decode("utf-8-sig").replace("\r\n", "\n")


def marks_of(data: bytes) -> Marks | None:
    """The digests of a book's text; None where it is not written by headers, or has a title twice."""
    try:
        pieces = split_pieces(plain_text(data))
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
    return Marks(other, marked) if len(marked) == len(texts) else None


def kept_of(old: bytes, marks: Marks) -> tuple[Mapping[str, Any], Kept] | None:
    """The head of a prepared text, and those of its titles that are as they were."""
    head, rows, *keyed = old.split(b"\n")
    was = json.loads(head)
    bodies = dict(line.split(b"\t", 1) for line in keyed)
    found = list(zip(was["marks"], json.loads(rows), strict=False))
    if not found or len({row[0] for _, row in found}) < len(found):
        return None
    by_mark = {mark: row for mark, row in found if mark in marks.titles}
    keys = {mark: json.dumps("=" + row[0]).encode() for mark, row in by_mark.items()}
    kept = {mark: (row, bodies[keys[mark]]) for mark, row in by_mark.items() if keys[mark] in bodies}
    return was["head"], kept


def headed(kept: Kept, was: Mapping[str, Any], now: BookHead) -> Kept | None:
    """The titles kept under a head that is another: whose they are where they do not say so themselves.

    None where their prices would have to be read again.
    """
    if was["id"] != now.id or not _same_money(was["currency"], now.currency):
        return None
    if (was["company"], was["country"]) == (now.company, now.country):
        return kept
    return {mark: (_headed(row, json.loads(body), now), body) for mark, (row, body) in kept.items()}


def _headed(row: Sequence[Any], body: Mapping[str, Any], now: BookHead) -> tuple[Any, ...]:
    title = Title(*row)
    company, country = body.get("company", now.company), body.get("country", now.country)
    return title._replace(company=str(company).strip(), country=str(country).strip())


def _same_money(was: str, now: str) -> bool:
    """Whether every price of the one can be read as one of the other. Without a currency there are none."""
    return not was or was == now or (bool(now) and decimals_of(was) == decimals_of(now))
