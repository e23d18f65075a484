"""Plain lines as lists are mailed: ``Artist - Title (Number) Year``, number and year where there are any."""

import re
from collections.abc import Sequence

HEADER = ("artist", "title", "catalogue", "first")
_DASH = re.compile(r"\s+[-–—]\s+")
_BULLET = re.compile(r"^\s*(?:\d{1,4}[.)]|[-–*•])\s+")
_FORMAT = re.compile(r"^(?:\d{1,2}\s?[x×]\s+)?(?:(?:LP|EP|Single|Maxi|MC|\d{1,2}\")\s?:\s+)?", re.I)
_PRICE = re.compile(
    r"[\s,;:–-]*(?:(?:[€$£¥]|EUR|GBP|USD|DM)\s?\d[\d.,]*-?|\d[\d.,]*-?\s?(?:[€$£¥]|EUR\b|GBP\b|USD\b|DM\b|Euro\b))\s*$"
)
_GRADES = re.compile(r"\s+(?:M|NM|EX|VG|G|F|P)[+-]{0,2}(?:\s?/\s?(?:M|NM|EX|VG|G|F|P)[+-]{0,2})?$")
_YEAR = re.compile(r"[\s,(\[-]*(\b(?:c(?:irca|a)?\.?\s?)?(?:18|19|20)\d\d|(?<!\w)['’][2-9]\d)[)\].]*\s*$")
_NUMBER = re.compile(r"[\s,]*[(\[]\s*([^()\[\]]*\d[^()\[\]]*)[)\]]\s*$")
_BARE = re.compile(r"[\s,;]+([A-Z]{1,6}(?:[ -]?\d+)+[A-Z]?)$")


def is_plain(lines: Sequence[str]) -> bool:
    """Whether a third of the lines, and two at least, have a dash between two words; a letter has others
    around its list.
    """
    dashed = sum(bool(_DASH.search(_BULLET.sub("", line))) for line in lines)
    return dashed * 3 >= len(lines) and dashed >= min(2, len(lines))


def cells_of_line(text: str) -> list[str] | None:
    """Artist, title, number and year of a line; None where no dash parts artist and title, and no colon where
    there is a number behind.
    """
    bare = _without_offer(_FORMAT.sub("", _BULLET.sub("", text.strip()), count=1))
    parts = _DASH.split(bare, maxsplit=1)
    if len(parts) < 2 and (_NUMBER.search(bare) or _BARE.search(bare)):
        parts = re.split(r":\s+", bare, maxsplit=1)
    if len(parts) < 2 or not parts[0].strip() or not parts[1].strip():
        return None
    artist, rest = parts[0].strip(), parts[1].strip()
    rest, number = _taken(_NUMBER, rest)
    if _YEAR.fullmatch(number):
        rest, number = f"{rest} {number}", ""
    rest, year = _taken(_YEAR, rest)
    if not number:
        rest, number = _taken(_NUMBER, rest)
    inside, within = _taken(_YEAR, number)
    if within and not year:  # (TW 41, D 1967)
        number, year = next((one for one in inside.split(",") if any(map(str.isdigit, one))), inside), within
        number = number.strip()
    if not number:
        rest, number = _taken(_BARE, rest)
    if not year:
        rest, year = _taken(_YEAR, rest)
    if not number and len(apart := _DASH.split(rest)) > 1 and any(char.isdigit() for char in apart[-1]):
        rest, number = " - ".join(apart[:-1]), apart[-1]
    return [artist, rest.strip(" ,;-"), number, year]


def _without_offer(text: str) -> str:
    """Without the price at the line's end and the grades before it."""
    cut = _PRICE.sub("", text)
    graded = _GRADES.search(cut)
    if graded and (cut != text or "/" in graded[0] or cut[: graded.start()].endswith((")", "]"))):
        cut = cut[: graded.start()]
    return cut.rstrip(" ,;:") if cut.strip() else text


def _taken(pattern: re.Pattern[str], text: str) -> tuple[str, str]:
    """The text without what the pattern finds at its end, and that; nothing where nothing would be left."""
    found = pattern.search(text)
    if found is None or not text[: found.start()].strip():
        return text, ""
    return text[: found.start()], found[1].strip()
