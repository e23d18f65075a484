"""One process plays many parcels: python tests/bench/store_long.py [PARCELS]   (Linux: reads /proc)

Prints memory and open files after the 50th parcel and at the end; they should be steady but for the index,
which grows with the shop by its rows.
"""

import os
import sys
import tempfile
import time
from pathlib import Path

from store_load import fill, tally

from benchtui.store import Shop


def now_used() -> tuple[int, int]:
    """Resident memory in KiB, and the number of open files."""
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") // 1024, len(os.listdir("/proc/self/fd"))


def main() -> None:
    parcels = int(sys.argv[1]) if len(sys.argv) > 1 else 500
    with tempfile.TemporaryDirectory() as folder:
        shop = Shop.create(Path(folder) / "shop")
        begun = time.perf_counter()
        for number in range(1, parcels + 1):
            parcel = shop.new_parcel({"opened": "2026-11-25"}, 15)
            fill(shop, parcel, number)
            for _ in range(3):
                parcel.undo()
            for _ in range(3):
                parcel.redo()
            shop.counts(tally)
            shop.find("night ferry")
            parcel.close_parcel()
            parcel.close()
            if number in (1, 10, 50, parcels // 2, parcels):
                memory, files = now_used()
                print(
                    f"after {number:5} parcels: {memory:7} KiB, {files} open files, {time.perf_counter() - begun:.0f} s"
                )
        shop.close()


if __name__ == "__main__":
    main()
