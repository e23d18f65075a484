"""The likelihood core against published worked examples, pinned tables and scikit-learn."""

import math
import random
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
import pytest
from scipy.stats import entropy
from sklearn.metrics import mutual_info_score
from sklearn.naive_bayes import CategoricalNB

from benchtui.books.shape import Answer, BookTitle, Clue, Pressing
from benchtui.evidence import ModelSettings, Weighing, WeighSettings, weigh
from benchtui.evidence.reference import Shelf
from benchtui.evidence.word_weights import learnt
from benchtui.model.record import empty_record, new_part
from benchtui.model.span import Span

# Plain Bayes: tables come from counts alone; misread, swaps, none of these, groups and dates are off.
PLAIN = WeighSettings(
    model=ModelSettings(
        strength=0.0, pool=False, misread=0.0, none=0.0, repeat=0.0, dates=False, stampers=False
    )
)
Tables = Mapping[str, Mapping[str, Sequence[float]]]


class Table:
    """Candidates with priors and, per clue, rows of P(answer | candidate)."""

    def __init__(
        self, prior: Mapping[str, float], answers: Mapping[str, Sequence[str]], tables: Tables
    ) -> None:
        clues = [
            Clue(
                name,
                name,
                "disc",
                "label",
                tuple(Answer(a, a, i + 1) for i, a in enumerate(its)),
                seconds=1.0,
            )
            for name, its in answers.items()
        ]
        pressings = tuple(Pressing(h, h, Span(), share=p) for h, p in prior.items())
        self.shelf = Shelf([BookTitle("t", "", "", Span(), pressings=pressings)], clues)
        self.counts: dict[str, Any] = {
            h: {"clues": {c: dict(zip(answers[c], rows[h], strict=True)) for c, rows in tables.items()}}
            for h in prior
        }

    def weigh(self, **seen: str) -> Weighing:
        record = empty_record(1)
        record["title"] = {"id": "t", "artist": "", "title": "", "catalogue": ""}
        record["parts"] = [new_part("disc", number=1)]
        disc = record["parts"][0]["id"]
        for clue, answer in seen.items():
            record["answers"].append(
                {"part": disc, "place": "label", "clue": clue, "answer": answer, "value": None, "how": "seen",
                 "text": answer, "book": "", "at": ""}
            )  # fmt: skip
        return weigh(record, self.shelf, counts=self.counts, settings=PLAIN, in_hand=disc)

    def p(self, **seen: str) -> dict[str | None, float]:
        return {one.id: one.p for one in self.weigh(**seen).pressings}

    def bits(self, **seen: str) -> dict[str, float]:
        (found,) = self.weigh(**seen).next.values()
        return {one.clue.id: one.bits for one in found}


# Made up; checked with scikit-learn and pgmpy before it was handed to us (the figures below are theirs).
PINNED = Table(
    {"A": 0.5, "B": 0.3, "C": 0.2},
    {"colour": ("red", "blue", "green"), "rim": ("smooth", "raised"), "code": ("stamped", "etched")},
    {
        "colour": {"A": (0.7, 0.2, 0.1), "B": (0.1, 0.8, 0.1), "C": (0.3, 0.3, 0.4)},
        "rim": {"A": (0.9, 0.1), "B": (0.5, 0.5), "C": (0.2, 0.8)},
        "code": {"A": (0.25, 0.75), "B": (0.6, 0.4), "C": (0.9, 0.1)},
    },
)


@pytest.mark.parametrize(
    ("seen", "want"),
    [
        ({"rim": "raised"}, (0.138889, 0.416667, 0.444444)),
        ({"colour": "red", "code": "etched"}, (0.935829, 0.042781, 0.021390)),
        ({"colour": "red", "rim": "raised", "code": "etched"}, (0.708502, 0.161943, 0.129555)),
    ],
)
def test_the_pinned_table_gives_the_pinned_odds(seen: dict[str, str], want: tuple[float, ...]) -> None:
    p = PINNED.p(**seen)
    assert [p[h] for h in "ABC"] == pytest.approx(want, abs=5e-7)


