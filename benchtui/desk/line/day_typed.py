"""Days as a dealer types them: ISO or in words, or today, yesterday, and so many days from today."""

import re
from datetime import date, timedelta

from benchtui.model.span import parse_edtf
from benchtui.model.when import read_time

_YEAR = re.compile(r"\b20\d\d\b")
"""A day in words says its year in full: ``1 jan 27`` is a date of records."""
RIGHT = "write it as 2026-11-25, or today, yesterday, +14, -3"


def read_day(text: str, today: date) -> date:
    """The day meant. Raises ValueError saying what would be right; nothing is guessed at."""
    word = text.strip().casefold()
    if word in ("today", "t"):
        return today
    if word == "yesterday":
        return today - timedelta(days=1)
    if word[:1] in ("+", "-") and word[1:].isdigit() and len(word) <= 5:
        return today + timedelta(days=int(word))
    try:
        if len(word) == 10 and word[4] == word[7] == "-":
            return date.fromisoformat(word)
        meant = parse_edtf(read_time(word)) if _YEAR.search(word) else None
    except ValueError:
        return _refuse(text)
    if meant is None or meant.earliest is None or meant.earliest != meant.latest:
        return _refuse(text)
    return meant.earliest


def _refuse(text: str) -> date:
    raise ValueError(f"'{text.strip()}' is not a day: {RIGHT}")
