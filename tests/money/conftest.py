"""A shop, a parcel and records as plain documents, for the money tests."""

import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from benchtui.model.grade import Grade, Scale
from benchtui.model.parcel import HeadDoc, new_head
from benchtui.model.record import RecordDoc, empty_record

sys.path.insert(0, str(Path(__file__).parent))  # years.py, of which several tests are made

FACTORS = (("NM", "1"), ("VG+", "0.5"), ("VG", "0.25"), ("G", "0.1"), ("P", "0"))


@pytest.fixture(scope="session")
def scales() -> dict[str, Scale]:
    grades = tuple(
        Grade(id=name, name=name, key=name[0].lower(), order=order, factor=factor, criterion="")
        for order, (name, factor) in enumerate(FACTORS)
    )
    return {"plain": Scale("plain", "Plain", grades)}


@pytest.fixture
def settings() -> dict[str, Any]:
    return {"currency": "GBP", "scale": "plain", "margin_scheme": "item", "vat_rate": "20"}


@pytest.fixture
def head() -> HeadDoc:
    head = new_head("2026-11-25-1")
    head["delivered"] = "2026-11-02"
    head["sender"] = "s-quill"
    return head


@pytest.fixture
def make_record() -> Callable[..., RecordDoc]:
    def make(no: int, price: int | None = None, **fields: Any) -> RecordDoc:
        record = empty_record(no)
        record["id"] = f"r-{no}"
        record["state"] = "taken-in"
        record["stock"] = f"A{no:05}"
        if price is not None:
            record["price"] = {"minor": price, "currency": "GBP", "how": "worked"}
        record.update(fields)  # type: ignore[typeddict-item]
        return record

    return make
