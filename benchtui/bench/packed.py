"""Answers one after the other in few rows, each in as many cells as there are for it."""

from collections.abc import Sequence
from typing import NamedTuple

from rich.cells import cell_len, set_cell_size

from benchtui.bench.pieces import Line, Piece, width_of

LONGEST, SHORTEST = 40, 6
"""Cells of an answer's words: fewer tell nobody what they stand for."""


class Short(NamedTuple):
    """An answer: its digit, the key that gives it, its words, and the sign behind them."""

    digit: str
    key: str
    text: str
    sign: tuple[Piece, ...] = ()


def packed(head: list[Line], answers: Sequence[Short], width: int, height: int) -> list[Line] | None:
    """Head and answers in at most so many rows, with as many cells of each as can be had. None where they
    do not fit, or where two of them would read the same.
    """
    texts = [answer.text for answer in answers]
    for room in range(LONGEST, SHORTEST - 1, -1):
        words = [told_apart(text, texts, room) for text in texts]
        if len(set(words)) < len(set(texts)):
            continue
        lines = [*head, *_rows(answers, words, width)]
        if len(lines) <= height and all(width_of(line) <= width for line in lines):
            return lines
    return None


def _rows(answers: Sequence[Short], words: list[str], width: int) -> list[Line]:
    rows: list[Line] = []
    for answer, text in zip(answers, words, strict=True):
        target = f"@key:{answer.digit}"
        pieces: Line = [(f"{answer.key} ", "key" + target), (text, target), *answer.sign]
        if rows and width_of(rows[-1]) + 2 + width_of(pieces) <= width:
            rows[-1] = [*rows[-1], ("  ", ""), *pieces]
        else:
            rows.append(pieces)
    return rows


def told_apart(text: str, others: Sequence[str], room: int) -> str:
    """The text in so many cells, from where it first differs from another that would read the same."""
    if cell_len(text) <= room:
        return text
    shown = ""
    for start in sorted({0, *(_alike(text, other) for other in others if other != text)}):
        rest, cells = text[start:], room - (1 if start else 0)
        whole = cell_len(rest) <= cells
        seen = rest if whole else set_cell_size(rest, cells - 1).rstrip()
        shown = f"{'…' if start else ''}{seen}{'' if whole else '…'}"
        if not any(other != text and other.startswith(text[:start] + seen) for other in others):
            break
    return shown


def _alike(text: str, other: str) -> int:
    """Where the first word stands in which the two differ."""
    same = next((n for n, (a, b) in enumerate(zip(text, other, strict=False)) if a != b), len(text))
    return text.rfind(" ", 0, same) + 1
