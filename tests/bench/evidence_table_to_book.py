"""Any table of things told apart by clues, as a book: class column and clue columns in, TOML out.

    python tests/bench/evidence_table_to_book.py TABLE.tsv --class type [--clues hair,eggs] [--out BOOK.toml]

Each class becomes a pressing of one title, each column a clue of its disc, each value an answer; an empty
cell, ``NA`` or ``?`` is not an answer. Frequencies become words: of all ways to put words to a clue's answers the
one that loses least (Kullback-Leibler, a tenth of a count added to each answer). Columns of more than nine numbers
become number clues with brackets of equal count; of other columns the rarest values become "other".
"""

import argparse
import csv
import itertools
import json
import math
import re
import sys
from collections import Counter
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path

from benchtui.books.shape import WORD_WEIGHT, Word

Rows = Sequence[Mapping[str, str]]
MISSING = frozenset({"", "NA", "NaN", "nan", "?"})
MOST = 9
OTHER = "other"
FAR = 1e12
PRIOR = 0.1  # little, because the misread rate already keeps a surprise possible
WORDS: tuple[Word | None, ...] = (None, *WORD_WEIGHT)


def read_table(path: Path) -> list[dict[str, str]]:
    """The rows of a comma- or tab-separated file with a line of names."""
    text = path.read_text(encoding="utf-8-sig")
    dialect = "excel-tab" if "\t" in text.splitlines()[0] else "excel"
    return [
        {k: (v or "").strip() for k, v in row.items()}
        for row in csv.DictReader(text.splitlines(), dialect=dialect)
    ]


