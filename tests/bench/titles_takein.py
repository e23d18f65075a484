"""Taking in a list of a million lines of which a hundred are broken: all others in, the hundred named;
time, memory.

    python tests/bench/titles_takein.py [1000000]
"""

import argparse
import random
import resource
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from titles_size import pairs

from benchtui.titles.listfile import write_list
from benchtui.titles.takein import TakeIn

BROKEN = ('"never closed,Title,AB 1', "one cell", "a,b,c,d,e,f,g,h,i,j,k,l", ",,,,,,,,,,", 'x,"q"r,,')


def spoil(path: Path, count: int, rng: random.Random) -> list[int]:
    """Writes so many titles, then puts a broken line in the place of a hundred; their line numbers."""
    for _ in write_list(path, pairs(count, 3)):
        pass
    lines = path.read_text(encoding="utf-8").splitlines()
    places = sorted(rng.sample(range(1, len(lines)), 100))
    for no, place in enumerate(places):
        lines[place] = BROKEN[no % len(BROKEN)]
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return [place + 1 for place in places]


def run(steps: Iterator[float]) -> tuple[float, float]:
    """Seconds of all steps, and of the longest."""
    begin = last = time.perf_counter()
    longest = 0.0
    for _ in steps:
        longest = max(longest, time.perf_counter() - last)
        time.sleep(0.0005)  # as a screen has other things to do between two steps
        last = time.perf_counter()
    return time.perf_counter() - begin, longest


def main() -> None:
    """Runs it in a folder that goes away."""
    parser = argparse.ArgumentParser()
    parser.add_argument("count", type=int, nargs="?", default=1_000_000)
    count = parser.parse_args().count
    with tempfile.TemporaryDirectory() as name:
        path = Path(name) / "made.csv"
        broken = spoil(path, count, random.Random(5))
        taking = TakeIn(path, Path(name) / "titles", apart=True)
        read, longest_read = run(taking.reading())
        wrote, longest_write = run(taking.writing())
        report = taking.report
        named = [note.line for note in report.refused]
        print(next(report.told()))
        print(f"the hundred broken lines named: {named == broken}")
        print(f"read and compared in {read:.1f} s (longest step {longest_read * 1000:.0f} ms)", end=", ")
        print(f"written and indexed in {wrote:.1f} s (longest step {longest_write * 1000:.0f} ms)")
        print(f"most memory {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB")


if __name__ == "__main__":
    main()
