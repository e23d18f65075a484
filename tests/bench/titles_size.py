"""Completion at 100,000 and 1,000,000 made-up artist-title pairs: recall, time, build, load and memory.

    python tests/bench/titles_size.py [100000] [--queries 300]

Words are made of syllables and drawn with a Zipf-like skew; so are the artists, of whom a few have
hundreds of titles and most have one. Beside it one plain scan of all titles with RapidFuzz, which is what
it spares.
"""

import argparse
import random
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from itertools import accumulate
from pathlib import Path

from rapidfuzz import fuzz, process

from benchtui.model.title import Title
from benchtui.titles.finder import Finder
from benchtui.titles.fold import article_length, fold, initials
from benchtui.titles.hit import Hit
from benchtui.titles.listfile import write_list
from benchtui.titles.lists import load_steps

HEADS = (
    "b",
    "br",
    "c",
    "d",
    "dr",
    "f",
    "g",
    "gr",
    "h",
    "j",
    "k",
    "l",
    "m",
    "n",
    "p",
    "pr",
    "qu",
    "r",
    "s",
    "st",
    "t",
)
SYLLABLES = [
    head + tail for head in HEADS for tail in ("a", "e", "i", "o", "u", "an", "el", "or", "in", "um")
]
LITTLE = ("the", "of", "and", "a", "in", "to", "my", "for", "on")


def word(rng: random.Random) -> str:
    """A made-up word of one to four syllables."""
    return "".join(rng.choice(SYLLABLES) for _ in range(rng.choices((1, 2, 3, 4), (1, 6, 4, 1))[0]))


class Skewed:
    """Draws from a list, the n-th entry with weight 1 / (n + 10) to the power given."""

    def __init__(self, values: list[str], power: float, rng: random.Random) -> None:
        self.values, self.rng = values, rng
        self.weights = list(accumulate(1 / (no + 10) ** power for no in range(len(values))))

    def draw(self, count: int) -> list[str]:
        return self.rng.choices(self.values, cum_weights=self.weights, k=count)


