"""An invented world of records to draw copies from, and the oracle that knows its tables.

Imports nothing from the engine; has tables, not words. Time is in days, as ordinals of the calendar.
A copy's parts may come from another copy of its title, its clues may be misread or not seen at all.
``twist`` changes one thing at a time against what the book will say:

  hidden   clues of one part share a hidden cause (three in five follow it)
  grouped  the same, and the book says that the clues of a part repeat each other
  misread  5 % are misread, all to the answer's look-alike
  gaps     an answer is overlooked the more often the later it stands in the list
  shares   shares differ from the book's by a factor of e^(.8 normal)
  periods  true periods lie a year earlier or later than the book has them
  unknown  5 % of copies are of pressings the book does not know
  held     one pressing in ten is held out of the book
  donors   swapped parts come from other titles
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

YEAR = 365.2425
SWAP = {"disc": 0.0, "cover": 0.03, "inner": 0.10}
NONE, GAP, MISREAD, LAG = 0.05, 0.3, 0.015, 0.5
NEW_YEARS = 10
TWISTS = ("", "hidden", "grouped", "misread", "gaps", "shares", "periods", "unknown", "held", "donors")
FINE = 60
# Likelihoods of a clue's answers, first the likeliest; what is left over is shared by the others.
SHAPES = ((0.96,), (0.96,), (0.80,), (0.80, 0.05), (0.30, 0.30), (0.80,))


@dataclass
class WorldClue:
    """A clue of a kind of part; ``bounds[k]`` the days of answer k (0: open), ``fade`` years or 0."""

    id: str
    part: str
    size: int
    bounds: list[tuple[float, float]] | None = None
    fade: list[float] = field(default_factory=list)
    seconds: float = 3.0


@dataclass
class WorldPressing:
    """True share, period and tables; ``shape`` says which table rows the book's author could know."""

    id: str
    share: float
    start: int
    end: int
    shape: dict[str, dict[int, float]]
    price: int
    known: bool = True
    said_share: float = 1.0
    said_start: int = 0
    said_end: int = 0


@dataclass
class Copy:
    """One copy: what it is (-1: no pressing of the book), answers seen by part, where parts came from."""

    title: int
    truth: int
    answers: dict[str, dict[str, int]]
    donor: dict[str, int | None]


