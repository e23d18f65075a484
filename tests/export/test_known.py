"""Exports as the books were known at the end of a day, from the documents of today."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from benchtui.base.errors import BenchError
from benchtui.export.csvfile import read_csv
from benchtui.export.run import Ask, export
from benchtui.model.money import Money
from benchtui.money import life
from benchtui.money.life import When
from benchtui.store import Shop

TODAY = date(2026, 5, 20)
NOW = ["2026-01-10T12:00:00Z"]


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """A record for 30.00 in January; the price was 36.00 after all, as was found out in April."""
    NOW[0] = "2026-01-10T12:00:00Z"
    made = Shop.create(tmp_path / "shop", clock=lambda: NOW[0])
    sender = made.add_sender("Mrs Quill", commission="30")
    bill: Any = {
        "what": "price",
        "minor": 3000,
        "currency": "GBP",
        "rate": None,
        "rate_date": "",
        "rate_from": "",
    }
    fields = {"opened": "2026-01-10", "delivered": "2026-01-10", "sender": sender, "charges": [bill]}
    parcel = made.new_parcel(fields, expected=1)
    record = parcel.records[0]["id"]
    with parcel.action("taken in") as change:
        price = {"minor": 5000, "currency": "GBP", "how": "hand"}
        change.record(record).update({"state": "taken-in", "stock": "A00001", "price": price})  # type: ignore[typeddict-item]
    parcel.close_parcel(shares={record: 3000})
    NOW[0] = "2026-04-02T12:00:00Z"
    with parcel.correct("the price was 36.00") as change:
        change.head["charges"] = [bill | {"minor": 3600}]
        change.head["shares"] = {record: 3600}
    NOW[0] = "2026-05-05T12:00:00Z"
    with parcel.correct("sold") as change:
        copy = change.record(record)
        copy["life"].append(life.sell(copy, When("2026-05-05", date(2026, 5, 5)), Money(5000, "GBP")))
    parcel.close()
    yield made
    made.close()


def rows(shop: Shop, out: Path, kind: str, **ask: Any) -> list[dict[str, str]]:
    export(shop, Ask(kind, TODAY, **ask), out)
    return read_csv(out).dicts()


def test_the_books_of_a_day_are_made_again_as_they_were_known_then(shop: Shop, tmp_path: Path) -> None:
    out = tmp_path / "x.csv"

    def book(known: date | None) -> tuple[str, str]:
        (row,) = rows(shop, out, "stockbook", known=known)
        return row["purchase_price"], row["selling_price"]

    days = (date(2026, 4, 1), date(2026, 4, 2), date(2026, 5, 5), None)
    assert [book(day) for day in days] == [
        ("30.00", ""),
        ("36.00", ""),
        ("36.00", "50.00"),
        ("36.00", "50.00"),
    ]
    assert rows(shop, out, "stock", known=date(2026, 4, 1))[0]["cost"] == "30.00"
    assert rows(shop, out, "stockbook", known=date(2026, 1, 9)) == []
    export(shop, Ask("journal", TODAY, known=date(2026, 4, 1)), out)
    text = out.read_text()
    assert "30.00 GBP" in text
    assert "36.00 GBP" not in text


def test_what_is_of_today_only_has_no_such_day(shop: Shop, tmp_path: Path) -> None:
    with pytest.raises(BenchError, match="intake is of what stands now"):
        export(shop, Ask("intake", TODAY, known=TODAY), tmp_path / "x.csv")
