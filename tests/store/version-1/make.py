"""How the fixture beside this was made: the shop of schema 1, as its design has it. Not run by tests.

Schema 1 had one JSON object a file, history operations ``[path, before, after]`` with null for "nothing",
and one document a stock number in shop.json.
"""

import json
from pathlib import Path

HERE = Path(__file__).parent


def record(number: int, **fields):
    return {
        "id": f"r-{number}",
        "no": number,
        "state": "empty",
        "stock": None,
        "terms": None,
        "title": None,
        "channels": "",
        "size_in": None,
        "anchor": None,
        "parts": [],
        "answers": [],
        "pressing": {"id": None, "how": "open", "p": None, "learn": False},
        "rulings": {},
        "looked": [],
        "chores": [],
        "set_apart": None,
        "price": None,
        "note": "",
        "life": [],
        **fields,
    }


def save(name: str, kind: str, tables) -> None:
    text = json.dumps({"_meta": {"1": {"kind": kind, "schema": 1}}, **tables}, ensure_ascii=False, indent=1)
    (HERE / name).write_text(text + "\n", encoding="utf-8")


title = {"id": "t-1", "artist": "Ada Quill", "title": "Night Ferry", "catalogue": "TW 1041"}
disc = {
    "id": "p-1",
    "kind": "disc",
    "origin": None,
    "owner": "shop",
    "material": "vinyl",
    "faults": [],
    "sides": {"A": {"typed": "1n 3gr", "full": "", "cut": "1", "mother": "3", "stamper": "GR"}},
    "grades": [{"when": "arrived", "side": "A", "grade": "VG", "shade": "+", "scale": "american", "at": ""}],
}
records = {
    "r-1": record(1, state="taken-in", stock="A00001", title=title, parts=[disc], anchor="p-1"),
    "r-2": record(2, note="£ and é"),
    "r-4": record(3, id="r-4"),
}
history = [
    ("title of record 1", [[["records", "r-1", "title"], None, title]]),
    ("disc 1", [[["records", "r-1", "parts"], [], [disc]], [["records", "r-1", "anchor"], None, "p-1"]]),
    ("record 3 taken out", [[["records", "r-3"], record(3, note="not ours"), None]]),
    ("record 3 added", [[["records", "r-4"], None, record(3, id="r-4")]]),
    (
        "taken in",
        [[["records", "r-1", "state"], "empty", "taken-in"], [["records", "r-1", "stock"], None, "A00001"]],
    ),
    ("note", [[["records", "r-2", "note"], "", "£ and é"], [["head", "sender"], None, "s-1"]]),
]
head = {
    "id": "2025-03-01-1",
    "sender": "s-1",
    "terms": "bought",
    "opened": "2025-03-01",
    "expected": 3,
    "state": "open",
    "cursor": {"record": "r-2"},
    "draft": {"line": "note", "text": "half a w", "at": 8},
    "undone": 0,
    "revision": 6,
}
save(
    "parcels/2025-03-01-1.json",
    "parcel",
    {
        "head": {"head": head},
        "records": records,
        "history": {
            str(n): {"n": n, "say": say, "at": "2025-03-01T10:00:00Z", "ops": ops}
            for n, (say, ops) in enumerate(history, 1)
        },
    },
)
save(
    "shop.json",
    "shop",
    {
        "settings": {"settings": {"currency": "GBP", "scale": "american", "letter": "A", "name": "Corner"}},
        "senders": {"s-1": {"id": "s-1", "name": "Bo Lathe"}},
        "sales": {},
        "stock": {
            "A00001": {"parcel": "2025-03-01-1", "record": "r-1"},
            "A00002": {"parcel": "2025-02-01-1", "record": "r-9"},
            "B00001": {"parcel": "2025-02-01-1", "record": "r-8"},
        },
    },
)
save("titles.json", "titles", {"titles": {"t-1": title}, "picks": {}})
