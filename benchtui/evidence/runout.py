"""Runouts: shorthand to full inscription, segments, cuts, mothers, stampers, ciphers.

How it is typed: plain text is stamped, ``<text>`` hand-cut, ``~text~`` struck out, ``{name}`` a symbol;
``@9`` after any of these is its place on the clock. With the title's stems known, ``1``, ``2u`` or ``1b 3un``
stands for stem + cut, mother number, stamper letters. ``1|2`` is either of two that could not be told apart.
Any other text is kept as it is; of a side whose stem is known it does not fit the title, unless it is
hand-cut words, symbols or struck out: those stand beside any number.
"""

import re
from typing import Literal, NamedTuple

from benchtui.books.shape import BookTitle, Cipher
from benchtui.evidence.reference import Reference

EITHER = "|"
"""Between cuts that could not be told apart, as typed and as kept."""
Made = Literal["stamped", "hand-cut", "struck out", "symbol"]
_SEGMENT = re.compile(r"(?:<([^<>]+)>|~([^~]+)~|\{([^{}]+)\}|([^\s<~{@]+))(?:@(\d{1,2}))?")
_MADE: tuple[Made, ...] = ("hand-cut", "struck out", "symbol", "stamped")
_SIGNS: dict[Made, tuple[str, str]] = {
    "stamped": ("", ""),
    "hand-cut": ("<", ">"),
    "struck out": ("~", "~"),
    "symbol": ("{", "}"),
}
# Cut (figure and perhaps a letter or two), mother (figure), stamper (letters or figure).
_SHORT = re.compile(r"(\d{1,2}[A-Za-z]{0,2})(?:\s+(\d{1,3}))?(?:\s*([A-Za-z]{1,5}))?")
_SHORT_FIRST = re.compile(r"\d{1,2}[A-Za-z]{0,2}(?:\s+\d{1,3})?(?=\s)")
# What looks like a matrix number even hand-cut: three figures or more, or letters, figures, a side's letter.
_MATRIX = re.compile(r"\d{3,}|[A-Za-z]{1,6}[\s-]*\d{2,}[\s-]*[A-Da-d]\d*\b")
_TELLING = 4
"""Letters and figures from which a stem is known wherever it stands; a shorter one only at the start."""


class Segment(NamedTuple):
    """One piece of an inscription, how it was made, and the hour at which it stands, where given."""

    text: str
    made: Made = "stamped"
    clock: int | None = None


class Runout(NamedTuple):
    """One side read: as typed, in full, its pieces; ``belongs`` None where nothing decides it.

    ``number`` is the stamper letters read through the title's cipher, ``channels`` what its stem says: mono
    and stereo of a title may have stems of their own.
    """

    typed: str
    full: str
    cut: str = ""
    mother: str = ""
    stamper: str = ""
    segments: tuple[Segment, ...] = ()
    belongs: bool | None = None
    say: str = ""
    number: int | None = None
    channels: str = ""


def segments_of(text: str) -> tuple[Segment, ...]:
    """The pieces of a typed inscription; text without signs stays in one stamped piece a word."""
    found = []
    for match in _SEGMENT.finditer(text):
        k = next(i for i in range(4) if match[i + 1] is not None)
        clock = int(match[5]) if match[5] and 1 <= int(match[5]) <= 12 else None
        found.append(Segment(match[k + 1].strip(), _MADE[k], clock))
    return tuple(found)


def inscription(segments: tuple[Segment, ...]) -> str:
    """The typed form of pieces: ``segments_of`` gives them back."""
    return " ".join(
        f"{_SIGNS[s.made][0]}{s.text}{_SIGNS[s.made][1]}" + (f"@{s.clock}" if s.clock else "")
        for s in segments
    )


def read_runout(typed: str, side: str, title: BookTitle | None, library: Reference) -> Runout:
    """Reads one side. ``side`` is its letter; without a title (or its stems) only what is certain is read."""
    pieces = [piece.strip() for piece in typed.split(EITHER)]
    found = [_read_one(piece, side, title, library) for piece in pieces]
    if len(found) < 2 or not all(one.cut and one.belongs is not False for one in found):
        return _read_one(typed, side, title, library)
    return _either(typed, found)


