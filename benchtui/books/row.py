"""One table of a TOML file, read value by value; what is wrong is collected, not raised.

A reader asks for what it needs and goes on with a harmless value after a fault, so that ``benchtui
check`` can tell every fault of a file at once. Opening a book raises the first one.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import pairwise
from math import isfinite
from pathlib import Path
from typing import Any, NamedTuple

from benchtui.base.errors import BenchError
from benchtui.books.toml_file import Lines, Path_
from benchtui.model.span import Dated, Span, hull, parse_dated


class Problem(NamedTuple):
    """One thing that is wrong with a file: where (a clue, a title ...), what, and what would be right."""

    file: str
    line: int | None
    where: str
    what: str
    right: str = ""

    def error(self) -> BenchError:
        """The same as the one error a command ends with."""
        what = f"{self.where}: {self.what}" if self.where else self.what
        return BenchError(what, self.file, self.right, self.line)

    def one_line(self) -> str:
        """``file:line: where: what; what would be right``."""
        return self.error().one_line()


@dataclass
class Faults:
    """The problems of one file; lines are looked up when asked for, since most files have none."""

    path: Path
    source: Callable[[], str]
    _found: list[tuple[Path_, str, str, str]] = field(default_factory=list)

    def add(self, path: Path_, where: str, what: str, right: str = "") -> None:
        """Notes a fault at a place in the file."""
        self._found.append((path, where, what, right))

    def places(self) -> list[Path_]:
        """Where in the file the faults are."""
        return [at for at, *_ in self._found]

    def __bool__(self) -> bool:
        return bool(self._found)

    def problems(self) -> list[Problem]:
        """The faults with their lines, in the file's order."""
        if not self._found:
            return []
        lines = Lines(self.source())
        found = [Problem(str(self.path), lines.of(at), *said) for at, *said in self._found]
        return sorted(found, key=lambda problem: problem.line or 0)

    def raise_first(self) -> None:
        """Raises the first fault, if there is any, as a BenchError."""
        for problem in self.problems()[:1]:
            raise problem.error()


