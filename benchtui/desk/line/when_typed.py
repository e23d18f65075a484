"""A time as a dealer types it: ``1958..1960``, ``about 1967``, ``winter 1967``; how sure, and why."""

import re
from typing import Literal, NamedTuple

from benchtui.model.span import parse_dated
from benchtui.model.when import read_time

RIGHT = "write 1958..1960, 1967, about 1967, winter 1967, by 1963 or from 1971; then firm or soft, then why"
_MOST_WORDS = 6
_ONWARDS = ("on", "-", "–", "+")

_GOES_ON = ("but", "and", "or", "not", "no", "never", "to", "until", "till", "before", "after", "except")
"""Behind a date, with a year: the time goes on."""
_YEAR = re.compile(r"(?<!\d)(?:18|19|20)\d[\dxX](?!\d)|^\w+ ['’]?[2-9]\d(?!\w)")


class When(NamedTuple):
    """The time in EDTF, how sure it is said to be, and why."""

    edtf: str
    sure: Literal["firm", "soft"]
    why: str


def read_when(text: str) -> When:
    """The time meant: the longest beginning that is a date. Raises ValueError saying what would be right."""
    words = text.replace(";", " ").replace(":", " ").split()
    for count in range(min(_MOST_WORDS, len(words)), 0, -1):
        rest = words[count:]
        if rest and words[count - 1].casefold() in _ONWARDS and rest[0].casefold() not in ("firm", "soft"):
            continue  # 1967 on the back
        try:
            edtf = read_time(" ".join(words[:count]).rstrip(","))
        except ValueError:
            continue
        if rest and rest[0].casefold() in _GOES_ON and _YEAR.search(" ".join(rest[:4])):
            raise ValueError(f"'{text.strip()}' would be read by half: write 1961..1964, or one of the two")
        dated = parse_dated(edtf)
        said = (
            rest.pop(0).casefold().rstrip(",")
            if rest and rest[0].casefold().rstrip(",") in ("firm", "soft")
            else ""
        )
        sure: Literal["firm", "soft"] = "soft" if said == "soft" or (dated.soft and not said) else "firm"
        return When(edtf, sure, " ".join(rest))
    raise ValueError(f"'{text.strip()}' does not begin with a date: {RIGHT}")
