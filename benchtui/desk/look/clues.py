"""Answering clues: by digit, by number, by picking advertised titles; jumping to any of them."""

from collections.abc import Sequence
from functools import partial
from typing import Any

from benchtui.books.cautions import said
from benchtui.books.passed_on import pressing_of, said_now
from benchtui.books.shape import NOT_BY_THE_COMPANY, Answer, BookTitle, Clue
from benchtui.desk.ask.asking import is_answered, is_insisted, leading, next_question, wants_grade
from benchtui.desk.ask.forms import form_asked, form_of
from benchtui.desk.core.command import Legend, command
from benchtui.desk.core.desk import Asked, Desk, Tone
from benchtui.desk.core.needs import part_in_hand, unless
from benchtui.desk.hand import hand
from benchtui.desk.own_book.following import following
from benchtui.desk.own_book.growing import Grown, grow
from benchtui.model.naming import with_the
from benchtui.model.record import (
    NOT_BY_COMPANY,
    AnswerDoc,
    PartDoc,
    RecordDoc,
    SetApartDoc,
    answer_to,
    part_of,
    why_apart,
)

EXTRA_STATES = {"1": "present", "2": "missing", "3": "unknown"}


def answer_digit(desk: Desk, digit: str) -> None:
    """A digit answers the question shown; the next one comes up by itself."""
    hand.go_on(desk)
    record, part = desk.work.record, desk.work.part
    asked = desk.asking.asked
    if record is None or part is None or asked is None:
        desk.refuse(nothing_asked(desk))
        return
    if asked == hand.HERE:
        _answer_here(desk, record, part, digit)
        return
    form = form_asked(asked, desk.clue)
    if form is None:
        desk.refuse(f"the book no longer has this clue: {desk.key('jump-clue')} jumps to another")
        return
    form.answer(desk, asked, desk.clue, digit)


def nothing_asked(desk: Desk) -> str:
    """Why no digit answers anything now, and what would be right."""
    record, part = desk.work.record, desk.work.part
    any_clue = f"{desk.key('jump-clue')} jumps to any clue"
    if desk.work.held and record is not None and part is not None and not hand.is_incomplete(part):
        name, away = hand.part_name(record, part), desk.key("next-part")
        return f"nothing more is asked of {with_the(name)}: {away} takes the next part, {any_clue}"
    if record is not None and record["title"] is None and not record["parts"]:
        return f"the title first: {desk.key('find-title')} opens its line"
    if record is None or part is None:
        return f"no part in hand: {desk.key('next-part')} takes the next part"
    if wants_grade(desk, part):
        name = hand.part_name(record, part)
        return f"now the grade of {with_the(name)}; {desk.key('next-clue')} asks more of it, {any_clue}"
    if record["state"] == "taken-in":
        return f"no more questions: it is taken in, {desk.key('next-record')} goes on, {any_clue}"
    return f"no more questions: {desk.key('take-in')} takes the record in, {any_clue}"


def _answer_here(desk: Desk, record: RecordDoc, part: PartDoc, digit: str) -> None:
    state = EXTRA_STATES.get(digit)
    if state is None:
        desk.refuse("1 it is there, 2 it is missing, 3 not looked")
        return
    name = hand.part_name(record, part)
    leave_behind(desk, desk.asking.asked)
    with desk.act(f"record {record['no']}: {name} {state}") as change:
        copy = desk.changed(change)
        changed = part_of(copy, part["id"])
        assert changed is not None
        changed["state"] = state  # type: ignore[typeddict-item]
        waiting = [
            extra
            for extra in hand.in_hand_order(copy)
            if extra["kind"] == "extra"
            and extra.get("expected")
            and extra.get("state", "unknown") == "unknown"
        ]
        hand.take(desk, copy, waiting[0]["id"] if waiting and state == "missing" else part["id"])
        desk.work.held = state == "present"


def write_answer(
    desk: Desk, clue: Clue, answer: Answer, value: Any = None, text: str = "", also: Sequence[Answer] = ()
) -> None:
    """Write the answer to the question shown as seen, and go on to the next question.

    ``also``: what it may be instead, where they could not be told apart.
    """
    record, part = desk.work.record, desk.work.part
    if record is None or part is None or desk.asking.asked is None:
        return
    follows = following(
        desk, record, clue, answer_to(record, part["id"], *desk.asking.asked), (answer, *also)
    )
    write = partial(_write, desk, clue, [answer, *also], value, text)
    if follows is not None and follows.edit is not None:
        grow(desk, follows.edit, write)
    else:
        write(None)
    if follows is not None:
        desk.say(f"{desk.open.message}. {follows.said}", desk.open.tone)