def cuts_of(cut: str) -> list[str]:
    """The cut as it was kept, or the several that could not be told apart."""
    return cut.split(EITHER)


def _either(typed: str, found: list[Runout]) -> Runout:
    """One answer of several: mother and stamper where they are the same in all."""
    cuts = list(dict.fromkeys(one.cut for one in found))
    mothers, stampers = ({getattr(one, what) for one in found} for what in ("mother", "stamper"))
    mother = mothers.pop() if len(mothers) == 1 else ""
    stamper, number = (found[0].stamper, found[0].number) if len(stampers) == 1 else ("", None)
    full = f" {EITHER} ".join(dict.fromkeys(one.full for one in found))
    say = f"cut {' or '.join(cuts)}"
    belongs = True if all(one.belongs for one in found) else None
    channels = found[0].channels if len({one.channels for one in found}) == 1 else ""
    return Runout(
        typed, full, EITHER.join(cuts), mother, stamper, segments_of(full), belongs, say, number, channels
    )  # fmt: skip


def _read_one(typed: str, side: str, title: BookTitle | None, library: Reference) -> Runout:
    text = " ".join(typed.split())
    segments = segments_of(text)
    stem = title.stems.get(side, "") if title else ""
    apart = any(key.endswith(f" {side}") for key in (title.stems if title else {}))
    plain = " ".join(s.text for s in segments if s.made in ("stamped", "hand-cut"))
    short = _SHORT.fullmatch(plain)
    if short is not None:
        # Of stems that differ by channels the shorthand does not say which.
        return _from_short(typed, "" if apart else stem, segments, short, title, library)
    begun = {
        key: rest
        for key, its in (title.stems if title else {}).items()
        if (rest := _behind(its, plain)) is not None
    }
    if title is not None and begun:
        key = max(begun, key=lambda key: (len(bare(title.stems[key])), key.split()[-1] == side))
        other, channels = key.rpartition(" ")[2], _channels(key, title)
        found = _SHORT.fullmatch(begun[key]) or _SHORT.match(begun[key])
        read = _parts(found, title, library)
        if other != side:  # nothing read from it may weigh on this side
            return Runout(
                typed, text, segments=segments, belongs=False, say=f"has the inscription of side {other}"
            )
        say = f"{read.say}, {channels}" if channels else read.say
        return Runout(
            typed, text, read.cut, read.mother, read.stamper, segments, True, say, read.number, channels
        )  # fmt: skip
    stems = [its for key, its in (title.stems if title else {}).items() if key.split()[-1] == side]
    foreign = bool(stems) and _fits_none(segments, stems)
    say = f"does not fit this title, whose runout begins {stems[0].strip()}" if foreign else ""
    return Runout(typed, text, segments=segments, belongs=False if foreign else None, say=say)


def _fits_none(segments: tuple[Segment, ...], stems: list[str]) -> bool:
    """Whether an inscription without a stem of its side is another disc's: not where it only begins one, or
    begins as the shorthand does, nor where all of it is hand-cut words, symbols or struck out.
    """
    plain = " ".join(s.text for s in segments if s.made in ("stamped", "hand-cut"))
    if any(bare(stem).startswith(bare(plain)) for stem in stems):
        return False
    short = _SHORT_FIRST.match(plain)
    if _MATRIX.search(plain, short.end() if short else 0):
        return True
    return short is None and any(bare(s.text) for s in segments if s.made == "stamped")


def _channels(key: str, title: BookTitle) -> str:
    """What a stem says of the channels: its own where it has them, else what a stem beside it does not."""
    channels, _, side = key.rpartition(" ")
    if channels:
        return channels
    beside = next((one.rpartition(" ")[0] for one in title.stems if one.endswith(f" {side}")), "")
    return {"stereo": "mono", "mono": "stereo"}.get(beside, "")


