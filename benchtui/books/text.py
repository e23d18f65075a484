"""TOML as the bench writes it by itself, and a file of it put in place as a whole."""

import json
import os
import re
import tempfile
from collections.abc import Callable, Mapping, Sequence
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


def put_back(path: Path, data: bytes | None) -> None:
    """The book as it was: these bytes, or no file at all (None). BenchError where that cannot be written."""
    if data is not None:
        replace_file(path, data.decode("utf-8"))
        return
    try:
        path.unlink(missing_ok=True)
    except OSError as error:
        raise BenchError(f"cannot be removed: {error.strerror or error}", path) from None


def ends_alike(old: str, new: str) -> tuple[int, int]:
    """How many signs two texts have in common at their beginning, and how many of the rest at their end."""
    most = min(len(old), len(new))
    head = _alike(most, lambda low, high: old[low:high] == new[low:high])
    end, over = len(old), len(new) - len(old)
    tail = _alike(
        most - head,
        lambda low, high: old[end - high : end - low] == new[end + over - high : end + over - low],
    )
    return head, tail


def _alike(most: int, same: Callable[[int, int], bool]) -> int:
    """The greatest number up to ``most`` of which every stretch from ``low`` to ``high`` is the same."""
    at, step = 0, 1 << 16
    while step:
        while at + step <= most and same(at, at + step):
            at += step
        step //= 2
    return at
