"""Real tables made by nobody here: the engine beside general classifiers, and the clues each order needs.

    python tests/bench/evidence_tables.py [--table FILE --class COLUMN --clues a,b,...] [--rda FILE.rda] [--wine]

Default: zoo.tsv. With ``--wine`` the table of that name in scikit-learn. With ``--rda`` that data frame (files of Debian's r-cran-mlbench 2.1-3-1, read with rdata).
Five folds, each a TOML book made from the other four by evidence_table_to_book and read by the real library.
"words": the book alone. "counted": the same book with the training rows as the shop's own confirmed copies.
Asking stops at .95 sure or when no clue is left. "frozen" is the order fixed when the part is taken up,
"greedy" the best clue anew after each answer. Intervals: 95 %, paired bootstrap over rows; log score in bits.
"""

import argparse
import random
import sys
import tempfile
import warnings
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any

import numpy as np
from evidence_table_to_book import Column, Rows, book, read_table
from sklearn.datasets import load_wine
from sklearn.ensemble import RandomForestClassifier
from sklearn.linear_model import LogisticRegression
from sklearn.naive_bayes import CategoricalNB

from benchtui.books.library import Library
from benchtui.evidence import Weighing, counts_of, weigh
from benchtui.model.record import RecordDoc, empty_record, new_part

FOLDS, SURE, TITLE = 5, 0.95, "fold"
Scores = dict[str, list[float]]
Picker = Callable[[RecordDoc, Weighing, list[str]], str]
HERE = Path(__file__).parent


def new_record() -> RecordDoc:
    record = empty_record(1)
    record["title"] = {"id": TITLE, "artist": "", "title": "", "catalogue": ""}
    record["parts"] = [new_part("disc", number=1)]
    return record


def tell(record: RecordDoc, clue: str, answer: str) -> None:
    record["answers"].append(
        {"part": record["parts"][0]["id"], "place": "label", "clue": clue, "answer": answer, "value": None,
         "how": "seen", "text": "", "book": "", "at": ""}
    )  # fmt: skip


class Fold:
    """One fold: the book of the training rows, and what it makes of a test row."""

    def __init__(self, train: Rows, columns: Sequence[Column], label: str, counted: bool) -> None:
        self.columns, self.label = columns, label
        with tempfile.TemporaryDirectory() as folder:
            (Path(folder) / "fold.toml").write_text(book(train, label, columns, TITLE), encoding="utf-8")
            self.library = Library.open([Path(folder)])
            self.library.title(TITLE)
        self.counts = counts_of([self.copy(row) for row in train] if counted else [])

    def answers(self, row: Mapping[str, str]) -> dict[str, str]:
        """The clues this row can answer."""
        found = {c.id: c.answer(row[c.name]) for c in self.columns}
        return {clue: answer for clue, answer in found.items() if answer is not None}

    def copy(self, row: Mapping[str, str], confirmed: bool = True) -> RecordDoc:
        """The row as a copy with everything seen, and its class confirmed by the dealer where it is to teach."""
        record = new_record()
        for clue, answer in self.answers(row).items():
            tell(record, clue, answer)
        record["pressing"] = {"id": row[self.label], "how": "hand", "p": None, "learn": confirmed}
        return record

    def weigh(self, record: RecordDoc) -> Weighing:
        return weigh(record, self.library, counts=self.counts, in_hand=record["parts"][0]["id"])

    def ask(self, row: dict[str, str], pick: Picker) -> tuple[int, dict[str, float]]:
        """Clues asked until sure, and what is then thought. A clue the row cannot answer costs a look too."""
        record, answers = new_record(), self.answers(row)
        left = [c.id for c in self.columns]
        asked, weighing = 0, self.weigh(record)
        while left and weighing.pressings[0].p < SURE:
            clue = pick(record, weighing, left)
            left.remove(clue)
            asked += 1
            if clue in answers:
                tell(record, clue, answers[clue])
                weighing = self.weigh(record)
        return asked, odds(weighing)


def odds(weighing: Weighing) -> dict[str, float]:
    return {str(one.id): one.p for one in weighing.pressings}


