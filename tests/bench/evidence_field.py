"""An invented company's field: what came in when, its titles, their pressings, and copies to lay on the bench.

Imports nothing from the engine; has tables, not words. Eight features of the company (label, rim text, sound
word, inner, cover, address, price code, logo) go through their states one after another; a pressing shows
what was in use while it was made, with old stock for covers and inners, and has cuts and a credit of its own.
What a pressing always shows is seen otherwise in FAILS of its copies. A share of the pressings is in no book.
"""

from dataclasses import dataclass, field

import numpy as np

START, END = 1955.0, 1989.0
SWAP = {"disc": 0.0, "cover": 0.03, "inner": 0.10}
FAILS = 0.023
LANES = (
    ("label", "disc", 8), ("rim", "disc", 7), ("sound", "disc", 5), ("inner", "inner", 8), ("fold", "cover", 6),
    ("address", "cover", 8), ("pricecode", "cover", 7), ("logo", "cover", 5),
)  # fmt: skip
OWN = (("credit", "disc", 3), ("font", "disc", 2), ("back", "cover", 3))
CUTS = 8


@dataclass
class FieldClue:
    """A clue of a part; ``since`` the years in which its states came in, none for a title's own."""

    id: str
    part: str
    size: int
    since: list[float] = field(default_factory=list)


@dataclass
class FieldPressing:
    """Its true table by clue, its pairs of cuts, and whether the book has it."""

    id: str
    start: float
    end: float
    share: float
    table: dict[str, np.ndarray]
    cuts: dict[tuple[int, int], float]
    written: bool = True


@dataclass
class FieldCopy:
    """A copy: title, pressing (its place), answers by part, cuts, and which parts came from another copy."""

    title: int
    truth: int
    answers: dict[str, dict[str, int]]
    cuts: tuple[int, int]
    donor: dict[str, int | None]


class Field:
    """Titles and pressings of one company, from a seed."""

    def __init__(self, seed: int, titles: int = 45, pressings: int = 261, unwritten: float = 0.1) -> None:
        self.rng = np.random.default_rng(seed)
        self.clues = [FieldClue(name, part, n, self._since(n)) for name, part, n in LANES]
        self.clues += [FieldClue(name, part, n) for name, part, n in OWN]
        sizes = self.rng.multinomial(pressings - 3 * titles, [1 / titles] * titles) + 3
        self.titles = [self._title(t, int(n)) for t, n in enumerate(sizes)]
        for its in self.titles:  # never all of a title
            hidden = self.rng.random(len(its)) < unwritten
            if not hidden.all():
                for pressing, gone in zip(its, hidden, strict=True):
                    pressing.written = not gone

    def _since(self, n: int) -> list[float]:
        changes = np.sort(self.rng.uniform(START + 1, END - 2, n - 1))
        return [START, *map(float, changes)]

    def _title(self, t: int, n: int) -> list[FieldPressing]:
        rng = self.rng
        start = float(rng.uniform(START, END - 16))
        found: list[FieldPressing] = []
        credit = {name: int(rng.integers(size)) for name, _, size in OWN}
        a = b = 0
        for i in range(n):
            length = float(rng.uniform(0.8, 3.5))
            for name, _, size in OWN:
                if rng.random() < 0.3:
                    credit[name] = int(rng.integers(size))
            a, b = min(CUTS - 2, a + int(rng.random() < 0.5)), min(CUTS - 2, b + int(rng.random() < 0.5))
            table = {c.id: self._row(c, start, start + length, credit.get(c.id)) for c in self.clues}
            pairs = {(a, b): 0.75, (a + 1, b): 0.25}
            found.append(
                FieldPressing(f"t{t}/{i}", start, start + length, float(rng.choice([1, 2, 4])), table, pairs)
            )
            start += length + float(rng.uniform(0.0, 1.5))
        return found

    def _row(self, clue: FieldClue, start: float, end: float, own: int | None) -> np.ndarray:
        """How often each state is seen on copies of a pressing of those years."""
        if own is not None:
            row = np.full(clue.size, FAILS / (clue.size - 1))
            row[own] = 1 - FAILS
            return row
        years = np.linspace(start, end, 40)
        if clue.part != "disc":  # old stock
            years = years - np.linspace(0, 1.0, 40)[::-1] * 0.8
        states = np.searchsorted(clue.since, np.maximum(years, START), side="right") - 1
        row = np.bincount(states, minlength=clue.size) / 40
        return (1 - FAILS) * row + FAILS * (1 - row) / (clue.size - 1)

    def draw(self, t: int | None = None, h: int | None = None) -> FieldCopy:
        """One copy, of any pressing, or of the one named."""
        rng = self.rng
        t = int(rng.integers(len(self.titles))) if t is None else t
        h = self._pick(t) if h is None else h
        answers: dict[str, dict[str, int]] = {}
        donor: dict[str, int | None] = {}
        for part, s in SWAP.items():
            donor[part] = self._pick(t) if rng.random() < s else None
            source = self.titles[t][h if donor[part] is None else donor[part]]  # type: ignore[index]
            answers[part] = {
                c.id: int(rng.choice(c.size, p=source.table[c.id])) for c in self.clues if c.part == part
            }
        pairs = self.titles[t][h].cuts
        cuts = list(pairs)[int(rng.choice(len(pairs), p=list(pairs.values())))]
        cuts = tuple(int(rng.integers(CUTS)) if rng.random() < 0.015 else cut for cut in cuts)  # type: ignore[assignment]
        return FieldCopy(t, h, answers, cuts, donor)

    def _pick(self, t: int) -> int:
        shares = np.array([p.share for p in self.titles[t]])
        return int(self.rng.choice(len(shares), p=shares / shares.sum()))

    def twins(self, t: int, h: int, asked: set[str]) -> bool:
        """Whether a written pressing of the title usually answers all of the clues asked like this one."""
        mine = self.titles[t][h]

        def alike(other: FieldPressing) -> bool:
            rows = (c for c in asked if c in mine.table)
            same = all(int(mine.table[c].argmax()) == int(other.table[c].argmax()) for c in rows)
            return same and ("cut" not in asked or bool(mine.cuts.keys() & other.cuts.keys()))

        return any(alike(other) for other in self.titles[t] if other.written and other is not mine)
