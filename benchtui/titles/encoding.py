"""In which encoding a list is written: guessed from its bytes, said with a sample, and choosable.

UTF-8 is certain where it fits: no other encoding looks like it by chance. Of the rest that encoding is taken
in which the lines read best: each line is measured against the languages that are written in it, by how
usual its letters beyond ASCII are there and whether they stand where letters stand.
"""

import codecs
import re
from collections.abc import Sequence
from functools import lru_cache
from pathlib import Path

from benchtui.base.errors import BenchError

KNOWN = (
    "utf-8", "utf-16", "cp1252", "cp850", "cp1250", "cp852", "cp1251", "cp1253", "mac_roman", "cp932",
    "euc_jp", "iso2022_jp", "iso8859_2", "gb18030",
)  # fmt: skip
"""What ``--encoding`` takes."""
_WEST = (
    "üäößé", "éèàêçôîâûëïùœ", "óíáéñúü", "àèòùìé", "ãçáéíóõêâúàôü", "ëéïöüè", "äöåé", "øåæé", "áíðéþóöúýæ",
)  # fmt: skip
_CENTRE = (*_WEST[:1], "łóążęśćńź", "íáéěýžřščůúťďňó", "áíčéžýšúľťôóňďäĺŕ", "áéöóőüíúű", "čšžćđ", "ăîâşţ")
_CYRILLIC = ("оеаинтсрвлкмдпуяыьгзбчйхжшюцщэфъё", "оаиніветрслкудмпязьбгйчхцїжюєшщфґ")
_GREEK = ("αοιετσνηυρπκμλςωόίάέήδγχθύφβξζώψϊϋΐΰ",)
LETTERS = {
    "cp1252": _WEST, "cp850": _WEST, "cp1250": _CENTRE, "cp852": _CENTRE, "cp1251": _CYRILLIC,
    "cp1253": _GREEK, "mac_roman": _WEST, "cp932": (), "euc_jp": (),
}  # fmt: skip
"""The letters beyond ASCII of each language that is written so, the usual ones first (from memory)."""
_RARE = frozenset("îïûùœëòõďľĺŕťňůűś")
"""Of the Latin ones those that a line seldom has."""
_WORD = re.compile(r"[^\W\d_]+")
_SIGNS = frozenset("’‘“”„–—…«»°£€©®´·№ªº¿¡・")
_ODD = 6.0
_UNREAD = 40.0
ENOUGH = 200
"""Lines beyond ASCII that are looked at."""


def guess(lines: Sequence[bytes]) -> tuple[str, bool]:
    """The encoding of these lines, and whether it is certain.

    ``lines``: the first thousands of the file. UTF-8 is certain once most lines beyond ASCII are UTF-8: where
    others are not, the file mixes encodings and those lines are refused one by one.
    """
    beyond = [line for line in lines if not line.isascii()]
    if not beyond and any(b"\x1b$" in line for line in lines):
        return "iso2022_jp", True
    long = [line for line in beyond if sum(byte > 127 for byte in line) > 1] or beyond
    if sum(_reads(line, "utf-8") for line in long) * 2 >= len(long):  # of no lines, too
        return "utf-8", True
    sample = beyond[:ENOUGH]
    costs = {name: sum(_cost(line, name) for line in sample) for name in LETTERS}
    return min(costs, key=lambda name: costs[name]), False


def by_mark(start: bytes) -> str:
    """The encoding that the first four bytes of the file say: by a byte order mark, or by the zeros of two
    Latin letters in UTF-16 without one; "" where they say none.
    """
    if start.startswith(codecs.BOM_UTF8):
        return "utf-8"
    if start.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return "utf-16"
    return {b"\0\0": "utf-16-le"}.get(start[1::2]) or {b"\0\0": "utf-16-be"}.get(start[::2], "")


def chosen(name: str, path: Path) -> str:
    """The encoding as somebody named it. BenchError for one that is not read here."""
    try:
        found = codecs.lookup(name).name
    except LookupError:
        found = ""
    for known in KNOWN:
        if found == codecs.lookup(known).name:
            return known
    raise BenchError(f"{name} is not an encoding that lists are read in", path, "one of " + ", ".join(KNOWN))


def _cost(line: bytes, encoding: str) -> float:
    """How little that line looks like a text in the best fitting language of the encoding."""
    if not _reads(line, encoding):
        return _UNREAD
    text = line.decode(encoding)
    places = [at for at, char in enumerate(text) if not char.isascii()]
    words = (found for found in _WORD.findall(text) if not found.isascii())
    return sum(_misplaced(text, at) for at in places) + sum(_of_word(word, encoding) for word in words)


@lru_cache(maxsize=4_000)
def _of_word(word: str, encoding: str) -> float:
    letters = [char for char in word.lower() if not char.isascii() and char not in _SIGNS]
    languages = LETTERS[encoding] or ("",)
    return min(sum(_rarity(letter, language) for letter in letters) for language in languages)


def _rarity(letter: str, language: str) -> float:
    if letter in language:
        rank = (
            language.index(letter) / len(language) if language in (*_CYRILLIC, *_GREEK) else letter in _RARE
        )
        return 1 + rank
    if not language and "\u3040" <= letter <= "\u9fff":
        return 1.5 if letter < "\u3100" else 2.5  # kana; the others, of which nearly any two bytes make one
    return _ODD


def _misplaced(text: str, at: int) -> float:
    """What stands where no such thing stands: a sign inside a word, a capital behind a small letter, letters
    of two scripts side by side.
    """
    char, before, after = text[at], text[at - 1 : at], text[at + 1 : at + 2]
    if not char.isalpha() or char in _SIGNS:
        inside = before.isalpha() and after.isalpha() and char not in "’・"
        return _ODD if inside or char not in _SIGNS else 1.0
    odd = char.isupper() and before.isalpha() and (before.islower() or after.islower())
    odd = odd or (char.islower() and after.isupper())
    mixed = char > "\u036f" and any(one.isascii() and one.isalpha() for one in (before, after))
    return _ODD if odd or mixed else 0.0


def _reads(text: bytes, encoding: str) -> bool:
    try:
        text.decode(encoding)
    except UnicodeDecodeError:
        return False
    return True
