"""What the copy in the hand has that a pressing of its title does not: why this is another one."""

from typing import NamedTuple

from benchtui.books.from_bench import counts_for_pressing
from benchtui.books.passed_on import said_now, taught_of
from benchtui.books.shape import Answer, Clue, Pressing
from benchtui.desk.core.desk import Desk
from benchtui.model.record import AnswerDoc, RecordDoc, answer_ids

MOST = 9
"""So many are listed: each has a digit."""
A_ROW, LEAST = 66, 20
"""Letters of question and answer in a row of 80 cells, and those of a question that tell which it is."""
EXPECTED, UNHEARD, UNLIKE = 0, 1, 2


class Difference(NamedTuple):
    """An answer seen, and what the other pressing has there; ``rank`` the higher the more it speaks."""

    doc: AnswerDoc
    clue: Clue
    answer: Answer
    rank: int
    other: str

    @property
    def said(self) -> str:
        """The answer without its question."""
        return self.doc["text"].removeprefix(f"{self.clue.ask}: ")

    @property
    def beside(self) -> tuple[str, ...]:
        """What stands beside the words, whole and, for less room, from where it differs from them."""
        source, sign, its = self.other.partition(": ")
        shorter = f"{source}{sign}{from_difference(its, self.said)}"
        return tuple(dict.fromkeys([self.other, shorter, ""])) if self.other else ()

    @property
    def words(self) -> str:
        """Question and answer; of both too long for a row the question is cut, the answer is what is new."""
        ask, answer = self.clue.ask, self.said
        if len(ask) + len(answer) > A_ROW:
            ask = ask[: max(LEAST, A_ROW - len(answer))].rsplit(" ", 1)[0] + " …"
        return f"{ask}: {answer}"


def from_difference(text: str, other: str) -> str:
    """The text without the words that both begin with: ``…laminated`` of ``glued edges, laminated`` beside
    ``glued edges, varnished``; whole where they begin otherwise, or where nothing else would be left.
    """
    its, others = text.split(" "), other.split(" ")
    same = next((n for n, (a, b) in enumerate(zip(its, others, strict=False)) if a != b), len(others))
    return f"…{' '.join(its[same:])}" if 0 < same < len(its) else text


def differences(desk: Desk, record: RecordDoc, pressing: Pressing | None) -> list[Difference]:
    """The answers seen on parts that belong, those that speak against that pressing first.

    What the pressing's book or its copies expect is left out. Without a pressing: all that was seen.
    """
    found: dict[tuple[str, str], Difference] = {}
    for doc in said_now(record, desk.library.clue)["answers"]:
        clue = desk.library.clue(doc["clue"])
        seen = [known for one in answer_ids(doc) if clue and (known := clue.answer(one))]
        if clue is None or not seen or not counts_for_pressing(doc, record, desk.library):
            continue
        against = [_against(desk, pressing, clue, one) if pressing else (UNHEARD, "") for one in seen]
        rank, other = min(against)
        if rank != EXPECTED:
            found.setdefault((doc["clue"], doc["answer"]), Difference(doc, clue, seen[0], rank, other))
    return sorted(found.values(), key=lambda one: -one.rank)[:MOST]


def _against(desk: Desk, pressing: Pressing, clue: Clue, answer: Answer) -> tuple[int, str]:
    """How much the answer speaks against the pressing, and what stands there instead."""
    words = pressing.expect.get(clue.id, {})
    if words.get(answer.id) in ("always", "usually", "sometimes"):
        return EXPECTED, ""
    likely = [one.text for one in clue.answers if words.get(one.id) in ("always", "usually")]
    if likely or answer.id in words:
        return UNLIKE, f"the book: {likely[0]}" if likely else f"the book: {words[answer.id]}"
    taught = taught_of(desk.weighings.counts(), pressing)
    copies: dict[str, int] = taught.get("clues", {}).get(clue.id, {})
    if copies.get(answer.id):
        return EXPECTED, ""
    if copies:
        most = max(copies, key=lambda one: copies[one])
        seen = clue.answer(most)
        return UNLIKE, f"{copies[most]} of its copies: {seen.text if seen else most}"
    return UNHEARD, "the book says nothing"
