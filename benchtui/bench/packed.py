"""Answers packed side by side into few rows, each cut to the cells there are for it."""

import re
from collections.abc import Iterator, Sequence
from itertools import combinations
from typing import NamedTuple

from rich.cells import cell_len, set_cell_size

from benchtui.bench.pieces import Line, Piece, width_of

LONGEST, SHORTEST = 40, 6
"""Cells of an answer's words: fewer tell nobody what they stand for."""

LEAST = 3
"""Cells that tell something of words which are cut."""
MOST = 3
"""So many places in which a text differs are shown."""


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
    """The text in so many cells: a name that ends in its years with these whole, another from its beginning,
    else from a word in which it differs from another, else the words in which it differs, else from the word
    before, whichever first reads like none of the others.
    """
    if cell_len(text) <= room:
        return text
    rivals = [other for other in others if other != text]
    for shown in _before_years(text):
        if cell_len(shown) <= room and not _reads_like_any(shown, rivals):
            return shown
    starts = sorted({0, *(_alike(text, other, room) for other in rivals)})
    shown = ""
    for start in starts:
        shown = _shown(text, (start,), room)
        if not _reads_like_any(shown, rivals):
            return shown
    for number in range(2, min(len(starts), MOST) + 1):
        for chosen in combinations(starts, number):
            words = _shown(text, chosen, room)
            if words and not _reads_like_any(words, rivals):
                return words
    for start in starts[1:]:
        words = _shown(text, (text.rfind(" ", 0, start - 1) + 1,), room)
        if not _reads_like_any(words, rivals):
            return words
    return shown


def _before_years(text: str) -> Iterator[str]:
    """Shorter and shorter forms of ``reed paper, rim ASHORE, 1967 to 1968 (proposed)``, the years whole: the
    clauses before them to their first words, the longest first; then without what stands in brackets; then
    with fewer clauses. Nothing of a text that does not end in years.
    """
    *clauses, years = text.split(", ")
    if not clauses or not years[:4].isdigit():
        return
    for n in sorted(range(len(clauses)), key=lambda n: -len(clauses[n])):
        clauses[n] = _first_word(clauses[n])
        yield ", ".join([*clauses, years])
    bare = years.partition(" (")[0]
    ends = [years] if bare == years else [years, f"{bare}…"]
    for number in range(len(clauses), -1, -1):
        for chosen in combinations(range(len(clauses)), number):
            kept = _without_the_others(clauses, chosen)
            for end in ends:
                yield from (kept + end, f"{kept}{end}".replace("…, ", "… "))


def _without_the_others(clauses: Sequence[str], chosen: Sequence[int]) -> str:
    """The chosen clauses, a comma behind each; "…" where others are left out."""
    shown = ""
    for n, clause in enumerate(clauses):
        if n in chosen:
            shown += f"{clause}, "
        elif not shown or shown.endswith(", "):
            shown = shown and shown.removesuffix(", ").rstrip("…") + " "
            shown += "…"
    return shown


def _first_word(clause: str) -> str:
    word = clause.partition(" ")[0]
    return clause if word == clause else f"{word}…"


def _shown(text: str, starts: Sequence[int], room: int) -> str:
    """The words of the text that begin there, after the last all that follows; "" where there is no room."""
    said = "…" if starts[0] else ""
    for start in starts[:-1]:
        said += text[start:].split(" ", 1)[0].rstrip(",;") + " …"
    rest = text[starts[-1] :]
    room -= cell_len(said)
    if cell_len(rest) > room:
        rest = set_cell_size(rest, room - 1).rstrip() + "…" if room > LEAST else ""
    return said + rest if rest else ""


def _reads_like_any(shown: str, others: Sequence[str]) -> bool:
    """Whether what is left of a text may be what is left of another."""
    pieces = [re.escape(piece.strip()) for piece in shown.split("…")]
    may_be = re.compile(".*".join(pieces), re.DOTALL)
    return any(may_be.fullmatch(other) for other in others)


def _alike(text: str, other: str, room: int) -> int:
    """Where the first word stands in which the two differ; within it where it is long."""
    same = next((n for n, (a, b) in enumerate(zip(text, other, strict=False)) if a != b), len(text))
    same = min(same, len(other))
    return max(text.rfind(" ", 0, same) + 1, same - room // 2)
