"""The full model equal to brute enumeration over pressings, donors, swaps and time cells.

Everything below is written from the formulas again, slowly, and shares no code with the engine but the
plain shapes of clue, title and record.
"""

import itertools
import math
import random
from datetime import date, timedelta
from typing import Any

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.stats import entropy

from benchtui.books.shape import Answer, BookTitle, Clue, Pressing
from benchtui.evidence import ModelSettings, WeighSettings, weigh
from benchtui.evidence.reference import Shelf
from benchtui.model.span import Span

WORDS = {"always": 0.96, "usually": 0.80, "sometimes": 0.30, "rarely": 0.05, "never": 0.005}
SWAP = {"inner": 0.10, "cover": 0.03, "disc": 0.01, "extra": 0.05}
YEAR = 365.2425
M = 0.015


def random_span(rng: random.Random) -> Span:
    low = date(1960, 1, 1) + timedelta(days=rng.randrange(5000))
    high = low + timedelta(days=rng.randrange(200, 3000))
    return rng.choice([Span(low, high), Span(low, None), Span(None, high)])


def random_clue(rng: random.Random, name: str, part: str, group: str) -> Clue:
    size = rng.randint(2, 4)
    answers = []
    for k in range(size):
        span = random_span(rng) if rng.random() < 0.5 else None
        hardness: Any = rng.choice(["hard", "firm", "soft", "none"]) if span else "none"
        twin = f"a{(k + 1) % size}" if rng.random() < 0.2 else None
        end: Any = rng.choice(["", "hard", "firm", "soft"]) if span and hardness != "none" else ""
        caps = rng.random() < 0.1
        times: tuple[Span, ...] = ()
        if span and span.earliest and span.latest and rng.random() < 0.5:
            rest = span.latest - span.earliest
            times = (
                Span(span.earliest, span.earliest + rest / 3),
                Span(span.latest - rest / 4, span.latest),
            )
        answer = Answer(f"a{k}", f"a{k}", k + 1, span, hardness, caps, twin, to_hardness=end, times=times)
        answers.append(answer)
    return Clue(name, name, part, "front", tuple(answers), group=group)


def random_pressing(rng: random.Random, name: str, clues: list[Clue]) -> Pressing:
    low = date(1962, 1, 1) + timedelta(days=rng.randrange(3000))
    period = Span(low, low + timedelta(days=rng.randrange(20, 1200)))
    expect: dict[str, Any] = {}
    for clue in clues:
        if rng.random() < 0.75:
            named = rng.sample(clue.answers, rng.randint(1, len(clue.answers)))
            expect[clue.id] = {answer.id: rng.choice(list(WORDS)) for answer in named}
    cuts: Any = ()
    if rng.random() < 0.7:
        pairs = rng.sample(list(itertools.product("12", "123")), 2)
        cuts = tuple((pair, rng.choice(list(WORDS))) for pair in pairs)
    return Pressing(name, name, period, share=rng.choice([0.5, 1.0, 3.0]), expect=expect, cuts=cuts)


def random_case(seed: int, record_of: Any, saw: Any) -> tuple[Shelf, BookTitle, Any, dict[str, Any]]:
    rng = random.Random(seed)
    kinds = ("disc", "cover", "inner")
    clues = [random_clue(rng, f"c{i}", rng.choice(kinds), rng.choice(["", "", "g"])) for i in range(6)]
    pressings = tuple(random_pressing(rng, f"p{i}", clues) for i in range(rng.randint(2, 4)))
    title = BookTitle("t", "", "", Span(date(1962, 1, 1), None), pressings=pressings)
    record = record_of("t", kinds)
    for clue in clues:
        if rng.random() < 0.7:
            doc = saw(record, f"{clue.part}-1", clue.id, rng.choice(clue.answers).id)
            if len(clue.answers) > 2 and seed % 3 == 0:  # not told apart from another
                doc["also"] = [next(a.id for a in clue.answers if a.id != doc["answer"])]
    for side in "AB":
        if rng.random() < 0.6:
            record["parts"][0]["sides"][side] = {"cut": rng.choice("1234")}
    counts = {
        p.id: {
            "n": rng.randrange(4),
            "clues": {c.id: {a.id: rng.randrange(4) for a in c.answers} for c in clues if rng.random() < 0.5},
            "cuts": {"1|2": rng.randrange(3), "9|1": 1},
        }
        for p in pressings
        if rng.random() < 0.6
    }
    if seed % 4 == 1:  # a whole inscription in place of cuts, seen before on a copy of some
        record["parts"][0]["sides"] = {side: {"typed": f"QX {side} <1>"} for side in "AB"}
        for n, its in enumerate(counts.values()):
            its["runouts"] = {"qxa1|qxb1": (n + seed) % 3, "other1|other2": 1}
    if rng.random() < 0.3:
        record["rulings"]["inner-1"] = rng.choice(["own", "swapped"])
    return Shelf([title], clues), title, record, counts


