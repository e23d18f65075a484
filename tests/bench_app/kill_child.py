"""Plays a script at the desk, a line on stdout after each accepted key; told to be killed by test_killed.py.

Ids come in order and the clock stands still, so that every run of it makes the same documents.
"""

import hashlib
import itertools
import sys
from datetime import UTC, datetime
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
sys.path.append(str(Path(__file__).parents[1] / "store"))  # for same_parcel.py

from bench_hands import Hands
from same_parcel import canonical

from benchtui.bench.run import script_path
from benchtui.desk.keyboard.script import read_script
from benchtui.desk.session.resume import resume
from benchtui.desk.session.start import open_desk
from benchtui.model import record as records
from benchtui.store import Parcel, Shop

NOW = datetime(2026, 11, 25, 10, 0, tzinfo=UTC)
KEYS = 400  # the form and the first records
_NUMBERS = itertools.count(1)


class Ordered:
    """Stands in for ``secrets``."""

    @staticmethod
    def token_hex(size: int) -> str:
        return f"{next(_NUMBERS):0{2 * size}x}"


def state_of(parcel: Parcel) -> str:
    """Records, head, history and the open line, as one short text."""
    head = parcel.head
    text = canonical(parcel) + repr((head["draft"], head["undone"], len(parcel.history)))
    return f"{head['revision']} {hashlib.sha256(text.encode()).hexdigest()}"


def main(path: str) -> None:
    records.secrets = Ordered  # type: ignore[assignment]
    shop = Shop.open(path, clock=lambda: "2026-11-25T10:00:00Z")
    desk, _ = open_desk(shop, None, lambda: NOW)
    resume(desk)
    hands = Hands(desk)
    steps = [step for step in read_script(script_path("fifteen")).steps if step.kind == "key"][:KEYS]
    print("ready", flush=True)
    for number, step in enumerate(steps, 1):
        hands.step(step)
        print(number, state_of(desk.work.parcel) if desk.work.parcel else "- none", flush=True)


if __name__ == "__main__":
    main(sys.argv[1])
