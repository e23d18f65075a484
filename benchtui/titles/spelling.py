"""Second spellings of a title, made when it is indexed: all that somebody may type who means it.

They are found beside the plain spelling and rank as it does. A number in words, figures or Roman figures;
the word after an elision (``l'amour``: amour); ae, oe, ue, aa for the letters with points or a ring; kana
without its voicing and long marks; ``Surname, First`` and ``Title, The`` turned round.
"""

import re
import unicodedata
from collections.abc import Iterable
from itertools import product

from benchtui.titles.fold import ARTICLES, fold, look_up
from benchtui.titles.numbers import number_words, spelt_otherwise

MOST = 12
"""Spellings of one title."""
VARIED = 4
"""Words of a text whose spellings are combined; of the others the plain one stands."""
_UMLAUTS = str.maketrans(dict(zip("äöüåøÄÖÜÅØ", ("ae", "oe", "ue", "aa", "oe") * 2, strict=True)))
_UMLAUT = re.compile("[äöüåøÄÖÜÅØ]|[aouAOU][\u0308\u030a]")
_ELISION = re.compile(
    r"(?:l|d|o|qu|j|m|n|s|t|c|un|jusqu|lorsqu|puisqu|quelqu|dell|all|nell|dall|sull|quell|quest|sant|gl)['’‘´`]"
    r"(?=\w)",
    re.IGNORECASE,
)
"""A short word without its vowel before the next: French, Italian, and the Irish O' (from memory)."""
_SPECIAL = re.compile("[^ -~]|[0-9'`]")
_MARKS = re.compile("[\u3099\u309a]")
_LONG = re.compile("ー")
_TURNED = re.compile(r"([^,]+), ([^,]+)")


def with_umlauts(text: str) -> str:
    """The text with ae for ä and so on; itself where it has none."""
    if text.isascii() or not _UMLAUT.search(text):
        return text
    return unicodedata.normalize("NFC", text).translate(_UMLAUTS)


def spellings(artist: str, title: str) -> list[tuple[str, str]]:
    """Folded artist and title in every spelling, the plain one first."""
    artists, titles = _of_name(artist), _of_title(title)
    if len(artists) == len(titles) == 1:
        return [(artists[0], titles[0])]
    pairs = sorted(product(enumerate(artists), enumerate(titles)), key=lambda pair: pair[0][0] + pair[1][0])
    return [(maker, name) for (_, maker), (_, name) in pairs[:MOST]]


def _of_name(text: str) -> list[str]:
    """Of an artist: ``Surname, First`` is also ``First Surname``."""
    found = _TURNED.fullmatch(text)
    return _unique([*_of_words(text), *(_of_words(f"{found[2]} {found[1]}") if found else ())])


def _of_title(text: str) -> list[str]:
    """``Title, The`` is also ``The Title``."""
    head, comma, last = text.rpartition(", ")
    turned = comma and fold(last) in ARTICLES
    return _unique([*_of_words(text), *(_of_words(f"{last} {head}") if turned else ())])


def _of_words(text: str) -> list[str]:
    """All combinations of its words' spellings, those with the fewest changes first."""
    plain = look_up(text)
    if not _SPECIAL.search(text) and number_words().isdisjoint(plain.split()):
        return [plain]
    words, before, varied = [], "", 0
    for word in text.split():
        forms = word_spellings(word, before) if varied < VARIED else [look_up(word)]
        varied += len(forms) > 1
        words.append(forms)
        before = forms[0]
    if not varied:
        return [plain]
    chosen = sorted(product(*map(range, map(len, words))), key=_changes)
    said = ([forms[at] for forms, at in zip(words, which, strict=True)] for which in chosen[:MOST])
    return _unique([plain, *(" ".join(filter(None, one)) for one in said)])


def _changes(which: tuple[int, ...]) -> tuple[int, int]:
    return sum(map(bool, which)), sum(which)


def word_spellings(word: str, before: str) -> list[str]:
    """The spellings of one word as listed, the plain one first; ``before``: the folded word before it."""
    plain = look_up(word)
    forms = [plain]
    if plain and (one := spelt_otherwise(plain, before, word.isupper())):
        return [plain, *one]
    if elided := _ELISION.match(word):
        forms.append(look_up(word[elided.end() :]))
    forms.append(look_up(with_umlauts(word)))
    if not plain.isascii():
        unvoiced, short = _MARKS.sub("", plain), _LONG.sub("", plain)
        forms += [unvoiced, short, _LONG.sub("", unvoiced)]
    return _unique(forms)


def _unique(forms: Iterable[str]) -> list[str]:
    return list(dict.fromkeys(filter(None, forms))) or [""]