class Slow:
    """The model, one sum after the other."""

    def __init__(self, title: BookTitle, shelf: Shelf, record: Any, counts: dict[str, Any]) -> None:
        self.hs: list[Pressing | None] = [*title.pressings, None]
        self.title, self.shelf, self.record, self.counts = title, shelf, record, counts
        shares = sum(p.share for p in title.pressings)
        seen = [counts.get(p.id, {}).get("n", 0) for p in title.pressings]
        whole = 10 + sum(seen)
        written = zip(title.pressings, seen, strict=True)
        self.pi = [(10 * 0.95 * p.share / shares + n) / whole for p, n in written] + [10 * 0.05 / whole]

    def w(self, words: dict[str, str], ids: list[str]) -> dict[str, float] | None:
        if not words:
            return None
        rest = max(0.0, 1 - sum(WORDS[w] for w in words.values()))
        silent = [k for k in ids if k not in words]
        raw = {k: WORDS[words[k]] if k in words else rest / len(silent) for k in ids}
        return {k: value / sum(raw.values()) for k, value in raw.items()}

    def filled(self, rows: list[Any], ids: list[str]) -> list[dict[str, float]]:
        spoken = [row for row in rows if row]
        if not spoken:
            return [{k: 1 / len(ids) for k in ids} for _ in rows]
        mean = {k: 0.5 * sum(row[k] for row in spoken) / len(spoken) + 0.5 / len(ids) for k in ids}
        return [row or mean for row in rows]

    def with_unknown(self, rows: list[dict[str, float]], ids: list[str], n: Any) -> list[dict[str, float]]:
        theta = []
        for row, seen in zip(rows, n, strict=True):
            total = sum(seen.get(k, 0) for k in ids)
            theta.append({k: (4 * row[k] + seen.get(k, 0)) / (4 + total) for k in ids})
        known = sum(self.pi[:-1])
        mean = {k: sum(p * row[k] for p, row in zip(self.pi, theta, strict=False)) / known for k in ids}
        return [*theta, {k: 0.5 * mean[k] + 0.5 / len(ids) for k in ids}]

    def theta(self, clue: Clue) -> list[dict[str, float]]:
        ids = [a.id for a in clue.answers]
        rows = [self.w(dict(p.expect.get(clue.id, {})), ids) for p in self.title.pressings]
        n = [self.counts.get(p.id, {}).get("clues", {}).get(clue.id, {}) for p in self.title.pressings]
        if not any(rows):
            return self.pooled(n, ids)
        return self.with_unknown(self.filled(rows, ids), ids, n)

    def pooled(self, n: Any, ids: list[str]) -> list[dict[str, float]]:
        """No pressing's book speaks: counts of all of them, and how far each may differ from those."""
        total = {k: 4 / len(ids) + sum(seen.get(k, 0) for seen in n) for k in ids}
        q = {k: value / sum(total.values()) for k, value in total.items()}

        def marginal(s: int) -> float:
            """Copy after copy, each foretold from those before it."""
            log = 0.0
            for seen in n:
                before, drawn = dict.fromkeys(ids, 0), 0
                for k in ids:
                    for _ in range(seen.get(k, 0)):
                        log += math.log((s * q[k] + before[k]) / (s + drawn))
                        before[k], drawn = before[k] + 1, drawn + 1
            return log

        best = max((10, 5, 20, 2, 40), key=lambda s: round(marginal(s), 9))
        theta = [
            {k: (best * q[k] + seen.get(k, 0)) / (best + sum(seen.get(x, 0) for x in ids)) for k in ids}
            for seen in n
        ]
        return [*theta, q]

    def ends(self, h: int) -> tuple[float, float]:
        pressing = self.hs[h]
        if pressing is not None:
            assert pressing.period.earliest
            assert pressing.period.latest
            return pressing.period.earliest.toordinal(), pressing.period.latest.toordinal() + 1
        assert self.title.first.earliest
        low = self.title.first.earliest.toordinal()
        return low, max(low + 10 * YEAR, *(self.ends(i)[1] for i in range(len(self.hs) - 1)))

    def cells(self, h: int, kind: str) -> list[tuple[float, float]]:
        low, high = self.ends(h)
        lag = 0.5 * YEAR
        start = low if kind == "disc" else low - 4 * lag
        n = max(1, min(24, math.ceil((high - start) / 30)))
        edges = [start + i * (high - start) / n for i in range(n + 1)]

        def before(x: float) -> float:
            """P(T - E <= x): all of T up to x, and of later T those with an E of at least T - x."""
            sure = max(0.0, x - low) / (high - low)
            late, _ = quad(lambda t: math.exp(-(t - x) / lag) / (high - low), max(low, x), high)
            return sure + late

        upto = [0.0, *(before(x) for x in edges[1:-1]), 1.0]
        return [
            ((a + b) / 2, 1 / n if kind == "disc" else upto[i + 1] - upto[i])
            for i, (a, b) in enumerate(itertools.pairwise(edges))
        ]

    def v(self, answer: Answer, t: float) -> float:
        if answer.span is None or answer.hardness == "none":
            return 1.0
        return max(self.v_of_one(answer, span, t) for span in answer.times or [answer.span])

    def v_of_one(self, answer: Answer, span: Span, t: float) -> float:
        years = {"firm": 0.5, "soft": 2}
        if span.earliest and not answer.caps_sale and t < span.earliest.toordinal():
            d = (span.earliest.toordinal() - t) / YEAR
            return math.exp(-d / years[answer.hardness]) if answer.hardness in years else 0.0
        if span.latest and t > span.latest.toordinal() + 1:
            d = (t - span.latest.toordinal() - 1) / YEAR
            end = answer.to_hardness or answer.hardness
            return math.exp(-d / years[end]) if end in years else 0.0
        return 1.0

    def likelihood(self, clue: Clue, seen: str, theta: dict[str, float], t: float) -> float:
        raw = {a.id: theta[a.id] * self.v(a, t) for a in clue.answers}
        total = sum(raw.values())
        p = {k: value / total if total > 0 else 1 / len(raw) for k, value in raw.items()}
        result = (1 - M) * p[seen]
        for a in clue.answers:
            if a.id != seen:
                result += p[a.id] * (M * (a.looks_like == seen) if a.looks_like else M / (len(p) - 1))
        return result

    def cut_likelihood(self, h: int) -> float:
        read = [self.record["parts"][0]["sides"].get(side, {}).get("cut") for side in "AB"]
        listed = [list(dict.fromkeys(c[0][s] for p in self.title.pressings for c in p.cuts)) for s in (0, 1)]
        if not any(read) or not listed[0]:
            return 1.0
        sides = [[*listed[0], "other"], [*listed[1], "other"]]
        ids = [f"{a}|{b}" for a in sides[0] for b in sides[1]]
        rows: list[Any] = []
        for p in self.title.pressings:
            w = self.w({f"{a}|{b}": word for (a, b), word in p.cuts}, ids)
            if w is not None:
                one = {a: sum(w[f"{a}|{b}"] for b in sides[1]) for a in sides[0]}
                two = {b: sum(w[f"{a}|{b}"] for a in sides[0]) for b in sides[1]}
                w = {
                    f"{a}|{b}": 0.8 * w[f"{a}|{b}"] + 0.2 * one[a] * two[b]
                    for a in sides[0]
                    for b in sides[1]
                }
            rows.append(w)
        n = []
        for p in self.title.pressings:
            seen: dict[str, int] = {}
            for pair, times in self.counts.get(p.id, {}).get("cuts", {}).items():
                a, b = pair.split("|")
                a, b = a if a in sides[0] else "other", b if b in sides[1] else "other"
                seen[f"{a}|{b}"] = seen.get(f"{a}|{b}", 0) + times
            n.append(seen)
        theta = self.with_unknown(self.filled(rows, ids), ids, n)[h]

        def slip(side: int, true: str) -> float:
            if read[side] is None:
                return 1.0
            named = read[side] if read[side] in sides[side] else "other"
            return 1 - M if true == named else M / (len(sides[side]) - 1)

        return sum(theta[f"{a}|{b}"] * slip(0, a) * slip(1, b) for a in sides[0] for b in sides[1])

    def runout_likelihood(self, h: int) -> float:
        if "typed" not in self.record["parts"][0]["sides"].get("A", {}):
            return 1.0
        pressing = self.hs[h]
        had = [one for one, its in self.counts.items() if its.get("runouts", {}).get("qxa1|qxb1", 0)]
        return 0.25 if had and (pressing is None or pressing.id not in had) else 1.0

    def part(self, part: str, h: int) -> float:
        """A(u,h), by time cell."""
        kind = part.split("-")[0]
        told = [
            (self.shelf.clue(a["clue"]), [a["answer"], *a.get("also", ())])
            for a in self.record["answers"]
            if a["part"] == part
        ]
        groups = [clue.group or clue.id for clue, _ in told if clue]
        total = 0.0
        for t, p in self.cells(h, kind):
            for clue, seen in told:
                assert clue
                n = groups.count(clue.group or clue.id)
                theta = self.theta(clue)[h]
                chance = sum(self.likelihood(clue, one, theta, t) for one in seen)
                p *= chance ** (1 / (1 + (n - 1) * 0.3))
            total += p
        return total * (self.cut_likelihood(h) * self.runout_likelihood(h) if kind == "disc" else 1.0)

    def enumerate(self, without: str = "") -> list[float]:
        """P(h|all but one part)."""
        weight = self.weights(without)
        return [value / sum(weight) for value in weight]

    def weights(self, without: str = "") -> list[float]:
        """The same, not normalised: every swap and every donor walked through."""
        speaking = [
            p["id"]
            for p in self.record["parts"]
            if p["id"] != without and self.record["rulings"].get(p["id"]) != "swapped"
        ]
        a = {part: [self.part(part, h) for h in range(len(self.hs))] for part in speaking}
        others = [part for part in speaking if part != "disc-1"]
        weight = [0.0] * len(self.hs)
        for h in range(len(self.hs)):
            for donors in itertools.product([None, *range(len(self.hs))], repeat=len(others)):
                p = self.pi[h] * (a["disc-1"][h] if "disc-1" in a else 1.0)
                for part, donor in zip(others, donors, strict=True):
                    s = 0.0 if self.record["rulings"].get(part) == "own" else SWAP[part.split("-")[0]]
                    p *= (1 - s) * a[part][h] if donor is None else s * self.pi[donor] * a[part][donor]
                weight[h] += p
        return weight


