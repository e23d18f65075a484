"""What the program keeps for itself in the user's cache folder: it can be thrown away at any time."""

import json
import os
import tempfile
from hashlib import blake2b
from pathlib import Path
from typing import Any

import platformdirs

from benchtui.base.reading import toml_of


def cache_folder() -> Path:
    return Path(platformdirs.user_cache_dir("benchtui", appauthor=False)) / "books"


def shipped_toml(text: str, path: Path) -> dict[str, Any]:
    """The table of a TOML text that came with the program, kept as JSON, which is read forty times as fast.

    It goes by the text alone, so that a new version of the file is another. BenchError as ``toml_of``.
    """
    place = cache_folder() / f"{blake2b(text.encode(), digest_size=12).hexdigest()}.json"
    try:
        return dict(json.loads(place.read_bytes()))
    except (OSError, ValueError, TypeError, RecursionError):  # none yet, or not whole
        table = toml_of(text, path)
        write_whole(place, json.dumps(table).encode())
        return table


def write_whole(place: Path, whole: bytes) -> bool:
    """Puts the file in place as a whole; False where that cannot be done."""
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=place.parent, prefix=place.name)
    except OSError:
        return False
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(whole)
        os.replace(name, place)
        return True
    except OSError:
        Path(name).unlink(missing_ok=True)
        return False
