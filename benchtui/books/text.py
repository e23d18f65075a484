"""TOML as the bench writes it by itself, and a file of it put in place as a whole."""

import json
import os
import re
import tempfile
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from benchtui.base.errors import BenchError

_BARE = re.compile(r"[A-Za-z0-9_-]+")


def table_text(path: Sequence[str], table: Mapping[str, Any], *, array: bool = True) -> str:
    """A table under its header, a line a field; what to expect of clues under a header of its own."""
    name = ".".join(path)
    expect = table.get("expect") or {}
    lines = [f"[[{name}]]" if array else f"[{name}]"]
    lines += [f"{key(one)} = {_value(value)}" for one, value in table.items() if one != "expect"]
    if expect:
        lines += [f"[{name}.expect]", *(f"{key(clue)} = {_value(words)}" for clue, words in expect.items())]
    return "\n".join(lines) + "\n"


def key(name: str) -> str:
    """A key, in quotes where it needs them."""
    return name if _BARE.fullmatch(name) else text_value(name)


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{key(name)} = {_value(inner)}" for name, inner in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(_value(inner) for inner in value) + "]"
    if isinstance(value, (int, float)):
        return f"{value:g}" if float(value).is_integer() else repr(float(value))
    return text_value(str(value))


def text_value(text: str) -> str:
    """A TOML basic string: JSON's escapes are TOML's too, but for DEL, which TOML wants escaped."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def replace_file(path: Path, text: str) -> None:
    """Writes beside, flushes to the disk, renames over. BenchError where the folder cannot be written."""
    try:
        path.parent.mkdir(exist_ok=True)  # never the shop above it, which may have gone
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=path.name, suffix=".new")
        try:
            with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as stream:
                stream.write(text)
                stream.flush()
                os.fsync(stream.fileno())
            os.replace(name, path)
        except OSError:
            Path(name).unlink(missing_ok=True)
            raise
    except OSError as error:
        what = f"cannot be written: {error.strerror or error}"
        raise BenchError(what, path, "choose a folder you can write to") from None
