"""Completion on 17,468 real films with directors: recall, time, and keys until the right one stands first.

Films (CC0-1.0): PyPI bokeh-sampledata 2026.1, table omdb; a film's directors stand for the artist. Typos:
PyPI codespell 2.4.3, its dictionary.txt (CC BY-SA 3.0), read here and nowhere kept.

    python tests/bench/titles_films.py [--sample 1000] [--seed 1] [--misses KIND]

A title word is one of four or more letters. A slip is a letter replaced, left out, added, or two swapped,
never the first. The ceiling of recall@5 is what titles alike allow if each of them is as likely: 5 divided
by how many titles answer the same query in that kind.
"""

import argparse
import random
import sqlite3
import statistics
import time
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable
from importlib.resources import files
from itertools import combinations
from pathlib import Path

from benchtui.model.title import Title
from benchtui.titles.finder import Finder
from benchtui.titles.fold import article_length, fold, initials

LETTERS = "abcdefghijklmnopqrstuvwxyz"
Query = tuple[Title, str]


def films() -> list[Title]:
    """All films that have a director."""
    path = Path(str(files("bokeh_sampledata") / "_data" / "movies.db"))
    with sqlite3.connect(path) as base:
        rows = base.execute(
            "select ID, Title, Director, Year from omdb where Director is not null"
        ).fetchall()
    base.close()
    return [Title(f"f{no}", maker or "", name, first=str(year or "")) for no, name, maker, year in rows]


def typos() -> dict[str, list[str]]:
    """Right word -> wrong forms people really typed."""
    wrong: dict[str, list[str]] = defaultdict(list)
    text = (files("codespell_lib") / "data" / "dictionary.txt").read_text(encoding="utf-8")
    for line in text.splitlines():
        typo, _, right = line.partition("->")
        for word in right.split(","):
            if word.strip().isalpha():
                wrong[word.strip().lower()].append(typo.lower())
    return wrong


def bare(title: Title) -> str:
    """The folded title without its article."""
    name = fold(title.title)
    return name[article_length(name) :]


def last_name(title: Title) -> str:
    """The last word of the first maker's name."""
    words = fold(title.artist.split(",")[0]).split()
    return words[-1] if words else ""


def slip(text: str, rng: random.Random) -> str:
    """The text with one slip, not in its first letter; always another text."""
    while True:
        at, how = rng.randrange(1, len(text)), rng.randrange(4)
        if how == 0:
            new = text[:at] + rng.choice(LETTERS) + text[at + 1 :]
        elif how == 1:
            new = text[:at] + text[at + 1 :]
        elif how == 2:
            new = text[:at] + rng.choice(LETTERS) + text[at:]
        else:
            new = text[:at] + text[at + 1 : at + 2] + text[at] + text[at + 2 :]
        if new != text and new.strip():
            return new


class Kinds:
    """Makes queries of every kind; a maker gives None for a title the kind does not suit."""

    def __init__(self, titles: list[Title], seed: int) -> None:
        self.titles, self.rng = titles, random.Random(seed)
        self.wrong = typos()
        self.makers: dict[str, Callable[[Title], str | None]] = {
            "first 6 of the title": lambda title: self.start(title, 6),
            "first 8": lambda title: self.start(title, 8),
            "first 10, one slip": lambda title: self.slipped(self.start(title, 10)),
            "two title words 3+3": lambda title: self.words(title, 3),
            "two title words 4+4, one slip": self.words_slip,
            "last name 3 + title word 3": lambda title: self.maker(title, 3, 3),
            "last name 2 + title word 3": lambda title: self.maker(title, 2, 3),
            "initials of 4 or more words": self.initials,
            "real typo in the first 12": self.typo,
            "real typo, words in another order": self.typo_swapped,
            "words in another order, first 12": self.swapped,
        }

    def start(self, title: Title, length: int) -> str | None:
        text = bare(title)[:length].strip()
        return text if len(text) == length else None

    def slipped(self, text: str | None) -> str | None:
        return slip(text, self.rng) if text else None

    def pair(self, title: Title, length: int) -> list[str] | None:
        words = [word[:length] for word in dict.fromkeys(bare(title).split()) if len(word) >= max(length, 4)]
        return self.rng.sample(words, 2) if len(words) > 1 else None

    def words(self, title: Title, length: int) -> str | None:
        pair = self.pair(title, length)
        return " ".join(pair) if pair else None

    def words_slip(self, title: Title) -> str | None:
        pair = self.pair(title, 4)
        if not pair:
            return None
        at = self.rng.randrange(2)
        pair[at] = slip(pair[at], self.rng)
        return " ".join(pair)

    def maker(self, title: Title, first: int, second: int) -> str | None:
        name = last_name(title)
        words = [word for word in bare(title).split() if len(word) > 3]
        return f"{name[:first]} {self.rng.choice(words)[:second]}" if len(name) >= first and words else None

    def initials(self, title: Title) -> str | None:
        name = fold(title.title)
        return initials(name) if len(name.split()) >= 4 else None

    def _with_typo(self, title: Title, within: int) -> str | None:
        text, at = bare(title), 0
        places = []
        for word in text.split():
            if at < within - 2 and word in self.wrong:
                places.append((at, word))
            at += len(word) + 1
        self.rng.shuffle(places)
        for at, word in places:
            wrong = text[:at] + self.rng.choice(self.wrong[word]) + text[at + len(word) :]
            if wrong[:within] != text[:within]:
                return wrong
        return None

    def typo(self, title: Title) -> str | None:
        wrong = self._with_typo(title, 12)
        return wrong[:12].strip() if wrong else None

    def typo_swapped(self, title: Title) -> str | None:
        wrong = self._with_typo(title, 200)
        return self._swap(wrong) if wrong else None

    def swapped(self, title: Title) -> str | None:
        return self._swap(bare(title)[:12])

    def _swap(self, text: str) -> str | None:
        words = text.split()
        if len(set(words)) < 2:
            return None
        new = list(words)
        while new == words:
            self.rng.shuffle(new)
        return " ".join(new)

    def sample(self, kind: str, count: int) -> list[Query]:
        """Up to ``count`` titles with a query of that kind."""
        picked: list[Query] = []
        for title in self.rng.sample(self.titles, len(self.titles)):
            if (typed := self.makers[kind](title)) is not None:
                picked.append((title, typed))
            if len(picked) == count:
                break
        return picked


