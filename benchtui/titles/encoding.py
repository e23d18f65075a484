"""In which encoding a list is written: guessed from its bytes, said with a sample, and choosable.

UTF-8 is certain where it fits: no other encoding looks like it by chance. For the rest charset-normalizer
weighs the few encodings that lists of this trade come in, and of these only the ones that give the least odd
words: left alone it takes one code page for its neighbour where a list is short.
"""

import codecs
from collections.abc import Sequence
from pathlib import Path

from benchtui.base.errors import BenchError

KNOWN = (
    "utf-8", "utf-16", "cp1252", "cp850", "cp1250", "cp852", "cp1251", "cp1253", "mac_roman", "cp932",
    "euc_jp", "iso8859_2", "gb18030",
)  # fmt: skip
"""What ``--encoding`` takes."""
_GUESSED = list(KNOWN[2:11])
_RARE = frozenset("ŕĺŔĹ")
"""Letters of the central European page that hardly a word has; the western one has a with grave and ring."""
ENOUGH = 1 << 18
"""Bytes of lines beyond ASCII that are looked at."""


def guess(lines: Sequence[bytes]) -> tuple[str, bool]:
    """The encoding of these lines, and whether it is certain.

    ``lines``: the first thousands of the file. UTF-8 is certain once a line beyond ASCII is UTF-8: where
    others are not, the file mixes encodings and those lines are refused one by one.
    """
    beyond = [line for line in lines if not line.isascii()]
    if not beyond or any(_reads(line, "utf-8") for line in beyond if _is_long(line)) or _all_utf8(beyond):
        return "utf-8", True
    sample = b"\n".join(beyond)[:ENOUGH]
    from charset_normalizer import from_bytes  # takes 50 ms to load, and most lists are UTF-8

    oddest = {name: _oddness(sample.decode(name)) for name in _GUESSED if _reads(sample, name)}
    likely = [name for name in oddest if oddest[name] == min(oddest.values())] or ["cp1252"]
    best = from_bytes(sample, cp_isolation=likely).best()
    name = str(best.encoding) if best is not None else likely[0]
    # The two pages share most letters: where neither reading is odd it is the western one.
    return ("cp1252" if name == "cp1250" and "cp1252" in likely else name), False


def by_mark(start: bytes) -> str:
    """The encoding that a byte order mark at the beginning of the file says; "" without one."""
    if start.startswith(codecs.BOM_UTF8):
        return "utf-8"
    return "utf-16" if start.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)) else ""


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


def _oddness(text: str) -> int:
    """How many signs stand inside words, capitals behind small letters, letters that hardly a word has."""
    odd = 0
    for at in range(1, len(text)):
        char, before = text[at], text[at - 1]
        if not char.isascii():
            odd += not char.isalnum() and (before.isalpha() or text[at + 1 : at + 2].isalpha())
            odd += char.isupper() and before.islower()
            odd += char in _RARE
        elif char.isalpha() and not before.isascii() and not before.isalnum():
            odd += char.islower()
    return odd


def _all_utf8(lines: Sequence[bytes]) -> bool:
    return all(_reads(line, "utf-8") for line in lines)


def _is_long(line: bytes) -> bool:
    """Whether the line has so many bytes beyond ASCII that it is no UTF-8 by chance."""
    return sum(byte > 127 for byte in line) >= 2


def _reads(text: bytes, encoding: str) -> bool:
    try:
        text.decode(encoding)
    except UnicodeDecodeError:
        return False
    return True
