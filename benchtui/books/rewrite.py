"""One piece of a book's text changed through tomlkit, so that its comments and order stay."""

import re
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from benchtui.base.errors import BenchError
from benchtui.books.blocks import Piece
from benchtui.books.text import table_text

if TYPE_CHECKING:
    from tomlkit.items import InlineTable, Item

_DOTTED = re.compile(r"[ \t]*expect[ \t]*\.[ \t]*")


def kept_words(table: dict[str, Any], held: dict[str, Any]) -> dict[str, Any]:
    """The table with what it expects of a clue as it is written already, where that means the same."""
    if not isinstance(table.get("expect"), Mapping) or not isinstance(held.get("expect"), Mapping):
        return table
    there = held["expect"]
    words = {
        clue: there[clue] if clue in there and _words(there[clue]) == _words(value) else value
        for clue, value in table["expect"].items()
    }
    return table | {"expect": words}


def _words(value: Any) -> Any:
    return {value: "always"} if isinstance(value, str) else value


def written(path: tuple[str, ...], table: dict[str, Any]) -> str:
    """A table as a piece of a book's text."""
    said = {name: value for name, value in table.items() if value not in ({}, [])}
    return table_text(path, said, array=path != ("book",))


def rewritten(piece: Piece, table: dict[str, Any], path: Path) -> str:
    """The piece's text saying what the table says, its comments and order kept."""
    import tomlkit

    table = {name: value for name, value in table.items() if value != {}}
    body, tail = piece.parted()
    if table.get("expect") != piece.table.get("expect"):
        body = _under_headers(body, piece.path)
    document: Any = tomlkit.parse(body)
    held: Any = document
    for name in piece.path:
        held = held[name]
    _sync(held[0] if isinstance(held, list) else held, table)
    text = tomlkit.dumps(document)
    if not text.endswith("\n"):
        text += "\n"
    if Piece(piece.path, text).table == table:
        return text + tail
    # What tomlkit cannot write in its place is written plainly; the comments above stay.
    plain = body[: body.index("[")] + written(piece.path, table)
    if Piece(piece.path, plain).table != table:
        raise BenchError("cannot be edited there", path, "change it in a text editor")
    return plain + tail


def _under_headers(body: str, path: tuple[str, ...]) -> str:
    """``expect.clue = ...`` under a header of its own: tomlkit loses its way among dotted keys."""
    lines = body.splitlines(keepends=True)
    dotted = [line for line in lines if _DOTTED.match(line)]
    if not dotted:
        return body
    rest = "".join(line for line in lines if not _DOTTED.match(line))
    moved = "".join(line[found.end() :] for line in dotted if (found := _DOTTED.match(line)))
    changed = f"{rest.rstrip()}\n[{'.'.join(path)}.expect]\n{moved}"
    return changed if Piece(path, changed).table == Piece(path, body).table else body


def _sync(held: Any, wanted: Mapping[str, Any]) -> None:
    """Makes a table of tomlkit say what is wanted, touching only what differs."""
    for name in [name for name in held if name not in wanted]:
        del held[name]
    for name, value in wanted.items():
        there = held.get(name)
        if there is None:
            held[name] = _item(value)
        elif isinstance(value, Mapping) and isinstance(there, dict):
            _sync(there, value)
        elif isinstance(there, list) and _tables(value) and all("id" in one for one in [*value, *there]):
            _sync_list(there, value)
        elif there != value:
            held[name] = _item(value)


def _tables(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(one, Mapping) for one in value)


def _sync_list(held: Any, wanted: list[Mapping[str, Any]]) -> None:
    """Inline tables in a list, told by their ids."""
    ids = [one.get("id") for one in wanted]
    for at in reversed(range(len(held))):
        if held[at].get("id") not in ids:
            del held[at]
    there = {one.get("id"): one for one in held}
    for one in wanted:
        if one.get("id") in there:
            _sync(there[one.get("id")], one)
        elif "\n" in held.as_string():
            held.add_line(_item(one))
        else:
            held.append(_item(one))


def _item(value: Any) -> "Item":
    """A value as it is written in a book: tables inline."""
    import tomlkit

    if isinstance(value, Mapping):
        table: InlineTable = tomlkit.inline_table()
        for name, inner in value.items():
            table.append(name, _item(inner))
        return table
    if isinstance(value, (list, tuple)):
        array = tomlkit.array()
        for inner in value:
            array.append(_item(inner))
        return array
    item: Item = tomlkit.item(value)
    return item
