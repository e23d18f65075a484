"""A time as people write it: the one reader of the dates in lists, tables, books' cells and typed lines.

What it gives is EDTF (``model/span.py``), which keeps what the text says: how wide, and that it is unsure.
A year of two figures is one of the last century; a day and month in either order leave both open (common
practice, no source). Of the parts of a year EDTF has the codes: 21 to 24 its seasons, 37 to 39 its thirds.
"""

import re
import unicodedata
from datetime import timedelta
from functools import lru_cache

from benchtui.model.span import UNKNOWN, Span, parse_dated, parse_edtf, spans_text

RIGHT = "write 1967, 1967-05, 1962-66, 1965.., ..1966, about 1967 or 1967?"
_YEAR = r"((?:18|19|20)\d\d)"
_ABOUT = re.compile(r"(?:c|ca|circa|about|around|approx|um|vers|~)\.?\s*(?=[\d'’])(.+)", re.I)
_WHOLE = re.compile(rf"{_YEAR}\.0+")
_DECADE = re.compile(
    r"((?:18|19|20)\d)(?:0'?s|[?_-])|['’]?([2-9])0(?:['’]?s|er|年代)|(?:anni |años |années |jaren )([2-9])0"
)
_DECADES = ("twenties", "thirties", "forties", "fifties", "sixties", "seventies", "eighties", "nineties")
_THE = re.compile(r"\bthe\s+", re.I)
_DAY = re.compile(r"(\d{1,2})([./-])(\d{1,2})\2((?:(?:18|19|20)|(?=[2-9]))\d\d)")
_DAY_LAST = re.compile(rf"{_YEAR}([./-]?)(\d\d)\2(\d\d)(?:[T ]\d\d:\d\d.*)?")
_AROUND = re.compile(rf"[\[(©℗Pp]\s?{_YEAR}[\])]?|{_YEAR}[.,*]")
_UNSURE = re.compile(rf"{_YEAR}\s?(?:\(\?\)|\?)")
_EITHER = re.compile(rf"{_YEAR}\s?(?:or|oder|ou|of|o)\s(?:{_YEAR}|['’]?([2-9]\d))")
_BOUND = re.compile(
    r"(not |no |never )?(?:(before|pre|earlier than|vor|avant|voor|antes de|prima del)"
    r"|(?:after|post|later than|nach|après|na|después de|dopo il))(?:\s|(?<=pre)-|(?<=post)-)(.+)",
    re.I,
)
_TWO_FIGURES = re.compile(r"['’]?([2-9]\d)")
_MONTH = re.compile(rf"(\d{{1,2}})\s?[./-]\s?{_YEAR}|{_YEAR}[./](\d\d)|(\d{{1,2}})\s?[./-]\s?([2-9]\d)")
_MONTH_NAME = re.compile(
    r"(?:(\d{1,2})(?:(?:[.]|st|nd|rd|th)?\s+(?:de\s+)?|-))?"
    r"([^\W\d]+)(?:[.,]?\s+(?:de\s+)?|-)['’]?((?:18|19|20)?\d\d)"
)
_DAY_AFTER = re.compile(rf"([^\W\d]+)[.]?\s+(\d{{1,2}})(?:st|nd|rd|th)?,?\s+{_YEAR}")
_JAPANESE = re.compile(r"(大正|昭和|平成)?(\d{1,4}|元)年(?:(\d{1,2})月)?(?:(\d{1,2})日)?")
_ERAS = {"大正": 1911, "昭和": 1925, "平成": 1988}
"""The year before an era's first."""
_MONTHS = {
    name: number
    for number, names in enumerate((
        "jan january januar januari janv janvier gen gennaio ene enero",
        "feb febr february februar februari fev fevr fevrier febbraio febrero",
        "mar march marz maart mrt mars marzo", "apr april avr avril aprile abr abril",
        "may mai mei mag maggio mayo", "jun june juni juin giu giugno junio",
        "jul july juli juil juillet lug luglio julio", "aug august augustus aout ago agosto",
        "sep sept september septembre set sett settembre septiembre",
        "oct october okt oktober octobre ott ottobre octubre", "nov november novembre noviembre",
        "dec december dez dezember decembre dic dicembre diciembre",
    ), 1)
    for name in names.split()
}  # fmt: skip
"""The months' names and short forms in English, German, French, Dutch, Spanish and Italian; no accents."""
_PARTS = {"spring": 21, "summer": 22, "autumn": 23, "fall": 23, "winter": 24,
          "early": 37, "mid": 38, "late": 39, "end": 39}  # fmt: skip
