"""An answer to a buyer becomes a fact of the record by one key: a play test, a fault, an answer, the note."""

import re
from collections.abc import Callable, Iterator
from functools import partial
from itertools import islice

from benchtui.books.shape import Answer, Clue
from benchtui.desk.core.desk import Choice, Desk, Menu
from benchtui.desk.core.late_change import dated
from benchtui.desk.grade.grading import put_fault
from benchtui.desk.hand import hand
from benchtui.desk.line.letters import begins, words_in
from benchtui.desk.look.clues import put_answer
from benchtui.desk.look.jumping import all_questions
from benchtui.desk.record.play_test import put_test, read_test
from benchtui.model.grade import Fault, Severity
from benchtui.model.record import PartDoc, RecordDoc, half_words, halves_of, is_here

Fact = tuple[str, Callable[[RecordDoc], None]]
"""What it would be, in words, and what writes it into the record."""
MOST, MOST_FAULTS = 8, 5
SHORT = 3
"""Words of up to so many letters tell nothing."""
_PLAYED = re.compile(r"\bplay(s|ed)?\b|\bticks?\b|\d:[0-5]\d", re.IGNORECASE)
_SIDE = re.compile(r"\bside\s+([a-z])\b", re.IGNORECASE)


def offer_facts(desk: Desk, text: str) -> None:
    """Lists what the answer may be of the record, each by one key; the note at the end."""
    record = desk.work.record
    if record is None:
        return
    facts = [*islice(_facts(desk, record, text), MOST), _note(text)]
    choices = [
        Choice(str(n), words, partial(_keep, desk, words, put)) for n, (words, put) in enumerate(facts, 1)
    ]
    desk.open.menu = Menu("Keep the answer as a fact of the record?", tuple(choices), name="answer-fact")


def _facts(desk: Desk, record: RecordDoc, text: str) -> Iterator[Fact]:
    if _PLAYED.search(text):
        yield from _play_test(desk, record, text)
    yield from _faults(desk, record, text)
    yield from _answers(desk, record, text)


def _play_test(desk: Desk, record: RecordDoc, text: str) -> Iterator[Fact]:
    try:
        test = read_test(desk, record, text)
    except ValueError:
        return
    yield f"play test: {text}", lambda copy: put_test(desk, copy, test)


def _faults(desk: Desk, record: RecordDoc, text: str) -> Iterator[Fact]:
    """Faults of which a word is in the text, those with most words first, in each of their degrees."""
    found = []
    for fault in desk.references.faults:
        part, named = _part_meant(record, fault, text), _words_in(fault.text, text)
        if part is None or not named:
            continue
        half = _half_meant(part, text)
        where = " ".join(filter(None, (hand.part_name(record, part), half_words(half))))
        for severity in fault.severities:
            put = partial(_put_fault, desk, part["id"], fault, severity, half)
            words = f"fault, {where}: {', '.join(filter(None, (fault.text, severity.text)))}"
            found.append((-named - _words_in(severity.text, text), words, put))
    best = sorted(found, key=lambda one: one[0])[:MOST_FAULTS]
    yield from ((words, put) for _, words, put in best)


def _words_in(said: str, text: str) -> int:
    """How many of the words that tell something are in the text."""
    return sum(begins(word, text) for word in words_in(said.replace(",", " ")) if len(word) > SHORT)


def _put_fault(
    desk: Desk, part_id: str, fault: Fault, severity: Severity, half: str, copy: RecordDoc
) -> None:
    put_fault(desk, copy, part_id, fault, severity, half)


def _part_meant(record: RecordDoc, fault: Fault, text: str) -> PartDoc | None:
    """The part named in the text among those that can have the fault, else the first of them."""
    fit = [part for part in record["parts"] if is_here(part) and part["kind"] in fault.parts]
    half = _SIDE.search(text)
    named = [
        part
        for part in fit
        if begins(hand.part_name(record, part), text) or (half and half[1].upper() in halves_of(part))
    ]
    return next(iter(named or fit), None)


def _half_meant(part: PartDoc, text: str) -> str:
    half = _SIDE.search(text)
    return half[1].upper() if half and half[1].upper() in halves_of(part) else ""


def _answers(desk: Desk, record: RecordDoc, text: str) -> Iterator[Fact]:
    """Answers of the books whose words all stand in the text, the longest first."""
    found = []
    for part, (place, _), clue in all_questions(desk, record):
        for answer in clue.answers:
            if clue.form == "choice" and not answer.neutral and _stands_in(answer.text, text):
                words = f"{hand.part_name(record, part)}, {place}: {clue.ask}: {answer.text}"
                put = partial(_put_answer, desk, part["id"], place, clue, answer)
                found.append((-len(answer.text), words, put))
    yield from ((words, put) for _, words, put in sorted(found, key=lambda one: one[0]))


def _stands_in(answer: str, text: str) -> bool:
    words = words_in(answer.replace(",", " "))
    return len(answer) > 2 and bool(words) and set(words) <= set(re.findall(r"\w+", text.casefold()))


def _put_answer(desk: Desk, part_id: str, place: str, clue: Clue, answer: Answer, copy: RecordDoc) -> None:
    put_answer(desk, copy, part_id, place, clue, answer, None, answer.text)


def _note(text: str) -> Fact:
    def put(copy: RecordDoc) -> None:
        copy["note"] = " ".join(filter(None, (copy["note"], text)))

    return f"the note, which goes out with the record: {text}", put


def _keep(desk: Desk, words: str, put: Callable[[RecordDoc], None]) -> None:
    record = desk.work.record
    desk.open.menu = None
    if record is not None:
        with dated(desk, f"record {record['no']}, as answered: {words}") as change:
            put(desk.changed(change))
