"""Ways to spoil a file: bytes changed, cut, doubled, swapped for what parsers dislike."""

import json
import random

NASTY = [
    b"\0",
    b"\xff\xfe",
    b"\xef\xbb\xbf",
    b"NaN",
    b"1e999",
    b"-Infinity",
    b"[" * 3000,
    b'{"":' * 2000,
    b"9" * 5000,
    b'"\\ud800"',
    b"null",
    b"{}",
    b"[]",
    b"../../x",
    b"\r\n",
    b"//",
    b"1" * 300,
    b"true",
    b'"schema":3',
    b'"schema":99',
    b'"schema":-1',
    b'"schema":"2"',
    "\u202e".encode(),
]


def mutated(raw: bytes, chance: random.Random) -> bytes:
    """The file with one to three things done to it."""
    for _ in range(chance.randint(1, 3)):
        raw = _one(raw, chance)
    return raw


def _one(raw: bytes, chance: random.Random) -> bytes:
    at = chance.randrange(len(raw) + 1)
    to = min(len(raw), at + chance.choice([1, 1, 8, 200, len(raw)]))
    kind = chance.randrange(7)
    if kind == 0:
        return raw[:at]
    if kind == 1:
        return raw[:at] + raw[to:]
    if kind == 2:
        return raw[:at] + bytes(chance.randrange(256) for _ in range(min(8, to - at))) + raw[to:]
    if kind == 3:
        return raw[:at] + raw[at:to] * 2 + raw[to:]
    if kind == 4:
        return raw[:at] + b"\0" * (to - at) + raw[to:]
    if kind == 5 and at < len(raw):
        return raw[:at] + bytes([raw[at] ^ (1 << chance.randrange(8))]) + raw[at + 1 :]
    return raw[:at] + chance.choice(NASTY) + raw[at:]


def mutated_values(raw: bytes, chance: random.Random) -> bytes:
    """Good JSON with one to three values changed for others, or taken out."""
    tree = json.loads(raw)
    for _ in range(chance.randint(1, 3)):
        _change_value(tree, chance)
    return json.dumps(tree).encode()


def _change_value(tree, chance: random.Random) -> None:
    inner = tree
    while True:
        keys = list(inner) if isinstance(inner, dict) else range(len(inner))
        if not keys:
            return
        key = chance.choice(keys)
        if isinstance(inner[key], dict | list) and inner[key] and chance.random() < 0.8:
            inner = inner[key]
            continue
        if chance.random() < 0.25:
            del inner[key]
        else:
            inner[key] = chance.choice(
                [None, True, 0, -1, 10**30, 1.5, "", "x" * 300, "../../x", [], {}, [{}], {"a": []}]
            )
        return
