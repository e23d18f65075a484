"""Where a new book or keymap goes."""

from pathlib import Path

from benchtui.base.errors import BenchError
from benchtui.model.filename import name_fault


def new_file(name: str, folder: Path, what: str) -> Path:
    """Its path. BenchError for a name that cannot be a file's or is taken."""
    path = folder / f"{name}.toml"
    if not name.replace("-", "").isalnum():
        raise BenchError(f"'{name}' cannot be a file's name", f"{what} new", "use letters, digits and dashes")
    if fault := name_fault(path.name):
        raise BenchError(fault, f"{what} new", "another name")
    if path.exists():
        raise BenchError(f"there is already a {what} of that name", path, "another name")
    return path
