"""What the cells of a list say, as dealers write it: dates, countries, channels, sizes, counts, barcodes.

Each gives the value and, where something is left out, a sentence about it.
"""

import re
import tomllib
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType

from benchtui.model.when import read_time
from benchtui.titles.barcode import read_barcode
from benchtui.titles.fold import fold

COUNTRIES = Path(__file__).with_name("countries.toml")
EMPTY = frozenset({
    "null", "nil", "none", "nan", "n/a", "n.a.", "na", "-", "--", "–", "—", "?", "unknown", "unbekannt",
    "onbekend", "inconnu", "desconocido", "sconosciuto", "不明",
})  # fmt: skip
"""How people write that a cell is empty; never so in a title."""
NOTHING_SIGNS = frozenset({"\\n", "(null)", "#n/a", "#nv", "#ref!", "#value!", "#name?"})
"""How programs write it, in a title too."""
_MADE_IN = re.compile(
    r"(?:made|printed|pressed|manufactured|hergestellt|gepresst|gedruckt|fabrique|imprime|gemaakt|hecho|fabricado"
    r"|stampato|fabbricato) (?:in|en) (?:the )?"
)
_OWN_CODE = re.compile(r"aa|q[m-z]|x[a-z]|zz", re.I)
"""Codes that ISO 3166-1 leaves to its users."""
NOTHING: Mapping[str, str] = MappingProxyType({})
_UNDATED = frozenset({"n.d.", "nd", "s.d.", "s.a.", "o.j.", "z.j.", "undated", "0", "00", "0000"})
_SPREAD = re.compile(r"\d(?:[.,]\d+)?[eE]\+\d+")
_KEPT = re.compile(r"""'(.*)|="?([\d -]*)"?|(?<=\d)\.0+(?=$)""")
"""How digits are kept from a spreadsheet, and the zero that one adds."""
_FORMATS = frozenset(
    {"", "lp", "ep", "sp", "mlp", "single", "maxi", "album", "vinyl", "cd", "mc", "cassette"}
)
_TIMES = re.compile(r"(\d{1,2})\s?[x×]\s?", re.I)
_INCHES = re.compile(r"(\d{1,2}(?:[.,]\d)?)\s?(?:\"|''|″|”|in\b|inch|zoll|pouces|pollici|pulgadas)", re.I)
_CM = {"17": 7, "18": 7, "25": 10, "30": 12}
_CENTIMETRES = re.compile(r"(\d\d)\s?cm", re.I)


def is_empty(text: str) -> bool:
    """Whether the cell says that nothing is known."""
    return text.casefold() in EMPTY or is_nothing(text)


def is_nothing(text: str) -> bool:
    """Whether a program wrote the cell as empty."""
    return text.casefold() in NOTHING_SIGNS


def date_of(text: str) -> tuple[str, str]:
    """First issued, as EDTF (``model/when.py``)."""
    if not text or text.casefold().replace(" ", "") in _UNDATED:
        return "", ""
    try:
        return read_time(text), ""
    except ValueError:
        return "", f"first {text[:30]!r} is not a date; write 1967, 1967-05 or [1966..1968]"


@cache
def _countries() -> dict[str, str]:
    with COUNTRIES.open("rb") as file:
        return {
            country_key(name): code for code, names in tomllib.load(file).items() for name in (code, *names)
        }


def country_key(text: str) -> str:
    """A country's name as it is compared: without "made in" and spaces."""
    return _MADE_IN.sub("", fold(text)).replace(" ", "")


def country_of(text: str, said: Mapping[str, str] = NOTHING) -> tuple[str, str]:
    """The ISO 3166 code of a country's name or usual abbreviation, or of what ``said`` (by key) names so."""
    key = country_key(text)
    if not key:
        return "", ""
    code = said.get(key) or _countries().get(key)
    if code:
        return code, ""
    if _OWN_CODE.fullmatch(text):
        return text.upper(), ""
    return "", f"country {text[:30]!r} is not known here; write its ISO 3166 code such as GB"


def barcode_of(text: str) -> tuple[str, str]:
    """The barcode. One that a spreadsheet has shortened has lost its digits and is left out."""
    text = _KEPT.sub(r"\1\2", text)
    if not text:
        return "", ""
    if _SPREAD.fullmatch(text):
        say = f"barcode {text} was shortened by a spreadsheet: make the column text there and enter it again"
        return "", say
    code = read_barcode(text)
    if code is None:
        return "", f"barcode {text[:30]!r} is no barcode: digits, and one in a cell"
    return text, f"{code.say}; kept as it stands" if code.valid is False else ""


def channels_of(text: str) -> tuple[str, str]:
    """mono, stereo or both."""
    low = fold(text)
    found = {word for word in ("mono", "stereo") if word in low.split() or low.startswith(word)}
    if low in ("both", "m s", "mono stereo") or len(found) == 2:
        return "both", ""
    short = {"m": "mono", "s": "stereo", "st": "stereo"}.get(low)
    one = short or next(iter(found), "")
    if one or not low:
        return one, ""
    return "", f"channels {text[:30]!r} is not one of mono, stereo, both"


def size_of(text: str) -> tuple[int | None, str]:
    """The size in inches, also of ``2 x 12"`` or ``30 cm``; a word such as LP says none."""
    bare = _TIMES.sub("", text)
    if fold(bare) in _FORMATS:
        return None, ""
    if found := _INCHES.search(bare):
        return int(float(found[1].replace(",", "."))), ""
    if (found := _CENTIMETRES.search(bare)) and found[1] in _CM:
        return _CM[found[1]], ""
    number, say = count_of("size_in", bare, 40)
    return number, say.replace(repr(bare[:30]), repr(text[:30]))


def discs_in(text: str) -> int | None:
    """How many discs a format such as ``2xLP`` or ``3 x 12"`` says."""
    found = _TIMES.search(text)
    return int(found[1]) if found and int(found[1]) else None


def count_of(name: str, text: str, most: int) -> tuple[int | None, str]:
    """A whole number from 1 on."""
    if not text:
        return None, ""
    whole = re.match(r"\d{1,4}(?!\d)", text)
    if whole and 0 < int(whole.group()) <= most:
        return int(whole.group()), ""
    return None, f"{name} {text[:30]!r} is not a number from 1 to {most}"