def orders(fold: Fold, seed: int) -> dict[str, Picker]:
    start = new_record()
    frozen = [clue for _, clue in fold.weigh(start).order(start["parts"][0]["id"])]
    shuffled = random.Random(seed).sample(frozen, len(frozen))

    def greedy(record: RecordDoc, weighing: Weighing, left: list[str]) -> str:
        rows = weighing.next[record["parts"][0]["id"]]
        return next((one.clue.id for one in rows if one.clue.id in left), left[0])

    return {
        "greedy": greedy,
        "frozen": lambda r, w, left: next(c for c in frozen if c in left),
        "printed": lambda r, w, left: left[0],
        "random": lambda r, w, left: next(c for c in shuffled if c in left),
    }


class NaiveBayes:
    """CategoricalNB with alpha .5, a model a clue because it takes no gaps; log terms summed."""

    def __init__(self, train: Rows, columns: Sequence[Column], label: str) -> None:
        self.classes = sorted({r[label] for r in train})
        self.prior = np.log([sum(r[label] == c for r in train) / len(train) for c in self.classes])
        self.models = {}
        for column in columns:
            known = [(column.answer(r[column.name]), r[label]) for r in train]
            x = [[column.answers.index(a)] for a, _ in known if a is not None]
            if x:
                model = CategoricalNB(alpha=0.5, min_categories=len(column.answers), fit_prior=False)
                self.models[column] = model.fit(x, [c for a, c in known if a is not None])

    def odds(self, row: dict[str, str]) -> dict[str, float]:
        logs = self.prior
        for column, model in self.models.items():
            if (answer := column.answer(row[column.name])) is not None:
                terms = model.feature_log_prob_[0][:, column.answers.index(answer)]
                told = dict(zip(model.classes_, terms, strict=True))
                logs = logs + [told.get(c, -np.log(len(column.answers))) for c in self.classes]
        p = np.exp(logs - logs.max())
        return dict(zip(self.classes, p / p.sum(), strict=True))


class General:
    """A general classifier on the same clues, each answer a column of its own and a gap none of them."""

    def __init__(self, train: Rows, columns: Sequence[Column], label: str, model: Any) -> None:
        self.columns = columns
        self.model = model.fit([self._row(row) for row in train], [row[label] for row in train])

    def _row(self, row: Mapping[str, str]) -> list[float]:
        told = [(column.answers, column.answer(row[column.name])) for column in self.columns]
        return [float(answer == one) for answers, answer in told for one in answers]

    def odds(self, row: Mapping[str, str]) -> dict[str, float]:
        (p,) = self.model.predict_proba([self._row(row)])
        return dict(zip(self.model.classes_, map(float, p), strict=True))


def general(train: Rows, columns: Sequence[Column], label: str) -> dict[str, General]:
    """Logistic regression and a forest, as scikit-learn has them, nothing tuned."""
    models = {
        "LogisticRegression": LogisticRegression(max_iter=2000),
        "RandomForest": RandomForestClassifier(random_state=1),
    }
    return {name: General(train, columns, label, model) for name, model in models.items()}


def wine_rows() -> list[dict[str, str]]:
    """Wine, M. Forina and others, UCI Machine Learning Repository (1991), as scikit-learn ships it."""
    found = load_wine()
    return [
        {**{name: f"{x:g}" for name, x in zip(found.feature_names, row, strict=True)}, "kind": f"kind {k}"}
        for row, k in zip(found.data, found.target, strict=True)
    ]


def score(scores: Scores, name: str, p: dict[str, float], truth: str) -> None:
    """Accuracy among the classes, log score in bits and Brier score; "none of these" counts against us."""
    known = [c for c in p if c != "None"]
    scores.setdefault(f"{name} accuracy", []).append(float(max(known, key=lambda c: p[c]) == truth))
    scores.setdefault(f"{name} log", []).append(-float(np.log2(max(p.get(truth, 0.0), 1e-12))))
    brier = sum((x - (c == truth)) ** 2 for c, x in p.items()) + (truth not in p)
    scores.setdefault(f"{name} Brier", []).append(brier)


