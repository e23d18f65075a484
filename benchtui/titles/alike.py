"""Near-duplicates: titles of a new list that are probably in the lists already, or twice in the new one.

Only titles that share a key are compared, each pair by RapidFuzz on the whole text with its words in order
of the alphabet; so the work grows with the list and not with its square.
"""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from benchtui.model.title import Title
from benchtui.titles.fold import ARTICLES, fold, number_key
from benchtui.titles.piece import PART

ALIKE = 92.0
"""Percent of likeness from which two titles are held to be doubtful (one letter in twelve)."""
PARTS = 256
"""Dictionaries the keys are spread over."""
CROWD = 40
"""Titles of one key that are compared with each new one."""
_COUNTED = frozenset({
    "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
    "i", "ii", "iii", "iv", "v", "vi", "vii", "viii", "ix", "x", "xi", "xii",
})  # fmt: skip


class Said(NamedTuple):
    """What of a title is compared: ``words`` sorted, ``counted`` the words that number a series,
    ``spelt`` artist and title as they stand.
    """

    words: str
    counted: str
    number: str
    spelt: str
    company: str
    country: str
    size: str


class Pair(NamedTuple):
    """``new`` is like ``old`` by so many percent; ``why`` in words."""

    new: str
    old: str
    alike: float
    why: str


def said(title: Title) -> tuple[Said, list[str]]:
    """The title as it is compared, and the keys it is looked up by."""
    artist, name = fold(title.artist), fold(title.title)
    words = sorted(word for word in f"{artist} {name}".split() if word not in ARTICLES)
    counted = " ".join(word for word in words if word.isdigit() or word in _COUNTED)
    maker = next((word for word in reversed(artist.split()) if word not in ARTICLES), "")
    joined = "".join(word for word in name.split() if word not in ARTICLES)
    number = number_key(title.catalogue)
    keys = ["w" + " ".join(words), f"s{joined[:5]} {maker[:3]}", f"e{joined[-5:]} {maker[:3]}"]
    if sum(char.isdigit() for char in number) > 2:
        keys.append("n" + number)
    facts = (f"{artist}/{name}", fold(title.company), title.country, str(title.size_in or ""))
    return Said(" ".join(words), counted, number, *facts), keys


class _Shelf:
    """Titles by key. Texts and numbers only: a million small objects would keep Python's collector at
    work, and the screen with it, for half a second at a time.
    """

    def __init__(self) -> None:
        self.ids: list[str] = []
        self._said: list[str] = []
        self._keys: list[str] = []
        # Many small dictionaries, since one of millions of keys takes half a second whenever it grows.
        self._by_key: list[dict[str, int | list[int]]] = [{} for _ in range(PARTS)]

    def put(self, title_id: str, one: Said, keys: list[str]) -> None:
        no = len(self.ids)
        self.ids.append(title_id)
        self._said.append(PART.join(one))
        self._keys.append(PART.join(keys))
        for key in keys:
            part = self._by_key[hash(key) % PARTS]
            there = part.setdefault(key, no)
            if isinstance(there, list):
                there.append(no)
            elif there != no:
                part[key] = [there, no]

    def said(self, no: int) -> Said:
        return Said(*self._said[no].split(PART))

    def keys(self, no: int) -> list[str]:
        return self._keys[no].split(PART)

    def under(self, key: str) -> list[int]:
        there = self._by_key[hash(key) % PARTS].get(key, [])
        return there if isinstance(there, list) else [there]

    def __contains__(self, key: str) -> bool:
        return key in self._by_key[hash(key) % PARTS]


class Likeness:
    """Finds the pairs: first all new titles are entered, then the old ones passed by, then the pairs asked
    for.
    """

    def __init__(self) -> None:
        self._new, self._old = _Shelf(), _Shelf()

    def enter(self, title: Title) -> None:
        """A title of the new list."""
        self._new.put(title.id, *said(title))

    def pass_by(self, titles: Iterable[Title]) -> Iterator[None]:
        """Titles known already; those that share no key with a new one are forgotten at once."""
        for title in titles:
            one, keys = said(title)
            shared = [key for key in keys if key in self._new]
            if shared:
                self._old.put(title.id, one, shared)
            yield

    def pairs(self) -> Iterator[Pair | None]:
        """The best pair of each new title, or None, in the order they were entered; with old ones, or new
        ones entered before it.
        """
        return (self._best(no) for no in range(len(self._new.ids)))

    def _best(self, no: int) -> Pair | None:
        best: Pair | None = None
        one = self._new.said(no)
        for key in self._new.keys(no):
            for shelf, other in self._others(no, key):
                alike, why = _compare(one, shelf.said(other), key[0] == "n", shelf is self._new)
                if why and (best is None or alike > best.alike):
                    best = Pair(self._new.ids[no], shelf.ids[other], alike, why)
        return best

    def _others(self, no: int, key: str) -> Iterator[tuple[_Shelf, int]]:
        for other in self._old.under(key)[:CROWD]:
            yield self._old, other
        for other in self._new.under(key)[:CROWD]:
            if other >= no:
                return
            yield self._new, other


def _compare(one: Said, other: Said, same_number: bool, one_list: bool) -> tuple[float, str]:
    """How alike they are in percent, and why that is doubtful ("" where it is not).

    Two of the same words and number are two titles where they are of one list, or where company, country or
    size differ; else only the year or the channels do.
    """
    from rapidfuzz import fuzz

    alike = fuzz.ratio(one.words, other.words)
    if one.spelt == other.spelt and one.number == other.number:
        facts = zip(one[4:], other[4:], strict=True)
        differ = any(mine and theirs and mine != theirs for mine, theirs in facts)
        return alike, "" if one_list or differ else "same title and number, another year or channels"
    if same_number:
        return alike, "same catalogue number"
    if alike < ALIKE or one.counted != other.counted:
        return alike, ""
    numbers = one.number and other.number and one.number != other.number
    if numbers and alike == 100:
        return alike, "same title, other catalogue number"
    return alike, "nearly the same" if numbers else "nearly the same title"
