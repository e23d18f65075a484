"""Changes on a company's ladder: states added, split, moved by a year, taken off; new lanes."""

from collections.abc import Sequence
from datetime import date
from typing import Any

from benchtui.books.as_table import answer_table, clue_table
from benchtui.books.dated_words import (
    DatedWords,
    answers_apart,
    dated_answer,
    read_dated,
    redated,
    source_of,
    states_from,
    states_in_turn,
)
from benchtui.books.edit import BookEdit
from benchtui.books.ladder import Lane
from benchtui.books.shape import Answer, Clue
from benchtui.desk.book.book_changes import change, home_of_clue
from benchtui.desk.book.ladder_page import LANE_ABOUT, add_lane, company_shown, marked_state, states_of
from benchtui.desk.book.own_answers import Own, put_words
from benchtui.desk.book.told import told_question
from benchtui.desk.core.desk import Desk, OpenLine
from benchtui.desk.line.as_read import answer_read, shows, states_read
from benchtui.desk.line.lines import LINES, LineKind, close_line, open_line
from benchtui.desk.own_book.growing import own_book
from benchtui.knowledge.folded import fold
from benchtui.model.span import UNKNOWN, Span, dots_text

MEETS = 62
"""Days within which one state's end and the next one's beginning are taken to meet."""


def _change(desk: Desk, lane: Lane, say: str, *states: Answer, companies: Sequence[str] = ()) -> bool:
    """Write the states down; ``companies``: of whose records the question is asked from now on."""
    path = home_of_clue(desk, lane.clue)
    if path is None:
        desk.refuse(f"the lane '{lane.clue.ask}' is in a book that is not the shop's own")
        return False

    def put(book: BookEdit) -> None:
        for state in states:
            old = book.answer(lane.clue.id, state.id) or {}
            dated = {"made", "hardness", "to_hardness", "source", "text"}
            kept = {key: value for key, value in old.items() if key not in dated}
            book.put_answer(lane.clue.id, {**kept, **_dated(state)})
        if companies:
            book.change_clue(lane.clue.id, {"companies": list(companies)})

    change(desk, say, path, put)
    return True


def _dated(state: Answer) -> dict[str, Any]:
    """What the lane says of a state, and all of an answer that is new."""
    table = answer_table(state)
    return table if state.digit >= 0 else {key: value for key, value in table.items() if key != "digit"}


def add_state(desk: Desk) -> None:
    """A state after the marked one; what it takes of the marked one's time is split off."""
    found = marked_state(desk)
    if found is None:
        add_lane(desk)
        return
    lane, state = found
    desk.say("")
    about = (
        f"what came in after '{state.text}', and when: blue 1965.. (why); what runs on then ends before it"
    )
    open_line(
        desk, "ladder-state", f"{lane.clue.ask}: new state", about=about, clue=lane.clue.id, after=state.id
    )


def _take_state(desk: Desk, line: OpenLine) -> None:
    states = [one for one in states_of(desk) if one[0].clue.id == line.data["clue"]]
    if not states:
        close_line(desk)
        desk.refuse("that lane is no longer in the books")
        return
    lane = states[0][0]
    try:
        said = _read_state(line.text)
    except ValueError as error:
        desk.refuse(str(error))
        return
    assert said.span is not None
    if line.data.get("state"):
        old = next((state for _, state in states if state.id == line.data["state"]), None)
        if old is None:
            close_line(desk)
            desk.refuse("that state is no longer in the books")
            return
        done = _reword(desk, lane, old, said)
    else:
        done = _split(desk, lane, str(line.data["after"]), said)
    if done and desk.open.line is line:
        close_line(desk)
        desk.place()


def _read_state(text: str) -> DatedWords:
    said = read_dated(text)
    if not said.words or said.span is None:
        raise ValueError("type its words and its dates: blue 1965.., or blue 1965..1969 firm (why)")
    return said


def _reword(desk: Desk, lane: Lane, old: Answer, said: DatedWords) -> bool:
    """The state in other words or at another time; records and pressings follow its words."""
    if any(one.text.casefold() == said.words.casefold() and one.id != old.id for one in lane.clue.answers):
        desk.refuse(f"the lane has '{said.words}' already: the page of own answers makes the two one")
        return False
    path, new = home_of_clue(desk, lane.clue), _with(old, said)
    if path is None or new.text == old.text:
        return _change(desk, lane, f"{lane.clue.ask}: {new.text} {dots_text(said.span or UNKNOWN)}", new)
    put_words(desk, Own(lane.clue, old, path), old, new)
    return True


