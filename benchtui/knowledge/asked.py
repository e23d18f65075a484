"""What a person says of a table's columns on the command line, and where new knowledge goes."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import NamedTuple

from benchtui.base.errors import BenchError
from benchtui.books.edit import open_edit
from benchtui.books.row import one_of
from benchtui.books.shape import BookHead
from benchtui.books.text import table_text
from benchtui.knowledge.columns import Meant
from benchtui.knowledge.folded import fold
from benchtui.knowledge.plan import Decisions
from benchtui.knowledge.rows import COLUMN_NAMES
from benchtui.model.filename import name_fault
from benchtui.model.record import PART_KINDS


class Target(NamedTuple):
    """The book that takes what is new; ``text``: how it begins, where there is none yet."""

    path: Path
    head: BookHead
    text: str = ""


def target_of(folder: Path, name: str, company: str = "", country: str = "", currency: str = "") -> Target:
    """The shop's book of that name. BenchError for a name that no file can have."""
    stem = name.removesuffix(".toml")
    path = folder / f"{stem}.toml"
    if fault := name_fault(path.name):
        raise BenchError(fault, "--into", "another name")
    said = {"company": company, "country": country, "currency": currency}
    if path.exists():
        held = open_edit(path).head()
        found = {key: str(held.get(key) or "") for key in said}
        return Target(path, _head(path, str(held.get("name", stem)), found))
    table = {"name": stem} | {key: value for key, value in said.items() if value}
    text = table_text(("book",), table, array=False)
    return Target(path, _head(path, stem, said), text)


def _head(path: Path, name: str, said: Mapping[str, str]) -> BookHead:
    return BookHead(path.stem, str(path), "", name, said["company"], said["country"], said["currency"])


def decisions_of(mapping: Sequence[str], places: Sequence[str]) -> tuple[dict[str, str], Decisions]:
    """``--map COLUMN=CLUE`` and ``--place COLUMN=PART PLACE``: the fixed columns among them, and the rest."""
    fixed: dict[str, str] = {}
    columns: dict[str, str] = {}
    placed: dict[str, tuple[str, str]] = {}
    for text in mapping:
        name, meant = _pair(text, "--map")
        fixed[name] = meant
        if meant not in COLUMN_NAMES or meant == "-":
            columns[fold(name)] = meant
    for text in places:
        name, where = _pair(text, "--place")
        part, _, place = where.partition(" ")
        if part not in PART_KINDS:
            raise BenchError(f"there is no part {part!r}", "--place", one_of(part, PART_KINDS))
        placed[fold(name)] = (part, place.strip() or ("label" if part == "disc" else "whole"))
    return fixed, Decisions(Meant(columns, placed))


def _pair(text: str, option: str) -> tuple[str, str]:
    name, sign, value = text.partition("=")
    if not sign or not name.strip() or not value.strip():
        raise BenchError(f"{text!r} names no pair", option, f"write {option} COLUMN=MEANING")
    return name.strip(), value.strip()
