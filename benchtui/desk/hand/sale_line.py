"""Reading one line about a sale seen: ``30 2026-10-02 VG+/VG fair at the docks``."""

from datetime import date
from typing import Any

from benchtui.desk.line.day_typed import read_day
from benchtui.model.grade import Scale
from benchtui.model.money import parse_money

RIGHT = "write price, date, disc grade / cover grade, where: 30 2026-10-02 VG+/VG fair"


def read_sale(text: str, scale: Scale, currency: str, today: date) -> dict[str, Any]:
    """The sale as the shop keeps it. Raises ValueError saying what would be right.

    Price first; then in any order a date (ISO, or today and yesterday), one or two grades of the
    scale with a slash between, and free words for where it was seen.
    """
    words = text.split()
    if not words:
        raise ValueError(RIGHT)
    amount, rest = words[0], words[1:]
    if rest and len(rest[0]) == 3 and rest[0].isalpha() and rest[0].isupper():
        amount, rest = f"{amount} {rest[0]}", rest[1:]
    price = parse_money(amount, currency)
    if price.minor <= 0:
        raise ValueError(f"a sale must be more than 0; {RIGHT}")
    day, grades, where = today, ("", ""), []
    for word in rest:
        try:
            day = read_day(word, today)
            continue
        except ValueError:
            pass
        pair = _grades(word, scale)
        if pair is not None:
            grades = pair
        else:
            where.append(word)
    if day > today:
        raise ValueError(f"{day.isoformat()} has not come yet: a sale seen must be in the past")
    return {
        "date": day.isoformat(),
        "minor": price.minor,
        "currency": price.currency,
        "scale": scale.id,
        "disc": grades[0],
        "cover": grades[1],
        "where": " ".join(where),
    }


def _grades(word: str, scale: Scale) -> tuple[str, str] | None:
    names = {grade.id.casefold(): grade.id for grade in scale.grades}
    pieces = word.casefold().split("/")
    if len(pieces) > 2 or any(piece not in names for piece in pieces):
        return None
    return names[pieces[0]], names[pieces[-1]]
