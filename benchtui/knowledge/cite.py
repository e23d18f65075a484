"""Who says what in a book: its sources, and how far the shop's own copies bear each of them out.

A source's trust is the weight of its word beside what was seen, in copies: 4 by default. It rises as the
shop's copies show what the source says, and falls as they show something else.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import field
from typing import Any

from benchtui.base.dataclass import dataclass
from benchtui.books.library import Library
from benchtui.books.shape import Word

WEIGHT = 4.0
NOBODY = "no source named"


@dataclass
class Source:
    """One source: what it is cited for, and how many copies showed what it says, or something else."""

    name: str
    claims: list[str] = field(default_factory=list)
    borne_out: int = 0
    contradicted: int = 0

    @property
    def trust(self) -> float:
        """Its weight: four times the share of copies that bear it out, counted with one copy for and one
        against to begin with, and twice that: so 4 where nothing was seen, between 0 and 8.
        """
        return 2 * WEIGHT * (self.borne_out + 1) / (self.borne_out + self.contradicted + 2)


def sources_of(library: Library, book: str, counts: Mapping[str, Any]) -> list[Source]:
    """The sources of a book, those with most claims first."""
    found: dict[str, Source] = defaultdict(lambda: Source(NOBODY))
    for name, claim, pressing_id, expect in _claims(library, book):
        one = found[name]
        one.name = name
        one.claims.append(claim)
        good, bad = _seen(counts.get(pressing_id, {}).get("clues", {}), expect)
        one.borne_out += good
        one.contradicted += bad
    return sorted(found.values(), key=lambda one: (-len(one.claims), one.name))


def _claims(library: Library, book: str) -> Iterator[tuple[str, str, str, Mapping[str, Mapping[str, Word]]]]:
    """Source, claim, pressing, what it expects."""
    for clue in library.clues():
        if clue.book == book:
            yield clue.source or NOBODY, f"the question '{clue.ask}'", "", {}
            for answer in clue.answers:
                if answer.source and answer.source != clue.source:
                    yield answer.source, f"'{answer.text}' of '{clue.ask}'", "", {}
    for row in library.titles():
        title = library.title(row.id) if row.book == book else None
        for pressing in title.pressings if title else ():
            name = f"{row.title}, {pressing.name}"
            filled = {clue for said in pressing.said for clue in said.expect}
            own = {clue: words for clue, words in pressing.expect.items() if clue not in filled}
            yield pressing.source or NOBODY, name, pressing.id, own
            for said in pressing.said:
                yield said.source, f"{name}: what it shows", pressing.id, said.expect


def _seen(seen: Mapping[str, Mapping[str, int]], expect: Mapping[str, Mapping[str, Word]]) -> tuple[int, int]:
    """How many answers of copies are as the source says, and how many are not."""
    good = bad = 0
    for clue, words in expect.items():
        for answer, times in seen.get(clue, {}).items():
            likely = words.get(answer) in ("always", "usually", "sometimes")
            good, bad = (good + times, bad) if likely else (good, bad + times)
    return good, bad


def lines_of(sources: list[Source], claims: int = 8) -> Iterator[str]:
    """The sources in words."""
    for one in sources:
        seen = one.borne_out + one.contradicted
        told = f"; {one.borne_out} of {seen} answers of your copies agree" if seen else ""
        yield f"{one.name}: {len(one.claims)} claims, trust {one.trust:.1f}{told}"
        yield from (f"    {claim}" for claim in one.claims[:claims])
        if len(one.claims) > claims:
            yield f"    ... and {len(one.claims) - claims} more"
