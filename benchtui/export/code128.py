"""Code 128 (ISO/IEC 15417): a stock number as bars that any hand scanner reads.

A library was weighed and left out: the runtime stays at four packages, the standard is closed (107
patterns and a check sum), and ``tests/outside`` reads these bars back with an independent decoder and
compares them, bar by bar, with another encoder's.
"""

import re

# Widths of bar, space, bar, space, bar, space for the values 0 to 105; the stop pattern has a seventh.
_WIDTHS = re.findall(
    "[1-4]{6}",
    """
    212222 222122 222221 121223 121322 131222 122213 122312 132212 221213 221312 231212 112232 122132 122231
    113222 123122 123221 223211 221132 221231 213212 223112 312131 311222 321122 321221 312212 322112 322211
    212123 212321 232121 111323 131123 131321 112313 132113 132311 211313 231113 231311 112133 112331 132131
    113123 113321 133121 313121 211331 231131 213113 213311 213131 311123 311321 331121 312113 312311 332111
    314111 221411 431111 111224 111422 121124 121421 141122 141221 112214 112412 122114 122411 142112 142211
    241211 221114 413111 241112 134111 111242 121142 121241 114212 124112 124211 411212 421112 421211 212141
    214121 412121 111143 111341 131141 114113 114311 411113 411311 113141 114131 311141 411131 211412 211214
    211232
    """,
)
_STOP = "2331112"
_START_B, _START_C, _TO_B, _TO_C = 104, 105, 100, 99
QUIET = 10
"""Modules left white on each side: the standard asks for at least ten."""


def values(text: str) -> list[int]:
    """Start, data and check values of a text of printable ASCII; ValueError for anything else.

    Pairs of digits go two to a pattern (code C) where four or more stand together at an end, or six inside.
    """
    if not text or not all(" " <= sign <= "~" for sign in text):
        raise ValueError(f"{text!r} has signs other than printable ASCII, which Code 128 cannot draw")
    found: list[int] = []
    in_c = False
    at = 0
    while at < len(text):
        run = _digits(text, at)
        ends = at == 0 or at + run == len(text)
        wanted = run >= (4 if ends else 6) or (at == 0 and run == len(text) == 2)
        if (in_c and run < 2) or (not in_c and not (wanted and run % 2 == 0)):
            if in_c or not found:
                found.append(_TO_B if found else _START_B)
            in_c = False
            found.append(ord(text[at]) - 32)
            at += 1
            continue
        if not in_c:
            found.append(_TO_C if found else _START_C)
            in_c = True
        found.append(int(text[at : at + 2]))
        at += 2
    return [*found, _check(found)]


def modules(text: str) -> str:
    """The whole symbol without its quiet zones, a ``1`` for each black module and a ``0`` for each white."""
    widths = "".join(_WIDTHS[value] for value in values(text)) + _STOP
    return "".join(("1" if at % 2 == 0 else "0") * int(width) for at, width in enumerate(widths))


def bars(text: str) -> list[tuple[int, int]]:
    """Each black bar as its first module and its width, counted from the left edge of the quiet zone."""
    symbol = modules(text)
    found: list[tuple[int, int]] = []
    for at, module in enumerate(symbol):
        if module == "1":
            if at and symbol[at - 1] == "1":
                left, width = found[-1]
                found[-1] = (left, width + 1)
            else:
                found.append((QUIET + at, 1))
    return found


def svg(text: str, height: int = 30) -> str:
    """An inline SVG of the symbol with its quiet zones; sized by the page, one module one unit wide."""
    wide = len(modules(text)) + 2 * QUIET
    boxes = "".join(f"M{left} 0h{width}v{height}h-{width}z" for left, width in bars(text))
    return (
        f'<svg class="code" viewBox="0 0 {wide} {height}" preserveAspectRatio="none" role="img" '
        f'aria-label="Code 128" shape-rendering="crispEdges"><path d="{boxes}"/></svg>'
    )


def _digits(text: str, at: int) -> int:
    run = at
    while run < len(text) and "0" <= text[run] <= "9":
        run += 1
    return run - at


def _check(found: list[int]) -> int:
    return (found[0] + sum(place * value for place, value in enumerate(found[1:], start=1))) % 103
