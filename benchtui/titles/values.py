"""What the cells of a list say, as dealers write it: dates, countries, channels, sizes, counts, barcodes.

Each gives the value and, where something is left out, a sentence about it.
"""

import re
import tomllib
import unicodedata
from collections.abc import Mapping
from functools import cache, lru_cache
from pathlib import Path
from types import MappingProxyType

from benchtui.model.span import parse_edtf
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
_WHOLE = re.compile(r"((?:18|19|20)\d\d)\.0+")
_YEAR = r"((?:18|19|20)\d\d)"
_ABOUT = re.compile(rf"(?:c|ca|circa|about|um|vers|~)\.?\s*{_YEAR}|{_YEAR}\s?([~?])", re.I)
_RANGE = re.compile(r"((?:18|19|20)\d\d)\s?[-–/]\s?((?:18|19|20)\d\d)")
_SHORT_RANGE = re.compile(r"((?:18|19|20)\d)(\d)\s?[-–/]\s?(\d\d)")
_DECADE = re.compile(
    r"((?:18|19|20)\d)(?:0'?s|[xX_?-])|(?:['’]?|anni |años |années |jaren )([2-9])0(?:['’]?s|er|年代)?"
)
_DAY = re.compile(r"(\d{1,2})([./-])(\d{1,2})\2((?:(?:18|19|20)|(?=[2-9]))\d\d)")
_DAY_LAST = re.compile(r"((?:18|19|20)\d\d)([./-]?)(\d\d)\2(\d\d)(?:[T ]\d\d:\d\d.*)?")
_AROUND = re.compile(r"[\[(©℗Pp]\s?((?:18|19|20)\d\d)[\])]?|((?:18|19|20)\d\d)[.,*]")
_UNSURE = re.compile(r"((?:18|19|20)\d\d)\s?\(\?\)")
_EITHER = re.compile(r"((?:18|19|20)\d\d)\s?(?:or|oder|ou|of|o)\s((?:18|19|20)\d\d)")
_BOUND = re.compile(
    r"(?:(before|vor|avant|voor|antes de|prima del)|(?:after|nach|après|na|después de|dopo il))"
    r"\s((?:18|19|20)\d\d)",
    re.I,
)
_TWO_FIGURES = re.compile(r"['’]?([2-9]\d)")
_MONTH = re.compile(r"(\d{1,2})[./-]((?:18|19|20)\d\d)|((?:18|19|20)\d\d)[./](\d\d)")
_MONTH_NAME = re.compile(
    r"(?:(\d{1,2})(?:[.]?\s+(?:de\s+)?|-))?([^\W\d]+)(?:[.,]?\s+(?:de\s+)?|-)((?:18|19|20)?\d\d)"
)
_JAPANESE = re.compile(r"(大正|昭和|平成)?(\d{1,4}|元)年(?:(\d{1,2})月)?(?:(\d{1,2})日)?")
_ERAS = {"大正": 1911, "昭和": 1925, "平成": 1988}
"""The year before an era's first."""
_MONTHS = (
    "jan gen ene", "feb fev", "mar mrt maa", "apr avr abr", "may mai mei mag", "jun juin giu", "jul juil lug",
    "aug aou ago", "sep set", "oct okt out ott", "nov", "dec dez dic",
)  # fmt: skip
"""How the months' names begin in English, German, French, Dutch, Spanish and Italian."""
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
    """First issued, as EDTF: ``1967.0``, ``c1967``, ``1967?``, ``1967-1969``, ``01/05/1967`` keep what they
    say. A day and month that may stand in either order leave both open.
    """
    if about := _ABOUT.fullmatch(text):
        return (f"{about[1]}~" if about[1] else f"{about[2]}{about[3]}"), ""
    if not text or _is_date(text):
        return text, ""
    if text.casefold().replace(" ", "") in _UNDATED:
        return "", ""
    found = _written(text)
    if found and _is_date(found):
        return found, ""
    return "", f"first {text[:30]!r} is not a date; write 1967, 1967-05 or [1966..1968]"


def _written(text: str) -> str:
    if found := _WHOLE.fullmatch(text):
        return found[1]
    if found := _RANGE.fullmatch(text):
        return f"[{found[1]}..{found[2]}]"
    if (found := _SHORT_RANGE.fullmatch(text)) and int(found[3]) > int(found[1][2:] + found[2]):
        return f"[{found[1]}{found[2]}..{found[1][:2]}{found[3]}]"
    if found := _AROUND.fullmatch(text):
        return found[1] or found[2]
    if found := _UNSURE.fullmatch(text):
        return f"{found[1]}?"
    if found := _EITHER.fullmatch(text):
        return f"[{found[1]},{found[2]}]"
    if found := _BOUND.fullmatch(text):
        return f"[..{int(found[2]) - 1}]" if found[1] else f"[{int(found[2]) + 1}..]"
    if (found := _DECADE.fullmatch(text)) and not text.isdigit():
        decade = found[1] or f"19{found[2]}"
        return f"[{decade}0..{decade}9]"
    if found := _TWO_FIGURES.fullmatch(text):
        return f"19{found[1]}"  # as dealers write a year; of the figures below 20 either century may be meant
    if found := _MONTH.fullmatch(text):
        return f"{found[2] or found[3]}-{int(found[1] or found[4]):02}"
    return _named_month(text) or _japanese(text) or _day(text)


def _named_month(text: str) -> str:
    """``May 1967``, ``5. Mai 1967``."""
    found = _MONTH_NAME.fullmatch(text)
    if found is None:
        return ""
    name, day = fold(found[2]), f"-{int(found[1]):02}" if found[1] else ""
    fitting = [
        (len(begin), no)
        for no, begins in enumerate(_MONTHS, 1)
        for begin in begins.split()
        if name.startswith(begin)
    ]
    return f"{_whole(found[3])}-{max(fitting)[1]:02}{day}" if fitting else ""


def _whole(year: str) -> str:
    """The year of four figures, of which two may stand for one of the last century."""
    return year if len(year) == 4 else f"19{year}"


def _japanese(text: str) -> str:
    """``1981年5月``, and years of an era: ``昭和56年`` is 1981."""
    found = _JAPANESE.fullmatch(unicodedata.normalize("NFKC", text))
    if found is None or (found[1] is None and len(found[2]) != 4):
        return ""
    year = _ERAS.get(found[1] or "", 0) + (1 if found[2] == "元" else int(found[2]))
    return "-".join([str(year), *(f"{int(part):02}" for part in found.groups()[2:] if part)])


def _day(text: str) -> str:
    if found := _DAY_LAST.fullmatch(text):
        return f"{found[1]}-{found[3]}-{found[4]}"
    found = _DAY.fullmatch(text)
    if found is None:
        return ""
    one, sign, two, year = int(found[1]), found[2], int(found[3]), _whole(found[4])
    if sign == "." or one > 12:
        return f"{year}-{two:02}-{one:02}"
    if two > 12 or one == two:
        return f"{year}-{one:02}-{two:02}"
    early, late = sorted((f"{year}-{one:02}-{two:02}", f"{year}-{two:02}-{one:02}"))
    return f"[{early}..{late}]"


@lru_cache(maxsize=20_000)
def _is_date(text: str) -> bool:
    try:
        parse_edtf(text)
    except ValueError:
        return False
    return True


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