def pairs(count: int, seed: int) -> Iterator[Title]:
    """So many titles, each with a number of its own."""
    rng = random.Random(seed)
    words = list(dict.fromkeys(word(rng) for _ in range(25_000 + count // 10)))
    common = Skewed([*LITTLE, *words], 1.0, rng)
    names = list(dict.fromkeys(word(rng) for _ in range(8_000)))
    makers = list({f"{rng.choice(names)} {rng.choice(names)}".title() for _ in range(max(10, count // 5))})
    artist = Skewed(sorted(makers), 0.8, rng)
    companies = [f"{word(rng).title()} {kind}" for kind in ("Discs", "Gramophone") for _ in range(60)]
    for no in range(count):
        text = " ".join(common.draw(rng.choices((1, 2, 3, 4, 5), (15, 30, 30, 15, 10))[0])).title()
        number = f"{rng.choice('ABCDEFGH')}{rng.choice('LMNPQRST')} {rng.randrange(1000, 99999)}"
        year = str(min(1995, max(1948, int(rng.gauss(1972, 9)))))
        yield Title(f"m{no}", artist.draw(1)[0], text, number, year, rng.choice(companies), "XV")


def bare(title: Title) -> str:
    """The folded title without its article."""
    name = fold(title.title)
    return name[article_length(name) :]


def slip(text: str, rng: random.Random) -> str:
    """One letter replaced, left out, added, or two swapped, never the first."""
    at, how = rng.randrange(1, len(text)), rng.randrange(4)
    letter = rng.choice("abcdefghijklmnopqrstuvwxyz")
    variants = (letter + text[at + 1 :], text[at + 1 :], letter + text[at:], text[at + 1 : at + 2] + text[at])
    return text[:at] + variants[how] + (text[at + 2 :] if how == 3 else "")


def kinds(rng: random.Random) -> dict[str, Callable[[Title], str | None]]:
    """What is typed of a title, by kind; None where it does not suit the title."""

    def two(title: Title, length: int) -> list[str] | None:
        words = [one[:length] for one in dict.fromkeys(bare(title).split()) if len(one) > length]
        return rng.sample(words, 2) if len(words) > 1 else None

    def slipped(words: list[str] | None) -> str | None:
        return f"{slip(words[0], rng)} {words[1]}" if words else None

    def short(title: Title) -> str | None:
        return initials(fold(title.title)) if len(title.title.split()) >= 4 else None

    def maker(title: Title, first: int, second: int) -> str:
        return f"{fold(title.artist).split()[-1][:first]} {rng.choice(bare(title).split())[:second]}"

    return {
        "2 letters": lambda title: bare(title)[:2],
        "first 4 of the title": lambda title: bare(title)[:4],
        "first 8": lambda title: bare(title)[:8],
        "first 10, one slip": lambda title: slip(bare(title)[:10], rng) if len(bare(title)) > 9 else None,
        "two title words 3+3": lambda title: " ".join(two(title, 3) or []) or None,
        "two title words 4+4, one slip": lambda title: slipped(two(title, 4)),
        "last name 2 + title word 3": lambda title: maker(title, 2, 3),
        "last name 3 + title word 3": lambda title: maker(title, 3, 3),
        "artist and title whole": lambda title: f"{title.artist} {title.title}",
        "the same, one slip": lambda title: slip(fold(f"{title.artist} {title.title}"), rng),
        "initials of 4 or more words": short,
        "catalogue number": lambda title: title.catalogue.lower().replace(" ", ""),
        "its digits": lambda title: title.catalogue.split()[1],
    }


def measure(
    finder: Finder, sample: list[Title], rng: random.Random, queries: int, clock: Callable[[], float]
) -> list[float]:
    """Prints the table; all times in ms."""
    print(f"{'typed':32}{'n':>6} recall@1 recall@5    p50    p95    max   step ms")
    everything: list[float] = []
    for kind, make in kinds(rng).items():
        typed = [(title, text) for title in sample if (text := make(title))][:queries]
        ranks, times, step = [], [], 0.0
        for title, text in typed:
            hits: list[Hit] = []
            begin = last = clock()
            for hits in finder.steps(text):  # noqa: B007
                step, last = max(step, clock() - last), clock()
            times.append((clock() - begin) * 1000)
            ids = [hit.title.id for hit in hits]
            ranks.append(ids.index(title.id) if title.id in ids else 99)
        everything += times
        times.sort()
        share = [sum(rank <= most for rank in ranks) / len(ranks) for most in (0, 4)]
        p95 = times[int(len(times) * 0.95)]
        print(
            f"{kind:32}{len(typed):6} {share[0]:8.3f} {share[1]:8.3f} {statistics.median(times):6.1f} {p95:6.1f}"
            f" {times[-1]:6.1f} {step * 1000:6.1f}",
            flush=True,
        )
    return sorted(everything)


def memory() -> float:
    """Megabytes that this process has written and alone holds (mapped pages of an index are the system's),
    else 0.
    """
    try:
        text = Path("/proc/self/smaps_rollup").read_text()
    except OSError:
        return 0.0
    return sum(int(line.split()[1]) for line in text.splitlines() if line.startswith("Private_Dirty")) / 1024


def prepare(count: int, folder: Path) -> float:
    """Writes the list and its index, in a process of its own so that its memory is not counted; seconds."""
    listed = folder / f"made-{count}.csv"
    if not listed.exists():
        for _ in write_list(listed, pairs(count, 1)):
            pass
    begin = time.perf_counter()
    code = "import sys; from benchtui.titles.prepare_lists import main; main(sys.argv[1:])"
    subprocess.run([sys.executable, "-c", code, str(listed)], check=True, stdout=subprocess.DEVNULL)
    return time.perf_counter() - begin


def main() -> None:
    """Runs it for one size."""
    parser = argparse.ArgumentParser()
    parser.add_argument("count", type=int, nargs="?", default=100_000)
    parser.add_argument("--queries", type=int, default=300)
    parser.add_argument("--folder", type=Path, default=Path(tempfile.gettempdir()) / "benchtui-sizes")
    parser.add_argument("--cpu", action="store_true", help="processor time, where others use the machine too")
    options = parser.parse_args()
    clock = time.process_time if options.cpu else time.perf_counter
    folder = options.folder / str(options.count)
    folder.mkdir(parents=True, exist_ok=True)
    built = prepare(options.count, folder)
    size = sum(path.stat().st_size for path in folder.glob("*.index")) / 1e6
    before, begin = memory(), time.perf_counter()
    finder = Finder(step.piece for step in load_steps(folder, apart=False) if step.piece is not None)
    loaded = time.perf_counter() - begin
    rng = random.Random(2)
    sample = [
        title for title in pairs(options.count, 1) if rng.random() < 4 * options.queries / options.count
    ]
    rng.shuffle(sample)
    after = memory()
    print(
        f"{options.count:,} titles: index prepared in {built:.1f} s, {size:.0f} MB; loaded in {loaded * 1000:.1f} ms"
    )
    everything = measure(finder, sample, rng, options.queries, clock)
    print(
        f"all: p50 {statistics.median(everything):.1f}, p95 {everything[int(len(everything) * 0.95)]:.1f} ms"
    )
    print(
        f"memory of its own: {after - before:.0f} MB loaded (sample included), {memory() - before:.0f} MB after all queries"
    )
    scan(options.count)


def scan(count: int) -> None:
    """One plain scan of all titles, folded beforehand, for comparison."""
    texts = [fold(f"{title.artist} {title.title}") for title in pairs(count, 1)]
    before = time.perf_counter()
    process.extract("lanter", texts, scorer=fuzz.WRatio, limit=8)
    print(f"one plain scan with WRatio: {(time.perf_counter() - before) * 1000:.0f} ms")


if __name__ == "__main__":
    main()
