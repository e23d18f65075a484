"""The words of the help key, read from help.toml when they are first asked for."""

import tomllib
from functools import cache
from pathlib import Path

FILE = Path(__file__).with_name("help.toml")


@cache
def meanings() -> dict[str, dict[str, str]]:
    """Tables ``lines``, ``menus``, ``places``, ``sure``, ``questions``, ``rows``: name to words."""
    tables: dict[str, dict[str, str]] = tomllib.loads(FILE.read_text(encoding="utf-8"))
    return tables


def meaning(table: str, name: str) -> str:
    """The words of that name; "" where there are none. ``{sure}`` in them is what firm and soft mean."""
    words = meanings()
    return words[table].get(name, "").replace("{sure}", words["sure"]["said"])
