"""A simulated shop of 200 pressings in 40 titles: the engine beside the oracle and plain independent Bayes.

    python tests/bench/evidence_shop.py [--copies 240] [--seeds 10] [--twists all|matched|hidden] [--ask 15]

Every figure is an implementation check on an invented world (evidence_world.py), nothing about real
records. Nothing was tuned on the seeds reported (101 and on). Per world: top-1, log score (bits) and Brier
score of ours, the oracle and plain Bayes; calibration error of the leader in 15 bins of equal count;
swapped parts found at a false alarm rate of 2 %: of all, of those whose donor was another pressing, of
those with 20 dB of expected evidence or more; the share no method can find (donor of the same pressing, or
under 1 dB expected); clues until settled in our order (best over all parts), the printed and a random one.
"""

import argparse
import random
import statistics
from collections.abc import Callable, Sequence
from datetime import date

import numpy as np
from evidence_world import SWAP, TWISTS, Copy, Oracle, World, WorldClue

from benchtui.books.shape import Answer, BookTitle, Clue, Pressing, Word
from benchtui.evidence import Weighing, weigh
from benchtui.evidence.reference import Shelf
from benchtui.model.record import PartDoc, RecordDoc, empty_record, new_part
from benchtui.model.span import Span

WORD: dict[float, Word] = {0.96: "always", 0.80: "usually", 0.30: "sometimes", 0.05: "rarely"}
Figures = dict[str, list[float]]
UNSEEN = "unseen"


class Quiet(Shelf):
    """The same books with nothing left to ask, where only odds and agreement are wanted."""

    def clues_for(self, record: RecordDoc, part: PartDoc) -> tuple[Clue, ...]:
        return ()


def book_clue(clue: WorldClue, group: str = "") -> Clue:
    answers = []
    for k in range(clue.size):
        span, fade = None, 0.0
        if clue.bounds is not None:
            low, high = (date.fromordinal(int(day)) if day else None for day in clue.bounds[k])
            span, fade = Span(low, high), clue.fade[k]
        hardness = {0.0: "hard", 0.5: "firm", 2.0: "soft"}[fade] if span else "none"
        answers.append(Answer(f"a{k}", f"a{k}", k + 1, span, hardness))  # type: ignore[arg-type]
    answers.append(Answer(UNSEEN, "cannot tell", 0, neutral=True))
    return Clue(clue.id, clue.id, clue.part, "place", tuple(answers), seconds=clue.seconds, group=group)


def book_titles(world: World) -> list[BookTitle]:
    titles = []
    for t, its in enumerate(world.titles):
        pressings = tuple(
            Pressing(
                p.id,
                p.id,
                Span(date.fromordinal(p.said_start), date.fromordinal(p.said_end)),
                share=p.said_share,
                expect={c: {f"a{k}": WORD[x] for k, x in named.items()} for c, named in p.shape.items()},
                price=p.price,
            )
            for p in its
            if p.known
        )
        titles.append(BookTitle(f"t{t}", "", "", Span(date.fromordinal(world.first[t])), pressings=pressings))
    return titles


def shelf_of(world: World, kind: type[Shelf] = Shelf) -> Shelf:
    clues = [book_clue(c, c.part if world.twist == "grouped" else "") for c in world.clues]
    return kind(book_titles(world), clues, money="GBP")


def record_of(copy: Copy, told: bool = True) -> RecordDoc:
    record = empty_record(1)
    record["title"] = {"id": f"t{copy.title}", "artist": "", "title": "", "catalogue": ""}
    for kind in SWAP:
        part = new_part(kind, number=1)  # type: ignore[arg-type]
        part["id"] = kind
        record["parts"].append(part)
        for clue, k in copy.answers[kind].items() if told else ():
            tell(record, kind, clue, k)
    return record


def tell(record: RecordDoc, part: str, clue: str, k: int | None) -> None:
    """Puts an answer into the record; None: looked, but cannot tell."""
    record["answers"].append(
        {"part": part, "place": "place", "clue": clue, "value": None, "how": "seen", "text": "", "book": "",
         "answer": UNSEEN if k is None else f"a{k}", "at": ""}
    )  # fmt: skip