@pytest.mark.parametrize("seed", range(30))
def test_likely_pressings_and_agreement_equal_enumeration(seed: int, record_of: Any, saw: Any) -> None:
    shelf, title, record, counts = random_case(seed, record_of, saw)
    slow = Slow(title, shelf, record, counts)
    weighed = weigh(record, shelf, counts=counts)
    want = slow.enumerate()
    got = {one.id: one.p for one in weighed.pressings}
    for h, pressing in enumerate(slow.hs):
        assert got[pressing.id if pressing else None] == pytest.approx(want[h], abs=1e-9)
    for part in ("cover-1", "inner-1"):
        a = [slow.part(part, h) for h in range(len(slow.hs))]
        rest = slow.enumerate(without=part)
        factor = sum(map(float.__mul__, slow.pi, a)) / sum(map(float.__mul__, rest, a))
        assert weighed.agreement[part].decibans == pytest.approx(10 * math.log10(factor), abs=1e-7)
        if part not in record["rulings"]:
            odds = factor * SWAP[part.split("-")[0]] / (1 - SWAP[part.split("-")[0]])
            assert weighed.agreement[part].p_swapped == pytest.approx(odds / (1 + odds), abs=1e-9)


@pytest.mark.parametrize("seed", range(30))
def test_the_lines_of_why_add_up_to_the_whole(seed: int, record_of: Any, saw: Any) -> None:
    shelf, _, record, counts = random_case(seed, record_of, saw)
    weighed = weigh(record, shelf, counts=counts)
    whole = 10 * math.log10(weighed.pressings[0].p / weighed.pressings[1].p)
    assert sum(line.decibans for line in weighed.why) == pytest.approx(whole, abs=0.006)


