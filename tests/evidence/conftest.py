"""Short ways to a clue, a title, a record and an answer."""

from typing import Any, Protocol

import pytest

from benchtui.model.record import AnswerDoc, PartDoc, RecordDoc, empty_record, new_part


class Saw(Protocol):
    """Adds one answer that was seen."""

    def __call__(
        self, record: RecordDoc, part: str, clue: str, answer: str = "", **more: Any
    ) -> AnswerDoc: ...


def make_record(title: str = "t", parts: tuple[str, ...] = ("disc", "cover", "inner")) -> RecordDoc:
    """A record whose parts have the ids ``disc-1``, ``cover-1`` ... in that order."""
    record = empty_record(1)
    record["title"] = {"id": title, "artist": "", "title": "", "catalogue": ""}
    made: list[PartDoc] = []
    for kind in parts:
        number = 1 + sum(part["kind"] == kind for part in made)
        part = new_part(kind, number=number)  # type: ignore[arg-type]
        part["id"] = f"{kind}-{number}"
        made.append(part)
    record["parts"] = made
    return record


def add_answer(record: RecordDoc, part: str, clue: str, answer: str = "", **more: Any) -> AnswerDoc:
    """An answer that was seen, unless ``how`` says otherwise."""
    doc: AnswerDoc = {
        "part": part,
        "place": more.get("place", "front"),
        "clue": clue,
        "answer": answer,
        "value": more.get("value"),
        "how": more.get("how", "seen"),
        "text": more.get("text", answer),
        "book": "b@1",
        "at": "2026-11-25T09:00:00Z",
    }
    record["answers"].append(doc)
    return doc


@pytest.fixture
def record_of() -> Any:
    """Makes a record of a title with some parts."""
    return make_record


@pytest.fixture
def saw() -> Saw:
    """Adds an answer to a record."""
    return add_answer