_PART = re.compile(
    rf"({'|'.join(_PARTS)})[\s-]+(?:of\s+)?(?:{_YEAR}|((?:18|19|20)\d)0['’]?s|['’]?([2-9])0['’]?s|({'|'.join(_DECADES)})"
    r"|(?:['’]|(?<=of\s)|(?<=mid\s))([2-9]\d))",
    re.I,
)
_HALF = re.compile(rf"(first|second) half of\s+(?:{_YEAR}|['’]?([2-9]\d))", re.I)
_OF_DECADE = {37: (0, 3), 38: (4, 6), 39: (7, 9)}
_BETWEEN = re.compile(
    r"\s*(?:\.\.|-|–|—|/|\b(?:(?:up )?to|until|till|(?:through|thru)(?: to)?|bis|and)\b)\s*",
    re.I,
)
_FROM = re.compile(
    r"(?:from|since|ab|seit|depuis)\s+(.+)"
    r"|(.+?)\s*(?:\.\.|-|–|—|\+|\bon|\bonwards?|\b(?:and|or) (?:later|after)|\bff\.?)",
    re.I,
)
_UNTIL = re.compile(
    r"(?:\.\.|-|–|—|(?:by|until|till|(?:through|thru)(?: to)?|up to|to|bis)\s)\s*(.+)"
    r"|(.+?)\s+(?:or|and) (?:earlier|before)",
    re.I,
)
_PLAIN = re.compile(
    rf"\[?{_YEAR}(?:-\d\d){{0,2}}(?:\s?(?:\.\.|-|–|/|to)\s?(?:\d\d|{_YEAR}(?:-\d\d){{0,2}})?)?\]?"
    rf"|\[?\.\.\s?{_YEAR}(?:-\d\d){{0,2}}\]?"
)
"""What is read just as it stands."""
_FIGURES = re.compile(rf"{_YEAR}-(\d\d)")


@lru_cache(maxsize=20_000)
def read_time(text: str) -> str:
    """The EDTF of ``1967``, ``c1966``, ``1962-66``, ``early 1974``, ``before 1970``, ``Sept 1974 to 12/77``.

    Raises ValueError with one sentence that says what would be right; nothing is a date of nothing.
    """
    bare = _THE.sub("", " ".join(text.split()))
    if found := _single(bare) or _open(bare) or _two_ends(bare):
        return found
    raise ValueError(f"{text.strip()[:30]!r} is not a date; {RIGHT}")


def as_read(edtf: str) -> str:
    """``about 1967, 1966-07..1968-06``: the time that EDTF means, for whoever typed it in another way."""
    dated = parse_dated(edtf)
    shown = spans_text(dated.spans)
    if not dated.soft or "[" in edtf:
        return shown + (", not sure" if dated.soft else "")
    bare = edtf.strip("?~%")
    return f"perhaps {bare}" if "?" in edtf else f"about {bare}, {shown}"


def read_span(text: str) -> tuple[Span, str]:
    """The span alone, and what to tell where that is not just what was typed: ``1966-07..1968-06``, or that a
    sign of doubt is not kept. Raises ValueError as ``read_time`` does.
    """
    edtf = read_time(text)
    span = parse_edtf(edtf)
    if _PLAIN.fullmatch(text.strip()):
        return span, ""
    lost = ", the ? is not kept" if "?" in edtf or "%" in edtf else ""
    return span, f"{span.edtf().strip('[]')}{lost}"


def _is_date(edtf: str) -> bool:
    try:
        return bool(edtf) and parse_edtf(edtf).known
    except ValueError:
        return False


def _single(text: str) -> str:
    """One date, a set of dates, or a part of a year or decade; "" where it is none."""
    if (about := _ABOUT.fullmatch(text)) and (found := _single(about[1])) and "[" not in found:
        return f"{found.rstrip('?~%')}~"
    figures = _FIGURES.fullmatch(text)
    if figures and int(figures[1][2:]) < int(figures[2]) and int(figures[2]) > 12:
        return f"[{figures[1]}..{figures[1][:2]}{figures[2]}]"  # no season: nobody types its code
    direct = re.sub(r"(?<=\d)x", "X", text)
    if _is_date(direct):
        return direct
    found = _written(text)
    return found if _is_date(found) else ""


