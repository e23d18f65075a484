"""Typing in the open line: text, cursor and what is marked, held here; a screen only shows them.

The keymap's line keys go to the bench first, what is left edits the text. Whatever changed is kept (see
``type_text``) before anybody can show it.
"""

from benchtui.desk.core.desk import Desk, OpenLine
from benchtui.desk.keyboard.likely_meant import say_behind_line
from benchtui.desk.keyboard.press import press
from benchtui.desk.line.editor import Editor
from benchtui.desk.line.lines import LINES, refuses_paste, type_text

TAKES_LINES = ("sender-list",)
"""Lines that take a paste of several lines as it is."""


class Typing:
    """The hands at one desk: every key and every paste comes here, one after another."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self.editor = Editor()
        self._shown: OpenLine | None = None

    def key(self, key: str, char: str | None, at: float | None = None) -> None:
        """A key by its name, with the character it types, if any, and when it came (see ``press``)."""
        line = self.desk.open.line if self.desk.open.scope == "line" else None
        if line is None:
            press(self.desk, key, at)
            return
        self.follow()
        if key == "backspace" and not line.text and self._backspace(line):
            return
        if press(self.desk, key, at):
            return
        if char is not None and char.isprintable():
            self.editor.replace(char, *self.editor.marked())
        else:
            before = self.editor.stands
            if not self.editor.press(key) or self.editor.stands == before:
                say_behind_line(self.desk, key)
                return
        self._keep()

    def paste(self, text: str) -> None:
        """What was pasted; into no line it is refused, never typed as commands."""
        # terminals paste a break as the sign of the Enter key
        text = text.replace("\r\n", "\n").replace("\r", "\n")
        line = self.desk.open.line if self.desk.open.scope == "line" else None
        if line is None:
            self.desk.refuse("open a line before you paste")
        elif refuses_paste(self.desk, text):
            pass
        elif line.name in TAKES_LINES and "\n" in text.strip():
            line.text = text
            LINES[line.name].accept(self.desk, line)
        elif text:
            self.follow()
            self.editor.replace(joined(text), *self.editor.marked())
            self._keep()

    def place_at(self, cells: int) -> None:
        """The cursor to the letter shown so many cells from the left of the line."""
        if self.desk.open.line is not None:
            self.follow()
            self.editor.place_at(cells)

    def follow(self) -> None:
        """Take up the text that the desk holds, where it is another than was typed here last."""
        line = self.desk.open.line
        if line is None:
            self.editor.put("")
        elif self.editor.value != line.text or line is not self._shown:
            self.editor.put(line.text, whole=line.replace)  # a new line is marked even with the same text
        self._shown = line

    def _backspace(self, line: OpenLine) -> bool:
        step = LINES[line.name].backspace
        if step is None:
            return False
        step(self.desk, line)
        return True

    def _keep(self) -> None:
        line = self.desk.open.line
        if line is not None and self.editor.value != line.text:
            self.desk.count_key()
            type_text(self.desk, self.editor.value)


def joined(text: str) -> str:
    """Pasted lines as one: breaks become `` / `` so that nothing is lost and nothing is submitted."""
    return " / ".join(line.strip() for line in text.splitlines() if line.strip())
