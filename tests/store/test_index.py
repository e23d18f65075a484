"""The index over all parcels: equal to one made anew at any time, kept by its changes, made anew in steps."""

import random

import pytest
from unsynced import Unsynced

from benchtui.model.record import new_part
from benchtui.store import Shop

WORDS = ("night", "day", "ferry", "lamp", "river", "glass", "Straße", "É\tx")
DAYS = ("2026-11-24T09:00:00Z", "2026-11-25T09:00:00Z", "2026-11-25T23:59:00Z")


class Counting(Unsynced):
    """Notes which files are read."""

    def __init__(self):
        self.read_names = []

    def read(self, path, size=-1, offset=0):
        self.read_names.append(path.name)
        return super().read(path, size, offset)

    @property
    def parcels_read(self):
        return [name for name in self.read_names if name[:2] == "20" and name.endswith(".json")]


def tally(records):
    counts: dict[str, int] = {}
    for record in records:
        counts[record["state"]] = counts.get(record["state"], 0) + 1
    return {"by state": counts}


def told(shop):
    """Everything the index is asked for."""
    found = {
        text: shop.find(text, limit=9) for text in ("night", "ferry lamp", "a00003", "TW 7", "quill", "é")
    }
    stock = dict(sorted(shop.stock_by_title().items()))
    days = [
        ask(day) for day in ("2026-11-24", "2026-11-25", "2026-11") for ask in (shop.taken_in, shop.set_apart)
    ]
    return shop.parcels(), found, stock, days, shop.waiting(), shop.number_faults(), shop.counts(tally)


def made_anew(shop):
    """The same from a shop that finds no index."""
    for name in ("index.lines", "counts.json"):
        (shop.path / ".keep" / name).unlink(missing_ok=True)
    return told(Shop.open(shop.path, read_only=True))


def change_something(rng, shop, parcel):
    record = rng.choice(parcel.records)
    words = rng.sample(WORDS, 3)
    with parcel.action("a change") as change:
        doc = change.record(record["id"])
        doc["title"] = {"id": f"t-{rng.randrange(9)}", "artist": words[0], "title": " ".join(words[1:]),
                        "catalogue": f"TW {rng.randrange(20)}"}  # fmt: skip
        doc["parts"] = doc["parts"] or [new_part("disc")]
        doc["chores"] = [
            {"id": "c-1", "what": "clean", "part": "", "note": "", "done": rng.choice([None, "2026"])}
        ]
        doc["set_apart"] = rng.choice([None, None, {"why": "mould", "note": "", "at": rng.choice(DAYS)}])
        if rng.random() < 0.7:
            doc["stock"] = shop.reserve_stock(parcel.id, record["id"])
            doc["state"], doc["taken_in_at"] = "taken-in", rng.choice(DAYS)
        else:
            doc["state"] = rng.choice(["started", "taken-in"])


def do_something(rng, shop, parcels):
    parcel = rng.choice(parcels)
    what = rng.randrange(9)
    if what == 0:
        parcels.append(shop.new_parcel({"opened": "2026-11-25", "sender": rng.choice([None, "s-1"])}, 3))
    elif what == 1:
        parcel.undo()
    elif what == 2 and len(parcels) > 1:
        parcel.close()
        parcels.remove(parcel)
    elif what == 3:
        parcel.place(draft={"line": "note", "text": str(rng.random()), "at": 1})
    else:
        change_something(rng, shop, parcel)


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("patient", [False, True])
def test_the_index_equals_one_made_anew_after_any_changes(tmp_path, seed, patient):
    rng = random.Random(seed)
    shop = Shop.create(tmp_path / "shop", files=Unsynced())
    shop.shared.docs("senders")
    with shop.shared.change() as table:
        table("senders").put("s-1", {"id": "s-1", "name": "Ada Quill"})
    if patient:
        shop.read_in_steps()
    parcels = [shop.new_parcel({"opened": "2026-11-25"}, 3)]
    for number in range(60):
        do_something(rng, shop, parcels)
        if rng.random() < 0.5:
            shop.find("night")  # whether it looks at each change or at several at once
        if number % 10 == 9:
            assert told(shop) == made_anew(shop)
    shop.close()
    assert told(Shop.open(shop.path, read_only=True)) == made_anew(shop)


def test_what_the_index_keeps_is_read_instead_of_the_parcels(tmp_path):
    shop = Shop.create(tmp_path / "shop", files=Unsynced())
    rng = random.Random(1)
    for _ in range(5):  # five sessions, each appends what changed in it
        parcel = shop.new_parcel({"opened": "2026-11-25"}, 3)
        for _ in range(4):
            change_something(rng, shop, parcel)
            shop.find("night")
        shop.counts(tally)
        shop.close()
        shop = Shop.open(shop.path, files=Unsynced())
    files = Counting()
    seen = told(Shop.open(shop.path, read_only=True, files=files))
    assert files.parcels_read == []
    assert seen == made_anew(shop)