def _with(old: Answer, said: DatedWords) -> Answer:
    return Answer(
        old.id, said.words, old.digit, said.span, said.hardness, absent=old.absent, source=source_of(said)
    )


def _split(desk: Desk, lane: Lane, after: str, said: DatedWords) -> bool:
    """The new state, and the one that ran on into it ended where it begins."""
    if any(one.text.casefold() == said.words.casefold() for one in lane.clue.answers):
        desk.refuse(f"the lane has '{said.words}' already: mark it and press Enter to change it")
        return False
    digits = {one.digit for one in lane.clue.answers}
    digit = next((number for number in range(1, 10) if number not in digits), 0)
    if not digit:
        desk.refuse(f"'{lane.clue.ask}' has no digit left: nine states are the most")
        return False
    made = dated_answer(said, [one.id for one in lane.clue.answers], digit)
    states = [made]
    begins = said.span.earliest if said.span is not None else None
    old = _running(lane, after, begins) if begins is not None else None
    if old is not None and begins is not None:
        ends = date.fromordinal(begins.toordinal() - 1)
        states.insert(0, _at(old, Span(old.span.earliest if old.span is not None else None, ends)))
    came_in = dots_text(said.span) if said.span is not None else ""
    ended = f"; {old.text} ends before it" if old is not None else ""
    return _change(desk, lane, f"{lane.clue.ask}: {made.text} came in {came_in}{ended}", *states)


def _running(lane: Lane, after: str, begins: date) -> Answer | None:
    """The state that runs on into a new one and ends where that begins: the marked one, else the one before
    it that has no end.
    """
    marked = [one for one in lane.states if one.id == after]
    last = [one for one in reversed(lane.states) if one.span is not None and one.span.latest is None]
    for one in (*marked, *last):
        span = one.span
        if span is None or one.times or (span.earliest is not None and span.earliest >= begins):
            continue
        if span.latest is None or span.latest >= begins:
            return one
    return None


def move_state(desk: Desk, years: int) -> None:
    """The marked state begins a year earlier or later; the one that ended there goes with it."""
    found = marked_state(desk)
    if found is None:
        return
    lane, state = found
    if state.span is None or state.span.earliest is None or state.times:
        desk.refuse(f"'{state.text}' has no single beginning that could be moved: Enter changes its dates")
        return
    begins = _years_on(state.span.earliest, years)
    if state.span.latest is not None and begins > state.span.latest:
        desk.refuse(f"'{state.text}' would begin after its end: Enter changes its dates")
        return
    moved = [_at(state, Span(begins, state.span.latest))]
    for other in lane.states:
        ends = (
            other.span.latest if other.span is not None and other.id != state.id and not other.times else None
        )
        if other.span is None or ends is None or abs((ends - state.span.earliest).days) > MEETS:
            continue
        ends = _years_on(ends, years)
        if other.span.earliest is None or other.span.earliest <= ends:
            moved.append(_at(other, Span(other.span.earliest, ends)))
    _change(desk, lane, f"{lane.clue.ask}: {state.text} {dots_text(Span(begins, state.span.latest))}", *moved)


def _at(state: Answer, span: Span) -> Answer:
    return Answer(
        state.id, state.text, state.digit, span, state.hardness, absent=state.absent, source=state.source
    )


def _years_on(day: date, years: int) -> date:
    try:
        return day.replace(year=day.year + years)
    except ValueError:  # the 29th of February
        return day.replace(year=day.year + years, day=28)


def drop_state(desk: Desk) -> None:
    """Take the marked state off the lane; as an answer it stays, for records that have it."""
    found = marked_state(desk)
    if found is None:
        desk.refuse("there is no state to take off")
        return
    lane, state = found
    _change(
        desk, lane, f"{lane.clue.ask}: {state.text} taken off the lane",
        Answer(state.id, state.text, state.digit, absent=state.absent),
    )  # fmt: skip


def _take_lane(desk: Desk, line: OpenLine) -> None:
    try:
        made = _read_lane(desk, line.text)
    except ValueError as error:
        desk.refuse(str(error))
        return
    if (known := _same_question(desk, made)) is not None:
        if not _date_known(desk, known, made, line.text):
            return
        made = known
    else:
        states = "; ".join(f"{one.text} {_when(one)}" for one in made.answers)
        change(
            desk,
            f"new lane: {made.ask}: {states}",
            own_book(desk),
            lambda book: book.put_clue(clue_table(made)),
        )
    if desk.open.line is line:
        close_line(desk)
    ids = [lane.clue.id for lane, _ in states_of(desk)]
    if desk.open.page is not None and made.id in ids:
        desk.open.page.marked = ids.index(made.id)
    desk.place()


