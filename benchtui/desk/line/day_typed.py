"""Days as a dealer types them: ISO, or today, yesterday, and so many days from today."""

from datetime import date, timedelta

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
        return date.fromisoformat(word) if len(word) == 10 else _refuse(text)
    except ValueError:
        return _refuse(text)


def _refuse(text: str) -> date:
    raise ValueError(f"'{text.strip()}' is not a day: {RIGHT}")