class Row:
    """A table: typed access by key, each fault told with its place; ``done`` tells keys nobody knows."""

    def __init__(self, table: dict[str, Any], faults: Faults, path: Path_ = (), where: str = "") -> None:
        self.table = table
        self.faults = faults
        self.path = path
        self.where = where
        self._asked: set[str] = set()

    def wrong(self, key: str, what: str, right: str = "", *, at: Path_ = ()) -> None:
        """Notes a fault of that key, or of what stands ``at`` within it."""
        self.faults.add((*self.path, key, *at), self.where, what, right)

    def has(self, key: str) -> bool:
        """Whether the table gives that key."""
        return key in self.table

    def _lacks(self, key: str) -> bool:
        """Whether the key, asked for herewith, is not given: true of most keys of most tables."""
        self._asked.add(key)
        return key not in self.table

    def _get(self, key: str, kinds: tuple[type, ...], default: Any, right: str) -> Any:
        if self._lacks(key):
            return default
        value = self.table[key]
        if not isinstance(value, kinds) or (isinstance(value, bool) and bool not in kinds):
            self.wrong(key, f"{key} = {value!r} is of the wrong kind", right)
            return default
        return value

    def text(self, key: str, default: str = "") -> str:
        """A text."""
        if self._lacks(key):
            return default.strip()
        return str(self._get(key, (str,), default, f'write {key} = "..."')).strip()

    def need(self, key: str) -> str:
        """A text that must be there and not be empty."""
        value = self.text(key)
        if not value and not (key in self.table and not isinstance(self.table[key], str)):
            self.faults.add((*self.path, key), self.where, f"{key} is missing", f'write {key} = "..."')
        return value

    def flag(self, key: str) -> bool:
        """true or false; false where it is not given."""
        return not self._lacks(key) and bool(
            self._get(key, (bool,), False, f"write {key} = true or {key} = false")
        )

    def number(self, key: str, default: float | None = None, low: float | None = None) -> float | None:
        """A number, at least ``low``."""
        if self._lacks(key):
            return None if default is None else float(default)
        value = self._get(key, (int, float), default, f"write {key} = a number without quotes")
        if value is not None and not isfinite(value):
            self.wrong(key, f"{key} = {value} is not a usable number", "write digits")
            return default
        if value is not None and low is not None and value < low:
            self.wrong(key, f"{key} = {value} is too small", f"at least {low:g}")
            return default
        return None if value is None else float(value)

    def whole(self, key: str, default: int, low: int = 0) -> int:
        """A whole number, at least ``low``."""
        value = self._get(key, (int,), default, f"write {key} = a whole number without quotes")
        if value < low:
            self.wrong(key, f"{key} = {value} is too small", f"write {low} or more")
            return default
        return int(value)

    def choice(self, key: str, allowed: Sequence[str], default: str) -> str:
        """One of a few words."""
        value = self.text(key, default)
        if value not in allowed:
            self.wrong(key, f"{key} = {value!r} is not known", one_of(value, allowed))
            return default
        return value

    def span(self, key: str) -> Span | None:
        """A span in EDTF, or None where the key is not given."""
        text = self.text(key)
        try:
            return hull(_dated(text).spans) if text else None
        except ValueError as error:
            self.wrong(key, f"{key}: {error}")
            return None

    def spans(self, key: str) -> tuple[Span, ...]:
        """One span in EDTF, or a list of spans apart from each other and in order; none where not given."""
        if not isinstance(self.table.get(key), list):
            return () if self.span(key) is None else _dated(self.text(key)).spans
        try:
            found = tuple(span for text in self.texts(key) for span in _dated(text).spans)
        except ValueError as error:
            self.wrong(key, f"{key}: {error}")
            return ()
        for one, two in pairwise(found):
            if one.latest is None or two.earliest is None or one.latest >= two.earliest:
                what = f"{key}: {two.edtf() or 'nothing'} does not begin after {one.edtf() or 'nothing'} ends"
                self.wrong(key, what, "write spans in order with gaps between, or one span over both")
                return ()
        return found

    def is_unsure(self, key: str) -> bool:
        """Whether a date is marked approximate or uncertain: ``1967~``, ``1967?``."""
        value = self.table.get(key)
        try:
            return any(_dated(text).soft for text in (value if isinstance(value, list) else [value or ""]))
        except (ValueError, AttributeError):
            return False

    def texts(self, key: str) -> tuple[str, ...]:
        """A list of texts."""
        value = self._get(key, (list,), [], f'write {key} = ["...", "..."]')
        if not all(isinstance(entry, str) for entry in value):
            self.wrong(key, f"{key} holds something that is not text", f'write {key} = ["...", "..."]')
            return ()
        return tuple(value)

    def wholes(self, key: str) -> tuple[int, ...]:
        """A list of whole numbers."""
        value = self._get(key, (list,), [], f"write {key} = [7, 12]")
        if not all(isinstance(entry, int) and not isinstance(entry, bool) for entry in value):
            self.wrong(key, f"{key} has something that is not a whole number", f"write {key} = [7, 12]")
            return ()
        return tuple(value)

    def map(self, key: str) -> dict[str, Any]:
        """A table as it stands."""
        return dict(self._get(key, (dict,), {}, f"write a table [{key}] or {key} = {{ ... }}"))

    def list(self, key: str) -> list[Any]:
        """A list as it stands."""
        return list(self._get(key, (list,), [], f"write {key} = [...]"))

    def one(self, key: str) -> "Row":
        """The table of that name, empty where it is missing."""
        return Row(self.map(key), self.faults, (*self.path, key), self.where)

    def rows(self, key: str) -> Iterator["Row"]:
        """The tables of that name, each told by its id."""
        entries = self._get(key, (list,), [], f"write [[{key}]] with two brackets before each entry")
        for index, entry in enumerate(entries):
            if not isinstance(entry, dict):
                self.wrong(key, f"entry {index + 1} of {key} is not a table", f"write [[{key}]] before each")
                continue
            name = str(entry.get("id") or entry.get("prefix") or index + 1)
            where = f"{self.where}, {key} {name}" if self.where else f"{key} {name}"
            yield Row(entry, self.faults, (*self.path, key, index), where)

    def done(self) -> None:
        """Tells every key that nobody asked for: a slip of the pen would otherwise be lost in silence."""
        for key in self.table:
            if key not in self._asked:
                self.wrong(key, f"{key!r} is not known here", one_of(key, sorted(self._asked)))


@lru_cache(maxsize=1024)
def _dated(text: str) -> Dated:
    """Books say the same few spans again and again."""
    return parse_dated(text)


def one_of(given: str, allowed: Sequence[str]) -> str:
    """What would be right: the nearest of the allowed words, else the first dozen of them."""
    from difflib import get_close_matches  # only once something is wrong

    near = get_close_matches(given, allowed, 1)
    if near:
        return f"did you mean {near[0]!r}?"
    return "one of " + ", ".join(allowed[:12]) + (" ..." if len(allowed) > 12 else "")
