"""A path as a person types it."""

import os
from pathlib import Path

from benchtui.base.errors import BenchError


def path_from(text: Path | str, right: str = "write the whole path") -> Path:
    """The path meant, ``~`` the home folder. BenchError for what can be no path, ``right`` with it."""
    try:
        path = Path(text).expanduser()
        if b"\0" in os.fsencode(path):
            raise ValueError("it has a NUL character")
    except (ValueError, RuntimeError) as error:  # RuntimeError: nobody has that name, or no home folder
        raise BenchError(f"this is not a path: {error}".rstrip("."), ascii(str(text))[:100], right) from error
    return path
