"""SIGKILL at N random moments of a played parcel: everything the bench had accepted must be there.

    python tests/bench/bench_kills.py [N] [--seed 1] [--keys fifteen] [--stretches 16] [--json]     (POSIX)

The script is played once through the real app and cut into stretches where a person could have left: no line
of choices and no page open. A child process opens the shop as it stood at the beginning of a stretch, plays on,
and says after each key that it was accepted (the screen shows it). After a random key, and a random moment more
(up to --later ms, so that the kill falls into the next keys' work too), it is killed. Then the shop is opened and
compared with the stretch played through undisturbed: it must be as after the last accepted key, or as after
the one pressed since, which may have been kept but not yet said; a key that writes to two files (a new sender
and the parcel that names it) may be kept halfway, counted apart as "between": the parcel is as after the last
accepted key in every record and line of history, and more stands in the shop. A key that writes the parcel
twice (taken in, then on to the next record) may be kept as far as it came, all before it whole: "half".

Reported: kills, losses (something accepted is not there), unreadable (the shop or parcel does not open, or says
that it was damaged), between and half.
"""

import argparse
import asyncio
import json
import os
import random
import re
import shutil
import signal
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Callable
from datetime import UTC, datetime
from itertools import count
from pathlib import Path
from typing import Any

from measuring import press, tell

from benchtui.base.errors import BenchError
from benchtui.bench.app import BenchApp
from benchtui.bench.play import rest
from benchtui.bench.run import copy_demo, empty_demo, script_path
from benchtui.desk.keyboard.script import Script, Step, read_script
from benchtui.desk.session.start import open_desk
from benchtui.model import record as record_module
from benchtui.store import Shop

NOW = datetime(2026, 11, 25, 10, 0, tzinfo=UTC)
TIMED = frozenset(
    ("at", "last", "since", "started_at", "taken_in_at", "closed_at", "begun", "seconds", "sessions")
)
ID = re.compile(r"\b([a-z]+)-[0-9a-f]{8}\b")
Heard = Callable[[int, BenchApp], bool]


class Numbered:
    """Ids in order instead of by chance, so that two plays of a stretch make the same documents."""

    def __init__(self, first: int) -> None:
        self._numbers = count(first)

    def token_hex(self, size: int) -> str:
        return f"{next(self._numbers):0{size * 2}x}"


async def play_on(shop: Shop, steps: list[Step], heard: Heard) -> None:
    """Press the keys; ``heard(n, app)`` after the n-th is accepted, and once before the first; False ends it."""
    desk, notice = open_desk(shop, None, lambda: NOW)
    app = BenchApp(desk, error=notice)
    async with app.run_test(size=(80, 24), notifications=False, tooltips=False):
        await app.workers.wait_for_complete()
        await rest(app)
        go_on = heard(0, app)
        for at, step in enumerate(steps, 1):
            if not go_on or not app.is_running:
                return
            await press(app, step)
            go_on = heard(at, app)


def played(path: Path, steps: list[Step], first: int, heard: Heard) -> None:
    """Opens the shop and plays, with ids counted from ``first``."""
    record_module.secrets = Numbered(first)  # type: ignore[assignment]
    shop = Shop.open(path, clock=lambda: NOW.strftime("%Y-%m-%dT%H:%M:%SZ"))
    try:
        asyncio.run(play_on(shop, steps, heard))
    finally:
        shop.close()


# -- what stands in a shop -----------------------------------------------------------------------------


def timeless(value: Any) -> Any:
    """Without the times at which things were done."""
    if isinstance(value, dict):
        return {key: timeless(each) for key, each in value.items() if key not in TIMED}
    return [timeless(each) for each in value] if isinstance(value, list) else value


def parcel_state(parcel: Any) -> dict[str, Any]:
    return {
        "head": timeless(dict(parcel.head)),
        "records": timeless(list(parcel.records)),
        "history": [entry.say for entry in parcel.history],
    }


def shop_state(shop: Shop, parcels: dict[str, Any]) -> str:
    """Everything the dealer put in, as one text."""
    settings = {key: value for key, value in shop.settings.items() if not key.startswith("last_parcel")}
    shared = [settings, shop.senders, shop.made_titles(), shop.picks(), shop.sales_seen()]
    return in_order(json.dumps([timeless(shared), parcels], sort_keys=True))


