"""Pure steps from one schema version to the next. Each takes the tables of an old file and gives new ones.

Schema 2 (against 1): history keeps ``[path, [before], [after]]``, where an empty list says that there was
nothing (in 1 a bare null said both "nothing" and "null"); the shop's stock numbers are kept by bench letter
and parcel (in 1 one document a number, which grew to 30,000 documents in a shop of 2,000 parcels).
"""

from collections.abc import Callable
from pathlib import Path
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.store.codec import Doc, Tables

SCHEMA = 2


def migrate(kind: str, schema: int, tables: Tables, where: Path | str) -> Tables:
    """The tables brought up to ``SCHEMA``. BenchError where the old file is not of its version's shape."""
    try:
        for version in range(schema, SCHEMA):
            tables = _STEPS.get((kind, version), _as_it_is)(tables)
    except (KeyError, TypeError, ValueError, AttributeError, IndexError) as error:
        said = f"this is no {kind} file of schema {schema} ({error!r})"
        raise BenchError(said, where, "use an undamaged file") from error
    return tables


def _as_it_is(tables: Tables) -> Tables:
    return tables


def _parcel_1_to_2(tables: Tables) -> Tables:
    history = {
        key: {**entry, "ops": [new for op in entry["ops"] for new in _boxed(*op)]}
        for key, entry in tables.get("history", {}).items()
    }
    return {**tables, "history": history}


def _boxed(path: list[Any], before: Any, after: Any) -> list[list[Any]]:
    whole_record = len(path) == 2 and path[0] == "records"
    if not whole_record:
        return [[path, [before], [after]]]
    place = ["queue", path[1]]
    old = [] if before is None else [before]
    new = [] if after is None else [after]
    moved = [place, [doc["no"] for doc in old], [doc["no"] for doc in new]]
    return [[path, old, new], moved] if new else [moved, [path, old, new]]


def _shop_1_to_2(tables: Tables) -> Tables:
    stock: dict[str, Doc] = {}
    for number, owner in tables.get("stock", {}).items():
        letter, count = number[0], int(number[1:])
        series = stock.setdefault(letter, {"letter": letter, "next": 1})
        series["next"] = max(series["next"], count + 1)
        key = f"{letter}/{owner['parcel']}"
        held = stock.setdefault(key, {"letter": letter, "parcel": owner["parcel"], "numbers": {}})
        held["numbers"][owner["record"]] = count
    return {**tables, "stock": stock}


_STEPS: dict[tuple[str, int], Callable[[Tables], Tables]] = {
    ("parcel", 1): _parcel_1_to_2,
    ("shop", 1): _shop_1_to_2,
}
