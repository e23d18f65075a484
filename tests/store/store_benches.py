"""One bench as a process of its own, and what must hold of a shop that several have worked in."""

from typing import Any

from benchtui.store import Shop


def tally(records):
    """A stand-in for the evidence's counting: records by state and by note."""
    counts: dict[str, Any] = {"states": {}, "records": len(records)}
    for record in records:
        counts["states"][record["state"]] = counts["states"].get(record["state"], 0) + 1
    return counts


def bench(path, name, records):
    """Opens the shop, plays one new parcel through, leaves."""
    shop = Shop.open(path)
    sender = shop.add_sender(name)
    parcel = shop.new_parcel({"opened": "2026-11-25", "sender": sender}, records)
    for record in parcel.records:
        title = shop.add_title({"artist": name, "title": record["id"]})
        shop.note_pick(title, sender)
        with parcel.action("taken in") as change:
            doc = change.record(record["id"])
            doc["title"] = {"id": title, "artist": name, "title": record["id"], "catalogue": ""}
            doc["stock"] = shop.reserve_stock(parcel.id, record["id"])
            doc["state"] = "taken-in"
        shop.counts(tally)
    shop.close()


def check_shop(path, benches, records):
    """Every sender, title, pick and number is there; each letter's series is unbroken; the cache is right."""
    shop = Shop.open(path, read_only=True)
    assert len(shop.senders) == benches
    assert len(shop.made_titles()) == len(shop.picks()) == benches * records
    parcels = [shop.open_parcel(key) for key in shop.parcel_ids()]
    assert len(parcels) == benches
    reserved = shop.stock_numbers()
    for parcel in parcels:
        assert not parcel.notice
        for record in parcel.records:
            assert reserved[str(record["stock"])] == (parcel.id, record["id"])
    series: dict[str, list[int]] = {}
    for number in reserved:
        series.setdefault(number[0], []).append(int(number[1:]))
    assert all(sorted(numbers) == list(range(1, len(numbers) + 1)) for numbers in series.values())
    assert len(reserved) == benches * records
    cached = shop.counts(tally)
    rebuilt = [tally(parcel.records) for parcel in parcels]
    assert cached["records"] == sum(each["records"] for each in rebuilt)
    assert cached["states"] == {"taken-in": benches * records}
    return series
