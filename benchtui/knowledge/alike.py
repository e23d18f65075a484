"""Whether two names mean the same: answers, clues and titles, by id, by words, and with slips of the pen."""

from collections.abc import Iterable, Sequence
from typing import Literal, NamedTuple

from benchtui.books.shape import Answer, BookTitle, Clue
from benchtui.knowledge.brackets import range_of
from benchtui.knowledge.cells import NOT_THERE
from benchtui.knowledge.folded import fold
from benchtui.model.span import UNKNOWN, Span
from benchtui.titles.fold import ARTICLES, digits_of, number_form, without_zeros

SLIP = 84.0
"""Percent of likeness from which a word is another with a slip of the pen: one letter in six or so."""
CLEAR = 8.0
"""Percent by which the best must be ahead of the second."""
CALLED = 99.0
"""How well words fit that the question was asked in before: less well than those of a question there is."""
LIKE = 86.0
"""Percent from which artist and title are alike, with their words in any order."""
How = Literal["", "same", "short", "slip", "bracket", "absent"]


class Placed(NamedTuple):
    """The answer that a text means, and how it was found; without one, the ``near`` that it may mean."""

    answer: Answer | None
    how: How = ""
    near: tuple[str, ...] = ()


def place_answer(text: str, clue: Clue) -> Placed:
    """The answer of the clue that a text means."""
    plain = fold(text)
    exact = [one for one in clue.answers if plain in (fold(one.id), fold(one.text))]
    exact = exact or [one for one in clue.answers if plain in map(fold, one.slips)]
    if len(exact) > 1:
        exact = [one for one in exact if plain == fold(one.id)] or exact[:1]
    if exact:
        return Placed(exact[0], "same")
    if clue.form == "number" and (found := _bracket(text, clue)) is not None:
        return Placed(found, "bracket")
    absent = [one for one in clue.answers if one.absent]
    if plain in NOT_THERE and len(absent) == 1:
        return Placed(absent[0], "absent")
    return _near_answer(plain, clue.answers)


def _near_answer(plain: str, answers: Sequence[Answer]) -> Placed:
    words = set(plain.split())
    within = [one for one in answers if words and words <= set(fold(one.text).split())]
    if len(within) == 1:
        return Placed(within[0], "short")
    ranked = sorted(((_likeness(plain, one), one) for one in answers), key=lambda pair: -pair[0])
    near = tuple(one.text for score, one in ranked[:3] if score > 60) or tuple(one.text for one in within[:3])
    if not ranked or len(plain) < 4 or ranked[0][0] < SLIP:
        return Placed(None, near=near)
    second = ranked[1][0] if len(ranked) > 1 else 0.0
    clear = ranked[0][0] - second >= CLEAR
    return Placed(ranked[0][1], "slip") if clear else Placed(None, near=near)


def _likeness(plain: str, answer: Answer) -> float:
    from rapidfuzz import fuzz

    text = fold(answer.text)
    whole = max(fuzz.ratio(plain, text), fuzz.ratio(plain, fold(answer.id)))
    size = len(plain.split())
    some = text.split()
    parts = [" ".join(some[at : at + size]) for at in range(len(some) - size + 1)]
    if is_slip(plain, text):
        return max(whole, 99.0)
    return max([whole, *(fuzz.ratio(plain, part) - 2 for part in parts)])


def is_slip(typed: str, meant: str) -> bool:
    """Whether one slip of the fingers (two in a long word) makes one of the other, and no digit differs."""
    from rapidfuzz.distance import OSA

    if digits_of(typed) != digits_of(meant) or min(len(typed), len(meant)) < 4:
        return False
    most = 1 if len(meant) < 9 else 2
    return OSA.distance(typed, meant, score_cutoff=most) <= most


def _bracket(text: str, clue: Clue) -> Answer | None:
    """The bracket that a number, or the middle of a range, with or without its unit falls into."""
    told = range_of(text)
    if told is None or told[2] not in ("", clue.unit.lower()):
        return None
    number = (told[0] + told[1]) / 2
    for answer in clue.answers:
        low = answer.low if answer.low is not None else float("-inf")
        high = answer.high if answer.high is not None else float("inf")
        if (answer.low, answer.high) != (None, None) and low <= number <= high:
            return answer
    return None


def brackets_over(text: str, clue: Clue) -> tuple[Answer, ...]:
    """The brackets that a range of figures reaches over, where it is more than one."""
    told = range_of(text) if clue.form == "number" else None
    if told is None or told[0] == told[1] or told[2] not in ("", clue.unit.lower()):
        return ()
    over = [
        one
        for one in clue.answers
        if one.low is not None and one.high is not None and one.low <= told[1] and told[0] <= one.high
    ]
    return tuple(over) if len(over) > 1 else ()


# -- clues ------------------------------------------------------------------------------------------------


