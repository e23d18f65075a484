"""How far a source is trusted: what its word weighs beside what the shop's own copies show.

A book's word is worth four confirmed copies (``ModelSettings.strength``). A named source's is worth 8 times
the share of answers of confirmed copies that are as it says, counted with one for and one against to begin
with: 4 where nothing was seen, between 0 and 8. A stranger's book, merged in, begins with one for and three
against: 2.
"""

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import replace

from benchtui.books.shape import BookTitle, Pressing, Word

Expect = Mapping[str, Mapping[str, Word]]
OWN = ("seen on the bench", "by the dealer", "the dealer's own word")
"""Sources of the shop itself, whose word is the book's; so is one that nobody named."""


def factor(borne_out: int, contradicted: int, stranger: bool) -> float:
    """What the source's word is worth beside the usual four copies: 1 where nothing was seen."""
    return 2 * (borne_out + 1) / (borne_out + contradicted + (4 if stranger else 2))


def claims_of(pressing: Pressing) -> Iterator[tuple[str, Expect]]:
    """Who says what to expect of it: its own source, and those whose books filled in where it was silent."""
    filled = {clue for said in pressing.said for clue in _borne(pressing, said.expect)}
    yield pressing.source, {clue: words for clue, words in pressing.expect.items() if clue not in filled}
    yield from ((said.source, said.expect) for said in pressing.said)


def _borne(pressing: Pressing, expect: Expect) -> list[str]:
    """The questions of which the pressing says just that."""
    return [clue for clue, words in expect.items() if dict(pressing.expect.get(clue, {})) == dict(words)]


def seen_of(seen: Mapping[str, Mapping[str, int]], expect: Expect) -> tuple[int, int]:
    """How many answers of copies are as the source says, and how many are not."""
    good = bad = 0
    for clue, words in expect.items():
        for answer, times in seen.get(clue, {}).items():
            likely = words.get(answer) in ("always", "usually", "sometimes")
            good, bad = (good + times, bad) if likely else (good, bad + times)
    return good, bad


def worth_of(
    counted: Iterable[tuple[Pressing, Mapping[str, Mapping[str, int]]]], strangers: Collection[str]
) -> dict[str, float]:
    """Source -> what its word is worth beside the usual, of those that are not worth just that.

    ``counted``: pressings with the answers of their confirmed copies, by question.
    """
    seen: dict[str, tuple[int, int]] = dict.fromkeys(strangers, (0, 0))
    for pressing, answers in counted:
        for source, expect in claims_of(pressing):
            good, bad = seen_of(answers, expect)
            before = seen.get(source, (0, 0))
            seen[source] = before[0] + good, before[1] + bad
    found = {name: factor(*both, name in strangers) for name, both in seen.items() if not is_own(name)}
    return {name: round(value, 4) for name, value in found.items() if value != 1}


def is_own(source: str) -> bool:
    """Whether it is the shop's own word, or nobody's."""
    return not source or source.startswith(OWN)


def trusted(title: BookTitle, trusts: Mapping[str, float]) -> BookTitle:
    """The title, each pressing with what its sources' words are worth."""
    if not any(source in trusts for one in title.pressings for source, _ in claims_of(one)):
        return title
    return replace(title, pressings=tuple(replace(one, trust=_trust(one, trusts)) for one in title.pressings))


def _trust(pressing: Pressing, trusts: Mapping[str, float]) -> dict[str, float]:
    """By question; "" for all that is not named."""
    own, *others = claims_of(pressing)
    found = {"": trusts.get(own[0], 1.0)}
    for source, expect in others:
        found |= dict.fromkeys(_borne(pressing, expect), trusts.get(source, 1.0))
    return found
