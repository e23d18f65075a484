"""A time as a dealer types it: ``1958..1960``, ``about 1967``, ``winter 1967``; how sure, and why."""

import re
from typing import Literal, NamedTuple

from benchtui.model.span import about_as_edtf, parse_dated

RIGHT = "write 1958..1960, 1967, about 1967, winter 1967, by 1963 or from 1971; then firm or soft, then why"
_SEASONS = {"spring": 21, "summer": 22, "autumn": 23, "fall": 23, "winter": 24}
_SEASON = re.compile(rf"({'|'.join(_SEASONS)})\s+(\d{{4}})", re.IGNORECASE)
_RANGE = re.compile(r"(\S*?)\s*(?:\.\.|\s-\s|\bto\b|(?<=\d{4})-(?=\d{4}\b))\s*(\S*)")
_OPEN = re.compile(r"(by|until|from|since)\s+(\S+)", re.IGNORECASE)
_MOST_WORDS = 4


class When(NamedTuple):
    """The time in EDTF, how sure it is said to be, and why."""

    edtf: str
    sure: Literal["firm", "soft"]
    why: str


def read_when(text: str) -> When:
    """The time meant: the longest beginning that is a date. Raises ValueError saying what would be right."""
    words = text.replace(";", " ").replace(":", " ").split()
    for count in range(min(_MOST_WORDS, len(words)), 0, -1):
        edtf = as_edtf(" ".join(words[:count]).rstrip(","))
        try:
            dated = parse_dated(edtf)
        except ValueError:
            continue
        rest = words[count:]
        said = (
            rest.pop(0).casefold().rstrip(",")
            if rest and rest[0].casefold().rstrip(",") in ("firm", "soft")
            else ""
        )
        sure: Literal["firm", "soft"] = "soft" if said == "soft" or (dated.soft and not said) else "firm"
        return When(edtf, sure, " ".join(rest))
    raise ValueError(f"'{text.strip()}' does not begin with a date: {RIGHT}")


def as_edtf(text: str) -> str:
    """What was typed as EDTF has it, where it is one of the usual ways to say it."""
    if found := _SEASON.fullmatch(text):
        return f"{found[2]}-{_SEASONS[found[1].casefold()]}"
    if found := _OPEN.fullmatch(text):
        early = found[1].casefold() in ("from", "since")
        return f"[{found[2]}..]" if early else f"[..{found[2]}]"
    if not text.startswith("[") and (found := _RANGE.fullmatch(text)):
        return f"[{found[1]}..{found[2]}]"
    return about_as_edtf(text)
