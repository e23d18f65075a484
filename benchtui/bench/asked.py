"""What the prompt asks now: of which part, at which place, what, and where each key goes."""

from typing import NamedTuple

from benchtui.bench.columns import Entry
from benchtui.bench.pieces import Glyphs, Line, clean
from benchtui.books.shape import Answer, Clue
from benchtui.desk.ask.asking import COPY_NUMBER, HERE, ahead, is_doubted, is_runout, typed_on
from benchtui.desk.ask.forms import form_of, with_digits
from benchtui.desk.core.desk import Asked, Choice, Desk
from benchtui.desk.core.keys import shown as key_shown
from benchtui.desk.forms.number import question_id
from benchtui.desk.hand import hand
from benchtui.desk.line.lines import left_at
from benchtui.desk.look import clues
from benchtui.desk.queue import queue
from benchtui.evidence.clashes import unresolved
from benchtui.model.record import PartDoc, RecordDoc, answer_ids, answer_to, half_words, is_here

IS_IT_THERE = {"1": "it is there", "2": "it is missing", "3": "not looked"}
ANSWERING = ("clue-number", "clue-titles", "clue-either")
"""Lines in which the question shown is answered: its answers stay in sight under them."""


class Shown(NamedTuple):
    """The question shown: about which part, asked where, and whether that part is still to be taken up."""

    part: PartDoc
    asked: Asked
    ahead: bool = False


def question_now(desk: Desk) -> Shown | None:
    """The question that a digit answers now; None where there is none."""
    part, following = desk.work.part, ahead(desk)
    if following is not None:
        return Shown(following.part, following.asked, True) if following.asked else None
    return Shown(part, desk.asking.asked) if part is not None and desk.asking.asked is not None else None


def part_words(desk: Desk, record: RecordDoc, part: PartDoc) -> str:
    """The part by its name, with the half of it that is in the hand."""
    side = f" {half_words(desk.work.side)}" if desk.work.side and part["id"] == desk.work.part_id else ""
    return clean(hand.part_name(record, part)) + side


def place_words(desk: Desk, record: RecordDoc, shown: Shown) -> str:
    """``disc 1, label A``."""
    place = shown.asked[0]
    if place[-2:-1] == " ":  # "label C": the place has its side, whichever is graded
        return f"{clean(hand.part_name(record, shown.part))}, {place}"
    name = part_words(desk, record, shown.part)
    return name if place == "whole" else f"{name}, {place}"


def question_words(desk: Desk, shown: Shown) -> str:
    if shown.asked == HERE:
        return "Is it there?"
    if is_runout(desk, shown.asked):
        return "Runout?"
    clue = desk.library.clue(shown.asked[1])
    return f"{clean(clue.ask)}?" if clue is not None else "this question is no longer in the book"


def why_asked(desk: Desk, record: RecordDoc, shown: Shown) -> Line:
    """Why it is asked all the same, where the pressing is settled or the part is in doubt."""
    weighing = desk.weighing()
    if weighing is None or shown.ahead:
        return []
    if is_doubted(record, shown.part, weighing):
        return [("does it belong?", "warn")]
    if weighing.settled and shown.asked != HERE and not _is_written_down(desk, shown.asked):
        return [(f"{settled_words(record)}; a check", "dim")]
    return []


def _is_written_down(desk: Desk, asked: Asked) -> bool:
    """Whether it is wanted for itself, as a runout or a copy's number: that is no check."""
    clue = desk.library.clue(asked[1])
    return is_runout(desk, asked) or (clue is not None and clue.unit == COPY_NUMBER)


def settled_words(record: RecordDoc) -> str:
    """Of a settled pressing whether the evidence made it so, or the dealer."""
    return "pressing your choice" if record["pressing"]["how"] == "hand" else "pressing sure"


def answers(desk: Desk, record: RecordDoc, shown: Shown, signs: Glyphs) -> list[Entry]:
    """The answers by digit; what was seen, what is only copied and what is foretold look different."""
    if shown.asked == HERE:
        state = {"present": "1", "missing": "2"}.get(shown.part.get("state", ""), "")
        return [
            Entry(digit, text, f"key:{digit}", style="bold" if digit == state else "")
            for digit, text in IS_IT_THERE.items()
        ]
    clue = desk.library.clue(shown.asked[1])
    if clue is None or is_runout(desk, shown.asked):
        return []
    return [_entry(desk, record, shown, clue, answer, signs) for answer in with_digits(clue)]