def ceilings(titles: list[Title]) -> dict[str, Counter[str]]:
    """For the kinds without a slip: how many titles answer to each query."""
    counts: dict[str, Counter[str]] = defaultdict(Counter)
    for title in titles:
        words, name = set(bare(title).split()), last_name(title)
        counts["first 6 of the title"][bare(title)[:6]] += 1
        counts["first 8"][bare(title)[:8]] += 1
        counts["initials of 4 or more words"][initials(fold(title.title))] += 1
        pairs = {(a[:3], b[:3]) for a, b in combinations([word for word in words if len(word) > 3], 2)}
        counts["two title words 3+3"].update({f"{a} {b}" for a, b in pairs} | {f"{b} {a}" for a, b in pairs})
        threes = {word[:3] for word in words if len(word) > 3}
        counts["last name 3 + title word 3"].update(f"{name[:3]} {three}" for three in threes)
        counts["last name 2 + title word 3"].update(f"{name[:2]} {three}" for three in threes)
    return counts


def recall(
    finder: Finder, queries: list[Query], count: Counter[str] | None, misses: bool, clock: Callable[[], float]
) -> str:
    """One row of the table."""
    ranks, times = [], []
    for title, typed in queries:
        begin = clock()
        hits = [[], *finder.steps(typed)][-1]
        times.append((clock() - begin) * 1000)
        ids = [hit.title.id for hit in hits]
        ranks.append(ids.index(title.id) if title.id in ids else 99)
        if misses and ranks[-1] > 4:
            print(
                f"   {typed!r:24} {title.title!r} / {title.artist!r}: {[hit.title.title for hit in hits[:5]]}"
            )
    size = len(ranks)
    at1, at5 = sum(rank == 0 for rank in ranks) / size, sum(rank < 5 for rank in ranks) / size
    cap = f"{statistics.fmean(min(1, 5 / count[typed]) for _, typed in queries):.3f}" if count else "     "
    times.sort()
    p50, p95 = times[size // 2], times[int(size * 0.95)]
    return f"{size:6} {at1:8.3f} {at5:8.3f}  {cap:7} {p50:6.1f} {p95:6.1f} {times[-1]:6.1f}"


def main(argv: Iterable[str] | None = None) -> None:
    """Prints the table."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("--sample", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--misses", default="")
    parser.add_argument("--cpu", action="store_true", help="processor time, where others use the machine too")
    options = parser.parse_args(list(argv) if argv is not None else None)
    clock = time.process_time if options.cpu else time.perf_counter
    titles = films()
    begin = time.perf_counter()
    finder = Finder(titles)
    print(f"{len(titles)} films, index built in {time.perf_counter() - begin:.2f} s")
    kinds, counts = Kinds(titles, options.seed), ceilings(titles)
    print(f"{'typed':36}{'n':>6} recall@1 recall@5 ceiling@5  p50    p95    max ms")
    for kind in kinds.makers:
        if options.misses in kind:
            row = recall(
                finder, kinds.sample(kind, options.sample), counts.get(kind), bool(options.misses), clock
            )
            print(f"{kind:36}{row}", flush=True)


if __name__ == "__main__":
    main()
