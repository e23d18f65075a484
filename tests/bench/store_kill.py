"""Kills a played parcel at random moments: python tests/bench/store_kill.py [KILLS] [SEED]

Prints how many kills, in how many different steps, and how many lost an accepted key (must be 0).
"""

import random
import shutil
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "store"))

from kills import kill_one, length_of_a_play, states_of_a_parcel


def main() -> int:
    kills = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    chance = random.Random(int(sys.argv[2]) if len(sys.argv) > 2 else 1)
    states = states_of_a_parcel()
    lost, moments = [], set()
    with tempfile.TemporaryDirectory() as folder:
        longest = length_of_a_play(Path(folder) / "measured")
        for number in range(kills):
            path = Path(folder) / str(number)
            accepted, right = kill_one(path, chance.uniform(0, longest * 1.1), states)
            moments.add(accepted)
            if not right:
                lost.append((number, accepted))
            shutil.rmtree(path, ignore_errors=True)
    print(f"{kills} kills, after {len(moments)} different numbers of accepted steps (of {len(states) - 1})")
    print(f"shops not as before or after the step that was interrupted: {len(lost)} {lost[:5] or ''}")
    return 1 if lost else 0


if __name__ == "__main__":
    sys.exit(main())