def _entry(desk: Desk, record: RecordDoc, shown: Shown, clue: Clue, answer: Answer, signs: Glyphs) -> Entry:
    standing, guess = answer_to(record, shown.part["id"], *shown.asked), clues.foretold(desk, clue)
    sign: tuple[tuple[str, str], ...] = ()
    if standing is not None and answer.id in answer_ids(standing):
        seen = standing["how"] == "seen"
        sign = ((f" {signs.done}", "good"),) if seen else ((f" {standing['how']}", "warn"),)
    elif standing is None and guess is not None and guess.id == answer.id:
        sign = (("  expected", "dim"),)
    key = key_shown(desk.references.keymap.first_key(f"answer-{answer.digit}") or str(answer.digit))
    return Entry(key, clean(answer.text), f"key:{answer.digit}", sign)


def hint(desk: Desk, shown: Shown) -> str:
    """How it is answered, where that is not by a digit."""
    if is_runout(desk, shown.asked):
        side, disc = shown.asked[0].split()[-1], shown.part
        left = left_at(desk, "runout", side=side, disc=disc["id"])
        if left:
            return f"{clean(left)} … left here: {desk.key('runout')} or a digit goes on"
        stands = typed_on(disc, side)
        key = desk.key("runout")
        starts = (
            f"a digit or {key} changes it"
            if stands
            else f"a digit starts it, {key} one that begins with a letter"
        )
        answered = f"answered: {clean(stands)}; " if stands else ""
        return f"{answered}{starts}; {desk.key('next-clue')} {'keeps it' if stands else 'leaves it open'}"
    left = left_at(desk, "clue-number", question=question_id(shown.part["id"], shown.asked))
    if left:
        return f"{clean(left)} … left here: a digit goes on"
    clue = desk.library.clue(shown.asked[1])
    return form_of(clue).hint if clue is not None else ""


def choice_entry(desk: Desk, choice: Choice) -> Entry:
    """A choice of a menu, its key by the map in use."""
    key = key_shown(desk.references.keymap.first_key(f"answer-{choice.key}") or choice.key)
    text = f"{choice.mark} {clean(choice.words)}" if choice.mark else clean(choice.words)
    return Entry(key, text, f"key:{choice.key}", ends=choice.ends)


def grade_entries(desk: Desk, kind: str) -> list[Entry]:
    """The scale's letters, each with how its words for that kind of part begin."""
    keymap = desk.references.keymap
    return [
        Entry(key_shown(key), f"{grade.id}  {_clause(grade.brief(kind))}", f"key:{key}")
        for grade in desk.scale.grades
        if not grade.shade and (key := keymap.first_key(f"grade:{grade.id}"))
    ]


CLAUSE = 34


def _clause(text: str) -> str:
    ends = [at for sign in ",.:;" if (at := text.find(sign)) > 0]
    clause = text[: min(ends, default=len(text))]
    return clause if len(clause) <= CLAUSE else clause[: CLAUSE - 1].rsplit(" ", 1)[0] + " …"


def keys_go_to(desk: Desk, record: RecordDoc) -> tuple[str, ...]:
    """Where every key goes, the longest way to say it first: ``answers, grades, faults: disc 1``."""
    part, following = desk.work.part, ahead(desk)
    if part is None:
        return ("",)
    if following is not None:  # the first key that is meant for a part takes up the one that is named
        part = following.part
    name = part_words(desk, record, part)
    if not is_here(part):
        return f"{name} is not there", ""
    if question_now(desk) is None:
        return f"grades, faults: {name}", f"grades: {name}", ""
    return f"answers, grades, faults: {name}", f"all keys: {name}", ""


def comes_next(desk: Desk, record: RecordDoc, signs: Glyphs) -> Line:
    """The part that is done with, or to be looked at again; else what the next-part key takes, or the key
    that takes the record in.
    """
    part, following = desk.work.part, ahead(desk)
    if part is None:
        return []
    if following is not None:
        weighing = desk.weighing()
        torn = weighing is not None and any(
            one.within == part["id"] for one in unresolved(record, weighing.clashes)
        )
        name = part_words(desk, record, part)
        return (
            [(f"{name} {signs.apart} look again", "clash")]
            if torn
            else [(f"{name} {signs.done} done", "good")]
        )
    if not queue.waits_for_grade(desk, record) and record["state"] != "taken-in":
        return [(queue.way_in(desk, record), "good")]
    later = hand.next_part(desk, record)
    return [(f"next: {hand.part_name(record, later)}", "dim")] if later is not None else []