@pytest.mark.parametrize(
    ("seen", "want"),
    [
        ({}, {"colour": 0.303777, "rim": 0.263800, "code": 0.208627}),
        ({"rim": "raised"}, {"colour": 0.260306, "code": 0.173489}),
    ],
)
def test_the_pinned_table_gives_the_pinned_gains(seen: dict[str, str], want: dict[str, float]) -> None:
    assert PINNED.bits(**seen) == pytest.approx(want, abs=5e-7)


def test_counts_smooth_an_even_word_as_a_dirichlet_of_one_each() -> None:
    # Pinned: alpha 1, K 4, counts 3, 2, 0, 0.
    assert learnt([0.25] * 4, [3, 2, 0, 0], 4.0) == pytest.approx(
        [0.444444, 0.333333, 0.111111, 0.111111], abs=1e-6
    )


def test_twenty_heads_are_twenty_decibans_up() -> None:
    # General Report on Tunny (1945), p. 39: prior odds 1 : 10^4, 3 db a head, 20 heads: 20 db up.
    tosses = [f"toss{i}" for i in range(20)]
    table = Table(
        {"double": 1.0, "fair": 1e4},
        dict.fromkeys(tosses, ("head", "tail")),
        {toss: {"double": (1.0, 0.0), "fair": (0.5, 0.5)} for toss in tosses},
    )
    weighing = table.weigh(**dict.fromkeys(tosses, "head"))
    p = {one.id: one.p for one in weighing.pressings}
    assert 10 * math.log10(p["double"] / p["fair"]) == pytest.approx(20.206, abs=5e-4)
    tosses_say = [line.decibans for line in weighing.why if line.part]
    assert tosses_say == pytest.approx([3.0103] * 20, abs=5e-5)


@pytest.mark.parametrize(
    ("base", "hit", "false", "want"),
    [
        # J. A. Rice, Mathematical Statistics and Data Analysis: mammogram, .075 (exact .074766).
        (0.01, 0.80, 0.10, 0.074766),
        # J. K. Kruschke, Doing Bayesian Data Analysis blog: about 16 % (.163851).
        (0.01, 0.97, 0.05, 0.163851),
    ],
)
def test_a_positive_test_of_a_rare_thing(base: float, hit: float, false: float, want: float) -> None:
    table = Table(
        {"ill": base, "well": 1 - base},
        {"test": ("positive", "negative")},
        {"test": {"ill": (hit, 1 - hit), "well": (false, 1 - false)}},
    )
    assert table.p(test="positive")["ill"] == pytest.approx(want, abs=5e-7)


def test_the_chest_clinic_given_asia_and_dyspnoea() -> None:
    # Lauritzen & Spiegelhalter, J. R. Statist. Soc. B 50 (1988): tables as printed; a candidate a state.
    prior: dict[str, float] = {}
    dyspnoea: dict[str, tuple[float, float]] = {}
    for state in range(32):
        asia, smoke, tub, lung, bronc = (bool(state >> i & 1) for i in range(5))

        def given(chance: float, true: bool) -> float:
            return chance if true else 1 - chance

        p = given(0.01, asia) * given(0.5, smoke) * given(0.05 if asia else 0.01, tub)
        p *= given(0.1 if smoke else 0.01, lung) * given(0.6 if smoke else 0.3, bronc)
        prior[str(state)] = p
        either = tub or lung
        chance = (0.9 if bronc else 0.7) if either else (0.8 if bronc else 0.1)
        dyspnoea[str(state)] = (chance, 1 - chance)
    asia_rows = {str(s): (float(s & 1), float(not s & 1)) for s in range(32)}
    table = Table(
        prior, {"asia": ("yes", "no"), "dysp": ("yes", "no")}, {"asia": asia_rows, "dysp": dyspnoea}
    )
    joint = table.p(asia="yes", dysp="yes")
    for bit, want in ((2, 0.087751), (3, 0.099525), (4, 0.811402)):
        assert sum(joint[str(s)] for s in range(32) if s >> bit & 1) == pytest.approx(want, abs=5e-7)