def _from_short(
    typed: str, stem: str, segments: tuple[Segment, ...], short: re.Match[str], title: BookTitle | None,
    library: Reference,
) -> Runout:  # fmt: skip
    read = _parts(short, title, library)
    tail = " ".join(t for t in (short[1].upper(), short[2] or "", (short[3] or "").upper()) if t)
    symbols = [s for s in segments if s.made in ("symbol", "struck out")]
    full = " ".join([stem + tail, *(inscription((s,)) for s in symbols)])
    pieces = (*segments_of(stem + tail), *symbols)
    return Runout(typed, full, read.cut, read.mother, read.stamper, pieces, None, read.say, read.number)


def _parts(found: re.Match[str] | None, title: BookTitle | None, library: Reference) -> Runout:
    """Cut, mother and stamper out of a shorthand match, with the stamper's number and the sentence."""
    if found is None:
        return Runout("", "")
    cut = _known_cut(found[1], title)
    mother, stamper = found[2] or "", (found[3] or "").upper()
    cipher = library.cipher(title.cipher) if title and title.cipher else None
    number = decipher(stamper, cipher) if cipher else None
    parts = [f"cut {cut}"]
    if mother:
        parts.append(f"mother {mother}")
    if stamper:
        parts.append(f"stamper {stamper}" + (f" = {number}" if number is not None else ""))
    return Runout("", "", cut, mother, stamper, say=", ".join(parts), number=number)


def _known_cut(text: str, title: BookTitle | None) -> str:
    """The book's id of a cut: as inscribed where the book lists it so, else its figure alone."""
    listed = {cut for p in (title.pressings if title else ()) for pair, _ in p.cuts for cut in pair}
    whole = next((cut for cut in listed if cut.casefold() == text.casefold()), None)
    figure = re.match(r"\d+", text)
    return whole or (str(int(figure[0])) if figure else text)


def bare(text: str) -> str:
    """Letters and figures alone: each eye reads spaces, dashes and dots differently."""
    return re.sub(r"[^0-9a-z]", "", text.casefold())


def _after(stem: str, text: str) -> str | None:
    """What follows the stem in an inscription, or None where it does not begin with it."""
    want = bare(stem)
    if not want:
        return None
    at = 0
    for i, sign in enumerate(text):
        if at == len(want):
            return text[i:].lstrip(" -./")
        if (letter := bare(sign)) == "":
            continue
        if letter != want[at]:
            return None
        at += 1
    return "" if at == len(want) else None


def _behind(stem: str, text: str) -> str | None:
    """What follows the stem, be it in front or behind other words: initials and scratches stand anywhere."""
    starts = [0, *(gap.end() for gap in re.finditer(r"\s+", text) if len(bare(stem)) >= _TELLING)]
    return next((rest for at in starts if (rest := _after(stem, text[at:])) is not None), None)


def other_side(runout: Runout, side: str, title: BookTitle | None, library: Reference) -> Runout:
    """The same cut, mother and stamper on another side, as inscribed; ``side`` is that side's letter."""
    if not runout.cut:
        return read_runout(runout.typed, side, title, library)
    ends = [_end_of(piece, title) for piece in runout.full.split(EITHER)]
    return read_runout(EITHER.join(ends), side, title, library)


def _end_of(full: str, title: BookTitle | None) -> str:
    """What follows the stem: a cut with its letter, mother and stamper, whether the books list it or not."""
    plain = " ".join(s.text for s in segments_of(full) if s.made in ("stamped", "hand-cut"))
    after = [rest for stem in (title.stems.values() if title else ()) if (rest := _after(stem, plain))]
    rest = min(after, key=len, default=plain)
    found = _SHORT.match(rest)
    return " ".join(filter(None, found.groups())) if found else rest


def decipher(letters: str, cipher: Cipher | None) -> int | None:
    """The number that stamper letters stand for, or None where one of them is not in the cipher."""
    if cipher is None or not letters:
        return int(letters) if letters.isascii() and letters.isdigit() else None
    if letters.isdigit():
        return int(letters)
    table = dict(zip(cipher.letters.casefold(), cipher.digits, strict=False))
    digits = [table.get(sign, "") for sign in letters.casefold()]
    return int("".join(digits)) if all(digits) else None