class World:
    """Titles, pressings and clues drawn from a seed."""

    def __init__(self, seed: int, titles: int = 40, pressings: int = 200, twist: str = "") -> None:
        self.rng = np.random.default_rng(seed)
        self.twist = twist
        self.clues = self._clues()
        sizes = self.rng.multinomial(pressings - 3 * titles, [1 / titles] * titles) + 3
        self.titles = [self._title(t, int(n)) for t, n in enumerate(sizes)]
        self.first = [min(min(p.start, p.said_start) for p in its) for its in self.titles]
        self._tables: dict[int, dict[str, np.ndarray]] = {}

    def _clues(self) -> list[WorldClue]:
        rng = self.rng
        clues = []
        for part, plain, dated in (("disc", 6, 3), ("cover", 5, 3), ("inner", 2, 2)):
            for i in range(plain):
                seconds = float(rng.choice([1, 2, 3, 5, 10, 15]))
                clues.append(WorldClue(f"{part}-{i}", part, int(rng.integers(2, 6)), seconds=seconds))
            for i in range(dated):
                size = int(rng.integers(3, 6))
                edges = np.sort(rng.integers(721000 - 7000, 721000, size - 1))  # 1955 to 1974
                lows = [0.0, *map(float, edges)]
                bounds = [(low, float(high)) for low, high in zip(lows, [*edges, 0], strict=True)]
                fade = [float(rng.choice([0.0, 0.5, 2.0])) for _ in bounds]
                clues.append(
                    WorldClue(f"{part}-d{i}", part, size, bounds, fade, float(rng.choice([2, 4, 6])))
                )
        return clues

    def _title(self, t: int, n: int) -> list[WorldPressing]:
        rng = self.rng
        start = int(rng.integers(721000 - 6500, 721000 - 2500))
        found = []
        for i in range(n + (self.twist == "unknown")):
            length = int(rng.integers(120, 900))
            shape = {c.id: self._shape(c.size) for c in self.clues if rng.random() < 0.8}
            dear = rng.random() < 1 / 30
            price = int(rng.integers(6000, 40000)) if dear else int(rng.integers(300, 2500))
            share = float(rng.choice([0.5, 1.0, 2.0, 4.0]))
            pressing = WorldPressing(f"t{t}/{i}", share, start, start + length, shape, price, i < n, share)
            pressing.said_start, pressing.said_end = pressing.start, pressing.end
            if self.twist == "shares":
                pressing.share *= float(np.exp(0.8 * rng.standard_normal()))
            if self.twist == "periods":
                shift = int(rng.choice([-365, 365]))
                pressing.start, pressing.end = pressing.start + shift, pressing.end + shift
            found.append(pressing)
            start += length + int(rng.integers(-100, 300))
        if self.twist == "held":  # never all of a title
            for pressing in found[1:]:
                pressing.known = bool(rng.random() >= 0.1 * len(found) / (len(found) - 1))
        return found

    def _shape(self, size: int) -> dict[int, float]:
        """Answer to the chance the book's author would name; at most size - 1 answers named."""
        shape = SHAPES[self.rng.integers(len(SHAPES))][: size - 1]
        places = self.rng.permutation(size)
        return {int(k): p for k, p in zip(places, shape, strict=False)}

    def shares(self, t: int) -> np.ndarray:
        """True chance of each pressing, the book's unknown last."""
        its = self.titles[t]
        raw = np.array([p.share for p in its])
        if self.twist == "unknown":
            known = np.array([p.known for p in its])
            raw = np.where(known, 0.95 * raw / raw[known].sum(), 0.05 / max(1, (~known).sum()))
        return np.append(raw / raw.sum() * (1 - NONE), NONE)

    def theta(self, t: int, clue: WorldClue) -> np.ndarray:
        """Rows of P(answer | pressing), "none of these" last: half the others' mean, half even odds."""
        its = self.titles[t]
        rows: list[np.ndarray | None] = []
        for p in its:
            named = p.shape.get(clue.id)
            row = None
            if named is not None:
                row = np.full(clue.size, max(0.0, 1 - sum(named.values())) / (clue.size - len(named)))
                row[list(named)] = list(named.values())
                row = row / row.sum()
            rows.append(row)
        even = np.full(clue.size, 1 / clue.size)
        spoken = [row for row, p in zip(rows, its, strict=True) if row is not None and p.known]
        fallback = 0.5 * np.mean(spoken, axis=0) + 0.5 * even if spoken else even
        full = np.array([fallback if row is None else row for row in rows])
        said = np.array([p.said_share * p.known for p in its])
        return np.vstack([full, 0.5 * said @ full / said.sum() + 0.5 * even])

    def period(self, t: int, h: int) -> tuple[float, float]:
        its = self.titles[t]
        if h < len(its):
            return float(its[h].start), float(its[h].end + 1)
        return float(self.first[t]), max(self.first[t] + NEW_YEARS * YEAR, *(p.end + 1.0 for p in its))

    def chances(self, clue: WorldClue, theta: np.ndarray, days: np.ndarray) -> np.ndarray:
        """P(answer) at each of some days: theta times how far the day lies within the answer's bounds."""
        if clue.bounds is None:
            return np.broadcast_to(theta, (len(days), clue.size))
        v = np.ones((len(days), clue.size))
        for k, ((low, high), fade) in enumerate(zip(clue.bounds, clue.fade, strict=True)):
            away = np.maximum(low - days if low else 0.0, (days - high - 1 if high else 0.0))
            away = np.maximum(away, 0.0) / YEAR
            v[:, k] = np.exp(-away / fade) if fade else away <= 0
        p = theta * v
        total = p.sum(1, keepdims=True)
        return np.where(total > 0, p / np.where(total > 0, total, 1), 1 / clue.size)

    # -- drawing -----------------------------------------------------------------------

    def draw(self) -> Copy:
        """One copy."""
        rng = self.rng
        t = int(rng.integers(len(self.titles)))
        pi = self.shares(t)
        h = int(rng.choice(len(pi), p=pi))
        answers: dict[str, dict[str, int]] = {}
        donor: dict[str, int | None] = {}
        for part, s in SWAP.items():
            source, which, donor[part] = t, h, None
            if rng.random() < s:
                if self.twist == "donors":
                    source = int(rng.integers(len(self.titles)))
                    pi = self.shares(source)
                which = int(rng.choice(len(pi), p=pi))
                donor[part] = which if source == t else -1
            answers[part] = self._part(source, which, part)
        known = h < len(self.titles[t]) and self.titles[t][h].known
        return Copy(t, h if known else -1, answers, donor)

    def _part(self, t: int, h: int, part: str) -> dict[str, int]:
        rng = self.rng
        low, high = self.period(t, h)
        day = rng.uniform(low, high) - (rng.exponential(LAG * YEAR) if part != "disc" else 0.0)
        cause = rng.random()
        seen = {}
        for clue in self.clues:
            if clue.part != part:
                continue
            p = self.chances(clue, self.table(t, clue)[h], np.array([day]))[0]
            follows = self.twist in ("hidden", "grouped") and rng.random() < 0.6
            k = min(int(np.searchsorted(np.cumsum(p), cause if follows else rng.random())), clue.size - 1)
            k = self._read(k, clue.size)
            gap = GAP * (2 * k / (clue.size - 1)) if self.twist == "gaps" else GAP
            if rng.random() >= gap:
                seen[clue.id] = k
        return seen

    def _read(self, k: int, size: int) -> int:
        if self.twist == "misread":
            return (k + 1) % size if self.rng.random() < 0.05 else k
        return int((k + self.rng.integers(1, size)) % size) if self.rng.random() < MISREAD else k

    def table(self, t: int, clue: WorldClue) -> np.ndarray:
        tables = self._tables.setdefault(t, {})
        if clue.id not in tables:
            tables[clue.id] = self.theta(t, clue)
        return tables[clue.id]


