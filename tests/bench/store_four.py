"""Four processes play four parcels into one shop at once: python tests/bench/store_four.py [TIMES] [RECORDS]"""

import subprocess
import sys
import tempfile
import time
from pathlib import Path

HELPERS = Path(__file__).resolve().parents[1] / "store"
sys.path.insert(0, str(HELPERS))

from store_benches import check_shop  # noqa: E402

from benchtui.store import Shop  # noqa: E402

BENCH = f"import sys; sys.path.insert(0, {str(HELPERS)!r}); from store_benches import bench; "
BENCH += "bench(sys.argv[1], sys.argv[2], int(sys.argv[3]))"


def main() -> int:
    times = int(sys.argv[1]) if len(sys.argv) > 1 else 20
    records = int(sys.argv[2]) if len(sys.argv) > 2 else 15
    letters: dict[str, int] = {}
    begun = time.perf_counter()
    with tempfile.TemporaryDirectory() as folder:
        for number in range(times):
            path = Path(folder) / str(number)
            Shop.create(path).close()
            run = [sys.executable, "-c", BENCH, str(path)]
            benches = [subprocess.Popen([*run, f"bench {n}", str(records)]) for n in range(4)]
            if any(bench.wait() for bench in benches):
                return 1
            for letter, numbers in check_shop(path, benches=4, records=records).items():
                letters[letter] = letters.get(letter, 0) + len(numbers)
    taken = time.perf_counter() - begun
    print(
        f"{times} times four benches, {records} records each: all kept, no number twice, no gap ({taken:.0f} s)"
    )
    print("stock numbers by bench letter:", letters)
    return 0


if __name__ == "__main__":
    sys.exit(main())
