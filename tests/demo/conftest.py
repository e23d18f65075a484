"""The demo's files as plain data, and its parcel's facts made into records as the bench would."""

import csv
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from benchtui.books.library import Library
from benchtui.books.shape import BookTitle, Clue
from benchtui.evidence import read_runout
from benchtui.model.record import AnswerDoc, PartDoc, RecordDoc, empty_record, new_part

DEMO = Path(__file__).parents[2] / "demo"
SIDES = "ACEG"
Build = Callable[..., RecordDoc]


@pytest.fixture(scope="session")
def demo() -> Path:
    return DEMO


@pytest.fixture(scope="session")
def books() -> dict[str, dict[str, Any]]:
    """File name -> the book as it stands."""
    paths = sorted(DEMO.glob("shop/books/*.toml"))
    return {path.name: tomllib.loads(path.read_text("utf-8")) for path in paths}


@pytest.fixture(scope="session")
def titles(books: dict[str, dict[str, Any]]) -> dict[str, dict[str, Any]]:
    return {title["id"]: title for book in books.values() for title in book.get("title", [])}


@pytest.fixture(scope="session")
def pressings(titles: dict[str, dict[str, Any]]) -> dict[str, dict[str, Any]]:
    return {pressing["id"]: pressing for title in titles.values() for pressing in title["pressing"]}


@pytest.fixture(scope="session")
def clues(books: dict[str, dict[str, Any]]) -> dict[str, dict[str, Any]]:
    return {clue["id"]: clue for book in books.values() for clue in book.get("clue", [])}


@pytest.fixture(scope="session")
def parcels() -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = tomllib.loads((DEMO / "parcel.toml").read_text("utf-8"))["parcel"]
    return found


@pytest.fixture(scope="session")
def senders() -> dict[str, dict[str, Any]]:
    return {each["id"]: each for each in tomllib.loads((DEMO / "senders.toml").read_text("utf-8"))["sender"]}


@pytest.fixture(scope="session")
def sales() -> list[dict[str, str]]:
    with (DEMO / "sales_seen.csv").open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


@pytest.fixture(scope="session")
def listed() -> list[dict[str, str]]:
    """The rows of the title list."""
    with (DEMO / "titles.csv").open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


@pytest.fixture(scope="session")
def library(tmp_path_factory: pytest.TempPathFactory) -> Library:
    return Library.open([DEMO / "shop" / "books"], cache=tmp_path_factory.mktemp("prepared"))


@pytest.fixture(scope="session")
def build(library: Library) -> Build:
    """A record document from one [[parcel.record]]; ``without``: clues left unanswered."""

    def made(facts: dict[str, Any], *without: str) -> RecordDoc:
        title = library.title(facts["title"])
        assert title is not None
        record = empty_record(facts["no"])
        record["title"] = {
            "id": title.id, "artist": title.artist, "title": title.title, "catalogue": title.catalogues[0]
        }  # fmt: skip
        record["channels"], record["size_in"] = facts["channels"], title.size_in
        for seen in facts["part"]:
            part = _part(seen, title, library)
            record["parts"].append(part)
            for clue, answer in seen.get("answers", {}).items():
                if clue.partition("@")[0] not in without:
                    record["answers"].append(_answer(clue, answer, seen, part, library))
        return record

    return made


def _part(seen: dict[str, Any], title: BookTitle, library: Library) -> PartDoc:
    part = new_part(seen["kind"], **{key: seen[key] for key in ("number", "name", "state") if key in seen})
    for side, typed in seen.get("sides", {}).items():
        read = read_runout(typed, side, title, library)
        part["sides"][side] = {
            "typed": typed, "cut": read.cut, "mother": read.mother, "stamper": read.stamper
        }  # fmt: skip
    return part


def _answer(named: str, answer: Any, seen: dict[str, Any], part: PartDoc, library: Library) -> AnswerDoc:
    clue_id, _, side = named.partition("@")
    clue = library.clue(clue_id)
    assert clue is not None, clue_id
    chosen = isinstance(answer, str)
    return {
        "part": part["id"], "place": _place(clue, side or SIDES[seen.get("number", 1) - 1]), "clue": clue_id,
        "answer": answer if chosen else "", "value": None if chosen else answer, "how": "seen",
        "text": str(answer), "book": clue.book, "at": "2026-11-25T10:00:00Z",
    }  # fmt: skip


def _place(clue: Clue, side: str) -> str:
    return f"{clue.place} {side}" if clue.per_side else clue.place
