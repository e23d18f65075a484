"""Very many keys in one sitting: python tests/bench/store_sitting.py [KEYS] [RECORDS]

Each key saves the text of the open line, every eighth is an action; prints memory, open files, side files and
the size of the parcel's file along the way. Nothing of it may grow with the keys beyond the history kept.
"""

import os
import resource
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "store"))

from same_parcel import canonical

from benchtui.store import Shop


def megabytes() -> float:
    """Memory in use now (Linux), else the most that was."""
    try:
        pages = int(Path("/proc/self/statm").read_text().split()[1])
        return pages * os.sysconf("SC_PAGE_SIZE") / 1e6
    except OSError:
        return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e3


def open_files() -> int:
    for folder in ("/proc/self/fd", "/dev/fd"):
        if Path(folder).is_dir():
            return len(os.listdir(folder))
    return -1


def tell(keys: int, shop: Path, begun: float) -> None:
    parcel = next((shop / "parcels").glob("*.json"))
    side = sum(path.stat().st_size for path in (shop / "parcels" / ".keep").iterdir())
    print(f"{keys:>6} keys  {megabytes():6.1f} MB  {open_files():3} files open  "
          f"parcel {parcel.stat().st_size / 1e3:7.1f} KB  beside it {side / 1e3:7.1f} KB  "
          f"{time.perf_counter() - begun:6.1f} s")  # fmt: skip


def main() -> int:
    keys = int(sys.argv[1]) if len(sys.argv) > 1 else 20_000
    records = int(sys.argv[2]) if len(sys.argv) > 2 else 50
    with tempfile.TemporaryDirectory(prefix="store-sitting-") as folder:
        shop = Shop.create(Path(folder) / "shop")
        parcel = shop.new_parcel({}, records)
        begun = time.perf_counter()
        for key in range(keys + 1):
            if key % (keys // 5) == 0:
                tell(key, shop.path, begun)
            if key % 8:
                parcel.place(draft={"line": "note", "text": f"typed {key}", "at": 5})
            else:
                with parcel.action(f"note {key}") as change:
                    change.record(parcel.records[key % records]["id"])["note"] = f"note {key}"
            if key % 1000 == 999:
                parcel.undo()
                shop.parcels()
        shop.close()
        again = Shop.open(shop.path, read_only=True).open_parcel(parcel.id)
        kept = canonical(again) == canonical(parcel) and not again.notice
    print("read again: " + ("the same" if kept else "NOT the same"))
    return 0 if kept else 1


if __name__ == "__main__":
    sys.exit(main())
