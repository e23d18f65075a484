"""Templates of descriptions: plain text with ``{fields}`` and ``[sections]``.

The first line is the title line, the rest the paragraph (its line breaks are spaces). Above a line of
three dashes may stand settings: ``limit = 800``, ``title limit = 80``. A section in square brackets
vanishes when one of its fields has nothing to say, and is dropped, the last one first, when the text is
longer than its limit; ``[!...]`` vanishes too but is never dropped for length, for a fault must not go
because a line is full. ``{Grades}`` is ``{grades}`` with a capital. A sign twice is the sign: ``{{``, ``[[``.
"""

import re
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

from benchtui.base.errors import BenchError

_TOKEN = re.compile(r"\{\{|\}\}|\[\[|\]\]|\[!|[{}\[\]]|[^{}\[\]]+")
_FIELD = re.compile(r"[A-Za-z][A-Za-z0-9_]*(:[^\s{}\[\]]+)?\Z")
_SETTING = re.compile(r"(title limit|limit)\s*=\s*([0-9]{1,6})\Z")


class Words(NamedTuple):
    """Text that stands in the template itself."""

    text: str


class Field(NamedTuple):
    """``name`` is looked up in lower case; a capital in the template asks for a capital in the text."""

    name: str
    capital: bool = False


class Section(NamedTuple):
    """What vanishes together; ``kept`` sections are never dropped for length."""

    pieces: tuple[Words | Field, ...]
    kept: bool = False


Piece = Words | Field | Section
Known = Callable[[str], str | None]


class Template(NamedTuple):
    """A parsed template. Limits are in characters; None is no limit."""

    title: tuple[Piece, ...]
    body: tuple[Piece, ...]
    title_limit: int | None = None
    limit: int | None = None


class Filled(NamedTuple):
    """The text, the fields whose words are in it, and by how much it is still too long."""

    text: str
    fields: tuple[str, ...]
    over: int


def parse_template(text: str, where: str | Path, known: Known) -> Template:
    """The template of a text. BenchError with line and column for what it cannot mean.

    ``known`` is None for a field that there is, else a sentence that says what would be right.
    """
    lines = text.removeprefix("\ufeff").splitlines()
    limits: dict[str, int] = {}
    first = 0
    if "---" in [line.strip() for line in lines]:
        first = [line.strip() for line in lines].index("---") + 1
        limits = _settings(lines[: first - 1], where)
    while first < len(lines) and not lines[first].strip():
        first += 1
    if first >= len(lines):
        raise BenchError("the template is empty", where, "write the title line as its first line")
    title = _Parser(where, known, first + 1).parse(lines[first])
    body = _Parser(where, known, first + 2).parse("\n".join(lines[first + 1 :]))
    return Template(title, body, limits.get("title limit"), limits.get("limit"))


def fill(pieces: tuple[Piece, ...], say: Callable[[str], str], limit: int | None = None) -> Filled:
    """The pieces with what ``say`` gives for each field, sections dropped while it is too long."""
    spoken = [piece for piece in pieces if not isinstance(piece, Section) or _speaks(piece, say)]
    text = _text(spoken, say)
    while limit is not None and len(text) > limit:
        loose = [at for at, piece in enumerate(spoken) if isinstance(piece, Section) and not piece.kept]
        if not loose:
            break
        del spoken[loose[-1]]
        text = _text(spoken, say)
    names = [piece.name for piece in _flat(spoken) if isinstance(piece, Field) and say(piece.name)]
    return Filled(text, tuple(dict.fromkeys(names)), max(0, len(text) - limit) if limit is not None else 0)


def _speaks(section: Section, say: Callable[[str], str]) -> bool:
    return all(say(piece.name) for piece in section.pieces if isinstance(piece, Field))


def _flat(pieces: list[Piece]) -> list[Words | Field]:
    flat: list[Words | Field] = []
    for piece in pieces:
        flat.extend(piece.pieces if isinstance(piece, Section) else [piece])
    return flat


def _text(pieces: list[Piece], say: Callable[[str], str]) -> str:
    words = []
    for piece in _flat(pieces):
        said = piece.text if isinstance(piece, Words) else say(piece.name)
        if isinstance(piece, Field) and piece.capital:
            said = said[:1].upper() + said[1:]
        words.append(said)
    return " ".join("".join(words).split())


def _settings(lines: list[str], where: str | Path) -> dict[str, int]:
    found: dict[str, int] = {}
    for number, line in enumerate(lines, start=1):
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        match = _SETTING.match(line.strip())
        if match is None or match[1] in found or int(match[2]) == 0:
            right = "write limit = 800 or title limit = 80, each once, above the line of three dashes"
            raise BenchError(f'cannot use the setting "{line.strip()}"', where, right, line=number)
        found[match[1]] = int(match[2])
    return found


class _Parser:
    """Reads one stretch of a template; knows the line and column it has come to."""

    def __init__(self, where: str | Path, known: Known, line: int) -> None:
        self._where, self._known = where, known
        self._line, self._column = line, 1
        self._opened = (line, 1)

    def parse(self, text: str) -> tuple[Piece, ...]:
        pieces: list[Piece] = []
        inside: list[Words | Field] | None = None
        kept = False
        tokens = list(_TOKEN.finditer(text))
        at = 0
        while at < len(tokens):
            token = tokens[at][0]
            target = pieces if inside is None else inside
            if token == "{":
                following = [match[0] for match in tokens[at + 1 : at + 3]]
                target.append(self._field(following))
                self._advance("".join([token, *following]))
                at += 3
                continue
            if token in ("[", "[!"):
                if inside is not None:
                    self._refuse("a section inside a section", "close the first with ]")
                inside, kept, self._opened = [], token == "[!", (self._line, self._column)
            elif token == "]":
                if inside is None:
                    self._refuse("] has no section to close", "write ]] for the sign itself")
                pieces.append(Section(tuple(inside or ()), kept))
                inside = None
            elif token == "}":
                self._refuse("} has no field to close", "write }} for the sign itself")
            else:
                target.append(Words(token[0] if token in ("{{", "}}", "[[", "]]") else token))
            self._advance(token)
            at += 1
        if inside is not None:
            self._line, self._column = self._opened
            self._refuse("the section is never closed", "close it with ] or write [[ for the sign itself")
        return tuple(pieces)

    def _field(self, following: list[str]) -> Field:
        name = following[0] if following else ""
        if len(following) < 2 or following[1] != "}" or not _FIELD.match(name):
            self._refuse("{ does not open a field", "write {title}, or {{ for the sign itself")
        lower = name[:1].lower() + name[1:]
        right = self._known(lower)
        if right is not None:
            self._refuse(f'there is no field "{name}"', right)
        return Field(lower, capital=name[0].isupper())

    def _advance(self, token: str) -> None:
        if "\n" in token:
            self._line += token.count("\n")
            self._column = len(token) - token.rindex("\n")
        else:
            self._column += len(token)

    def _refuse(self, what: str, right: str) -> None:
        raise BenchError(f"column {self._column}: {what}", self._where, right, line=self._line)
