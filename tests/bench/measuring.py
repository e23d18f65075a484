"""What the bench_*.py scripts share: shops of three sizes, shares of a list of times, how figures are told."""

import json
import math
import random
import shutil
import statistics
import sys
import time
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

from textual import events

from benchtui.bench.play import rest
from benchtui.bench.run import copy_demo
from benchtui.desk.keyboard.script import Step
from benchtui.model.record import RecordDoc, new_id
from benchtui.model.title import Title
from benchtui.store import Shop
from benchtui.titles.listfile import write_list
from benchtui.titles.takein import take_in

TAILS = ("a", "e", "i", "o", "u", "an", "el", "or", "in", "um")
SYLLABLES = [head + tail for head in "bcdfghklmnprstvw" for tail in TAILS]
PYTHON = sys.executable


def share(times: Iterable[float], percent: float) -> float:
    """The smallest time that at least so many percent do not exceed; 0 for none."""
    found = sorted(times)
    return found[max(0, math.ceil(len(found) * percent / 100) - 1)] if found else 0.0


def spread(times: Iterable[float]) -> dict[str, float]:
    """p50 and p95 to a hundredth, and how many."""
    found = list(times)
    return {"p50": round(share(found, 50), 2), "p95": round(share(found, 95), 2), "n": len(found)}


def median(times: Iterable[float]) -> float:
    found = list(times)
    return round(statistics.median(found), 2) if found else 0.0


def tell(found: dict[str, Any], lines: Iterable[str], as_json: bool) -> None:
    """Plain lines, or one JSON object."""
    if as_json:
        print(json.dumps(found))
    else:
        print("\n".join(lines))


async def press(app: Any, step: Step) -> float:
    """One key into any running app, as ``benchtui play`` does it; milliseconds until it is at rest."""
    app.desk.burst.slow = True  # the keys come as fast as they are answered, and are meant
    event = events.Key(step.name, step.char)
    event.set_sender(app)
    begun = time.perf_counter()
    app.post_message(event)
    return (await rest(app) - begun) * 1000


# -- shops -----------------------------------------------------------------------------------------


def half_done(path: Path) -> Path:
    """The demo shop: fifteen records, six taken in, the seventh half done."""
    copy_demo(path)
    return path


def long_parcel(path: Path, records: int = 500) -> Path:
    """The same with a longer queue: copies of the records taken in stand behind the fifteen."""
    copy_demo(path)
    shop = Shop.open(path)
    parcel = shop.open_parcel(str(shop.last_parcel()))
    done = [record for record in parcel.records if record["state"] == "taken-in"]
    with parcel.action("a longer queue") as change:
        for at in range(records - len(parcel.records)):
            change.add(copied(done[at % len(done)], shop, parcel.id))
    parcel.close()
    shop.close()
    return path


def copied(record: RecordDoc, shop: Shop, parcel: str) -> RecordDoc:
    """A record of its own with the same facts and a stock number of its own."""
    name = new_id("r")
    copy: RecordDoc = json.loads(json.dumps(record))
    copy["id"], copy["stock"] = name, shop.reserve_stock(parcel, name)
    return copy


def many_titles(path: Path, taken_in: Path) -> Path:
    """The demo shop with a large list that was taken in already."""
    copy_demo(path)
    (path / "titles").mkdir(exist_ok=True)
    for each in taken_in.iterdir():
        # With its time: the index counts only beside a list of the same size and time.
        shutil.copy2(each, path / "titles" / each.name)
    return path


def take_in_made_up(folder: Path, titles: int = 100_000) -> Path:
    """A folder that holds a made-up list, taken in by the same code as a dealer's, and its index.

    Half a millisecond of processor time a title: a folder that has it already is taken as it is.
    """
    listed = folder / "made-up.csv"
    if any((folder / "titles").glob("*.index")):
        return folder / "titles"
    folder.mkdir(parents=True, exist_ok=True)
    for _ in write_list(listed, made_up(titles)):
        pass
    take_in(listed, folder / "titles", doubtful="keep")
    return folder / "titles"


def made_up(count: int) -> Iterable[Title]:
    """Titles of words drawn with a skew, as titles have; every one with a number of its own."""
    rng = random.Random(count)
    words = ["".join(rng.choice(SYLLABLES) for _ in range(rng.choice((2, 2, 3)))) for _ in range(20_000)]
    for no in range(count):
        drawn = [words[int(len(words) * rng.random() ** 3)] for _ in range(rng.choice((1, 2, 2, 3, 4)))]
        artist = f"{words[no % 4000]} {words[no * 7 % 9000]}".title()
        number = f"{rng.choice('ABCDEFGH')}{rng.choice('LMNPQRST')} {no}"
        yield Title(f"m{no}", artist, " ".join(drawn).title(), number, str(1950 + no % 40), "Made Up", "XV")


SHOPS: dict[str, Callable[[Path, Path], Path]] = {
    "15 records": lambda path, titles: half_done(path),
    "500 records": lambda path, titles: long_parcel(path),
    "100,000 titles": many_titles,
}
EMPTY = "empty app"
