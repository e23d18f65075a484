"""A record of what the desk does at every key, to be held against another: what changed, and was it wanted?

    python tests/bench/record_of_what_is.py write FILE [--house DIR] [--demo DIR] [--sessions 100]
    python tests/bench/record_of_what_is.py compare BEFORE AFTER [--words]

``write`` plays every script of ``DIR/*.keys`` and a hundred seeded random sessions and writes a line of JSON a
key: the digest of the parcel's canonical JSON, what the prompt asks (part, place, question), the open line, the
page, the message; the last line holds the ids of all commands. ``--house`` is the checkout to be recorded (its
``benchtui``, its keymaps), this one when left out; ``--demo`` the world and the scripts played in it, which two
records to be compared have to share. Ids are drawn from a seed and the clock goes on three seconds a look.

``compare`` says for each session where the two first differ, and how; ``--words`` leaves out keys at which only
the message differs. The record itself is no part of the project: it is made anew where it is wanted.
"""

import argparse
import hashlib
import json
import os
import random
import re
import secrets
import shutil
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from importlib import import_module
from pathlib import Path
from typing import Any

HERE = Path(__file__).resolve().parents[2]
KEYS = 80
"""Keys of a random session."""
UNDO_LEAVES = ("cursor", "draft", "undone", "revision", "sessions", "earlier")
"""What of a parcel's head undo leaves alone."""
TYPED = [*"abcdefghijklmnopqrstuvwxyz0123456789", " ", "-", "+", "=", "/", ";", "\\", ".", ",", "'", "[", "]"]
NAMED = ["tab", "enter", "enter", "enter", "escape", "escape", "backspace", "up", "down", "pagedown", "left",
         "right", "insert", "f1", "f2", "f3"]  # fmt: skip
WORDS = ["sto", "paper har", "1", "5 1", "b3", "vg+", "12", "label", "1969", "Mira Sol - New Song - EL 5"]


