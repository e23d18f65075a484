"""Reads a day written as text, or refuses it."""

import re
from datetime import date, timedelta

from benchtui.base.errors import BenchError

_DAY = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)


def day(text: object, what: str, where: str = "") -> date:
    """A day written YYYY-MM-DD, also as the start of a time stamp. BenchError for anything else."""
    try:
        if not isinstance(text, str) or not _DAY.fullmatch(text[:10]) or text[10:11] not in ("", "T", " "):
            raise ValueError
        return date.fromisoformat(text[:10])
    except ValueError:
        raise BenchError(f"{what} is {text!r}", where, "write a day such as 2026-11-25") from None


def next_day(on: str) -> str:
    """The day after, both written YYYY-MM-DD."""
    return (date.fromisoformat(on) + timedelta(days=1)).isoformat()
