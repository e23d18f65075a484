"""Keymaps: which key does what, read from TOML and checked before anything uses it.

Textual accepts unknown names, undeliverable keys and clashes in silence, so all of that is
refused here: an unknown scope or action, a key no terminal sends, one key for two things in
one scope (the grading scale's letters count as bench keys), a printable key for what must
work while text is typed.
"""

import re
from collections.abc import Iterable
from pathlib import Path

from benchtui.base.errors import BenchError
from benchtui.base.reading import read_text, toml_of
from benchtui.base.shipped import shipped
from benchtui.books.cache import shipped_toml
from benchtui.desk.core.command import WHERES, by_id, command_of, commands
from benchtui.desk.core.keymap import Keymap
from benchtui.desk.core.keys import SIGNS, is_deliverable, is_printable, key_name
from benchtui.model.grade import Scale

GRADE = "grade:"
MOST_BYTES = 1_000_000
PASSED_OVER = {"layouts"}
"""Fields of older versions, which a shop's own map may still have."""
COMMENT = re.compile(r"(^|\s)#.*")
"""Of a line of a keymap; the sign as a key has its quotation mark before it."""


def load_keymap(path: Path, scale: Scale | None) -> Keymap:
    """Read and check a keymap file. Raises BenchError with file, line and the two uses of a clash."""
    text = read_text(path, MOST_BYTES, "name a keymap that exists")
    reader = _Reader(path, text, scale)
    return reader.read(shipped_toml(text, path) if reader.shipped else toml_of(text, path))


class _Reader:
    """One reading of one file; keeps the text to find line numbers for messages."""

    def __init__(self, path: Path, text: str, scale: Scale | None) -> None:
        self.path, self.scale = path, scale
        self.shipped = path.parent == shipped("keymaps")
        """A test holds those to the commands there are: a start need not learn every command for it."""
        self.lines = text.splitlines()
        self.uses: dict[str, dict[str, str]] = {scope: {} for scope in WHERES}
        self.keys: dict[str, tuple[str, ...]] = {}

    def fail(self, what: str, right: str, needle: str) -> BenchError:
        return BenchError(what, self.path, right, line=self._line(needle))

    def _line(self, needle: str) -> int | None:
        """The first line with the name or key: the whole of it, and not as a word of a comment."""
        whole = re.compile(rf"(?<![\w-]){re.escape(needle)}(?![\w-])")
        for number, line in enumerate(self.lines, 1):
            if whole.search(COMMENT.sub("", line)):
                return number
        return None

    def read(self, table: dict[str, object]) -> Keymap:
        allowed = {"name", "about", "one_hand", "grades", *WHERES}
        for name in table:
            if name not in allowed | PASSED_OVER:
                raise self.fail(
                    f"unknown table or field '{name}'", f"known are {', '.join(sorted(allowed))}", name
                )
        self.one_hand = table.get("one_hand", False)
        if not isinstance(self.one_hand, bool):
            raise self.fail("'one_hand' is neither true nor false", "write one_hand = true", "one_hand")
        for scope in WHERES:
            part = table.get(scope, {})
            if not isinstance(part, dict):
                raise self.fail(
                    f"[{scope}] is not a table", "write [" + scope + "] and lines of action = keys", scope
                )
            self._scope(scope, part)
        self._grades(table.get("grades", {}))
        self._across_scopes()
        return Keymap(
            name=str(table.get("name", self.path.stem)),
            about=str(table.get("about", "")),
            uses=self.uses,
            keys=self.keys,
            short=lambda action: command_of(action).short,
            stem=self.path.stem,
            one_hand=bool(self.one_hand),
        )

    def _scope(self, scope: str, part: dict[str, object]) -> None:
        for action, value in part.items():
            known = None if self.shipped else by_id().get(action)
            if not self.shipped and (known is None or known.where != scope):
                hint = f"it belongs in [{known.where}]" if known else _nearest(action, scope)
                raise self.fail(f"unknown action '{action}' in [{scope}]", hint, action)
            keys = [value] if isinstance(value, str) else value
            if not isinstance(keys, list) or not all(isinstance(key, str) for key in keys):
                raise self.fail(
                    f"'{action}' needs a key or a list of keys", 'such as ["u", "ctrl+u"]', action
                )
            self.keys[action] = tuple(self._claim(scope, action, str(key)) for key in keys)

    def _claim(self, scope: str, use: str, written: str) -> str:
        key = key_name(written)
        if not is_deliverable(key):
            raise self.fail(
                f"key '{written}' of '{use}' never arrives from a plain terminal",
                "use a lower-case letter, a digit, a sign, F1-F12, an arrow, Tab, or ctrl with a letter "
                "but c i h j m q s z",
                f'"{written}"' if written != '"' else written,
            )
        if scope in ("line", "any") and is_printable(key) and not self._spared(scope, use, key):
            raise self.fail(
                f"key '{written}' of '{use}' is needed for typing text",
                "use a function key, an arrow, Tab, Enter, Escape or ctrl with a letter",
                use,
            )
        other = self.uses[scope].get(key)
        if other is not None and other != use:
            raise self.fail(
                f"key '{written}' has two uses in [{scope}]: '{other}' and '{use}'",
                "give one of them another key",
                use,
            )
        self.uses[scope][key] = use
        return key

    def _spared(self, scope: str, use: str, key: str) -> bool:
        """The help may have a sign, which asks in an empty line only. And a number pad has nothing but what
        types: two signs that no figure or price needs are its map's.
        """
        if scope == "line" and use == "line-help":
            return key in SIGNS
        return scope == "line" and bool(self.one_hand) and key in ("plus", "asterisk")

    def _grades(self, own: object) -> None:
        """The scale's letters are bench keys; [grades] of the map may move them to others."""
        if self.scale is None:
            return
        moved = own if isinstance(own, dict) else {}
        for grade in self.scale.grades:
            if grade.shade:
                continue
            written = str(moved.get(grade.id, grade.key))
            if not written:
                continue
            key, use = key_name(written), f"{GRADE}{grade.id}"
            other = self.uses["bench"].get(key)
            if other is not None and other != use:
                raise self.fail(
                    f"key '{written}' has two uses in [bench]: '{other}' and grade {grade.id} "
                    f"of scale '{self.scale.id}'",
                    f"give '{other}' another key",
                    other,
                )
            self.uses["bench"][key] = use
            self.keys[use] = (key,)

    def _across_scopes(self) -> None:
        for key, use in self.uses["any"].items():
            for scope in WHERES[1:]:
                other = self.uses[scope].get(key)
                if other:
                    raise self.fail(
                        f"key '{key}' has two uses: '{use}' everywhere and '{other}' in [{scope}]",
                        "give one of them another key",
                        other,
                    )


def _nearest(action: str, scope: str) -> str:
    from rapidfuzz import process

    names: Iterable[str] = [known.id for known in commands() if known.where == scope]
    return f"the nearest is '{process.extractOne(action, list(names))[0]}'"


def find_keymap(name: str, folders: Iterable[Path]) -> Path:
    """The file of a keymap by name, the shop's own first, or by path. BenchError names those there are."""
    given = Path(name)
    if given.suffix == ".toml" and given.is_file():
        return given
    seen: list[str] = []
    for folder in folders:
        for path in sorted(folder.glob("*.toml")) if folder.is_dir() else []:
            seen.append(path.stem)
            if path.stem == name:
                return path
    raise BenchError(f"no keymap '{name}'", "--keymap", "there are: " + ", ".join(dict.fromkeys(seen)))