class Column:
    """One clue column: which answers it has and which of them a cell is."""

    def __init__(self, name: str, values: Sequence[str], edges: int = 6) -> None:
        self.name = name
        self.id = slug(name)
        told = [value for value in values if value not in MISSING]
        self.cuts: list[float] = []
        numbers = [number(value) for value in told]
        if len(set(told)) > MOST and told and None not in numbers:
            ordered = sorted(x for x in numbers if x is not None)
            self.cuts = sorted({ordered[len(ordered) * i // edges] for i in range(1, edges)})
            self.answers = [f"b{i}" for i in range(len(self.cuts) + 1)]
            return
        common = Counter(told).most_common()
        kept = (
            [value for value, _ in common[: MOST - 1]]
            if len(common) > MOST
            else [value for value, _ in common]
        )
        self.values = {value: slug(value, i) for i, value in enumerate(sorted(kept))}
        self.answers = [*self.values.values(), *([OTHER] if len(common) > MOST else [])]

    def answer(self, cell: str) -> str | None:
        """The answer id of a cell; None where the cell is empty or its value is new to the column."""
        if cell in MISSING:
            return None
        if self.cuts:
            x = number(cell)
            return None if x is None else f"b{sum(x >= cut for cut in self.cuts)}"
        return self.values.get(cell, OTHER if OTHER in self.answers else None)

    def told(self, answer: str) -> list[str]:
        """The lines of one answer: its wording, and the bracket of a number."""
        if not self.cuts:
            return [f"text = {text(next((v for v, a in self.values.items() if a == answer), answer))}"]
        edges = [-FAR, *self.cuts, FAR]
        low, high = edges[int(answer[1:])], edges[int(answer[1:]) + 1]
        said = (
            f"under {high:g}"
            if low == -FAR
            else f"from {low:g}" + (f" to under {high:g}" if high < FAR else "")
        )
        return [f"text = {text(said)}", f"low = {low}", f"high = {math.nextafter(high, -math.inf)}"]


def number(text: str) -> float | None:
    try:
        return float(text)
    except ValueError:
        return None


def slug(text: str, place: int | None = None) -> str:
    """An id of small letters, figures and dashes; ``place`` keeps two values apart that look alike."""
    plain = re.sub(r"[^a-z0-9]+", "-", text.casefold()).strip("-") or "x"
    if place is None or (text == plain and plain != OTHER):
        return plain
    return f"{plain}-{place}"


@cache
def word_ways(size: int) -> tuple[tuple[tuple[Word | None, ...], tuple[float, ...]], ...]:
    """Every way to put words (or none) to so many answers, with the logarithms of what it comes to."""
    ways = []
    for words in itertools.product(WORDS, repeat=size):
        weights = [WORD_WEIGHT[word] if word else None for word in words]
        named = sum(x for x in weights if x is not None)
        silent = weights.count(None)
        rest = max(0.0, 1 - named) / silent if silent else 0.0
        filled = [rest if x is None else x for x in weights]
        total = sum(filled)
        # "rarely" for the likeliest would read oddly, and a book may say "always" once.
        if (0 < silent < size and rest <= 0) or total < 0.8 or words.count("always") > 1:
            continue
        ways.append((words, tuple(math.log(x / total) for x in filled)))
    return tuple(ways)


def words_for(shares: Sequence[float]) -> list[Word | None]:
    """The words that lose least; beyond four answers the likeliest four get words and the rest share."""
    order = sorted(range(len(shares)), key=lambda k: -shares[k])
    if len(shares) <= 4:
        best = max(
            word_ways(len(shares)), key=lambda way: sum(p * q for p, q in zip(shares, way[1], strict=True))
        )
        return list(best[0])
    top, rest = order[:3], order[3:]
    tail = sum(shares[k] for k in rest)
    best_words: tuple[Word | None, ...] = ()
    best_loss = -math.inf
    for words in itertools.product(WORDS, repeat=3):
        weights = [WORD_WEIGHT[word] if word else None for word in words]
        if words.count("always") > 1:
            continue
        silent = weights.count(None) + len(rest)
        left = max(0.005, 1 - sum(x for x in weights if x is not None)) / silent
        filled = [left if x is None else x for x in weights]
        total = sum(filled) + left * len(rest)
        loss = sum(shares[k] * math.log(x / total) for k, x in zip(top, filled, strict=True))
        loss += tail * math.log(left / total)
        if loss > best_loss:
            best_words, best_loss = words, loss
    found: list[Word | None] = [None] * len(shares)
    for k, word in zip(top, best_words, strict=True):
        found[k] = word
    return found


def text(value: str) -> str:
    """A TOML string."""
    return json.dumps(value, ensure_ascii=False)


def book(rows: Rows, class_column: str, columns: Sequence[Column], name: str = "table") -> str:
    """The book as TOML."""
    lines = [f"# Made from a table by {Path(__file__).name}.", "[book]", f"name = {text(name)}", ""]
    for column in columns:
        form = ['form = "number"', 'unit = "units"'] if column.cuts else []
        lines += ["[[clue]]", f"id = {text(column.id)}", f"ask = {text(column.name)}", 'part = "disc"']
        lines += ['place = "label"', "seconds = 1", *form, 'source = "a table"', ""]
        for answer in column.answers:
            lines += ["[[clue.answer]]", f"id = {text(answer)}", *column.told(answer), ""]
    lines += ["[[title]]", f"id = {text(slug(name))}", 'artist = "a table"', f"title = {text(name)}", ""]
    classes = Counter(row[class_column] for row in rows)
    for label, n in sorted(classes.items()):
        lines += ["[[title.pressing]]", f"id = {text(label)}", f"name = {text(label)}", f"share = {n}"]
        lines += ["[title.pressing.expect]"]
        own = [row for row in rows if row[class_column] == label]
        lines += [line for column in columns if (line := expected(column, own))]
        lines.append("")
    return "\n".join(lines)


def expected(column: Column, own: Rows) -> str:
    """One line of ``expect``, or "" where the class was never seen to answer the clue."""
    counts = Counter(answer for row in own if (answer := column.answer(row[column.name])) is not None)
    n, size = sum(counts.values()), len(column.answers)
    if n == 0 or size < 2:
        return ""
    words = words_for([(counts[answer] + PRIOR) / (n + PRIOR * size) for answer in column.answers])
    said = [f"{text(a)} = {text(word)}" for a, word in zip(column.answers, words, strict=True) if word]
    return f"{text(column.id)} = {{ {', '.join(said)} }}" if said else ""


def main() -> None:
    parser = argparse.ArgumentParser(description="Turns a table into a book.")
    parser.add_argument("table", type=Path)
    parser.add_argument("--class", dest="label", required=True, help="the column that names the class")
    parser.add_argument(
        "--clues", default="", help="columns that are clues, comma between (default: all but the class)"
    )
    parser.add_argument("--name", default="table")
    parser.add_argument("--out", type=Path)
    options = parser.parse_args()
    rows = read_table(options.table)
    names = [c for c in options.clues.split(",") if c] or [c for c in rows[0] if c != options.label]
    unknown = [c for c in [options.label, *names] if c not in rows[0]]
    if unknown:
        sys.exit(f"{options.table}: no column {', '.join(unknown)}; the columns are {', '.join(rows[0])}")
    rows = [row for row in rows if row[options.label] not in MISSING]
    made = book(rows, options.label, [Column(c, [row[c] for row in rows]) for c in names], options.name)
    if options.out:
        options.out.write_text(made, encoding="utf-8")
    else:
        print(made)


if __name__ == "__main__":
    main()