def odds_of(weighing: Weighing, ids: Sequence[str]) -> np.ndarray:
    """P of the book's pressings in their order, "none of these" last."""
    p = {one.id: one.p for one in weighing.pressings}
    return np.array([*(p[i] for i in ids), p[None]])


def plain_bayes(world: World, copy: Copy) -> np.ndarray:
    """Every answer independent; no swaps, misreads, dates or unknown pressings; a floor of .001."""
    known = [i for i, p in enumerate(world.titles[copy.title]) if p.known]
    p = np.array([world.titles[copy.title][i].said_share for i in known])
    for clue in world.clues:
        k = copy.answers[clue.part].get(clue.id)
        if k is not None:
            p = p * np.maximum(world.table(copy.title, clue)[known, k], 1e-3)
            p = p / p.sum()
    return np.append(p, 0.0)


def score(figures: Figures, name: str, p: np.ndarray, truth: int) -> None:
    figures.setdefault(f"{name} top-1", []).append(float(int(p.argmax()) == truth % len(p)))
    figures.setdefault(f"{name} log", []).append(-float(np.log2(max(p[truth], 1e-9))))
    figures.setdefault(f"{name} Brier", []).append(float(np.sum((p - np.eye(len(p))[truth]) ** 2)))
    figures.setdefault(f"{name} sure", []).append(float(p.max()))


def calibration(sure: Sequence[float], right: Sequence[float], bins: int = 15) -> float:
    """Mean gap between how sure and how often right, in bins of equal count."""
    order = np.argsort(sure)
    gaps = [
        abs(np.mean(np.array(sure)[i]) - np.mean(np.array(right)[i])) for i in np.array_split(order, bins)
    ]
    return float(np.mean(gaps))


def watch_swaps(
    figures: Figures, world: World, oracle: Oracle, copy: Copy, ours: Weighing, true: dict[str, float]
) -> None:
    for part in ("cover", "inner"):
        donor = copy.donor[part]
        kind = "own" if donor is None else "swapped"
        figures.setdefault(f"{kind} ours {part}", []).append(ours.agreement[part].decibans)
        figures.setdefault(f"{kind} oracle {part}", []).append(10 * float(np.log10(true[part])))
        if donor is not None:
            truth = copy.truth if copy.truth >= 0 else len(world.titles[copy.title])
            db = 99.0 if donor < 0 else oracle.expected_evidence(copy, part, truth, donor)
            figures.setdefault(f"expected {part}", []).append(0.0 if donor == truth else db)
            # B(u) is at least pi(donor) A(u, donor): the factor cannot be expected to reach all of it.
            chance = 1.0 if donor < 0 else float(world.shares(copy.title)[donor])
            figures.setdefault(f"factor {part}", []).append(db + 10 * float(np.log10(chance)))


def found(figures: Figures, who: str, part: str, least: float) -> tuple[float, int]:
    """Power at a false alarm rate of 2 % over swaps with at least so much expected evidence."""
    limit = np.quantile(figures[f"own {who} {part}"], 0.98)
    key = "factor" if least >= 20 else "expected"
    kept = [
        db
        for db, e in zip(figures[f"swapped {who} {part}"], figures[f"{key} {part}"], strict=True)
        if e >= least
    ]
    return float(np.mean(np.array(kept) > limit)) if kept else float("nan"), len(kept)


def until_settled(
    world: World, shelf: Shelf, copy: Copy, pick: Callable[[Weighing, list[tuple[str, str]]], tuple[str, str]]
) -> int:
    """Looks until settled or nothing is left; a clue that cannot be seen on this copy costs its look."""
    record = record_of(copy, told=False)
    left = [(c.part, c.id) for c in world.clues]
    asked = 0
    weighing = weigh(record, shelf)
    while left and weighing.pressings[0].p < 0.95:
        part, clue = pick(weighing, left)
        left.remove((part, clue))
        asked += 1
        if clue in copy.answers[part]:
            tell(record, part, clue, copy.answers[part][clue])
            weighing = weigh(record, shelf)
    return asked


def ours_next(weighing: Weighing, left: list[tuple[str, str]]) -> tuple[str, str]:
    rows = [(one.bits, part, one.clue.id) for part, its in weighing.next.items() for one in its]
    rows.sort(key=lambda row: -row[0])
    return next(((part, clue) for _, part, clue in rows if (part, clue) in left), left[0])


