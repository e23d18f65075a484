"""What a fact about money was before it was changed stays in the document, with the moment until it held."""

from collections.abc import Iterator
from typing import Any

import pytest

from benchtui.model.earlier import as_known, taken_back
from benchtui.model.parcel import new_head
from benchtui.model.record import empty_record
from benchtui.money.known import known_doc, known_parcels
from benchtui.store import Shop
from benchtui.store.shape import check_parcel


class Clock:
    """A clock that is set by hand; days are this machine's own, so all is done about noon."""

    now = "2026-03-01T12:00:00Z"

    def __call__(self) -> str:
        return self.now


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def shop(tmp_path: Any, clock: Clock) -> Iterator[Shop]:
    made = Shop.create(tmp_path / "shop", clock=clock)
    yield made
    made.close()


def bill(minor: int) -> Any:
    return {
        "what": "price",
        "minor": minor,
        "currency": "GBP",
        "rate": None,
        "rate_date": "",
        "rate_from": "",
    }


def paid(parcel: Any, clock: Clock, at: str, minor: int) -> None:
    clock.now = at
    with parcel.action("price paid") as change:
        change.head["charges"] = [bill(minor)]


def known(parcel: Any, moment: str) -> Any:
    found = known_parcels([(parcel.head, parcel.records)], moment)
    return found[0] if found else None


def price_at(parcel: Any, moment: str) -> int:
    return int(known(parcel, moment)[0]["charges"][0]["minor"])


def test_a_price_paid_that_is_changed_and_undone_on_other_days_is_known_as_it_stood(
    shop: Shop, clock: Clock
) -> None:
    parcel = shop.new_parcel({"opened": "2026-03-01", "charges": [bill(100)]}, expected=1)
    paid(parcel, clock, "2026-03-01T12:10:00Z", 3000)
    assert "earlier" not in parcel.head, "what is typed and put right on its first day is no other fact"
    paid(parcel, clock, "2026-03-03T12:00:00Z", 4000)
    paid(parcel, clock, "2026-03-03T12:30:00Z", 5000)
    clock.now = "2026-03-04T12:00:00Z"
    parcel.undo()
    assert parcel.head["charges"][0]["minor"] == 4000
    clock.now = "2026-03-05T12:00:00Z"
    parcel.undo()
    moments = ("2026-03-02T12:00:00Z", "2026-03-03T13:00:00Z", "2026-03-04T13:00:00Z", "2026-03-05T13:00:00Z")
    assert [price_at(parcel, one) for one in moments] == [3000, 5000, 4000, 3000]
    assert known(parcel, "2026-02-28T12:00:00Z") is None
    assert [row["until"][:10] for row in parcel.head["earlier"]] == ["2026-03-03", "2026-03-04", "2026-03-05"]


def test_two_values_of_one_day_are_both_kept_where_books_were_closed_between_them(
    shop: Shop, clock: Clock
) -> None:
    parcel = shop.new_parcel({"opened": "2026-03-01", "charges": [bill(3000)]}, expected=1)
    clock.now = "2026-03-01T12:20:00Z"
    doc: Any = {"through": "2026-02-28", "closed_at": clock.now, "digest": "x"}
    shop.close_through(doc)
    paid(parcel, clock, "2026-03-01T12:20:00Z", 4000)  # within the second of the closing, and after it
    paid(parcel, clock, "2026-03-01T12:30:00Z", 5000)
    assert [price_at(parcel, one) for one in ("2026-03-01T12:20:00Z", "2026-03-01T12:40:00Z")] == [3000, 5000]


def test_terms_corrected_after_the_closing_and_a_record_that_came_later(shop: Shop, clock: Clock) -> None:
    parcel = shop.new_parcel({"opened": "2026-03-01"}, expected=1)
    first = parcel.records[0]["id"]
    clock.now = "2026-03-02T12:00:00Z"
    with parcel.action("taken in") as change:
        change.record(first).update({"state": "taken-in", "stock": "A00001"})
    clock.now = "2026-03-05T12:00:00Z"
    parcel.close_parcel(shares={first: 0})
    clock.now = "2026-03-08T12:00:00Z"
    with parcel.correct("consigned, not bought") as change:
        change.record(first)["terms"] = "consigned"
        change.record(first)["consignor"] = "s-1"
        change.add(empty_record(2))
    assert parcel.head["corrections"][-1]["kept"] is True
    head, records = known(parcel, "2026-03-04T12:00:00Z")
    assert (head["state"], head["shares"]) == ("open", None)
    assert [(one["terms"], one.get("consignor"), one["stock"]) for one in records] == [(None, None, "A00001")]
    assert known(parcel, "2026-03-01T13:00:00Z")[1][0]["state"] == "empty"
    assert [one["terms"] for one in known(parcel, "2026-03-08T13:00:00Z")[1]] == ["consigned", None]


