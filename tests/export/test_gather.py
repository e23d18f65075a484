"""From a shop on the disk to the rows of a file."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from types import SimpleNamespace

import pytest

from benchtui.base.errors import BenchError
from benchtui.export.gather import gather, left_out_of, sender_name, wording_of
from benchtui.export.intake import intake
from benchtui.store.shop import Shop

TODAY = datetime.now(UTC).astimezone().date()


@pytest.fixture
def shop(tmp_path: Path, make: SimpleNamespace) -> Iterator[Shop]:
    made = Shop.create(tmp_path / "shop")
    sender = made.add_sender("A. Collector")
    for at in (1, 2):
        parcel = made.new_parcel({"sender": sender, "delivered": "2026-11-24"}, expected=1)
        record = make.record(1, f"A{at:05}", id=parcel.records[0]["id"])
        record["taken_in_at"] = datetime.now(UTC).isoformat() if at == 1 else "2020-01-01T12:00:00+00:00"
        with parcel.action("taken in") as change:
            change.record(record["id"]).update(record)
        parcel.close()
    yield made
    made.close()


def test_the_days_records_come_from_all_parcels(shop: Shop) -> None:
    words = wording_of(shop)
    table = intake(gather(shop), words)
    assert table.cells("stock_number") == ("A00001", "A00002")
    assert set(table.cells("parcel_sender")) == {"A. Collector"}
    assert intake(gather(shop, day=TODAY), words, day=TODAY).cells("stock_number") == ("A00001",)


def test_one_parcel_alone_may_be_read_and_one_that_is_not_there_is_named(shop: Shop) -> None:
    parcel = shop.parcel_ids()[1]
    assert {item.head["id"] for item in gather(shop, parcel=parcel)} == {parcel}
    with pytest.raises(BenchError, match="there is no parcel"):
        gather(shop, parcel="2026-01-01-9")


def test_only_a_record_with_a_title_is_weighed(shop: Shop, make: SimpleNamespace) -> None:
    opened = shop.new_parcel({}, expected=2)
    opened.close()
    items = gather(shop, weigh=lambda record: make.weighing())
    assert [item.weighed is not None for item in items] == [
        item.record["title"] is not None for item in items
    ]


def test_a_parcel_open_on_a_bench_is_exported_as_it_stands(shop: Shop) -> None:
    bench = shop.open_parcel(shop.parcel_ids()[0])
    assert gather(shop, parcel=bench.id)
    bench.close()


def test_a_sender_that_is_lost_is_shown_by_id(shop: Shop) -> None:
    assert sender_name(shop, "s-lost") == "s-lost"
    assert sender_name(shop, None) == ""


def test_what_the_days_intake_leaves_out_is_told_though_its_parcel_has_nothing_else(
    shop: Shop, make: SimpleNamespace
) -> None:
    assert left_out_of(shop, TODAY) == []
    parcel = shop.new_parcel({}, expected=1)
    record = make.record(1, None, id=parcel.records[0]["id"], state="started")
    record.pop("taken_in_at")
    record["set_apart"] = {"why": "unofficial", "note": "", "at": datetime.now(UTC).isoformat()}
    with parcel.action("set apart") as change:
        change.record(record["id"]).update(record)
    parcel.close()
    (left,) = left_out_of(shop, TODAY)
    assert (left.parcel, left.no, left.stock, left.why) == (parcel.id, 1, "", "not by the company")
    assert left_out_of(shop, TODAY - timedelta(days=30)) == []
