"""What the finder is measured against: SQLite's FTS5 before RapidFuzz, FTS5 alone, a scan with WRatio, a bisect.

Each is made from titles and gives the ids of the best answers to a text, best first. They get what the finder
gets: folded texts, articles dropped, and for FTS5 the initials in a column of their own.
"""

import sqlite3
from bisect import bisect_left
from collections.abc import Sequence
from typing import Protocol

from rapidfuzz import fuzz, process
from rapidfuzz.distance import OSA

from benchtui.model.title import Title
from benchtui.titles.fold import article_length, fold, initials

CANDIDATES = 200
"""Rows that the first stage hands to the second."""


class Search(Protocol):
    """The ids of the best answers, best first."""

    def find(self, typed: str) -> list[str]: ...


def bare(folded: str) -> str:
    return folded[article_length(folded) :]


class Bisect:
    """Titles and artists in order; what begins so, the shortest first."""

    def __init__(self, titles: Sequence[Title]) -> None:
        both = [(bare(fold(one.title)), one.id) for one in titles]
        both += [(bare(fold(f"{one.artist} {one.title}")), one.id) for one in titles]
        self._starts = sorted(both)

    def find(self, typed: str) -> list[str]:
        text = bare(fold(typed))
        low = bisect_left(self._starts, (text,))
        found = self._starts[low : low + CANDIDATES]
        begun = sorted((len(start), name) for start, name in found if start.startswith(text))
        return list(dict.fromkeys(name for _, name in begun))[:5]


class Scan:
    """RapidFuzz's WRatio over every title."""

    def __init__(self, titles: Sequence[Title]) -> None:
        self._texts = [fold(f"{one.artist} {one.title}") for one in titles]
        self._ids = [one.id for one in titles]

    def find(self, typed: str) -> list[str]:
        best = process.extract(fold(typed), self._texts, scorer=fuzz.WRatio, limit=5)
        return [self._ids[no] for _, _, no in best]


class FullText:
    """FTS5 with a table of words (prefixes indexed) and one of trigrams. ``second``: RapidFuzz ranks the rows of
    both, word by word; without, FTS5's own order of the words' table stands.
    """

    def __init__(self, titles: Sequence[Title], second: bool) -> None:
        self._second = second
        self._base = sqlite3.connect(":memory:")
        self._base.execute("create virtual table words using fts5(said, short, prefix='1 2 3 4')")
        self._base.execute("create virtual table grams using fts5(said, tokenize='trigram', detail='none')")
        self._ids = [one.id for one in titles]
        self._texts = [(bare(fold(one.title)), fold(one.artist)) for one in titles]
        rows = [
            (no, f"{name} {maker}", f"{initials(fold(one.title))} {initials(name)}")
            for no, ((name, maker), one) in enumerate(zip(self._texts, titles, strict=True))
        ]
        self._base.executemany("insert into words(rowid, said, short) values (?, ?, ?)", rows)
        if second:
            self._base.executemany("insert into grams(rowid, said) values (?, ?)", [row[:2] for row in rows])

    def find(self, typed: str) -> list[str]:
        text = bare(fold(typed))
        if not text:
            return []
        found = self._ask("words", " ".join(f'"{word}"*' for word in text.split()))
        if not self._second:
            return [self._ids[no] for no in found[:5]]
        grams = dict.fromkeys(text[at : at + 3] for at in range(len(text) - 2))
        if len(found) < 5 and grams:
            found += self._ask("grams", " OR ".join(f'"{gram}"' for gram in grams))
        ranked = sorted((self._apart(text, no), no) for no in dict.fromkeys(found))
        return [self._ids[no] for _, no in ranked[:5]]

    def _ask(self, table: str, asked: str) -> list[int]:
        sql = f"select rowid from {table} where {table} match ? order by rank limit {CANDIDATES}"
        return [no for (no,) in self._base.execute(sql, (asked,))]

    def _apart(self, text: str, no: int) -> tuple[float, int]:
        """Slips of the whole as a beginning of the title, or of each word as a beginning of some word."""
        name, maker = self._texts[no]
        whole = OSA.distance(text, name[: len(text)])
        words = [*name.split(), *maker.split()]
        single = sum(min(OSA.distance(one, word[: len(one)]) for word in words) for one in text.split())
        short = 0 if text.endswith(initials(name)) and len(text) - len(initials(name)) < 2 else 99
        return min(whole, single + 0.5, short + 0.6), len(name)
