"""How a number is written in a title: figures, words and Roman figures, each also as an ordinal (English)."""

from collections.abc import Set
from functools import cache

CARDINAL = (
    "nought", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
    "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen",
)  # fmt: skip
ORDINAL = (
    "noughth", "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth",
    "tenth", "eleventh", "twelfth", "thirteenth", "fourteenth", "fifteenth", "sixteenth", "seventeenth",
    "eighteenth", "nineteenth",
)  # fmt: skip
TENS = ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
ROMAN = 30
"""The highest number that is looked for in Roman figures."""
COUNTED = frozenset({
    "part", "pt", "volume", "vol", "no", "number", "book", "act", "chapter", "series", "set", "teil",
    "band", "tome", "partie", "parte", "deel",
})  # fmt: skip
"""Words after which a single i is the figure one and not the English pronoun (from memory)."""


def spelt_otherwise(word: str, before: str, capital: bool) -> list[str]:
    """The other spellings of the number that a folded word is; none where it is no number.

    ``before``: the folded word before it. ``capital``: whether it stands in capitals. Without both a single v
    or x is no number.
    """
    if (word == "i" and before not in COUNTED) or (word in ("v", "x") and not (capital and before)):
        return []
    number, kind = _words().get(word, (0, ""))
    if word.isascii() and word.isdecimal() and word[0] != "0" and len(word) <= 4:
        number, kind = int(word), "figures"
    forms = _forms(number, kind) if number else ()
    return [form for form in forms if form != word]


@cache
def _forms(number: int, kind: str) -> tuple[str, ...]:
    """A cardinal word is not met as an ordinal nor the other way round; figures may be read as either."""
    forms = [str(number), *_roman(number)] if number != 1 or kind in ("figures", "roman") else ["1"]
    if kind != "ordinal" and (cardinal := cardinal_of(number)):
        forms.insert(0, cardinal)
    if kind != "cardinal" and number < 100:
        forms += [ordinal_of(number), f"{number}{_ending(number)}"]
    return tuple(forms)


def cardinal_of(number: int) -> str:
    """In words, up to 99; four figures as a year is said; "" for others."""
    if number < 20:
        return CARDINAL[number]
    if number < 100:
        tens, ones = divmod(number, 10)
        return f"{TENS[tens - 2]} {CARDINAL[ones]}" if ones else TENS[tens - 2]
    hundreds, rest = divmod(number, 100)
    return f"{cardinal_of(hundreds)} {cardinal_of(rest)}" if 11 <= hundreds < 20 and rest > 9 else ""


def ordinal_of(number: int) -> str:
    """In words, up to 99."""
    if number < 20:
        return ORDINAL[number]
    tens, ones = divmod(number, 10)
    return f"{TENS[tens - 2]} {ORDINAL[ones]}" if ones else TENS[tens - 2][:-1] + "ieth"


def _ending(number: int) -> str:
    last = 0 if number // 10 % 10 == 1 else number % 10
    return {1: "st", 2: "nd", 3: "rd"}.get(last, "th")


def _roman(number: int) -> list[str]:
    if number > ROMAN:
        return []
    return ["x" * (number // 10) + ("", "i", "ii", "iii", "iv", "v", "vi", "vii", "viii", "ix")[number % 10]]


@cache
def number_words() -> Set[str]:
    """All words that are numbers, but for figures alone."""
    return _words().keys()


@cache
def _words() -> dict[str, tuple[int, str]]:
    """Every single word that is a number, with its number and kind."""
    words: dict[str, tuple[int, str]] = {}
    for number in range(1, 100):
        words[cardinal_of(number)] = (number, "cardinal")
        words[ordinal_of(number)] = words[f"{number}{_ending(number)}"] = (number, "ordinal")
        words |= dict.fromkeys(_roman(number), (number, "roman"))
    return words