def _write(
    desk: Desk, clue: Clue, answers: Sequence[Answer], value: Any, text: str, grown: Grown | None
) -> None:
    record, part, (answer, *also) = desk.work.record, desk.work.part, answers
    assert record is not None
    assert part is not None
    assert desk.asking.asked is not None
    place, insisted = desk.asking.asked[0], not desk.asking.asked_explicitly and is_insisted(desk)
    shown = text or " or ".join(one.text for one in answers)
    told = f"record {record['no']}, {hand.part_name(record, part)}: {clue.ask}: {shown}"
    with desk.act(told, grown) as change:
        copy = desk.changed(change)
        put_answer(desk, copy, part["id"], place, clue, answer, value, shown)
        if also:
            copy["answers"][-1]["also"] = [one.id for one in also]
        leave_behind(desk, desk.asking.asked)
        desk.work.held = False
        desk.asking.asked, desk.asking.asked_explicitly = next_question(desk, copy, insisted), False
        said_of_it, tone = _act_on_telling(desk, copy, answer, clue, sure=not also)
    if said_of_it:
        desk.say(f"{desk.open.message}. {said_of_it}", tone)


def put_answer(
    desk: Desk,
    record: RecordDoc,
    part_id: str,
    place: str,
    clue: Clue,
    answer: Answer,
    value: Any,
    text: str,
    how: str = "seen",
) -> None:
    """At most one answer stands at each part, place and clue; a second replaces it."""
    drop_answer(record, part_id, place, clue.id)
    record["answers"].append(
        {
            "part": part_id,
            "place": place,
            "clue": clue.id,
            "answer": answer.id,
            "value": value,
            "how": how,  # type: ignore[typeddict-item]
            "text": f"{clue.ask}: {text}",
            "book": f"{clue.book}@{desk.library.digest(clue.book)}",
            "at": desk.now(),
        }
    )


def drop_answer(record: RecordDoc, part_id: str, place: str, clue_id: str) -> None:
    record["answers"] = [
        one
        for one in record["answers"]
        if (one["part"], one["place"], one["clue"]) != (part_id, place, clue_id)
    ]


def _act_on_telling(
    desk: Desk, record: RecordDoc, answer: Answer, clue: Clue, sure: bool
) -> tuple[str, Tone]:
    """An answer that gives a counterfeit or pirate away sets the record apart at once, loudly; another answer
    to the same clue takes that back. What to say of it, or nothing, and how.
    """
    apart = record["set_apart"]
    if sure and answer.tells in NOT_BY_THE_COMPANY and apart is None:
        note = f"{clue.ask}: {answer.text}"
        record["set_apart"] = {"why": NOT_BY_COMPANY, "note": note, "at": desk.now(), "clue": clue.id}
        kept = f"SET APART, {answer.tells}: in nothing that goes to buyers or senders"
        return f"{kept}. {said('counterfeit').capitalize()}", "clash"
    if apart is not None and why_apart(apart) == NOT_BY_COMPANY and _tells_no_more(desk, record, apart, clue):
        record["set_apart"] = None
        return "no longer set apart", "done"
    return "", "done"


def _tells_no_more(desk: Desk, record: RecordDoc, apart: SetApartDoc, clue: Clue) -> bool:
    """Whether nothing is left of what set the record apart: no answer to its clue says so any more.

    Records of earlier versions do not name the clue: there it is any clue. By hand no note is made.
    """
    if apart.get("clue", clue.id) != clue.id or not apart["note"]:
        return False
    wanted = apart.get("clue")
    for one in record["answers"]:
        known = desk.library.clue(one["clue"]) if wanted in (None, one["clue"]) else None
        found = known.answer(one["answer"]) if known is not None else None
        if (
            found is not None
            and found.tells in NOT_BY_THE_COMPANY
            and one["how"] == "seen"
            and not one.get("also")
        ):
            return False
    return True


def _asked(desk: Desk) -> object:
    return desk.asking.asked


@command(
    "next-clue",
    "bench",
    "leave this question open, go to the next",
    short="next question",
    group="Look",
    also="skip pass leave open",
    legend=Legend(record=110, when=_asked),
    needs=[part_in_hand],
    changes="nothing",
    often=110,
    order=210,
)
def next_clue(desk: Desk) -> None:
    """Pass the question over: it stays open, the next wanted one comes up; if none is, any that is open.
    After going back it is a step forward on the same way.
    """
    record, way = desk.record, desk.asking.returning
    if len(way) > 1 and way[-1] == _stands_at(desk):
        _step_forward(desk, record)
        return
    hand.go_on(desk)
    insisted = desk.asking.asked is None or (not desk.asking.asked_explicitly and is_insisted(desk))
    _pass_over(desk)
    desk.asking.asked, desk.asking.asked_explicitly = next_question(desk, record, insisted), False
    rest = f"; {desk.key('next-clue')} once more asks the rest" if not insisted else ""
    done = f"no more questions about {hand.part_name(record, desk.part)}" if insisted else ""
    desk.say("" if desk.asking.asked else done or f"skipped{rest}")
    desk.place()


def _stands_at(desk: Desk) -> tuple[str | None, Asked | None]:
    return desk.work.part_id, desk.asking.asked


