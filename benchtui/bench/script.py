"""Key scripts: reading them, with the line of every key kept for messages.

A script is text: key names as Textual spells them (or signs as themselves), ``"text"`` for typing
(``""`` inside stands for one quote), ``# comments``, ``shot NAME`` for a picture, and as its first
line ``shop empty`` or ``shop demo``: what a shop that is not there yet is made from.
"""

import re
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from benchtui.bench.keys import SIGNS, is_deliverable, key_name
from benchtui.errors import BenchError

_TOKEN = re.compile(r'\s*(?:(?P<comment>#.*)|"(?P<text>(?:[^"]|"")*)"|(?P<key>[^\s"#]\S*))')
_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,60}\Z")
MOST_BYTES = 2_000_000


@dataclass(frozen=True)
class Step:
    """One key, or one picture, and the script's line it stands in. ``char`` is what the key types."""

    line: int
    kind: Literal["key", "shot"]
    name: str
    char: str | None = None


@dataclass(frozen=True)
class Script:
    """A script as read: where it came from, what shop it wants, its steps."""

    path: Path
    shop: Literal["", "empty", "demo"]
    steps: tuple[Step, ...]


def read_script(path: Path) -> Script:
    """Read a key script. Raises BenchError with the line for anything that is no key."""
    try:
        data = path.read_bytes()
    except OSError as error:
        raise BenchError(
            f"cannot read the key script: {error.strerror or error}",
            path,
            "give a file of keys, or fifteen, resume",
        ) from None
    if len(data) > MOST_BYTES:
        raise BenchError(f"a key script of {len(data)} bytes", path, f"at most {MOST_BYTES}")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise BenchError("the key script is not UTF-8 text", path, "save it as UTF-8") from None
    shop: Literal["", "empty", "demo"] = ""
    steps: list[Step] = []
    for number, line in enumerate(text.splitlines(), 1):
        words = line.split()
        if words[:1] == ["shop"]:
            if steps or len(words) != 2 or words[1] not in ("empty", "demo"):
                raise BenchError(
                    f"'{line.strip()}' is not understood",
                    path,
                    "the first line may be: shop empty, or shop demo",
                    line=number,
                )
            shop = "empty" if words[1] == "empty" else "demo"
        elif words[:1] == ["shot"]:
            if len(words) != 2 or not _NAME.match(words[1]):
                raise BenchError(
                    f"'{line.strip()}' names no picture",
                    path,
                    "write shot and a name of letters, digits and dashes",
                    line=number,
                )
            steps.append(Step(number, "shot", words[1]))
        else:
            steps += _keys(line, number, path)
    return Script(path, shop, tuple(steps))


def _keys(line: str, number: int, path: Path) -> list[Step]:
    found: list[Step] = []
    at = 0
    while at < len(line.rstrip()):
        match = _TOKEN.match(line, at)
        if match is None:
            raise BenchError(
                "a quote is not closed", path, 'write "text" with both quotes on one line', line=number
            )
        at = match.end()
        if match["comment"] is not None:
            break
        if match["text"] is not None:
            found += [typed(char, number) for char in match["text"].replace('""', '"')]
        else:
            found.append(_key(match["key"], number, path))
    return found


def typed(char: str, number: int) -> Step:
    """The key that types one character."""
    return Step(number, "key", key_name(char), char)


def _key(word: str, number: int, path: Path) -> Step:
    name = key_name(word)
    if len(word) == 1:
        return typed(word, number)
    if not is_deliverable(name):
        raise BenchError(
            f"'{word}' is no key",
            path,
            'a key name such as enter, f3, ctrl+e, a sign, or "text"',
            line=number,
        )
    return Step(number, "key", name, SIGNS.get(name, " " if name == "space" else None))
