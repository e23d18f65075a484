"""What passes to another: a retired pressing, with its copies and all they taught; an answer that is one with
another of its question.

Nothing is rewritten for it: records keep the id they name, counts stay under it, and both are read as the
other's while the book says so. What takes the line back in the book so takes back all of it.
"""

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import replace
from typing import Any

from benchtui.books.shape import Answer, BookTitle, Clue, Pressing, Word
from benchtui.model.record import AnswerDoc, RecordDoc, answer_ids

Expect = Mapping[str, Mapping[str, Word]]
ClueOf = Callable[[str], Clue | None]


def heirs_of(pressings: Sequence[Pressing]) -> dict[str, str]:
    """Id of a retired pressing -> id of the living one it passes to, by however many steps.

    One that passes to nothing in the books, or round in a circle, is not in it.
    """
    return ends_of(
        {one.id: one.passes_to for one in pressings if one.retired and one.passes_to},
        {one.id for one in pressings if not one.retired},
    )


def ends_of(to: Mapping[str, str], living: Collection[str]) -> dict[str, str]:
    """What passes to what -> the living one at the end; without those that reach none."""
    found: dict[str, str] = {}
    for start in to:
        at, seen = start, {start}
        while at in to and to[at] not in seen:
            at = to[at]
            seen.add(at)
        if at in living:
            found[start] = at
    return found


def living(pressings: Sequence[Pressing]) -> tuple[Pressing, ...]:
    """The pressings that are not retired, each with the ids that passed to it."""
    heirs = heirs_of(pressings)
    if not heirs:
        return tuple(one for one in pressings if not one.retired)
    return tuple(
        replace(one, was=tuple(given for given, kept in heirs.items() if kept == one.id))
        for one in pressings
        if not one.retired
    )


def pressing_of(title: BookTitle | None, pressing_id: str | None) -> Pressing | None:
    """The title's pressing of that id, or the one that it passed to."""
    every = title.pressings if title is not None and pressing_id else ()
    return next((one for one in every if pressing_id == one.id or pressing_id in one.was), None)


def taught_of(counts: Mapping[str, Any], pressing: Pressing) -> Mapping[str, Any]:
    """What confirmed copies taught of it, those of the pressings that passed to it among them."""
    if not pressing.was:
        found: Mapping[str, Any] = counts.get(pressing.id, {})
        return found
    total: dict[str, Any] = {}
    for one in (pressing.id, *pressing.was):
        add_counts(total, counts.get(one, {}))
    return total


def one_answer(clue: Clue) -> Clue:
    """The clue without the answers that pass to another of it: that one has their ids and words as its own.

    An answer that passes to nothing, or round in a circle, stays.
    """
    to = {one.id: one.passes_to for one in clue.answers if one.passes_to}
    heirs = ends_of(to, {one.id for one in clue.answers} - to.keys()) if to else {}
    if not heirs:
        return clue
    kept = tuple(_heir(one, clue, heirs) for one in clue.answers if one.id not in heirs)
    return clue._replace(answers=kept, expect=_renamed(clue.expect, heirs))


def _heir(answer: Answer, clue: Clue, heirs: Mapping[str, str]) -> Answer:
    given = [one for one in clue.answers if heirs.get(one.id) == answer.id]
    slips = [word for one in given for word in (one.text, *one.slips)]
    twin = answer.looks_like and heirs.get(answer.looks_like, answer.looks_like)
    return answer._replace(
        slips=(*answer.slips, *slips), was=tuple(one.id for one in given),
        looks_like=None if twin == answer.id else twin,
    )  # fmt: skip


def given_of(clue: Clue) -> dict[str, str]:
    """Id of an answer that passed to another -> id of that one."""
    return {given: answer.id for answer in clue.answers for given in answer.was}


def expect_now(expect: Expect, given: Mapping[str, Mapping[str, str]]) -> dict[str, dict[str, Word]]:
    """What is expected, by the answers there are; ``given``: ``given_of`` each clue that has such."""
    return {
        clue: _renamed(words, given[clue]) if clue in given else dict(words) for clue, words in expect.items()
    }


def _renamed(words: Mapping[str, Word], given: Mapping[str, str]) -> dict[str, Word]:
    """What is said of an answer itself goes before what was said of one that passed to it."""
    found = {given.get(answer, answer): word for answer, word in words.items()}
    return {answer: words.get(answer, word) for answer, word in found.items()}


def counts_now(counts: Mapping[str, Any], clue_of: ClueOf) -> dict[str, Any]:
    """What confirmed copies taught, by the answers there are."""
    found: dict[str, Any] = {}
    for key, its in counts.items():
        if not isinstance(its, Mapping) or "clues" not in its:
            found[key] = its
            continue
        clues: dict[str, Any] = {}
        for clue_id, answers in its["clues"].items():
            clue, here = clue_of(clue_id), clues.setdefault(clue_id, {})
            given = given_of(clue) if clue is not None else {}
            for answer, times in answers.items():
                add_counts(here, {given.get(answer, answer): times})
        found[key] = {**its, "clues": clues}
    return found


def said_now(record: RecordDoc, clue_of: ClueOf) -> RecordDoc:
    """The record, where words that were slips are read as the question's and the answer's words of today."""
    answers = [_without_slip(one, clue_of(one["clue"])) for one in record["answers"]]
    return record if answers == record["answers"] else {**record, "answers": answers}


def _without_slip(doc: AnswerDoc, clue: Clue | None) -> AnswerDoc:
    if clue is None:
        return doc
    text = doc["text"]
    asked = next((slip for slip in clue.slips if text.startswith(f"{slip}: ")), None)
    if asked is not None:
        text = clue.ask + text.removeprefix(asked)
    known = [clue.answer(one) for one in answer_ids(doc)]
    now = {slip: one.text for one in known if one is not None for slip in one.slips}
    if now:
        ask, colon, said = text.rpartition(": ")
        words = dict.fromkeys(now.get(word, word) for word in said.split(" or "))
        text = f"{ask}{colon}{' or '.join(words)}"
    return doc if text == doc["text"] else {**doc, "text": text}


def add_counts(total: dict[str, Any], more: Mapping[str, Any]) -> None:
    """Adds figures, and tables of figures, name by name."""
    for key, value in more.items():
        if isinstance(value, Mapping):
            add_counts(total.setdefault(key, {}), value)
        else:
            total[key] = total.get(key, 0) + value