def _step_forward(desk: Desk, record: RecordDoc) -> None:
    """To the question from which going back came to this one."""
    *way, (part_id, asked), here = desk.asking.returning
    part = desk.work.part
    if here[1] is not None and part is not None and not is_answered(desk, record, part, here[1]):
        _pass_over(desk)
    else:
        leave_behind(desk, desk.asking.asked)
    _go_to(desk, record, part_id, asked)
    desk.asking.returning = (*way, _stands_at(desk))


def _go_to(desk: Desk, record: RecordDoc, part_id: str | None, asked: Asked | None) -> None:
    desk.asking.passed = [one for one in desk.asking.passed if one != (part_id, asked)]
    if part_id != desk.work.part_id:
        hand.take(desk, record, part_id)
    desk.asking.asked, desk.asking.asked_explicitly = asked, True
    part = desk.work.part
    answered = part is not None and asked is not None and is_answered(desk, record, part, asked)
    desk.say(answered_already(desk) if answered else "")
    desk.place()


def _pass_over(desk: Desk) -> None:
    leave_behind(desk, desk.asking.asked)
    if desk.work.part_id is not None and desk.asking.asked is not None:
        desk.asking.passed.append((desk.work.part_id, desk.asking.asked))


def _question_before(desk: Desk) -> str:
    return unless(_way_back(desk, desk.record), "no question before this one")


def _way_back(desk: Desk, record: RecordDoc) -> list[tuple[str, Asked]]:
    """The questions left behind; after a restart what was answered about the part in the hand."""
    there = {part["id"] for part in hand.in_hand_order(record)}  # one that was added may be undone since
    return [one for one in desk.asking.trail if one[0] in there] or [
        (a["part"], (a["place"], a["clue"])) for a in record["answers"] if a["part"] == desk.work.part_id
    ]


@command(
    "previous-clue",
    "bench",
    "go back to the question before",
    short="question before",
    group="Look",
    also="back before",
    needs=[_question_before],
    changes="nothing",
    order=200,
)
def previous_clue(desk: Desk) -> None:
    """Back to the question left last, answered or passed over, then to the one before it."""
    record = desk.record
    desk.asking.trail = _way_back(desk, record)
    part_id, asked = desk.asking.trail.pop()
    here = _stands_at(desk)
    way = desk.asking.returning
    way = way if way and way[-1] == here else (here,)
    _go_to(desk, record, part_id, asked)
    desk.asking.returning = (*way, _stands_at(desk))


def answered_already(desk: Desk) -> str:
    """What is said at a question that has its answer."""
    return f"answered already: a digit changes the answer, {desk.key('next-clue')} keeps it"


def leave_behind(desk: Desk, asked: Asked | None) -> None:
    """Remember the question of the part in the hand, so that going back leads to it."""
    desk.asking.returning = ()
    if desk.work.part_id is not None and asked is not None:
        desk.asking.trail.append((desk.work.part_id, asked))


def reworded(desk: Desk, record: RecordDoc) -> list[tuple[AnswerDoc, str, str]]:
    """Answers by choice whose words the book has changed since: the answer, what was read then, and now."""
    found = []
    for answer in said_now(record, desk.library.clue)["answers"]:
        clue = desk.library.clue(answer["clue"])
        chosen = clue is not None and form_of(clue).chosen and not answer.get("also")
        now = clue.answer(answer["answer"]) if clue and chosen else None
        if clue is None or now is None or not answer["book"].startswith(f"{clue.book}@"):
            continue
        then = answer["text"].removeprefix(f"{clue.ask}: ")
        same_book = answer["book"] == f"{clue.book}@{desk.library.digest(clue.book)}"
        if not same_book and then != now.text:
            found.append((answer, then, now.text))
    return found


# -- repeating ----------------------------------------------------------------------------


def foretold(desk: Desk, clue: Clue | None = None) -> Answer | None:
    """What the pressing that leads, by the dealer's word or the odds, makes most likely as the answer to the
    clue, that of the question shown if none is given; a guess, never evidence.
    """
    clue, title, weighing = clue or desk.clue, desk.book_title, desk.weighing()
    record = desk.work.record
    if clue is None or title is None or weighing is None or record is None:
        return None
    leader = leading(record, weighing)
    return expected_answer(title, leader.id, clue) if leader is not None else None


def expected_answer(title: BookTitle, pressing_id: str | None, clue: Clue) -> Answer | None:
    """The answer the book calls always or usual for that pressing."""
    pressing = pressing_of(title, pressing_id)
    words = pressing.expect.get(clue.id, {}) if pressing else {}
    for wanted in ("always", "usually"):
        for answer_id, word in words.items():
            if word == wanted:
                return clue.answer(answer_id)
    return None


for _n, _digit in enumerate("1234567890"):
    command(
        f"answer-{_digit}",
        "bench",
        f"answer {_digit} to the question shown",
        group="Look",
        one_write=True,
        order=90 + 10 * _n,
    )(partial(answer_digit, digit=_digit))