@pytest.mark.parametrize("seed", range(10))
def test_a_line_of_why_is_the_odds_with_the_clue_over_the_odds_without(
    seed: int, record_of: Any, saw: Any
) -> None:
    shelf, _, record, _ = random_case(seed, record_of, saw)
    settings = WeighSettings(model=ModelSettings(repeat=0.0))  # else taking one out strengthens its group
    weighed = weigh(record, shelf, settings=settings)
    one, two = weighed.pressings[0].id, weighed.pressings[1].id
    whole = 10 * math.log10(weighed.pressings[0].p / weighed.pressings[1].p)
    for line in weighed.why:
        if not line.part or line.clue == "cut":
            continue
        left: Any = {**record, "answers": [a for a in record["answers"] if a["clue"] != line.clue]}
        p = {x.id: x.p for x in weigh(left, shelf, settings=settings).pressings}
        assert line.decibans == pytest.approx(whole - 10 * math.log10(p[one] / p[two]), abs=1e-6)


@pytest.mark.parametrize("seed", range(12))
def test_bits_equal_the_mutual_information_of_the_joint_table_with_dates_and_swaps(
    seed: int, record_of: Any, saw: Any
) -> None:
    shelf, title, record, counts = random_case(seed, record_of, saw)
    record["rulings"] = {}
    weighed = weigh(record, shelf, counts=counts)
    for part, rows in weighed.next.items():
        for one in rows:
            if one.clue.group:  # a grouped clue is tempered: its joint table is its own (nextclue.py)
                continue
            joint = []
            for answer in one.clue.answers:
                doc = saw(record, part, one.clue.id, answer.id)
                joint.append(Slow(title, shelf, record, counts).weights())
                record["answers"].remove(doc)
            p = np.array(joint) / np.sum(joint)
            bits = entropy(p.sum(0), base=2) + entropy(p.sum(1), base=2) - entropy(p.ravel(), base=2)
            assert one.bits == pytest.approx(bits, abs=1e-9)
