"""The process that prepares large lists: ``python -m benchtui.titles.prepare_lists FILE ...``."""

import sys
from pathlib import Path

from benchtui.titles.lists import load_list


def main(argv: list[str]) -> int:
    """Prepares the lists named; prints how much is done, from 0 to 1, a line each percent."""
    for name in argv:
        last = -1
        for step in load_list(Path(name)):
            if int(step.done * 100) > last:
                last = int(step.done * 100)
                print(f"{step.done:.3f}", flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