def in_order(text: str) -> str:
    """The ids numbered as they come in the text: how many the desk drew for what it worked out ahead of the
    next key, and threw away, is a matter of the moment.
    """
    numbers: dict[str, int] = {}
    return ID.sub(lambda found: f"{found[1]}-{numbers.setdefault(found[0], len(numbers))}", text)


def state_now(app: BenchApp) -> str:
    """As the bench has it in memory, which is what it showed."""
    parcel = app.desk.work.parcel
    return shop_state(app.desk.shop, {parcel.id: parcel_state(parcel)} if parcel else {})


def state_found(path: Path) -> str:
    """As another bench finds it. Raises BenchError for what cannot be opened."""
    shop = Shop.open(path)
    try:
        parcels = {name: shop.open_parcel(name) for name in shop.parcel_ids()[-1:]}
        troubled = [parcel.notice for parcel in parcels.values() if parcel.notice]
        if troubled or shop.notice:
            raise BenchError("; ".join([*troubled, shop.notice]))
        return shop_state(shop, {name: parcel_state(parcel) for name, parcel in parcels.items()})
    finally:
        shop.close()


def is_kept(found: str, accepted: str) -> bool:
    """Whether the parcel holds all that was accepted, though the shop around it has more."""
    there, was = json.loads(found)[1], json.loads(accepted)[1]
    return all(name in there and there[name]["records"] == one["records"]
               and there[name]["history"] == one["history"] for name, one in was.items())  # fmt: skip


def where(was: Any, found: Any, path: str = "") -> str:
    """The first place at which two states differ."""
    if isinstance(was, dict) and isinstance(found, dict):
        for key in [*was, *found]:
            if was.get(key) != found.get(key):
                return where(was.get(key), found.get(key), f"{path}/{key}")
    if isinstance(was, list) and isinstance(found, list) and len(was) == len(found):
        for at, (one, other) in enumerate(zip(was, found, strict=True)):
            if one != other:
                return where(one, other, f"{path}/{at}")
    return f"{path}: {json.dumps(was)[-300:]} was accepted, {json.dumps(found)[-300:]} is there"


def is_half(found: str, around: list[str]) -> bool:
    """Whether all that was accepted is there, and of the next key a part: its action but not yet the place.

    Records and history are then those of the next key, or its history as far as it came.
    """
    there, *sides = ([*json.loads(text)[1].values()] for text in (found, *around))
    if len(sides) < 2 or any(len(side) != 1 for side in (there, *sides)):
        return False
    now, was, to_be = there[0], sides[0][0], sides[1][0]
    if all(now[name] == to_be[name] for name in ("records", "history")):
        return True
    done = len(now["history"])
    begun = len(was["history"]) < done < len(to_be["history"])
    return begun and now["history"] == to_be["history"][:done]


# -- stretches ------------------------------------------------------------------------------------------


def may_leave(app: BenchApp) -> bool:
    """Nothing open that is not kept: choices and pages are not."""
    desk = app.desk
    return (
        desk.work.parcel is not None
        and desk.open.menu is None
        and desk.open.page is None
        and desk.open.line is None
    )


def cut(script: Script, folder: Path, most: int) -> list[tuple[Path, list[Step]]]:
    """The shop at the beginning of every stretch, and the stretch's keys."""
    path = folder / "whole"
    (copy_demo if script.shop == "demo" else empty_demo)(path)
    steps = [step for step in script.steps if step.kind == "key"]
    starts = [0]
    shutil.copytree(path, folder / "from-0")

    def heard(at: int, app: BenchApp) -> bool:
        if at - starts[-1] >= len(steps) // most and may_leave(app):
            shutil.copytree(path, folder / f"from-{at}", ignore=shutil.ignore_patterns("*.lock"))
            starts.append(at)
        return True

    played(path, steps, 1, heard)
    ends = [*starts[1:], len(steps)]
    return [(folder / f"from-{start}", steps[start:end]) for start, end in zip(starts, ends, strict=True)]


def in_child(work: Callable[[int], None]) -> tuple[int, int]:
    """Start ``work`` in a process of its own; its id and the pipe it writes to."""
    ours, theirs = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(ours)
        code = 1
        try:
            work(theirs)
            code = 0
        except BaseException:
            traceback.print_exc()
        finally:
            os._exit(code)
    os.close(theirs)
    return child, ours


