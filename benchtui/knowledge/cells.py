"""What a cell says of a clue: an answer, ``a / b``, ``a, rarely b``, ``not a``, ``?``, ``-``, or nothing."""

import re
from collections.abc import Callable, Mapping
from typing import NamedTuple

from benchtui.books.shape import Answer, Clue, Word
from benchtui.knowledge.folded import fold

UNKNOWN = frozenset({"?", "??", "???", "unknown", "not known", "n k", "nk", "tbc", "dont know", "don t know"})
ABSENT = frozenset({"-", "--", "–", "—"})
NOT_THERE = frozenset(
    {"none", "no", "not there", "nothing", "absent", "without", "nil", "missing", "never there"}
)
SAYS: dict[str, Word] = {
    "always": "always", "only": "always", "all": "always",
    "usually": "usually", "mostly": "usually", "mainly": "usually", "often": "usually", "normally": "usually",
    "sometimes": "sometimes", "occasionally": "sometimes", "some": "sometimes", "also": "sometimes",
    "rarely": "rarely", "seldom": "rarely", "rare": "rarely", "hardly ever": "rarely",
    "never": "never", "not": "never",
}  # fmt: skip
_FIRST = re.compile(rf"({'|'.join(sorted(SAYS, key=len, reverse=True))})\b[:\s]+(?=\S)", re.I)
_LAST = re.compile(rf"^(.*\S)\s*\(\s*({'|'.join(sorted(SAYS, key=len, reverse=True))})\s*\)$", re.I)
_EITHER = re.compile(r"\s+or\s+|\s*/\s*|\s*\|\s*", re.I)
_PARTS = re.compile(r"\s*[,;\n]\s*")


class Cell(NamedTuple):
    """``kind``: silent, unknown ("?"), absent ("-") or says; ``words``: what it says of each answer named."""

    kind: str
    words: tuple[tuple[str, Word], ...] = ()
    unsure: bool = False


def read_cell(text: str, known: Callable[[str], bool] = lambda _: False) -> Cell:
    """The cell. ``known``: whether a text is an answer as it stands, so that it is not taken apart."""
    text = " ".join(text.split())
    if not text:
        return Cell("silent")
    plain = fold(text)
    if text in UNKNOWN or plain in UNKNOWN:
        return Cell("unknown")
    if text in ABSENT:
        return Cell("absent")
    if known(text):
        return Cell("says", ((text, "always"),))
    unsure = text.endswith("?")
    text = text.rstrip("? ") if unsure else text
    said = [one for part in _parts(text) for one in _said(part, known)]
    words = tuple(
        (answer, word or ("usually" if len(said) > 1 or unsure else "always")) for answer, word in said
    )
    return Cell("says", words, unsure) if words else Cell("unknown")


def _parts(text: str) -> list[str]:
    return [part for part in _PARTS.split(text) if part]


def _said(part: str, known: Callable[[str], bool]) -> list[tuple[str, Word | None]]:
    """The answers of one part, each with the word before (or after) all of them."""
    word: Word | None = None
    if not known(part):
        if found := _FIRST.match(part):
            word, part = SAYS[found[1].lower()], part[found.end() :]
        elif found := _LAST.match(part):
            word, part = SAYS[found[2].lower()], found[1]
    names = [part] if known(part) else [name for name in _EITHER.split(part) if name]
    either: Word | None = "usually" if len(names) > 1 and word is None else word
    return [(name, either) for name in names]


# -- writing ----------------------------------------------------------------------------------------------


def write_cell(words: Mapping[str, Word], clue: Clue) -> str:
    """The cell that says this of a clue, so that reading it gives exactly the same."""
    names = {answer: name_of(answer, clue) for answer in words}
    if list(words.values()) == ["always"]:
        answer = next(iter(words))
        found = clue.answer(answer)
        return "-" if found is not None and found.absent and _only_absent(found, clue) else names[answer]
    told = [(names[answer], word) for answer, word in words.items()]
    if len(told) > 1 and all(word == "usually" for _, word in told):
        return " / ".join(name for name, _ in told)
    return ", ".join(f"{'not' if word == 'never' else word} {name}" for name, word in told)


def _only_absent(answer: Answer, clue: Clue) -> bool:
    return [one.id for one in clue.answers if one.absent] == [answer.id]


def name_of(answer_id: str, clue: Clue) -> str:
    """How a cell names an answer: its text where that says which one and is read whole, else its id."""
    found = clue.answer(answer_id)
    if found is None:
        return answer_id
    text = " ".join(found.text.split())
    plain = fold(text)
    alone = sum(plain in (fold(one.text), fold(one.id)) for one in clue.answers) == 1
    cell = read_cell(text)
    whole = cell.kind == "says" and cell.words == ((text, "always"),) and not cell.unsure
    return text if alone and whole and plain not in NOT_THERE else answer_id
