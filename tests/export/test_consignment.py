"""What lies in the shop for others: the consignor's receipt, and insured values on a day by owner."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from benchtui.base.errors import BenchError
from benchtui.export.csvfile import read_csv
from benchtui.export.run import Ask, export
from benchtui.money.notice import RECEIPT_ESTIMATE
from benchtui.store.shop import Shop

TODAY = date(2026, 11, 25)


@pytest.fixture
def shop(tmp_path: Path, make: SimpleNamespace) -> Iterator[Shop]:
    """Two records consigned by one person, one of them sold; one that is the shop's own."""
    made = Shop.create(tmp_path / "shop", name="The Test Shop")
    agreed: dict[str, Any] = {
        "commission": "25",
        "insures": "shop",
        "until": "2027-05-31",
        "address": "3 Dock Row",
    }
    sender = made.add_sender("Hester Quillow", terms="consigned", **agreed)
    parcel = made.new_parcel({"sender": sender, "terms": "consigned", "delivered": "2026-11-02"}, expected=3)
    value = {"at": "2026-11-10", "what": "value", "who": "the owner", "minor": 40000, "currency": "GBP"}
    lies = {"at": "2026-11-10", "what": "lies", "note": "safe, drawer 2"}
    with parcel.action("taken in") as change:
        for no, doc in enumerate(parcel.records, 1):
            change.record(doc["id"]).update(make.record(no, f"A0000{no}", id=doc["id"], terms=None))
        one, two, three = (change.record(doc["id"]) for doc in parcel.records)
        one["custody"] = [value, lies]  # type: ignore[list-item]
        one["reserve"] = {"minor": 30000, "currency": "GBP"}
        two["life"] = [{"n": 1, "at": "2026-11-20", "what": "sold", "minor": 2400, "currency": "GBP"}]
        three["terms"] = "bought"
    parcel.close()
    yield made
    made.close()


def _values(shop: Shop, tmp_path: Path, day: str) -> list[tuple[str, ...]]:
    export(shop, Ask("insured", TODAY, day=date.fromisoformat(day)), tmp_path / "x.csv")
    rows = read_csv(tmp_path / "x.csv").dicts()
    return [
        (row["owner"], row["stock_number"], row["value"], row["value_how"], row["kept_at"]) for row in rows
    ]


def test_values_on_a_day_by_owner_as_agreed_until_then(shop: Shop, tmp_path: Path) -> None:
    asked = ("24.00", "asking price", "")
    assert _values(shop, tmp_path, "2026-11-25") == [
        ("Hester Quillow", "A00001", "400.00", "agreed 2026-11-10", "safe, drawer 2"),
        ("shop", "A00003", *asked),
    ]
    assert _values(shop, tmp_path, "2026-11-05") == [
        ("Hester Quillow", "A00001", *asked), ("Hester Quillow", "A00002", *asked), ("shop", "A00003", *asked),
    ]  # fmt: skip
    assert _values(shop, tmp_path, "2026-11-01") == []


def test_the_consignor_s_receipt_says_what_came_how_and_what_was_agreed(shop: Shop, tmp_path: Path) -> None:
    (parcel,) = shop.parcel_ids()
    assert export(shop, Ask("consignment", TODAY, parcel=parcel), tmp_path / "x.html") == 1
    said = (tmp_path / "x.html").read_text(encoding="utf-8")
    for words in ("Hester Quillow", "3 Dock Row", "commission 25 %", "the shop", "2027-05-31", "300.00 GBP",
                  "400.00 GBP", "2 records", "disc VG+", "first opinion", RECEIPT_ESTIMATE,
                  "no VAT on the commission"):  # fmt: skip
        assert words in said, words
    assert "A00003" not in said
    with pytest.raises(BenchError, match="nothing was consigned"):
        export(shop, Ask("consignment", TODAY, day=date(2026, 1, 1)), tmp_path / "x.html")


def test_the_receipt_says_of_how_many_discs_a_grade_is_the_lowest(shop: Shop, tmp_path: Path) -> None:
    (parcel_id,) = shop.parcel_ids()
    parcel = shop.open_parcel(parcel_id)
    with parcel.action("a second disc") as change:
        record = change.record(parcel.records[0]["id"])
        disc = next(part for part in record["parts"] if part["kind"] == "disc")
        record["parts"].append({**disc, "id": "d-2", "number": 2})
    parcel.close()
    export(shop, Ask("consignment", TODAY, parcel=parcel_id), tmp_path / "x.html")
    said = (tmp_path / "x.html").read_text(encoding="utf-8")
    assert said.count("the lowest of 2 discs VG+") == 1
    assert said.count("disc VG+") == 1


def test_owners_and_values_are_in_no_export_that_does_not_ask_for_them(shop: Shop, tmp_path: Path) -> None:
    for kind in ("intake", "chores", "slips"):
        export(shop, Ask(kind, TODAY), tmp_path / f"{kind}.csv")
        said = (tmp_path / f"{kind}.csv").read_text(encoding="utf-8")
        assert "drawer 2" not in said
        assert "400.00" not in said