def _written(text: str) -> str:
    if found := _WHOLE.fullmatch(text):
        return found[1]
    if found := _AROUND.fullmatch(text):
        return found[1] or found[2]
    if found := _UNSURE.fullmatch(text):
        return f"{found[1]}?"
    if found := _EITHER.fullmatch(text):
        return f"[{found[1]},{found[2] or found[1][:2] + found[3]}]"
    if found := _BOUND.fullmatch(text):
        return _bound(bool(found[1]), bool(found[2]), found[3])
    if (found := _DECADE.fullmatch(text)) and not text.isdigit():
        decade = found[1] or _of_last_century(found[2] or found[3], None)
        return f"[{decade}0..{decade}9]"
    if text.casefold() in _DECADES:
        decade = _of_last_century(None, text)
        return f"[{decade}0..{decade}9]"
    if found := _HALF.fullmatch(text):
        year = _whole(found[2] or found[3])
        return f"[{year}-01..{year}-06]" if found[1].casefold() == "first" else f"[{year}-07..{year}-12]"
    if found := _TWO_FIGURES.fullmatch(text):
        return f"19{found[1]}"  # as dealers write a year; of the figures below 20 either century may be meant
    if (found := _MONTH.fullmatch(text)) and (month := int(found[1] or found[4] or found[5])) <= 12:
        return f"{_whole(found[2] or found[3] or found[6])}-{month:02}"
    return _named_month(text) or _part(text) or _japanese(text) or _day(text)


def _bound(negated: bool, before: bool, text: str) -> str:
    """``before May 1962``, ``after 1966``, ``not before May 1965``, ``no later than 1960``; the date that
    stands there is within it only where the word is denied.
    """
    inner = _single(text) if re.search(rf"{_YEAR}|['’][2-9]\d", text) else ""
    span = parse_edtf(inner) if inner else UNKNOWN
    if span.earliest is None or span.latest is None:
        return ""
    if negated:
        return Span(span.earliest, None).edtf() if before else Span(None, span.latest).edtf()
    day = timedelta(days=1)
    return Span(None, span.earliest - day).edtf() if before else Span(span.latest + day, None).edtf()


def _named_month(text: str) -> str:
    """``May 1967``, ``5. Mai 1967``, ``1st May 1962``, ``May 1st, 1962``."""
    if found := _DAY_AFTER.fullmatch(text):
        month = _MONTHS.get(_plain(found[1]))
        return f"{found[3]}-{month:02}-{int(found[2]):02}" if month else ""
    found = _MONTH_NAME.fullmatch(text)
    if found is None:
        return ""
    month, day = _MONTHS.get(_plain(found[2])), f"-{int(found[1]):02}" if found[1] else ""
    return f"{_whole(found[3])}-{month:02}{day}" if month else ""


def _plain(name: str) -> str:
    return unicodedata.normalize("NFKD", name.casefold()).encode("ascii", "ignore").decode()


def _whole(year: str) -> str:
    """The year of four figures, of which two may stand for one of the last century."""
    return year if len(year) == 4 else f"19{year}"


def _of_last_century(tens: str | None, name: str | None) -> str:
    """``196`` of ``6`` or ``sixties``; "" for neither."""
    tens = tens or (str(_DECADES.index(name.casefold()) + 2) if name else "")
    return tens and f"19{tens}"


def _part(text: str) -> str:
    """``winter 1967``, ``early 1974``, ``late 1960s``, ``mid '60s``, ``early sixties``."""
    found = _PART.fullmatch(text)
    if found is None:
        return ""
    code = _PARTS[found[1].casefold()]
    if decade := found[3] or _of_last_century(found[4], found[5]):
        first, last = _OF_DECADE.get(code, (9, 0))
        return f"[{decade}{first}..{decade}{last}]" if first < last else ""
    year = _whole(found[2] or found[6])
    edtf = f"{year}-{code}"
    # read again it would be a range of years
    return parse_edtf(edtf).edtf() if int(year[2:]) < code else edtf


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


def _open(text: str) -> str:
    """``from 1967``, ``1967 on``, ``1967..``, ``by 1967``, ``..1967``."""
    if (found := _FROM.fullmatch(text)) and (first := _single(found[1] or found[2])):
        return _set(first, "")
    if (found := _UNTIL.fullmatch(text)) and (last := _single(found[1] or found[2])):
        return _set("", last)
    return ""


def _two_ends(text: str) -> str:
    """``1958..1960``, ``1962-66``, ``from 1967 to about 1969``, ``between 1964 and 1966``."""
    bare = re.sub(r"(?:from|between)\s+", "", text, count=1, flags=re.I)
    for found in _BETWEEN.finditer(bare):
        first, last = _single(bare[: found.start()]), bare[found.end() :]
        year = re.search(_YEAR, first)
        if year and re.fullmatch(r"\d{1,2}", last):
            last = year[1][: 4 - len(last)] + last
        if first and (end := _single(last)):
            return _set(first, end)
    return ""


def _set(first: str, last: str) -> str:
    """Everything from the one to the other; what is a set itself stands with its own end."""
    if "[" in first + last:
        low, high = parse_edtf(first), parse_edtf(last)
        return Span(low.earliest, high.latest).edtf()
    made = f"[{first}..{last}]"
    parse_edtf(made)  # raises where it is reversed
    return made
