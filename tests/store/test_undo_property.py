"""Any run of actions, undone wholly, gives the first state, and redone wholly the last."""

import random

from hypothesis import given, settings
from hypothesis import strategies as some
from played import clock
from same_parcel import canonical
from simdisk import SimDisk

from benchtui.model.record import empty_record
from benchtui.store import Shop

SCALARS = some.none() | some.booleans() | some.integers(-5, 5) | some.floats(0, 2) | some.text(max_size=4)
VALUES = some.recursive(
    SCALARS,
    lambda inner: some.lists(inner, max_size=4) | some.dictionaries(some.text(max_size=2), inner, max_size=3),
    max_leaves=8,
)
KINDS = [
    "field",
    "answers",
    "rulings",
    "head",
    "add",
    "move",
    "remove",
    "stock",
    "undo",
    "redo",
    "sender",
    "title",
]
ACTIONS = some.tuples(some.sampled_from(KINDS), some.integers(0, 30), some.integers(1, 12), VALUES)


def act(shop, parcel, kind, pick, place, value):
    ids = [record["id"] for record in parcel.records]
    record_id = ids[pick % len(ids)] if ids else None
    if kind == "undo":
        parcel.undo()
    elif kind == "redo":
        parcel.redo()
    else:
        with parcel.action(kind) as change:
            change_by(shop, parcel, change, kind, record_id, place, value)


def change_by(shop, parcel, change, kind, record_id, place, value):
    if kind == "head":
        change.head["shares"] = {"a": place}
        change.head["note"] = str(value)
    elif kind == "sender":
        change.head["sender"] = shop.add_sender(str(value))
    elif kind == "add":
        change.add(empty_record(0), place)
    elif record_id is None:
        return
    elif kind == "field":
        change.record(record_id)["description"] = {"any": value}
    elif kind == "answers":
        looked = change.record(record_id)["looked"]
        looked[place % (len(looked) + 1) : place % 3] = [{"v": value}] * (place % 4)
    elif kind == "rulings":
        rulings = change.record(record_id)["rulings"]
        rulings.pop(f"p-{place}", None) or rulings.update({f"p-{place % 5}": str(value)})
    elif kind == "title":
        title = {"artist": "", "title": str(value), "catalogue": ""}
        change.record(record_id)["title"] = {**title, "id": shop.add_title(title)}
    elif kind == "move":
        change.move(record_id, place)
    elif kind == "remove":
        change.remove(record_id)
    else:
        change.record(record_id)["stock"] = shop.reserve_stock(parcel.id, record_id)


def any_value(chance, depth=0):
    kind = chance.randrange(7 if depth < 3 else 5)
    if kind == 5:
        return [any_value(chance, depth + 1) for _ in range(chance.randrange(4))]
    if kind == 6:
        return {chance.choice("ab\u00e9"): any_value(chance, depth + 1) for _ in range(chance.randrange(4))}
    text = chance.choice(["", "x", "\0\u05d0"])
    return [None, chance.random() < 0.5, chance.randint(-5, 5), chance.random(), text][kind]


def undone_and_redone(actions, restart):
    disk = SimDisk()
    shop = Shop.create("/sim/shop", files=disk, clock=clock)
    parcel = shop.new_parcel({}, 2)
    first = canonical(parcel)
    for number, action in enumerate(actions):
        if number == restart:
            parcel.close()
            parcel = shop.open_parcel(parcel.id)
        if number == 2 * restart:  # and once more after the power went
            disk = disk.crash(random.Random(restart))
            shop = Shop.open("/sim/shop", files=disk, clock=clock)
            parcel = shop.open_parcel(parcel.id)
        act(shop, parcel, *action)
    while parcel.redo():
        pass
    last = canonical(parcel)
    while parcel.undo():
        pass
    assert canonical(parcel) == first
    parcel.close()
    parcel = shop.open_parcel(parcel.id)
    while parcel.redo():
        pass
    assert canonical(parcel) == last
    assert canonical(Shop.open("/sim/shop", read_only=True, files=disk).open_parcel(parcel.id)) == last


@settings(max_examples=6, deadline=None)
@given(some.integers(0, 2**40), some.integers(0, 300))
def test_300_actions_are_undone_and_redone_in_order(seed, restart):
    chance = random.Random(seed)
    actions = [
        (chance.choice(KINDS), chance.randrange(31), chance.randint(1, 12), any_value(chance))
        for _ in range(300)
    ]
    undone_and_redone(actions, restart)


@settings(max_examples=40, deadline=None)
@given(some.lists(ACTIONS, max_size=8), some.integers(0, 8))
def test_a_few_actions_are_undone_and_redone_in_order(actions, restart):
    undone_and_redone(actions, restart)
