"""Key scripts: reading them, with the line of every key kept for messages.

A script is text: key names as Textual spells them (or signs as themselves), ``"text"`` for typing
(``""`` inside stands for one quote), ``# comments``, ``shot NAME`` for a picture. Before the first key
``shop empty`` or ``shop demo`` may say what a shop that is not there yet is made from,
``at 2026-11-25T11:30`` what time it is all the while (UTC), so that pictures come out the same, and
``keymap NAME`` for which keys it was written.
"""

import re
from datetime import UTC, datetime
from pathlib import Path
from typing import Literal, NamedTuple

from benchtui.base.errors import BenchError
from benchtui.base.reading import read_text
from benchtui.desk.core.keys import SIGNS, is_deliverable, key_name
from benchtui.model.filename import name_fault

_TOKEN = re.compile(r'\s*(?:(?P<comment>#.*)|"(?P<text>(?:[^"]|"")*)"|(?P<key>[^\s"#]\S*))')
_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,60}\Z")
MOST_BYTES = 2_000_000


class Step(NamedTuple):
    """One key, or one picture, and the script's line it stands in. ``char`` is what the key types."""

    line: int
    kind: Literal["key", "shot"]
    name: str
    char: str | None = None


class Script(NamedTuple):
    """A script as read: where it came from, what shop it wants, its steps."""

    path: Path
    shop: Literal["", "empty", "demo"]
    at: datetime | None
    steps: tuple[Step, ...]
    keymap: str | None = None


def read_script(path: Path) -> Script:
    """Read a key script. Raises BenchError with the line for anything that is no key."""
    text = read_text(path, MOST_BYTES, "give a file of keys, or a script that is shipped, such as fifteen")
    return _Reading(path).read(text)


class _Reading:
    """One reading of one script."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.shop: Literal["", "empty", "demo"] = ""
        self.at: datetime | None = None
        self.keymap: str | None = None
        self.steps: list[Step] = []

    def read(self, text: str) -> Script:
        for number, line in enumerate(text.splitlines(), 1):
            words = line.split()
            if words[:1] in (["shop"], ["at"], ["keymap"]):
                self._heading(words, line, number)
            elif words[:1] == ["shot"]:
                self._shot(words, line, number)
            else:
                self.steps += _keys(line, number, self.path)
        return Script(self.path, self.shop, self.at, tuple(self.steps), self.keymap)

    def _fail(self, line: str, why: str, right: str, number: int) -> BenchError:
        return BenchError(f"'{line.strip()}' {why}", self.path, right, line=number)

    def _heading(self, words: list[str], line: str, number: int) -> None:
        right = (
            "before the first key you may write: shop empty, shop demo, at 2026-11-25T11:30, keymap left-hand"
        )
        if self.steps or len(words) != 2:
            raise self._fail(line, "is not understood", right, number)
        if words[0] == "shop":
            if words[1] not in ("empty", "demo"):
                raise self._fail(line, "is not understood", right, number)
            self.shop = "empty" if words[1] == "empty" else "demo"
            return
        if words[0] == "keymap":
            self.keymap = words[1]
            return
        try:
            self.at = datetime.fromisoformat(words[1]).replace(tzinfo=UTC)
        except ValueError:
            raise self._fail(line, "names no time", right, number) from None

    def _shot(self, words: list[str], line: str, number: int) -> None:
        if len(words) != 2 or not _NAME.match(words[1]) or name_fault(words[1]):
            right = "write shot and a name of letters, digits and dashes"
            raise self._fail(line, "names no picture", right, number)
        self.steps.append(Step(number, "shot", words[1]))


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
            f"'{word}' is not a key",
            path,
            'write a key name such as enter, f3, ctrl+e, a sign, or "text"',
            line=number,
        )
    return Step(number, "key", name, SIGNS.get(name, " " if name == "space" else None))
