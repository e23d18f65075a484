"""Near-duplicates: titles of a new list that are probably in the lists already, or twice in the new one.

Only titles that share a key are compared, each pair by RapidFuzz on the whole text with its words in order
of the alphabet; so the work grows with the list and not with its square.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import NamedTuple

from rapidfuzz import fuzz

from benchtui.model.title import Title
from benchtui.titles.fold import ARTICLES, fold, number_key

ALIKE = 92.0
"""Percent of likeness from which two titles are held to be doubtful (one letter in twelve)."""
CROWD = 40
"""Titles of one key that are compared with each new one."""
_ROMAN = frozenset(["i", "ii", "iii", "iv", "v", "vi", "vii", "viii", "ix", "x", "xi", "xii"])


class Said(NamedTuple):
    """A title as far as likeness goes: ``words`` sorted, ``counted`` the words that number a series."""

    id: str
    words: str
    counted: tuple[str, ...]
    number: str


@dataclass(frozen=True, slots=True)
class Pair:
    """``new`` is like ``old`` by so many percent; ``why`` in words."""

    new: str
    old: str
    alike: float
    why: str


def said(title_id: str, artist: str, name: str, catalogue: str) -> tuple[Said, list[str]]:
    """The title as it is compared, and the keys it is looked up by."""
    folded_artist, folded = fold(artist), fold(name)
    words = sorted(word for word in f"{folded_artist} {folded}".split() if word not in ARTICLES)
    counted = tuple(word for word in words if word.isdigit() or word in _ROMAN)
    maker = next((word for word in reversed(folded_artist.split()) if word not in ARTICLES), "")
    title = "".join(word for word in folded.split() if word not in ARTICLES)
    number = number_key(catalogue)
    keys = ["w" + " ".join(words), f"s{title[:5]} {maker[:3]}", f"e{title[-5:]} {maker[:3]}"]
    if sum(char.isdigit() for char in number) > 2:
        keys.append("n" + number)
    return Said(title_id, " ".join(words), counted, number), keys


class Likeness:
    """Finds the pairs: first all new titles are entered, then the old ones are passed by, then the pairs
    asked for.
    """

    def __init__(self) -> None:
        self._new: list[tuple[Said, list[str]]] = []
        self._by_key: dict[str, list[Said]] = defaultdict(list)

    def enter(self, title: Title) -> None:
        """A title of the new list."""
        one, keys = said(title.id, title.artist, title.title, title.catalogue)
        self._new.append((one, keys))
        for key in keys:
            self._by_key[key].append(one)

    def pass_by(self, titles: Iterable[Title]) -> Iterator[None]:
        """Titles known already; those that share no key with a new one are forgotten at once."""
        wanted = self._by_key
        for title in titles:
            one, keys = said(title.id, title.artist, title.title, title.catalogue)
            for key in keys:
                if key in wanted and len(wanted[key]) < CROWD:
                    wanted[key].insert(0, one)
            yield

    def pairs(self) -> Iterator[Pair | None]:
        """The best pair of each new title, or None, in the order they were entered."""
        later = {one.id for one, _ in self._new}
        for one, keys in self._new:
            later.discard(one.id)
            yield self._best(one, keys, later)

    def _best(self, one: Said, keys: list[str], later: set[str]) -> Pair | None:
        best: Pair | None = None
        for key in keys:
            for other in self._by_key[key][:CROWD]:
                if other.id == one.id or other.id in later:
                    continue
                pair = _compare(one, other, same_number=key[0] == "n")
                if pair is not None and (best is None or pair.alike > best.alike):
                    best = pair
        return best


def _compare(one: Said, other: Said, same_number: bool) -> Pair | None:
    alike = fuzz.ratio(one.words, other.words)
    if same_number:
        return Pair(one.id, other.id, alike, "same catalogue number")
    if alike < ALIKE or one.counted != other.counted:
        return None
    if one.number and other.number and one.number != other.number:
        return Pair(
            one.id,
            other.id,
            alike,
            "same title, other catalogue number" if alike == 100 else "nearly the same",
        )
    return Pair(one.id, other.id, alike, "nearly the same title")
