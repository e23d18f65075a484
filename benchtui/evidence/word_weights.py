"""Turns the words of a book and the counts of copies into probabilities."""

from collections.abc import Mapping, Sequence

from benchtui.books.shape import WORD_WEIGHT, Word

Row = list[float]


def weights(expect: Mapping[str, Word], ids: Sequence[str]) -> Row | None:
    """w(k): each word's weight, answers without a word sharing what is left, normalised.

    None where the book says nothing of any of these answers.
    """
    named = {answer: WORD_WEIGHT[word] for answer, word in expect.items() if answer in ids}
    if not named:
        return None
    silent = len(ids) - len(named)
    rest = max(0.0, 1.0 - sum(named.values())) / silent if silent else 0.0
    row = [named.get(answer, rest) for answer in ids]
    total = sum(row)
    return [value / total for value in row]


def fill(rows: Sequence[Row | None], size: int, usual: Row | None = None) -> list[Row]:
    """A pressing of which the book is silent takes the others' mean, half mixed with even odds.

    Where it is silent of all of them: what the clue itself says is usual, else even odds.
    """
    spoken = [row for row in rows if row is not None]
    even = 1.0 / size
    if not spoken:
        return [usual or [even] * size for _ in rows]
    mean = [0.5 * sum(column) / len(spoken) + 0.5 * even for column in zip(*spoken, strict=True)]
    return [mean if row is None else row for row in rows]


def learnt(row: Row, counts: Sequence[float], strength: float) -> Row:
    """theta(k|h) = (S w(k) + n(k)) / (S + n)."""
    n = sum(counts)
    if strength + n <= 0:
        return row
    return [(strength * w + c) / (strength + n) for w, c in zip(row, counts, strict=True)]


def unknown(rows: Sequence[Row], prior: Sequence[float], size: int, usual: Row | None = None) -> Row:
    """theta of "none of these": half the prior-weighted mean of the pressings, half even odds.

    Without pressings what the clue itself says is usual takes the place of their mean.
    """
    total = sum(prior)
    even = 1.0 / size
    if total <= 0:
        return [0.5 * value + 0.5 * even for value in usual or [even] * size]
    return [
        0.5 * sum(p * value for p, value in zip(prior, column, strict=True)) / total + 0.5 * even
        for column in zip(*rows, strict=True)
    ]