def reference(shop: Path, steps: list[Step], path: Path) -> list[str]:
    """The states of a stretch after 0, 1, 2 ... keys, undisturbed."""
    shutil.copytree(shop, path)
    kept = path.with_suffix(".states")

    def work(_: int) -> None:
        states: list[str] = []

        def note(at: int, app: Any) -> bool:
            states.append(state_now(app))
            return True

        played(path, steps, 10**6, note)
        kept.write_text(json.dumps(states))

    child, pipe = in_child(work)
    _, status = os.waitpid(child, 0)
    os.close(pipe)
    if status or not kept.exists():
        raise SystemExit(f"the stretch from {shop.name} cannot be played")
    states: list[str] = json.loads(kept.read_text())
    return states


def killed(shop: Path, steps: list[Step], path: Path, after: int, later: float) -> tuple[int, float]:
    """Play the stretch, kill it; how many keys were accepted, and the seconds it took."""
    shutil.copytree(shop, path)
    begun = time.perf_counter()
    child, pipe = in_child(lambda out: played(path, steps, 10**6, lambda at, app: os.write(out, b".") == 1))
    accepted = -1  # the first sign says that it is open
    while accepted < after and (got := os.read(pipe, 1)):
        accepted += len(got)
    time.sleep(later)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    while got := os.read(pipe, 4096):
        accepted += len(got)
    os.close(pipe)
    return accepted, time.perf_counter() - begun


def verdict(path: Path, accepted: int, states: list[str]) -> str:
    """What a kill left."""
    try:
        found = state_found(path)
    except BenchError as error:
        print(f"unreadable after key {accepted}: {error.one_line()}", file=sys.stderr)
        return "unreadable"
    if found in states[max(0, accepted) : accepted + 2]:
        return "whole"
    if is_kept(found, states[max(0, accepted)]):
        return "between"
    if is_half(found, states[max(0, accepted) :][:2]):
        coming = json.loads(states[accepted + 1])
        print(f"half of key {accepted + 1}: {where(coming, json.loads(found))}", file=sys.stderr)
        return "half"
    for state in states[max(0, accepted) : accepted + 2]:
        print(f"lost after key {accepted}: {where(json.loads(state), json.loads(found))}", file=sys.stderr)
    return "lost"


def main() -> None:
    parser = argparse.ArgumentParser(description="kill a played parcel at random moments")
    parser.add_argument("kills", nargs="?", type=int, default=50)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--keys", default="fifteen")
    parser.add_argument("--stretches", type=int, default=16)
    parser.add_argument(
        "--later", type=float, default=40.0, help="most ms between the last key waited for and the kill"
    )
    parser.add_argument("--json", action="store_true")
    given = parser.parse_args()
    rng, came = random.Random(given.seed), Counter[str]()
    keys: set[tuple[str, int]] = set()
    begun = time.perf_counter()
    with tempfile.TemporaryDirectory(prefix="bench-kills-") as place:
        folder = Path(place)
        stretches = cut(read_script(script_path(given.keys)), folder, given.stretches)
        states = [reference(shop, steps, folder / f"{shop.name}-told") for shop, steps in stretches]
        for number in range(given.kills):
            at = rng.randrange(len(stretches))
            shop, steps = stretches[at]
            path = folder / f"kill-{number}"
            accepted, _ = killed(
                shop, steps, path, rng.randrange(len(steps)), rng.uniform(0, given.later) / 1000
            )
            came[verdict(path, accepted, states[at])] += 1
            keys.add((shop.name, accepted))
            shutil.rmtree(path)
    found = {"kills": given.kills, "lost": came["lost"], "unreadable": came["unreadable"], "whole": came["whole"],
             "between": came["between"], "half": came["half"], "different_keys": len(keys), "stretches": len(stretches),
             "keys": sum(len(steps) for _, steps in stretches), "seconds": round(time.perf_counter() - begun)}  # fmt: skip
    lines = [f"{given.kills} kills, {came['lost']} losses, {came['unreadable']} unreadable",
             f"{came['whole']} as after a key, {came['between']} with more in the shop than in the parcel, {came['half']} with half of a key's actions",
             f"after {len(keys)} different keys of {found['keys']}, {found['stretches']} stretches, {found['seconds']} s"]  # fmt: skip
    tell(found, lines, given.json)
    sys.exit(1 if came["lost"] or came["unreadable"] else 0)


if __name__ == "__main__":
    main()