class Oracle:
    """Bayes with the true tables, shares, periods, gaps, misreads and swaps; not the hidden cause."""

    def __init__(self, world: World) -> None:
        self.world = world
        self._seen: dict[tuple[int, str], np.ndarray] = {}
        self._cells: dict[tuple[int, str], tuple[np.ndarray, np.ndarray]] = {}

    def _grid(self, t: int, part: str) -> tuple[np.ndarray, np.ndarray]:
        """Days and weights a candidate: even in its period, moved earlier by the lag for cover and inner."""
        if (t, part) not in self._cells:
            days, weights = [], []
            for h in range(len(self.world.titles[t]) + 1):
                low, high = self.world.period(t, h)
                lags = np.zeros(1) if part == "disc" else -np.log1p(-(np.arange(12) + 0.5) / 12) * LAG * YEAR
                mids = low + (np.arange(FINE) + 0.5) * (high - low) / FINE
                days.append((mids[:, None] - lags).ravel())
                weights.append(np.full(FINE * len(lags), 1 / (FINE * len(lags))))
            self._cells[t, part] = np.array(days), np.array(weights)
        return self._cells[t, part]

    def _likelihood(self, t: int, clue: WorldClue) -> np.ndarray:
        """L of being seen as k, by candidate and cell: misread, and overlooked, as the world has it."""
        key = (t, clue.id)
        if key not in self._seen:
            days, _ = self._grid(t, clue.part)
            theta = self.world.table(t, clue)
            p = np.array([self.world.chances(clue, theta[h], days[h]) for h in range(len(theta))])
            if self.world.twist == "misread":
                p = 0.95 * p + 0.05 * np.roll(p, 1, axis=2)
            else:
                p = (1 - MISREAD) * p + MISREAD * (1 - p) / (clue.size - 1)
            if self.world.twist == "gaps":
                p = p * (1 - GAP * 2 * np.arange(clue.size) / (clue.size - 1))
            self._seen[key] = np.maximum(p, 1e-9)  # a cell's middle may miss a day that was possible
        return self._seen[key]

    def evidence(self, copy: Copy, part: str) -> np.ndarray:
        """A(u,h) with the true tables; under answer-dependent gaps what was not seen speaks too."""
        _, weights = self._grid(copy.title, part)
        total = weights.copy()
        for clue in self.world.clues:
            if clue.part == part:
                p = self._likelihood(copy.title, clue)
                k = copy.answers[part].get(clue.id)
                if k is not None:
                    total *= p[:, :, k]
                elif self.world.twist == "gaps":
                    total *= 1 - p.sum(2)
        return total.sum(1)

    def weigh(self, copy: Copy) -> tuple[np.ndarray, Mapping[str, float]]:
        """P(h | all), those the book does not know summed into the last; Bayes factor per part for a swap."""
        pi = self.world.shares(copy.title)
        a = {part: self.evidence(copy, part) for part in SWAP}
        b = {part: float(pi @ row) for part, row in a.items()}
        mix = {part: (1 - s) * a[part] + s * b[part] for part, s in SWAP.items()}
        whole = pi * mix["disc"] * mix["cover"] * mix["inner"]
        factors = {}
        for part in ("cover", "inner"):
            rest = whole / mix[part]
            factors[part] = b[part] * rest.sum() / float(rest @ a[part])
        p = whole / whole.sum()
        known = np.array([x.known for x in self.world.titles[copy.title]])
        return np.append(p[:-1][known], p[-1] + p[:-1][~known].sum()), factors

    def expected_evidence(self, copy: Copy, part: str, own: int, donor: int) -> float:
        """Decibans expected for a swap: how far the donor's answers to the clues seen differ."""
        total = 0.0
        for clue in self.world.clues:
            if clue.part == part and clue.id in copy.answers[part]:
                p = self._likelihood(copy.title, clue).mean(1)
                total += float(np.sum(p[donor] * np.log10(p[donor] / p[own])))
        return 10 * total