def test_the_file_of_the_index_does_not_grow_by_the_same_parcel_again_and_again(tmp_path):
    shop = Shop.create(tmp_path / "shop", files=Unsynced())
    shop.new_parcel({"opened": "2026-11-25"}, 3).close()
    for number in range(170):
        shop = Shop.open(shop.path, files=Unsynced())
        parcel = shop.open_parcel("2026-11-25-1")
        change_something(random.Random(number), shop, parcel)
        shop.find("night")
        shop.close()
    lines = (shop.path / ".keep" / "index.lines").read_bytes().split(b"\n")
    assert 1 < len([line for line in lines if line]) < 150
    assert told(Shop.open(shop.path, read_only=True)) == made_anew(shop)


@pytest.fixture
def large(tmp_path):
    """Forty parcels, and no index."""
    shop = Shop.create(tmp_path / "shop", files=Unsynced())
    rng = random.Random(2)
    for _ in range(40):
        parcel = shop.new_parcel({"opened": "2026-11-25"}, 3)
        change_something(rng, shop, parcel)
        parcel.close()
    shop.close()
    (shop.path / ".keep" / "index.lines").unlink(missing_ok=True)
    (shop.path / ".keep" / "counts.json").unlink(missing_ok=True)
    return shop.path


def test_an_index_made_anew_in_steps_lists_every_parcel_meanwhile_and_equals_one_made_at_once(large):
    files = Counting()
    shop = Shop.open(large, read_only=True, files=files)
    shop.read_in_steps()
    assert shop.still_reading
    assert shop.counts_so_far() == {}
    assert [one.state for one in shop.parcels()] == ["not read yet"] * 40
    assert shop.find("qm") == []
    assert files.parcels_read == []
    shares, listed = [], set()
    while (done := shop.catch_up(tally)) is not None:
        shares.append(done)
        listed.add(sum(one.state != "not read yet" for one in shop.parcels()))
    assert shares == sorted(shares)
    assert all(0 <= share < 1 for share in shares)
    assert not shop.still_reading
    assert shop.counts_so_far() == shop.counts(tally) == {"by state": {"empty": 80, **_states(shop)}}
    assert told(shop) == made_anew(shop)


def _states(shop):
    counts: dict[str, int] = {}
    for one in shop.parcels():
        for state, count in one.counts.items():
            if state != "empty":
                counts[state] = counts.get(state, 0) + count
    return counts


def test_what_leaves_the_shop_or_adds_up_waits_for_every_parcel(large):
    whole = Shop.open(large, read_only=True)
    for ask in (
        lambda shop: shop.taken_in("2026-11-25"),
        lambda shop: shop.waiting(),
        lambda shop: shop.counts(tally),
        lambda shop: shop.parcels(whole=True),
        lambda shop: shop.number_faults(),
    ):
        shop = Shop.open(large, read_only=True)
        shop.read_in_steps()
        assert ask(shop) == ask(whole)


def test_a_small_shop_is_read_at_once_by_the_patient_too(tmp_path):
    shop = Shop.create(tmp_path / "shop", files=Unsynced())
    shop.new_parcel({"opened": "2026-11-25"}, 3).close()
    shop.close()
    again = Shop.open(shop.path, read_only=True)
    again.read_in_steps()
    assert not again.still_reading
    assert [one.state for one in again.parcels()] == ["open"]


def test_the_patient_see_at_once_what_they_closed_themselves(large):
    shop = Shop.open(large, files=Unsynced())
    shop.read_in_steps()
    while shop.catch_up(tally) is not None:
        pass
    assert len(shop.parcels()) == 40
    parcel = shop.open_parcel("2026-11-25-7")
    parcel.close_parcel()
    parcel.close()
    assert shop.parcels()[6].state == "closed"
    new = shop.new_parcel({"opened": "2026-11-25"}, 2)
    assert shop.parcels()[-1].id == new.id
    shop.close()


def test_numbers_typed_in_full_come_first_and_what_only_the_sender_made_fit_last(tmp_path):
    shop = Shop.create(tmp_path / "shop", files=Unsynced())
    sender = shop.add_sender("Night Lamp")

    def parcel(titles, of=None):
        made = shop.new_parcel({"opened": "2026-11-25", "sender": of}, len(titles))
        with made.action("titles") as change:
            for record, (artist, title, catalogue) in zip(made.records, titles, strict=True):
                doc = change.record(record["id"])
                doc["title"] = {"id": title, "artist": artist, "title": title, "catalogue": catalogue}

    parcel([("Ferry", "One", "TW 1"), ("Ferry", "Two", "TW 1b")], of=sender)
    parcel([("Night", "Ferry", "TW 2"), ("Lamp", "Night Ferry", "TW 3")])
    parcel([("Other", "Third", "NIGHT FERRY"), ("A", "Nights and Ferrymen", "")])
    found = [hit.title for hit in shop.find("night ferry")]
    assert found == ["Third", "Ferry", "Night Ferry", "Nights and Ferrymen", "One", "Two"]
    assert [hit.title for hit in shop.find("night ferry", limit=2)] == ["Third", "Ferry"]
    assert [hit.title for hit in shop.find("tw 1")] == ["One", "Two"]
    assert [hit.title for hit in shop.find("tw 1", limit=1)] == ["One"]
    assert [hit.sender for hit in shop.find("one")] == ["Night Lamp"]
    shop.close()
