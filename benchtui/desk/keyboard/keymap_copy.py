"""A copy of a keymap to be changed: what each key does beside it in words, what has no key below."""

import re
from collections.abc import Iterator

from benchtui.desk.core.command import WHERES, by_id, commands

_TABLE = re.compile(r"\s*\[\s*(\w+)\s*\]\s*(?:#.*)?")
_KEYS = re.compile(r"\s*([\w-]+)\s*=")
WORDS_AT = 34
"""The column at which the words begin."""
HEAD = """\
# {name}: made from the map {of}. Change the keys; save; `benchtui check` names every mistake with its line.
# `benchtui --keymap {name}` opens the bench with it.
#
# The key named first is the one shown on the screen. Letters and digits stand as themselves ("a", "1"),
# signs too (";" "/"), others by name: "f1" to "f12", "tab", "space", "enter", "escape", "insert", "delete",
# "home", "end", "pageup", "pagedown", "up", "down", "left", "right", "backspace", "ctrl+a". A key has one
# use in each table, and where text is typed ([line], [any]) no key may be one that types. A command taken
# out of [bench] is still found by typing its word in the list of all commands.

"""
GRADES = """
# The scale's letters grade the part in hand. [grades] moves them: a grade and its key, "" for none.
#
# [grades]
# VG = "v"
"""


def commented(source: str, of: str, name: str) -> str:
    """The text of a map, under its new name, which is read as the same keys. ``of``: the name it had."""
    lines: list[str] = []
    table = ""
    for line in source.splitlines():
        found = _TABLE.fullmatch(line)
        if found:
            _close(lines, table, source)
            table = found[1]
        lines.append(
            f'name = "{name}"' if not table and _key_of(line) == "name" else _with_words(line, table)
        )
    _close(lines, table, source)
    text = "\n".join(lines).rstrip() + "\n"
    if not re.search(r"^\s*name\s*=", text, re.MULTILINE):
        text = f'name = "{name}"\n{text}'
    return HEAD.format(name=name, of=of) + text + ("" if "[grades]" in source else GRADES)


def _key_of(line: str) -> str:
    found = _KEYS.match(line)
    return found[1] if found else ""


def _with_words(line: str, table: str) -> str:
    """The line with what its command does behind it, where it is whole and says nothing itself."""
    action = by_id().get(_key_of(line))
    whole = line.rstrip().endswith(("]", '"', "'"))
    if action is None or action.where != table or not whole:
        return line
    return f"{line.rstrip():<{WORDS_AT - 2}}  # {action.words}"


def _close(lines: list[str], table: str, source: str) -> None:
    """Below a table, as comments, the commands it has no key for; in front of its empty lines."""
    if table not in WHERES:
        return
    behind = []
    while lines and not lines[-1].strip():
        behind.append(lines.pop())
    lines.extend(_without_keys(table, source))
    lines.extend(behind)


def _without_keys(table: str, source: str) -> Iterator[str]:
    written = {_key_of(line) for line in source.splitlines()}
    missing = [one for one in commands() if one.where == table and one.id not in written]
    if missing:
        yield "# without a key in this map:"
    for action in missing:
        line = f'# {action.id} = [""]'
        yield f"{line:<{WORDS_AT - 2}}  # {action.words}"