def _when(state: Answer) -> str:
    return " or ".join(map(dots_text, state.spans)) or "at any time"


def _same_question(desk: Desk, made: Clue) -> Clue | None:
    """The question there is of the same words, part and place, asked of that company's records."""
    for clue in desk.library.clues():
        here = not clue.companies or set(made.companies) & set(clue.companies)
        same = (clue.part, clue.place, _bare(clue)) == (made.part, made.place, _bare(made))
        if same and here and clue.form == "choice":
            return clue
    return None


def _bare(clue: Clue) -> str:
    """The words of a question without its place: ``colour`` of a label is its ``label colour``."""
    return fold(clue.ask).removeprefix(f"{fold(clue.place)} ")


def _date_known(desk: Desk, known: Clue, made: Clue, text: str) -> bool:
    """The lane's dates are those of the question's answers, and behind all of them a state that it lacks is
    new; False, and said, where one may be another's slip, or no digit is left.

    How sure a date was, and why, stays where the line (``text``) says nothing of it.
    """
    by_words = {fold(one.text): one for one in known.answers}
    strange = [one.text for one in made.answers if fold(one.text) not in by_words]
    free = [digit for digit in range(1, 10) if digit not in {one.digit for one in known.answers}]
    named = {fold(one.text) for one in made.answers}
    meant = [one.text for one in known.answers if fold(one.text) not in named and not one.absent]
    if strange and meant:
        has = ", ".join(one.text for one in known.answers)
        desk.refuse(f"'{known.ask}' is a question already, with {has}: call '{strange[0]}' as it does")
        return False
    if len(strange) > len(free):
        desk.refuse(f"'{known.ask}' has no digit left for '{strange[-1]}': nine states are the most")
        return False
    said = {fold(one.words): one for one in states_in_turn(text.partition("/")[2])}
    taken = [one.id for one in known.answers]
    new = {fold(one): dated_answer(said[fold(one)], taken, free.pop(0)) for one in strange}
    states = [new.get(fold(one.text)) or redated(by_words[fold(one.text)], said[fold(one.text)])
              for one in made.answers]  # fmt: skip
    stays = [f"{one.text} stays {one.hardness}" for one in states if _kept_sure(one, said[fold(one.text)])]
    how = f"; {', '.join(stays)} (soft behind its dates makes it soft)" if stays else ""
    companies = _companies(desk, known)
    more = f"; new: {', '.join(strange)}" if strange else ""
    say = f"{known.ask}: dates of {len(states)} answers{more}{how}"
    return _change(desk, Lane(known, ()), say, *states, companies=companies)


def _companies(desk: Desk, known: Clue) -> list[str]:
    """A lane is of its company: a question of every company becomes one of this and of those whose pressings
    speak of it already; none where it stays as it is.
    """
    if known.companies:
        return []
    whole = filter(None, (desk.library.title(one.id) for one in desk.library.titles() if one.pressings))
    spoken = {one.company for one in whole if any(known.id in each.expect for each in one.pressings)}
    if "" in spoken:  # a title of no company would lose the question
        return []
    return [company_shown(desk), *sorted(spoken - {company_shown(desk)})]


def _kept_sure(state: Answer, said: DatedWords) -> bool:
    return not said.says_how_sure and state.hardness in ("firm", "hard")


def _read_lane(desk: Desk, text: str) -> Clue:
    """``disc label: label / red ..1964 / blue 1965..`` as a question. ValueError, in a sentence, else."""
    made = told_question(desk, text, LANE_ABOUT, states_from)
    undated = [one.text for one in made.answers if one.span is None]
    few = len(answers_apart(text.partition("/")[2])) < 2
    if len(undated) > 1 and not few:
        raise ValueError(f"'{undated[0]}' has no date: write {undated[0]} 1965.. or ..1964, or about 1967..")
    if few or len(undated) == len(made.answers):
        raise ValueError(
            "a lane needs two to nine states, separated by /, and no more than one without a date"
        )
    return made._replace(companies=(company_shown(desk),))


LINES["ladder-state"] = LineKind(_take_state, typed=shows(answer_read))
LINES["ladder-lane"] = LineKind(_take_lane, typed=shows(states_read))