def interval(values: Sequence[float], per: Sequence[float] | None = None) -> str:
    """Mean, or ratio of means, with its bootstrap interval."""
    rng = np.random.default_rng(1)
    a = np.array(values)
    b = np.ones(len(a)) if per is None else np.array(per)
    picks = rng.integers(0, len(a), (2000, len(a)))
    low, high = np.quantile(a[picks].sum(1) / b[picks].sum(1), [0.025, 0.975])
    return f"{a.sum() / b.sum():7.3f} [{low:.3f}, {high:.3f}]"


def run(rows: list[dict[str, str]], label: str, clues: Sequence[str], counted: bool) -> Scores:
    columns = [Column(c, [row[c] for row in rows]) for c in clues]
    order = random.Random(5).sample(range(len(rows)), len(rows))
    scores: Scores = {}
    for f in range(FOLDS):
        train = [rows[i] for k in range(FOLDS) if k != f for i in order[k::FOLDS]]
        fold, bayes = Fold(train, columns, label, counted), NaiveBayes(train, columns, label)
        pickers, others = orders(fold, f), general(train, columns, label)
        for row in (rows[i] for i in order[f::FOLDS]):
            for name, model in others.items():
                score(scores, name, model.odds(row), row[label])
            score(scores, "ours", odds(fold.weigh(fold.copy(row, confirmed=False))), row[label])
            score(scores, "CategoricalNB", bayes.odds(row), row[label])
            for which, pick in pickers.items():
                asked, p = fold.ask(row, pick)
                scores.setdefault(f"{which} clues", []).append(asked)
                score(scores, which, p, row[label])
    return scores


def show(scores: Scores) -> None:
    for which in ("ours", "CategoricalNB", "LogisticRegression", "RandomForest"):
        for what in ("accuracy", "log", "Brier"):
            print(f"  {f'{which}, all clues, {what}':38}{interval(scores[f'{which} {what}'])}")
    for which in ("greedy", "frozen", "printed", "random"):
        print(f"  {f'{which}: clues asked':38}{interval(scores[f'{which} clues'])}")
        lost = [a - b for a, b in zip(scores["ours accuracy"], scores[f"{which} accuracy"], strict=True)]
        print(f"  {f'{which}: accuracy lost to all clues':38}{interval(lost)}")
    for which in ("greedy", "frozen"):
        for other in ("printed", "random"):
            ratio = interval(scores[f"{which} clues"], scores[f"{other} clues"])
            print(f"  {f'clues {which} / {other}':38}{ratio}")


def rda_rows(path: Path) -> list[dict[str, str]]:
    """The one data frame of an R data file, as text; gaps are empty."""
    import rdata

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        frame = next(iter(rdata.read_rda(path).values()))
    return [{k: "" if v != v else str(v) for k, v in row.items()} for row in frame.to_dict("records")]


def main() -> None:
    parser = argparse.ArgumentParser(description="Measures the engine on a table.")
    parser.add_argument("--table", type=Path, default=HERE / "data" / "zoo.tsv")
    parser.add_argument("--class", dest="label", default="type")
    parser.add_argument("--clues", default="")
    parser.add_argument("--rda", type=Path, help="an R data file whose class column is named Class")
    parser.add_argument("--wine", action="store_true", help="the wine table that scikit-learn ships")
    options = parser.parse_args()
    rows = rda_rows(options.rda) if options.rda else read_table(options.table)
    label = "Class" if options.rda else options.label
    if options.wine:
        rows, label = wine_rows(), "kind"
    if label not in rows[0]:
        sys.exit(f"no column {label}; the columns are {', '.join(rows[0])}")
    clues = [c for c in options.clues.split(",") if c] or [c for c in rows[0] if c not in (label, "name")]
    for counted in (False, True):
        name = "wine" if options.wine else (options.rda or options.table).stem
        print(
            f"{name}: {len(rows)} rows, {len(clues)} clues; {'book and counts' if counted else 'book alone'}"
        )
        show(run(rows, label, clues, counted))


if __name__ == "__main__":
    main()
