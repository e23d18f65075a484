"""Pressings held out of the book: how often a copy of one settles on a wrong pressing, and what that costs.

    python tests/bench/evidence_unknown.py [--seeds 10] [--first 201] [--copies 250] [--lessons 10]

An implementation check on an invented company (evidence_field.py): 261 pressings, a tenth in no book. Every
copy is asked what the engine names best until it is settled or nothing is left. Per seed and over all: of
held-out copies those settled on a wrong pressing, those where "none of these" leads, those said not to fit;
of known copies those settled, settled wrongly, said not to fit, and clues asked. Held-out copies that answer
every asked clue as a written pressing does are counted apart: nobody could tell them. Tuned on seeds 1 to 4.
With ``--lessons`` instead: copies of written pressings asked before and after so many confirmed copies a title taught.
"""

import argparse
import statistics
import time
from datetime import date, timedelta

import numpy as np
from evidence_field import CUTS, Field, FieldCopy, FieldPressing

from benchtui.books.shape import Answer, BookTitle, Clue, Pressing, Word
from benchtui.evidence import Weighing, counts_of, weigh
from benchtui.evidence.reference import Shelf
from benchtui.model.record import RecordDoc, empty_record, new_part
from benchtui.model.span import Span

SECONDS = {"disc": 3.0, "cover": 2.0, "inner": 2.0}


def day(year: float) -> date:
    return date(1900, 1, 1) + timedelta(days=(year - 1900) * 365.2425)


def word_of(share: float) -> Word:
    return (
        "always" if share >= 0.9 else "usually" if share >= 0.55 else "sometimes" if share >= 0.15
        else "rarely" if share >= 0.04 else "never"
    )  # fmt: skip


def pressing_of(one: FieldPressing) -> Pressing:
    expect = {}
    for clue, row in one.table.items():
        words = {f"a{k}": word_of(x) for k, x in enumerate(row) if x >= 0.04}
        expect[clue] = words
    cuts = tuple(((str(a), str(b)), word_of(x)) for (a, b), x in one.cuts.items())
    span = Span(day(one.start), day(one.end))
    return Pressing(one.id, one.id, span, share=one.share, expect=expect, cuts=cuts)


def clues_of(field: Field) -> list[Clue]:
    clues = []
    for c in field.clues:
        ends = [*c.since[1:], None] if c.since else []
        spans = [Span(day(low) if n else None, day(high) if high else None)
                 for n, (low, high) in enumerate(zip(c.since, ends, strict=True))]  # fmt: skip
        answers = tuple(
            Answer(f"a{k}", f"a{k}", k + 1, spans[k] if spans else None, "firm" if spans else "none")
            for k in range(c.size)
        )
        clues.append(Clue(c.id, c.id, c.part, "place", answers, seconds=SECONDS[c.part]))
    cut = tuple(Answer(str(k), str(k), k) for k in range(CUTS))
    clues.append(Clue("cut", "cut", "disc", "runout", cut, form="cut", seconds=8.0, per_side=True))
    return clues


def shelf_of(field: Field, complete: str = "") -> Shelf:
    titles = [
        BookTitle(f"t{t}", "", f"t{t}", Span(day(its[0].start)), company="C", complete=complete,  # type: ignore[arg-type]
                  pressings=tuple(pressing_of(p) for p in its if p.written))
        for t, its in enumerate(field.titles)
    ]  # fmt: skip
    return Shelf(titles, clues_of(field))


def blank(title: int) -> RecordDoc:
    record = empty_record(1)
    record["title"] = {"id": f"t{title}", "artist": "", "title": "", "catalogue": ""}
    for kind in ("cover", "disc", "inner"):
        part = new_part(kind, number=1)  # type: ignore[arg-type]
        part["id"] = kind
        record["parts"].append(part)
    return record


def answer(record: RecordDoc, copy: FieldCopy, part: str, clue: str, place: str) -> None:
    if clue == "cut":
        side = place[-1]
        disc = next(p for p in record["parts"] if p["id"] == "disc")
        disc["sides"][side] = {"cut": str(copy.cuts["AB".index(side)])}  # type: ignore[typeddict-item]
        return
    record["answers"].append(
        {"part": part, "place": place, "clue": clue, "value": None, "how": "seen", "text": "", "book": "",
         "answer": f"a{copy.answers[part][clue]}", "at": ""}
    )  # fmt: skip


def best_of(weighing: Weighing, least: float) -> tuple[str, str, str] | None:
    rows = [(one.bits / one.seconds, part, one.clue.id, one.place)
            for part, its in weighing.next.items() for one in its if one.bits >= least]  # fmt: skip
    return max(rows)[1:] if rows else None


def everything(shelf: Shelf, field: Field, copy: FieldCopy) -> tuple[RecordDoc, Weighing, int]:
    """Every clue answered, every cut read."""
    record = blank(copy.title)
    for clue in field.clues:
        answer(record, copy, clue.part, clue.id, "place")
    for side in "AB":
        answer(record, copy, "disc", "cut", f"runout {side}")
    return record, weigh(record, shelf, ask=False), len(field.clues) + 2


def until_settled(
    shelf: Shelf, copy: FieldCopy, counts: dict[str, object] | None = None
) -> tuple[RecordDoc, Weighing, int]:
    """The record as it is when it is settled or nothing is left, the last weighing, and clues asked."""
    record, asked = blank(copy.title), 0
    while True:
        weighing = weigh(record, shelf, counts=counts)
        least = 0.005 if weighing.held == "new" else 0.01 if weighing.nothing_left else 1e-6
        following = None if weighing.settled else best_of(weighing, least)
        if following is None or weighing.nothing_left:
            return record, weighing, asked
        answer(record, copy, *following)
        asked += 1