def random_table(rng: random.Random) -> tuple[Table, dict[str, list[list[float]]], list[float]]:
    size = rng.randint(2, 6)
    raw = [rng.random() + 0.05 for _ in range(size)]
    names = [f"h{i}" for i in range(size)]
    sizes = {f"c{i}": rng.randint(2, 5) for i in range(rng.randint(1, 7))}
    rows: dict[str, list[list[float]]] = {}
    for clue, n in sizes.items():
        rows[clue] = []
        for _ in names:
            weights = [rng.random() + 0.01 for _ in range(n)]
            rows[clue].append([x / sum(weights) for x in weights])
    answers = {clue: [f"a{k}" for k in range(n)] for clue, n in sizes.items()}
    tables = {clue: dict(zip(names, its, strict=True)) for clue, its in rows.items()}
    prior = [x / sum(raw) for x in raw]
    return Table(dict(zip(names, prior, strict=True)), answers, tables), rows, prior


def sklearn_posterior(rows: dict[str, list[list[float]]], prior: list[float], seen: dict[str, int]) -> Any:
    """One CategoricalNB a clue, fitted on weighted rows; log terms summed."""
    size = len(prior)
    total = np.log(prior)
    for clue, answer in seen.items():
        theta = rows[clue]
        k = len(theta[0])
        model = CategoricalNB(alpha=1e-300, force_alpha=True, min_categories=k, fit_prior=False)
        x = np.tile(np.arange(k), size).reshape(-1, 1)
        model.fit(x, np.repeat(np.arange(size), k), sample_weight=np.ravel(theta))
        total = total + model.predict_joint_log_proba([[answer]])[0] - model.class_log_prior_
    weight = np.exp(total - total.max())
    return weight / weight.sum()


@pytest.mark.parametrize("seed", range(25))
def test_the_likelihood_core_equals_categorical_naive_bayes(seed: int) -> None:
    rng = random.Random(seed)
    table, rows, prior = random_table(rng)
    seen = {clue: rng.randrange(len(its[0])) for clue, its in rows.items() if rng.random() < 0.7}
    p = table.p(**{clue: f"a{k}" for clue, k in seen.items()})
    want = sklearn_posterior(rows, prior, seen)
    assert [p[f"h{i}"] for i in range(len(prior))] == pytest.approx(list(want), abs=1e-9)


@pytest.mark.parametrize("seed", range(25))
def test_bits_equal_the_mutual_information_of_the_full_joint_table(seed: int) -> None:
    # mutual_info_score wants whole counts, so the tables are whole numbers: its joint table is exact.
    rng = random.Random(seed)
    names = [f"h{i}" for i in range(rng.randint(2, 6))]
    prior = {h: rng.randint(1, 100) for h in names}
    answers = {clue: [f"a{k}" for k in range(rng.randint(2, 5))] for clue in ("seen", "open", "other")}
    rows = {c: {h: [rng.randint(1, 50) for _ in its] for h in names} for c, its in answers.items()}
    for clue in rows:  # rows of one sum, or the counts would weigh candidates
        for h in names:
            rows[clue][h][-1] += 250 - sum(rows[clue][h])
    tables = {c: {h: [float(x) for x in row] for h, row in its.items()} for c, its in rows.items()}
    table = Table({h: float(x) for h, x in prior.items()}, answers, tables)
    seen = f"a{rng.randrange(len(answers['seen']))}" if seed % 2 else None
    bits = table.bits(**({"seen": seen} if seen else {}))
    for clue in ("open", "other"):
        weight = {h: prior[h] * (rows["seen"][h][int(seen[1])] if seen else 1) for h in names}
        joint = np.array([[weight[h] * x for x in rows[clue][h]] for h in names], dtype=np.int64)
        nats = mutual_info_score(None, None, contingency=joint)
        assert bits[clue] == pytest.approx(nats / math.log(2), abs=1e-9)
        p = joint / joint.sum()
        by_scipy = entropy(p.sum(0), base=2) + entropy(p.sum(1), base=2) - entropy(p.ravel(), base=2)
        assert bits[clue] == pytest.approx(by_scipy, abs=1e-9)