def one_world(twist: str, seed: int, copies: int, ask: int) -> Figures:
    world = World(seed, twist=twist)
    shelf, quiet, oracle = shelf_of(world), shelf_of(world, Quiet), Oracle(world)
    ids = [[p.id for p in its if p.known] for its in world.titles]
    figures: Figures = {}
    rng = random.Random(seed)
    for i in range(copies):
        copy = world.draw()
        ours = weigh(record_of(copy), quiet)
        p, factors = oracle.weigh(copy)
        score(figures, "ours", odds_of(ours, ids[copy.title]), copy.truth)
        score(figures, "oracle", p, copy.truth)
        score(figures, "plain", plain_bayes(world, copy), copy.truth)
        watch_swaps(figures, world, oracle, copy, ours, dict(factors))
        if i < ask:
            mixed = [(c.part, c.id) for c in world.clues]
            rng.shuffle(mixed)
            orders = {"ours": ours_next, "printed": lambda w, left: left[0],
                      "random": lambda w, left: next(c for c in mixed if c in left)}  # fmt: skip  # noqa: B023
            for name, pick in orders.items():
                figures.setdefault(f"asked {name}", []).append(until_settled(world, shelf, copy, pick))
    return figures


def over(worlds: Sequence[Figures], make: Callable[[Figures], float]) -> str:
    """Mean over seeds and its standard error."""
    values = [make(f) for f in worlds]
    error = statistics.stdev(values) / len(values) ** 0.5 if len(values) > 1 else 0.0
    return f"{statistics.mean(values):.3f}±{error:.3f}"


def mean_of(key: str) -> Callable[[Figures], float]:
    return lambda figures: statistics.mean(figures[key])


def error_of(who: str) -> Callable[[Figures], float]:
    return lambda figures: calibration(figures[f"{who} sure"], figures[f"{who} top-1"])


def show(twist: str, worlds: Sequence[Figures]) -> None:
    print(f"\n{twist or 'matched'}: {len(worlds)} seeds x {len(worlds[0]['ours log'])} copies")
    three = ("ours", "oracle", "plain")
    for what in ("top-1", "log", "Brier"):
        print(f"  {what:12}", *(f"{who} {over(worlds, mean_of(f'{who} {what}'))} " for who in three))
    print(f"  {'calibration':12}", *(f"{who} {over(worlds, error_of(who))} " for who in three))
    pooled = {key: [x for f in worlds for x in f.get(key, [])] for key in worlds[0]}
    print(
        f"  {'all seeds':12} calibration of ours {calibration(pooled['ours sure'], pooled['ours top-1']):.4f}"
    )
    for part in ("cover", "inner"):
        show_swaps(pooled, part)
    if "asked ours" in pooled:
        mean = {name: statistics.mean(pooled[f"asked {name}"]) for name in ("ours", "printed", "random")}
        told = "  ".join(f"{name} {value:.2f}" for name, value in mean.items())
        print(
            f"  {'settled in':12} {told}  (ours / printed {mean['ours'] / mean['printed']:.2f})", flush=True
        )


def show_swaps(pooled: Figures, part: str) -> None:
    hopeless = statistics.mean(float(db < 1.0) for db in pooled[f"expected {part}"])
    print(f"  {part} swapped (no method can find {hopeless:.3f} of them)")
    for label, least in (("all", -1.0), ("other pressing", 1e-9), ("20 dB or more", 20.0)):
        ours, n = found(pooled, "ours", part, least)
        oracle, _ = found(pooled, "oracle", part, least)
        print(f"    {label:16} ours {ours:.3f}  oracle {oracle:.3f}  of {n}", flush=True)


def main() -> None:
    parser = argparse.ArgumentParser(description="Measures the engine in a simulated shop.")
    parser.add_argument("--copies", type=int, default=240)
    parser.add_argument("--seeds", type=int, default=10)
    parser.add_argument("--twists", default="all")
    parser.add_argument("--ask", type=int, default=15)
    options = parser.parse_args()
    wanted = (
        TWISTS if options.twists == "all" else [t.replace("matched", "") for t in options.twists.split(",")]
    )
    for twist in wanted:
        ask = options.ask if twist == "" else 0
        show(twist, [one_world(twist, 101 + s, options.copies, ask) for s in range(options.seeds)])


if __name__ == "__main__":
    main()
