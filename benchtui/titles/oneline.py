"""Plain lines as lists are mailed: ``Artist - Title (Number) Year``, number and year where there are any."""

import re
from collections.abc import Sequence

HEADER = ("artist", "title", "catalogue", "first")
_DASH = re.compile(r"\s+[-–—]\s+")
_BULLET = re.compile(r"^\s*(?:\d{1,4}[.)]|[-*•])\s+")
_YEAR = re.compile(r"[\s,(\[-]*\b((?:18|19|20)\d\d)[)\].]*\s*$")
_NUMBER = re.compile(r"[\s,]*[(\[]\s*([^()\[\]]*\d[^()\[\]]*)[)\]]\s*$")
_BARE = re.compile(r"[\s,;]+([A-Z]{1,6}[ -]?\d[\dA-Z -]*)$")


def is_plain(lines: Sequence[str]) -> bool:
    """Whether most lines have a dash between two words."""
    return sum(bool(_DASH.search(line)) for line in lines) * 10 >= len(lines) * 6


def cells_of_line(text: str) -> list[str] | None:
    """Artist, title, number and year of a line; None where no dash parts artist and title."""
    parts = _DASH.split(_BULLET.sub("", text.strip()), maxsplit=1)
    if len(parts) < 2 or not parts[0].strip() or not parts[1].strip():
        return None
    artist, rest = parts[0].strip(), parts[1].strip()
    rest, year = _taken(_YEAR, rest)
    rest, number = _taken(_NUMBER, rest)
    if not number:
        rest, number = _taken(_BARE, rest)
    if not number and len(apart := _DASH.split(rest)) > 1 and any(char.isdigit() for char in apart[-1]):
        rest, number = " - ".join(apart[:-1]), apart[-1]
    return [artist, rest.strip(" ,;-"), number, year]


def _taken(pattern: re.Pattern[str], text: str) -> tuple[str, str]:
    """The text without what the pattern finds at its end, and that; nothing where nothing would be left."""
    found = pattern.search(text)
    if found is None or not text[: found.start()].strip():
        return text, ""
    return text[: found.start()], found[1].strip()