def one_seed(seed: int, copies: int, whole: bool) -> dict[str, list[float]]:
    field = Field(seed)
    shelf = shelf_of(field)
    held = [(t, h) for t, its in enumerate(field.titles) for h, p in enumerate(its) if not p.written]
    figures: dict[str, list[float]] = {}
    for n in range(copies):
        known = n % 2 == 0
        pick = field.rng.integers(len(held))
        copy = field.draw() if known else field.draw(*held[int(pick)])
        record, found, asked = everything(shelf, field, copy) if whole else until_settled(shelf, copy)
        truth = field.titles[copy.title][copy.truth].id
        leader = found.pressings[0]
        if known and found.settled:  # copies as they come, one in ten of them of no pressing in the book
            figures.setdefault("settled p", []).append(leader.p)
            figures.setdefault("settled right", []).append(float(leader.id == truth))
        if known and not field.titles[copy.title][copy.truth].written:
            continue
        kind = "known" if known else "held"
        if not known and field.twins(
            copy.title,
            copy.truth,
            {a["clue"] for a in record["answers"]} | ({"cut"} if record["parts"][1]["sides"] else set()),
        ):
            kind = "twin"
        note = figures.setdefault
        note(f"{kind} settled", []).append(float(found.settled))
        note(f"{kind} wrong", []).append(float(found.settled and leader.id != truth))
        note(f"{kind} none", []).append(float(leader.id is None))
        note(f"{kind} unfit", []).append(float(found.fit is not None and not found.fit.holds))
        note(f"{kind} asked", []).append(asked)
    return figures


def taught(field: Field, lessons: int) -> dict[str, object]:
    """Counts of so many copies a title on average, of written pressings, all answered and named by the dealer."""
    records = []
    for _ in range(lessons * len(field.titles)):
        copy = field.draw()
        truth = field.titles[copy.title][copy.truth]
        if truth.written:
            record = blank(copy.title)
            for clue in field.clues:
                answer(record, copy, clue.part, clue.id, "place")
            for side in "AB":
                answer(record, copy, "disc", "cut", f"runout {side}")
            record["pressing"] = {"id": truth.id, "how": "hand", "p": None, "learn": True}
            records.append(record)
    return dict(counts_of(records))


def before_and_after(seed: int, copies: int, lessons: int) -> dict[str, list[float]]:
    """The same copies of written pressings, asked by the book alone and after it was taught."""
    field = Field(seed)
    shelf, counts = shelf_of(field), taught(field, lessons)
    figures: dict[str, list[float]] = {}
    for copy in (field.draw() for _ in range(copies)):
        truth = field.titles[copy.title][copy.truth]
        for name, known in (("before", None), ("after", counts)) if truth.written else ():
            _, found, asked = until_settled(shelf, copy, known)
            wrong = found.settled and found.pressings[0].id != truth.id
            for what, value in (("settled", found.settled), ("wrong", wrong), ("asked", asked)):
                figures.setdefault(f"{name} {what}", []).append(float(value))
    return figures


def show_lessons(worlds: list[dict[str, list[float]]]) -> None:
    mean = {key: statistics.mean(x for w in worlds for x in w[key]) for key in worlds[0]}
    said = "  ".join(f"{key} {value:.3f}" for key, value in mean.items())
    print(f"{len(worlds)} seeds, {sum(len(w['before asked']) for w in worlds)} copies: {said}", flush=True)


def show(name: str, worlds: list[dict[str, list[float]]]) -> None:
    said = [name]
    for kind in ("held", "twin", "known"):
        for what in ("settled", "wrong", "none", "unfit", "asked"):
            values = [x for w in worlds for x in w.get(f"{kind} {what}", [])]
            said.append(f"{kind[0]}.{what} {statistics.mean(values):.3f}" if values else "-")
        said.append(f"n={len([x for w in worlds for x in w.get(f'{kind} settled', [])])} |")
    print(" ".join(said), flush=True)


def show_calibration(worlds: list[dict[str, list[float]]], bins: int = 10) -> None:
    """How sure and how often right, over the copies called settled, in bins of equal count."""
    p = np.array([x for w in worlds for x in w.get("settled p", [])])
    right = np.array([x for w in worlds for x in w.get("settled right", [])])
    print(
        f"settled, as copies come: {len(p)}, promised {1 - p.mean():.4f} wrong, were {1 - right.mean():.4f}"
    )
    for at in np.array_split(np.argsort(p), bins):
        print(f"  sure {p[at].mean():.4f}  right {right[at].mean():.4f}  of {len(at)}")


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n")[0])
    parser.add_argument("--seeds", type=int, default=10)
    parser.add_argument("--first", type=int, default=201)
    parser.add_argument("--copies", type=int, default=250)
    parser.add_argument("--whole", action="store_true", help="every clue is answered")
    parser.add_argument("--lessons", type=int, default=0, help="confirmed copies a title that teach first")
    given = parser.parse_args()
    worlds, start = [], time.perf_counter()
    for seed in range(given.first, given.first + given.seeds):
        if given.lessons:
            worlds.append(before_and_after(seed, given.copies, given.lessons))
            show_lessons(worlds)
            continue
        worlds.append(one_seed(seed, given.copies, given.whole))
        show(str(seed), worlds[-1:])
    if given.lessons:
        return
    show("all", worlds)
    show_calibration(worlds)
    wrong = [float(np.mean(w["held wrong"])) for w in worlds]
    if len(wrong) > 1:
        print(f"held wrong by seed: {np.mean(wrong):.3f} +- {np.std(wrong, ddof=1) / len(wrong) ** 0.5:.3f}")
    print(f"{time.perf_counter() - start:.0f} s")


if __name__ == "__main__":
    main()