class Clock:
    """Goes on three seconds a look."""

    def __init__(self) -> None:
        self.time = datetime(2026, 11, 25, 10, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        self.time += timedelta(seconds=3)
        return self.time


def reach(thing: Any, *paths: str) -> Any:
    """The first of these dotted paths that the thing has: houses of different age keep it elsewhere."""
    for path in paths:
        found = thing
        try:
            for name in path.split("."):
                found = getattr(found, name)
        except AttributeError:
            continue
        return found
    raise AttributeError(f"none of {paths}")


def press_key(desk: Any, name: str, char: str | None) -> None:
    """A key as the app brings it; what it types goes to the end of the open line."""
    from benchtui.desk.keyboard.press import press
    from benchtui.desk.line.lines import LINES, type_text

    line = reach(desk, "open.line", "line")
    if name == "backspace" and line is not None:
        kind = LINES[line.name]
        if not line.text and kind.backspace is not None:
            kind.backspace(desk, line)
        else:
            type_text(desk, "" if line.replace else line.text[:-1])
    elif not press(desk, name) and line is not None and char is not None:
        type_text(desk, ("" if line.replace else line.text) + char)


def seen(desk: Any) -> dict[str, Any]:
    """What stands after a key."""
    parcel, line = reach(desk, "work.parcel", "parcel"), reach(desk, "open.line", "line")
    page, menu = reach(desk, "open.page", "page"), reach(desk, "open.menu", "menu")
    head = (
        {} if parcel is None else {name: parcel.head[name] for name in parcel.head if name not in UNDO_LEAVES}
    )
    records = [{**record, "stock": None, "earlier": None} for record in parcel.records] if parcel else []
    text = json.dumps([head, records], sort_keys=True, default=str)
    return {
        "parcel": hashlib.sha256(text.encode()).hexdigest()[:16],
        "prompt": prompt(desk),
        "line": [line.name, line.text] if line else None,
        "menu": menu.title if menu else None,
        "page": page.name if page else None,
        "said": reach(desk, "open.message", "message"),
        "tone": reach(desk, "open.tone", "tone"),
    }


def prompt(desk: Any) -> list[Any]:
    """Record, the part in the hand, its side, and what is asked of which part."""
    from benchtui.desk.ask.asking import ahead

    record, part = reach(desk, "work.record", "record"), reach(desk, "work.part", "part")
    asked, side = reach(desk, "asking.asked", "asked"), reach(desk, "work.side", "side")
    following = ahead(desk) if record is not None and part is not None else None
    of = part
    if following is not None:
        of, asked = following.part, following.asked
    named = [f"{one['kind']} {one.get('number', '')}".strip() if one else "" for one in (part, of)]
    return [record["no"] if record else None, named[0], side, named[1], list(asked) if asked else None]


def session(
    shop_path: Path, keymap: str | None, keys: list[tuple[str, str | None]]
) -> Iterator[dict[str, Any]]:
    """The desk opened on the shop, each key pressed and told."""
    from benchtui.desk.session.resume import resume
    from benchtui.desk.session.start import open_desk
    from benchtui.store import Shop

    shop = Shop.open(shop_path)
    try:
        desk, _ = open_desk(shop, keymap, Clock())
        resume(desk)
        for name, char in keys:
            try:
                press_key(desk, name, char)
            except Exception as error:  # a failure of the program is a thing that is, too
                yield {"key": name, **seen(desk), "said": f"FAILED: {error!r}"}
                return
            if reach(desk, "open.leaving", "leaving"):
                return
            yield {"key": name, **seen(desk)}
    finally:
        shop.close()


def sessions(demo: Path, count: int) -> Iterator[tuple[str, str, str | None, list[tuple[str, str | None]]]]:
    """Name, shop ("empty" or "demo"), keymap and keys of each session."""
    from benchtui.desk.keyboard.script import read_script

    for path in sorted(demo.glob("*.keys")):
        script = read_script(path)
        keys = [(step.name, step.char) for step in script.steps if step.kind == "key"]
        yield path.stem, script.shop or "demo", script.keymap, keys
    for seed in range(count):
        yield f"random {seed}", "demo", None, random_keys(random.Random(seed))


def random_keys(chance: random.Random) -> list[tuple[str, str | None]]:
    """Keys and a word now and then, by the seed alone."""
    from benchtui.desk.core.keys import key_name

    keys: list[tuple[str, str | None]] = []
    while len(keys) < KEYS:
        kind = chance.random()
        if kind < 0.25:
            keys.append((chance.choice(NAMED), None))
        elif kind < 0.35:
            keys += [(key_name(char), char) for char in chance.choice(WORDS)]
        else:
            char = chance.choice(TYPED)
            keys.append((key_name(char), char))
    return keys


def seeded(seed: str) -> None:
    """Ids are drawn from the seed from here on, so that two records have the same."""
    chance = random.Random(seed)
    secrets.token_hex = lambda size=8: f"{chance.getrandbits(8 * (size or 8)):0{2 * (size or 8)}x}"  # type: ignore[assignment]


def make_shop(path: Path, source: Path, empty: bool) -> None:
    """A copy of the demo shop, or a new one with its books and titles only."""
    from benchtui.store import Shop

    skip = shutil.ignore_patterns(".*", "*.lock")
    if not empty:
        shutil.copytree(source, path, ignore=skip)
        return
    Shop.create(path, name="demo").close()
    for folder in ("books", "titles"):
        if (source / folder).is_dir():
            shutil.copytree(source / folder, path / folder, dirs_exist_ok=True, ignore=skip)


def command_ids() -> list[str]:
    """The ids of all commands, declared or in the table of an older house."""
    try:
        return sorted(import_module("benchtui.desk.core.command").by_id())
    except ModuleNotFoundError:
        return sorted(import_module("benchtui.desk.actions").BY_ID)


def write(out: Path, demo: Path, count: int) -> None:
    os.fsync = lambda fd: None
    folder = Path(tempfile.mkdtemp(prefix="record-of-what-is-"))
    try:
        with out.open("w", encoding="utf-8") as lines:
            for name, shop, keymap, keys in sessions(demo, count):
                seeded(name)
                path = folder / "shop"
                make_shop(path, demo / "shop", shop == "empty")
                for n, told in enumerate(session(path, keymap, keys)):
                    lines.write(json.dumps({"session": name, "n": n, **told}, ensure_ascii=False) + "\n")
                shutil.rmtree(path)
            lines.write(json.dumps({"commands": command_ids()}) + "\n")
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def read(path: Path) -> tuple[dict[str, list[dict[str, Any]]], list[str]]:
    found: dict[str, list[dict[str, Any]]] = {}
    commands: list[str] = []
    for text in path.read_text(encoding="utf-8").splitlines():
        one = json.loads(text)
        if "commands" in one:
            commands = one["commands"]
        else:
            found.setdefault(one["session"], []).append(one)
    return found, commands


def compare(before: Path, after: Path, words: bool) -> int:
    """Say where each session first differs; 1 where any does."""
    one, one_commands = read(before)
    two, two_commands = read(after)
    print("commands gone:", sorted(set(one_commands) - set(two_commands)) or "none")
    print("commands new:", sorted(set(two_commands) - set(one_commands)) or "none")
    differing, kinds = 0, Counter[str]()
    for name, keys in one.items():
        fields = [field for field in keys[0] if not words or field not in ("said", "tone")]
        for a, b in zip(keys, two.get(name, []), strict=False):
            if changed := [field for field in fields if a[field] != b[field]]:
                differing += 1
                kinds[" ".join(changed)] += 1
                pressed = " ".join(one["key"] for one in keys[max(0, a["n"] - 6) : a["n"] + 1])
                print(f"\n{name}, key {a['n']}: ... {pressed}")
                for field in changed:
                    print(f"  {field}: {_short(a[field])}  ->  {_short(b[field])}")
                break
        else:
            if len(keys) != len(two.get(name, [])):
                differing += 1
                print(f"\n{name}: {len(keys)} keys before, {len(two.get(name, []))} after")
    print(f"\n{differing} of {len(one)} sessions differ; first differences: {dict(kinds)}")
    return int(bool(differing or one_commands != two_commands))


def _short(value: Any) -> str:
    return re.sub(r"\s+", " ", json.dumps(value, ensure_ascii=False))[:160]


def main() -> int:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    ways = parser.add_subparsers(dest="way", required=True)
    writes = ways.add_parser("write")
    writes.add_argument("file", type=Path)
    writes.add_argument("--house", type=Path, default=HERE)
    writes.add_argument("--demo", type=Path)
    writes.add_argument("--sessions", type=int, default=100)
    compares = ways.add_parser("compare")
    compares.add_argument("before", type=Path)
    compares.add_argument("after", type=Path)
    compares.add_argument("--words", action="store_true", help="leave out what only the message says")
    given = parser.parse_args()
    if given.way == "compare":
        return compare(given.before, given.after, given.words)
    sys.path.insert(0, str(given.house.resolve()))
    write(given.file, (given.demo or given.house / "demo").resolve(), given.sessions)
    return 0


if __name__ == "__main__":
    sys.exit(main())
