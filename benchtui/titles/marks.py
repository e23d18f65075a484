"""Which letters of a title's texts were matched by what was typed."""

import re

from benchtui.model.title import Title
from benchtui.titles.fold import ARTICLES, KANA, article_length, dots_within, fold_char
from benchtui.titles.hit import Marks
from benchtui.titles.misspelt import slip_cost
from benchtui.titles.query import Query
from benchtui.titles.spelling import word_spellings

_PLAIN = re.compile("(?:[A-Za-z0-9]+(?: [A-Za-z0-9]+)* ?)?")
"""Each letter in one way only: were the blank optional between words, a long name would be tried in 2^n."""
_WORD = re.compile(r"\S+")
FIELDS = ("title", "artist", "company", "first", "country", "catalogue")
Ranges = list[tuple[int, int]]


def mark(title: Title, query: Query, tier: str) -> Marks:
    """Half-open ranges in the title's own texts, by field; no range where nothing plain can be shown."""
    marks: dict[str, Ranges] = {}
    if tier == "number":
        _number(marks, title, query)
    if tier in ("initials", "weak"):
        _initials(marks, title, query)
    if not marks:
        _words(marks, title, query, slips=tier == "slip")
    return {field: tuple(sorted(ranges)) for field, ranges in marks.items() if ranges}


class _Letters:
    """A text's folded letters, each with the place it came from."""

    def __init__(self, text: str) -> None:
        if _PLAIN.fullmatch(text):
            self.text, self.place = text.lower(), list(range(len(text)))
            return
        self.text, self.place = "", []
        dots = dots_within(text)
        for place, char in enumerate(text):
            for low in "" if place in dots else fold_char(char).translate(KANA):
                if low != " " or (self.text and self.text[-1] != " "):
                    self.text += low
                    self.place.append(place)

    def range(self, low: int, high: int) -> tuple[int, int]:
        return self.place[low], self.place[high - 1] + 1

    def begins(self) -> list[int]:
        return [found.start() for found in _WORD.finditer(self.text)]


class _Fields(dict[str, _Letters]):
    """The letters of a title's fields, each read when it is first asked for."""

    def __init__(self, title: Title) -> None:
        self._title = title

    def __missing__(self, field: str) -> _Letters:
        self[field] = _Letters(getattr(self._title, field))
        return self[field]


def _number(marks: dict[str, Ranges], title: Title, query: Query) -> None:
    for field in ("catalogue", "barcode"):
        letters = _Letters(getattr(title, field))
        places = [at for at, char in enumerate(letters.text) if char != " "]
        packed = "".join(letters.text[at] for at in places).replace("o", "0")
        number = next((one for one in query.numbers if one in packed), "")
        if number:
            at = packed.find(number)
            marks[field] = [letters.range(places[at], places[at + len(number) - 1] + 1)]
            return


def _initials(marks: dict[str, Ranges], title: Title, query: Query) -> None:
    texts = {"artist": _Letters(title.artist), "title": _Letters(title.title)}
    begins = {field: letters.begins() for field, letters in texts.items()}
    for way in (["title"], ["artist", "title"]):
        for skip in (_no_word, _leading_article, _any_article):
            places = [(field, at) for field in way for at in begins[field] if not skip(texts[field].text, at)]
            if len(places) >= len(query.joined) and all(
                texts[field].text[at] == char for char, (field, at) in zip(query.joined, places, strict=False)
            ):
                for field, at in places[: len(query.joined)]:
                    marks.setdefault(field, []).append(texts[field].range(at, at + 1))
                return


def _no_word(text: str, at: int) -> bool:
    return False


def _leading_article(text: str, at: int) -> bool:
    return at == 0 and article_length(text) > 0


def _any_article(text: str, at: int) -> bool:
    return text[at:].partition(" ")[0] in ARTICLES


def _words(marks: dict[str, Ranges], title: Title, query: Query, slips: bool) -> None:
    letters = _Fields(title)
    taken: set[tuple[str, int]] = set()
    for word in sorted(query.words, key=len, reverse=True):
        place = _place(letters, word, taken) or (_near_place(letters, word, taken) if slips else None)
        if place is not None:
            field, at, length = place
            taken.add((field, at))
            marks.setdefault(field, []).append(
                letters[field].range(at, min(at + length, len(letters[field].text)))
            )
        elif not slips and (otherwise := _spelt_otherwise(title, word)):
            marks.setdefault(otherwise[0], []).append(otherwise[1])


def _place(letters: _Fields, word: str, taken: set[tuple[str, int]]) -> tuple[str, int, int] | None:
    for field in FIELDS:
        text = letters[field]
        for at in text.begins():
            if (field, at) not in taken and text.text.startswith(word, at):
                return field, at, len(word)
    return None


def _spelt_otherwise(title: Title, word: str) -> tuple[str, tuple[int, int]] | None:
    """The whole word one of whose second spellings begins so."""
    for field in ("title", "artist"):
        before = ""
        for found in _WORD.finditer(getattr(title, field)):
            forms = word_spellings(found.group(), before)
            if any(form.startswith(word) for form in forms[1:]):
                return field, found.span()
            before = forms[0]
    return None


def _near_place(letters: _Fields, word: str, taken: set[tuple[str, int]]) -> tuple[str, int, int] | None:
    best: tuple[float, str, int] | None = None
    for field in FIELDS[:2]:
        text = letters[field]
        for at in text.begins():
            cost = slip_cost(word, text.text[at : at + len(word) + 2], 2)
            if (field, at) not in taken and cost is not None and (best is None or cost < best[0]):
                best = (cost, field, at)
    return None if best is None else (best[1], best[2], len(word))
