"""Editing one line of text by keys: a cursor, a marked stretch, what to show of it in so many cells."""

import re
from collections.abc import Callable

from rich.cells import cell_len, set_cell_size

_WORD = re.compile(r"(?<=\W)\w")


class Editor:
    """``value`` with the cursor before ``value[at]``; the text between ``mark`` and ``at`` is marked."""

    def __init__(self) -> None:
        self.value = ""
        self.at = self.mark = 0
        self.clip = ""
        """What was cut or copied last."""
        self._first = 0

    def put(self, text: str, whole: bool = False) -> None:
        """Another text, the cursor at its end; ``whole``: all of it marked, so that typing replaces it."""
        self.value, self.at = text, len(text)
        self.mark = 0 if whole else self.at

    @property
    def stands(self) -> tuple[str, int, int]:
        """The text, the cursor and the other end of what is marked."""
        return self.value, self.at, self.mark

    def press(self, key: str) -> bool:
        """What the key does to the text or its cursor. False for a key that edits nothing."""
        if key in _MOVES:
            self._move(_MOVES[key](self), keep=False)
        elif key in _MARKS:
            self._move(_MARKS[key](self), keep=True)
        elif key in _DELETES:
            start, end = self.marked() if self.mark != self.at else _DELETES[key](self)
            self.replace("", start, end)
        elif key == "ctrl+shift+a":
            self.mark, self.at = 0, len(self.value)
        elif key in ("ctrl+x", "ctrl+c", "super+c"):
            self._copy(cut=key == "ctrl+x")
        elif key == "ctrl+v":
            self.replace(self.clip, *self.marked())
        else:
            return False
        return True

    def marked(self) -> tuple[int, int]:
        """Where the marked stretch begins and ends; both at the cursor where nothing is marked."""
        return min(self.mark, self.at), max(self.mark, self.at)

    def replace(self, text: str, start: int, end: int) -> None:
        """Puts a text in the place of another; the cursor stands behind it."""
        self.value = self.value[:start] + text + self.value[end:]
        self.at = self.mark = start + len(text)

    def place_at(self, cells: int, keep: bool = False) -> None:
        """The cursor to the letter shown so many cells from the left."""
        at = self._first
        while at < len(self.value) and cells >= cell_len(self.value[at]):
            cells -= cell_len(self.value[at])
            at += 1
        self._move(at, keep)

    def shown(self, width: int) -> list[tuple[str, str]]:
        """As much as fits, the cursor always in sight; the styles are ``line``, ``chosen``, ``cursor``."""
        self._first = min(max(self._first, self.at - width), self.at)
        while self._first < self.at and cell_len(f"{self.value} "[self._first : self.at + 1]) > width:
            self._first += 1
        while 0 < self._first > len(self.value) - width and cell_len(self.value[self._first - 1 :]) < width:
            self._first -= 1  # in a line that has become wider no cell stays empty
        start, end = self.marked()
        text = f"{self.value[: self._first + width]} "
        pieces: list[tuple[str, str]] = []
        for first, last, style in ((0, start, "line"), (start, end, "chosen"), (end, len(text), "line")):
            for a, b in ((first, min(self.at, last)), (max(first, self.at), last)):
                a = max(a, self._first)
                if a == self.at and a < b:
                    pieces.append((text[a], "cursor"))
                    a += 1
                if a < b and text[a:b]:
                    pieces.append((text[a:b], style))
        return _fitted(pieces, width)

    def _move(self, at: int, keep: bool) -> None:
        self.at = at
        self.mark = self.mark if keep else at

    def _copy(self, cut: bool) -> None:
        start, end = self.marked()
        self.clip = self.value[start:end] or self.clip
        if cut:
            self.replace("", start, end)

    def _left(self) -> int:
        return max(0, self.at - 1)

    def _right(self) -> int:
        return min(len(self.value), self.at + 1)

    def _word_left(self) -> int:
        return max((hit.start() for hit in _WORD.finditer(self.value[: self.at])), default=0)

    def _word_right(self) -> int:
        hit = _WORD.search(self.value, self.at + 1)
        return hit.start() if hit else len(self.value)


def _fitted(pieces: list[tuple[str, str]], width: int) -> list[tuple[str, str]]:
    """Exactly ``width`` cells."""
    kept: list[tuple[str, str]] = []
    for text, style in pieces:
        size = cell_len(text)
        kept.append((text if size <= width else set_cell_size(text, width), style))
        width -= min(size, width)
        if not width:
            return kept
    return [*kept, (" " * width, "line")]


def _home(_: Editor) -> int:
    return 0


def _end(editor: Editor) -> int:
    return len(editor.value)


_MOVES: dict[str, Callable[[Editor], int]] = {
    "left": Editor._left,
    "right": Editor._right,
    "ctrl+left": Editor._word_left,
    "ctrl+right": Editor._word_right,
    "home": _home,
    "ctrl+a": _home,
    "end": _end,
    "ctrl+e": _end,
}
_MARKS: dict[str, Callable[[Editor], int]] = {
    "shift+left": Editor._left,
    "shift+right": Editor._right,
    "ctrl+shift+left": Editor._word_left,
    "ctrl+shift+right": Editor._word_right,
    "shift+home": _home,
    "shift+end": _end,
}
_DELETES: dict[str, Callable[[Editor], tuple[int, int]]] = {
    "backspace": lambda editor: (editor._left(), editor.at),
    "delete": lambda editor: (editor.at, editor._right()),
    "ctrl+d": lambda editor: (editor.at, editor._right()),
    "ctrl+w": lambda editor: (editor._word_left(), editor.at),
    "ctrl+u": lambda editor: (0, editor.at),
    "super+backspace": lambda editor: (0, editor.at),
    "ctrl+backspace": lambda editor: (editor.at, editor._word_right()),
    "alt+backspace": lambda editor: (editor.at, editor._word_right()),
    "ctrl+k": lambda editor: (editor.at, len(editor.value)),
}
