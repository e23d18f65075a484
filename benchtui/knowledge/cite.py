"""Who says what in a book: its sources, and how far the shop's own copies bear each of them out.

A source's trust is the weight of its word beside what was seen, in copies (``books/trust.py``).
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from benchtui.books.library import Library
from benchtui.books.passed_on import taught_of
from benchtui.books.shape import Pressing, Word
from benchtui.books.trust import claims_of, factor, is_own, seen_of

WEIGHT = 4.0
NOBODY = "no source named"


@dataclass
class Source:
    """One source: what it is cited for, and how many copies showed what it says, or something else."""

    name: str
    claims: list[str] = field(default_factory=list)
    borne_out: int = 0
    contradicted: int = 0
    stranger: bool = False

    @property
    def trust(self) -> float:
        """What its word weighs, in confirmed copies (``books/trust.py``); the shop's own is the usual."""
        own = self.name == NOBODY or is_own(self.name)
        return WEIGHT if own else WEIGHT * factor(self.borne_out, self.contradicted, self.stranger)


def sources_of(library: Library, book: str, counts: Mapping[str, Any]) -> list[Source]:
    """The sources of a book, those with most claims first."""
    found: dict[str, Source] = defaultdict(lambda: Source(NOBODY))
    strangers = {name for head in library.books() for name in head.strangers}
    for name, claim, pressing, expect in _claims(library, book):
        one = found[name]
        one.name, one.stranger = name, name in strangers
        one.claims.append(claim)
        good, bad = seen_of(taught_of(counts, pressing).get("clues", {}) if pressing else {}, expect)
        one.borne_out += good
        one.contradicted += bad
    return sorted(found.values(), key=lambda one: (-len(one.claims), one.name))


def _claims(
    library: Library, book: str
) -> Iterator[tuple[str, str, Pressing | None, Mapping[str, Mapping[str, Word]]]]:
    """Source, claim, pressing, what it expects."""
    for clue in library.clues():
        if clue.book == book:
            yield clue.source or NOBODY, f"the question '{clue.ask}'", None, {}
            for answer in clue.answers:
                if answer.source and answer.source != clue.source:
                    yield answer.source, f"'{answer.text}' of '{clue.ask}'", None, {}
    for row in library.titles():
        title = library.title(row.id) if row.book == book else None
        for pressing in title.pressings if title else ():
            name = f"{row.title}, {pressing.name}"
            (own, expect), *others = claims_of(pressing)
            yield own or NOBODY, name, pressing, expect
            for source, said in others:
                yield source, f"{name}: what it shows", pressing, said


def lines_of(sources: list[Source], claims: int = 8) -> Iterator[str]:
    """The sources in words."""
    for one in sources:
        seen = one.borne_out + one.contradicted
        told = f"; {one.borne_out} of {seen} answers of your copies agree" if seen else ""
        yield f"{one.name}: {len(one.claims)} claims, trust {one.trust:.1f}{told}"
        yield from (f"    {claim}" for claim in one.claims[:claims])
        if len(one.claims) > claims:
            yield f"    ... and {len(one.claims) - claims} more"