def is_named(name: str, clue: Clue) -> bool:
    """Whether a column's name is the clue's id, or its question with the id in brackets, as it is written."""
    return fold(name) in (fold(clue.id), fold(f"{clue.ask} ({clue.id})"))


def clue_likeness(name: str, clue: Clue, group: str = "") -> float:
    """How well a column's name fits a clue, in percent: its id, its question, its question with its part."""
    from rapidfuzz import fuzz

    asked = fold(clue.ask)
    theirs = [asked, f"{clue.part} {asked}", f"{clue.place} {asked}"]
    mine = [fold(name)] + ([fold(f"{group} {name}")] if group else [])
    if any(one in (fold(clue.id), asked) for one in mine):
        return 100.0
    if any(one in map(fold, clue.slips) for one in mine):
        return CALLED
    return max(fuzz.token_sort_ratio(one, other) for one in mine for other in theirs)


def share_placed(texts: Iterable[str], clue: Clue) -> float:
    """The share of these texts that are answers of the clue."""
    found = [place_answer(text, clue).answer is not None for text in texts]
    return sum(found) / len(found) if found else 0.0


# -- titles -----------------------------------------------------------------------------------------------


class Card(NamedTuple):
    """What tells a title: of a table's rows, of a book."""

    id: str
    artist: str
    title: str
    numbers: tuple[str, ...] = ()
    company: str = ""
    country: str = ""
    first: Span = UNKNOWN
    size_in: int | None = None
    channels: str = ""
    book: str = ""

    @property
    def name(self) -> str:
        """As it is shown."""
        return " - ".join(part for part in (self.artist, self.title, *self.numbers[:1]) if part)


def card_of(title: BookTitle) -> Card:
    """The card of a book's title."""
    return Card(
        title.id, title.artist, title.title, title.catalogues, title.company, title.country, title.first,
        title.size_in, title.channels, title.book,
    )  # fmt: skip


def names_alike(one: Card, other: Card) -> float:
    """How alike artist and title are, in percent, articles and the words' order aside."""
    from rapidfuzz import fuzz

    mine, theirs = _words(one), _words(other)
    if mine == theirs:
        return 100.0
    return min(fuzz.token_sort_ratio(mine[0], theirs[0]), fuzz.token_sort_ratio(mine[1], theirs[1]))


def _words(card: Card) -> tuple[str, str]:
    def bare(text: str) -> str:
        return " ".join(word for word in fold(text).split() if word not in ARTICLES) or fold(text)

    return bare(card.artist), bare(card.title)


def same_title(one: Card, other: Card) -> Literal["same", "doubtful", ""]:
    """Whether two cards are one title: same number with like artist and title, or same artist, title,
    company and first year. Another company, country or size is another title. Anything else is asked.
    """
    alike = names_alike(one, other)
    numbers = {_number(number) for number in one.numbers} & {_number(number) for number in other.numbers}
    if _differ(one, other):
        return ""
    if numbers:
        return "same" if alike >= LIKE else "doubtful"
    if alike == 100.0 and _same_facts(one, other):
        return "same"
    return "doubtful" if alike >= 92.0 else ""


def _number(text: str) -> str:
    """A number as it is compared: ``MS-0105`` is ``MS 105``."""
    return without_zeros(number_form(text))


def _differ(one: Card, other: Card) -> bool:
    facts = (
        (fold(one.company), fold(other.company)),
        (one.country, other.country),
        (one.size_in, other.size_in),
    )
    return any(mine and theirs and mine != theirs for mine, theirs in facts)


def _same_facts(one: Card, other: Card) -> bool:
    years = [card.first.earliest.year if card.first.earliest else None for card in (one, other)]
    return (
        bool(one.company)
        and fold(one.company) == fold(other.company)
        and None not in years
        and years[0] == years[1]
    )


class Shelf:
    """Cards looked up by number and by artist and title, so that not every pair is compared."""

    def __init__(self, cards: Iterable[Card]) -> None:
        self._under: dict[str, list[Card]] = {}
        for card in cards:
            for key in _keys(card):
                self._under.setdefault(key, []).append(card)

    def find(self, card: Card) -> tuple[list[Card], list[Card]]:
        """Those that are the same title, and those that may be."""
        near = {other.id: other for key in _keys(card) for other in self._under.get(key, [])}
        found = [(same_title(card, other), other) for other in near.values()]
        same = [other for how, other in found if how == "same"]
        return same, [other for how, other in found if how == "doubtful"]


def _keys(card: Card) -> set[str]:
    artist, title = _words(card)
    last = artist.split()[-1:] or [""]
    keys = {f"n{_number(number)}" for number in card.numbers if _number(number)}
    return keys | {f"s{title[:4]} {last[0][:3]}", f"e{title[-4:]} {last[0][:3]}"}