def test_a_record_that_is_undone_on_a_later_day_stays_known(shop: Shop, clock: Clock) -> None:
    parcel = shop.new_parcel({"opened": "2026-03-01"})
    clock.now = "2026-03-02T12:00:00Z"
    with parcel.action("found in the box") as change:
        change.add({**empty_record(1), "id": "r-1", "state": "taken-in", "stock": "A00001"})
    clock.now = "2026-03-04T12:00:00Z"
    parcel.undo()
    assert parcel.records == []
    assert [one["id"] for one in taken_back(parcel.head, "2026-03-03T12:00:00Z")] == ["r-1"]
    days = ("2026-03-01T13:00:00Z", "2026-03-03T13:00:00Z", "2026-03-04T13:00:00Z")
    assert [len(known(parcel, one)[1]) for one in days] == [0, 1, 0]


def test_an_empty_place_that_is_gone_stays_known_where_books_were_closed_over_it(
    shop: Shop, clock: Clock
) -> None:
    parcel = shop.new_parcel({"opened": "2026-03-01"}, expected=2)
    first, second = (one["id"] for one in parcel.records)
    clock.now = "2026-03-02T12:00:00Z"
    with parcel.action("one place less") as change:
        change.remove(first)
    clock.now = "2026-03-03T12:00:00Z"
    doc: Any = {"through": "2026-03-02", "closed_at": clock.now, "digest": "x"}
    shop.close_through(doc)
    clock.now = "2026-03-03T13:00:00Z"
    with parcel.action("another less") as change:
        change.remove(second)
    assert [one["id"] for one in taken_back(parcel.head, "2026-03-03T12:00:00Z")] == [second]
    parcel.undo()
    assert [one["id"] for one in known(parcel, "2026-03-03T12:00:00Z")[1]] == [second], "once only"


def test_rates_and_terms_that_are_put_right_are_known_as_they_were(shop: Shop, clock: Clock) -> None:
    shop.change_settings(vat_rate="20", noted={"at": clock.now, "say": "VAT rate 20"})
    sender = shop.add_sender("Mrs Quill", commission="30")
    clock.now = "2026-04-02T12:00:00Z"
    shop.change_settings(vat_rate="19", noted={"at": clock.now, "say": "VAT rate 19 always"})
    shop.change_sender(sender, commission="40")
    then = known_doc(shop.settings, "2026-04-01T12:00:00Z")
    assert (then["vat_rate"], then["noted"]["say"]) == ("20", "VAT rate 20"), "not what was said after it"
    assert known_doc(shop.senders[sender], "2026-04-01T12:00:00Z")["commission"] == "30"
    assert known_doc(shop.settings, "2026-02-01T12:00:00Z")["vat_rate"] == ""
    assert shop.settings["noted"]["kept"] is True


def test_what_an_older_version_changed_without_keeping_it_stays_noted_as_such(
    shop: Shop, clock: Clock
) -> None:
    old = {"at": "2026-03-01T11:00:00Z", "say": "VAT rate 25"}
    shop.update_setting("noted", lambda _: old)
    shop.change_settings(vat_rate="19", noted={"at": clock.now, "say": "VAT rate 19 always"})
    assert "kept" not in shop.settings["noted"], "the value before the first of them is nowhere"


def test_a_parcel_of_an_older_version_is_read_and_a_row_edited_into_nonsense_is_refused() -> None:
    head: Any = new_head("2026-03-01-1")
    tables: Any = {"head": {"head": head}, "records": {}}
    check_parcel(tables, head["id"], "file")
    assert as_known(head, "2026-03-01T12:00:00Z") == head
    head["earlier"] = [{"until": 3}]
    with pytest.raises(Exception, match=r"head\.earlier\.0\.until is '3'"):
        check_parcel({"head": {"head": head}, "records": {}}, head["id"], "file")
