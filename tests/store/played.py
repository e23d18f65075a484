"""A parcel played key by key, each step one transaction, and the whole shop as one comparable value."""

import json
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, cast

from same_parcel import canonical

from benchtui.base.errors import BenchError
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import GradeDoc, RecordDoc, empty_record
from benchtui.store import Files, Parcel, Shop, move_part

SHOP = Path("/sim/shop")
GRADES = ("M", "NM", "VG+", "VG", "G")


def clock() -> str:
    return "2026-11-25T07:00:00Z"


def record_of(number: int) -> dict[str, Any]:
    return {**empty_record(0), "id": f"r-{number:04d}"}


def part_of(number: int, kind: str, owner: str = "shop") -> dict[str, Any]:
    return {"id": f"p-{number:04d}", "kind": kind, "origin": None, "owner": owner, "grades": [], "faults": []}


def grade_of(number: int) -> dict[str, Any]:
    return {
        "when": "arrived",
        "side": "A",
        "grade": GRADES[number % 5],
        "shade": "",
        "scale": "american",
        "at": "",
    }


@dataclass
class World:
    """An open shop and its parcels while steps are played; ``done`` counts the steps that were accepted.

    ``behind``: the shop saves in the background; a step counts once it was waited for, as it is before it is shown.
    """

    files: Any
    path: Path = SHOP
    done: int = 0
    shop: Any = None
    parcels: list[Parcel] = field(default_factory=list)
    behind: bool = False

    def play(self, steps: "list[Step]") -> None:
        for step in steps[self.done :]:
            step(self)
            if self.behind and self.shop is not None:
                self.shop.save_in_background()
                for parcel in self.parcels:
                    parcel.settle()
            self.done += 1

    @property
    def one(self) -> Parcel:
        return self.parcels[0]


Step = Callable[[World], Any]


def create(world: World) -> None:
    world.shop = Shop.create(world.path, files=world.files, clock=clock)


def new_parcel(world: World) -> None:
    world.parcels.append(world.shop.new_parcel({"opened": "2026-11-25"}, 0))


def add(number: int, place: int | None = None, parcel: int = 0) -> Step:
    def step(world: World) -> None:
        with world.parcels[parcel].action(f"record {number}") as change:
            record = record_of(number)
            record["parts"] = [part_of(10 * number + n, kind) for n, kind in enumerate(("disc", "cover"))]
            change.add(cast(RecordDoc, record), place)

    return step


def grade(number: int) -> Step:
    def step(world: World) -> None:
        with world.one.action(f"grade {GRADES[number % 5]}") as change:
            change.record(f"r-{number:04d}")["parts"][0]["grades"].append(cast(GradeDoc, grade_of(number)))

    return step


def draft(text: str) -> Step:
    return lambda world: world.one.place(
        draft={"line": "note", "text": text, "at": len(text)}, cursor={"view": text}
    )


def head(**fields: Any) -> Step:
    def step(world: World) -> None:
        with world.one.action("head") as change:
            change.head.update(cast(HeadDoc, fields))

    return step


def move(number: int, place: int) -> Step:
    def step(world: World) -> None:
        with world.one.action("moved") as change:
            change.move(f"r-{number:04d}", place)

    return step


def remove(number: int) -> Step:
    def step(world: World) -> None:
        with world.one.action("taken out") as change:
            change.remove(f"r-{number:04d}")

    return step


def undo(world: World) -> None:
    world.one.undo()


def redo(world: World) -> None:
    world.one.redo()


def stock(number: int) -> Step:
    return lambda world: world.shop.reserve_stock(world.one.id, f"r-{number:04d}")


def take_in(number: int) -> Step:
    def step(world: World) -> None:
        with world.one.action("taken in") as change:
            record = change.record(f"r-{number:04d}")
            record["stock"] = world.shop.reserve_stock(world.one.id, f"r-{number:04d}")
            record["state"] = "taken-in"

    return step


def part(number: int) -> Step:
    return lambda world: move_part(
        world.shop, world.one, f"r-{number:04d}", f"p-{10 * number:04d}", world.parcels[1], "r-0009"
    )


def correct(world: World) -> None:
    with world.one.correct("the note was wrong") as change:
        change.record("r-0002")["note"] = "better so"


def steps_of_a_parcel() -> list[Step]:
    """Every kind of change the store knows, each at least once; folds happen on the way."""
    return [
        create,
        lambda world: world.shop.add_sender("Ada Quill", note="rings twice"),
        new_parcel,
        add(1), add(2), add(3, 1),
        head(sender="s-1", carrier="by hand", expected=3),
        draft("n"), draft("no"), draft("not [b]é\0"),
        grade(1), grade(2), grade(3),
        lambda world: world.shop.add_title({"id": "t-1", "artist": "A", "title": "B"}),
        lambda world: world.shop.note_pick("t-1", "s-1"),
        move(3, 3), undo, undo, redo, grade(2),
        stock(1), take_in(1),
        new_parcel, add(9, None, 1),
        part(3),
        remove(2), undo, remove(1),
        lambda world: world.shop.add_sales([{"id": "x-1", "title": "t-1", "minor": 900}]),
        lambda world: world.shop.change_settings(vat_rate="19"),
        lambda world: world.one.close_parcel(),
        correct,
    ]  # fmt: skip


def state_of(path: Path, files: Files) -> str:
    """Everything a dealer could see after opening the shop as the next start would; "" without a shop."""
    try:
        shop = Shop.open(path, files=files, clock=clock)
    except BenchError as error:
        if "there is no shop here" in str(error):
            return ""
        raise
    try:
        return whole(shop)
    finally:
        shop.close()


def whole(shop: Shop) -> str:
    """The shop's content as canonical JSON; ids it made itself and the last parcel opened are left out."""
    parcels = {key: parcel_state(shop.open_parcel(key, read_only=True)) for key in shop.parcel_ids()}
    seen = {
        "parcels": parcels,
        "settings": {key: value for key, value in shop.settings.items() if not key.startswith("last_parcel")},
        "senders": sorted(({**doc, "id": ""} for doc in shop.senders.values()), key=str),
        "titles": shop.made_titles(),
        "picks": shop.picks(),
        "sales": shop.sales_seen(),
        "stock": shop.stock_numbers(),
    }
    return json.dumps(seen, sort_keys=True)


def parcel_state(parcel: Parcel) -> list[Any]:
    head = parcel.head
    told = [[entry.n, entry.say] for entry in parcel.history]
    assert [record["no"] for record in parcel.records] == list(range(1, len(parcel.records) + 1))
    return [
        canonical(parcel),
        head["cursor"],
        head["draft"],
        head["undone"],
        head["state"],
        told,
        parcel.notice,
    ]
