"""Jumping to any clue of any part by a few letters: I just saw this."""

import re
from collections.abc import Callable
from dataclasses import dataclass

from benchtui.books.passed_on import said_now
from benchtui.books.shape import Clue
from benchtui.desk.ask.asking import typed_on
from benchtui.desk.ask.forms import form_of
from benchtui.desk.core.command import Legend, command
from benchtui.desk.core.desk import Asked, Desk, OpenLine, Pick
from benchtui.desk.core.needs import unless
from benchtui.desk.core.page_parts import Column, words
from benchtui.desk.core.shapes import pick_of
from benchtui.desk.hand import hand
from benchtui.desk.line.letters import SLIPPED, begins, fit
from benchtui.desk.line.lines import LINES, LineKind, close_line, marked_pick, open_line
from benchtui.model.record import PartDoc, RecordDoc, answer_to, is_here, sides_of

ANSWER, SLIP, HELP = SLIPPED, SLIPPED + 1, SLIPPED + 2
"""The ranks of a question that fits by one of its answers, by a slip, or only by what is said of it."""
OWN, USED, USELESS = 0, 1, 2
"""A title's own question, any other, and one asked only by a jump of which its pressings say nothing."""
LATEST = ": the latest of"
"""How a question ends that goes on in its answers, which the list does not show."""
NEW_CLUE = "?new"
"""The id of the line that offers a new question."""

_SIGNS = re.compile(r"[^\w\s'-]")


@dataclass
class _Making:
    """What offers and makes a new question of words that no question has (desk/book/new_question.py)."""

    offer: Callable[[Desk, str], list[Pick]] = lambda desk, text: []
    make: Callable[[Desk, str], None] = lambda desk, text: None


_making = _Making()


def offer_new(offer: Callable[[Desk, str], list[Pick]], make: Callable[[Desk, str], None]) -> None:
    """Have new questions offered below those that fit, where none fits well, and made from their words."""
    _making.offer, _making.make = offer, make


def _parts(desk: Desk) -> str:
    return unless(desk.record["parts"] or desk.titled, "")


@command(
    "jump-clue",
    "bench",
    "answer any clue you just saw, by a few letters",
    short="any clue",
    group="Look",
    also="question ask go goto find saw",
    legend=Legend(record=100),
    needs=[_parts],
    changes="nothing",
    often=170,
    order=190,
)
def jump(desk: Desk) -> None:
    open_line(desk, "jump-clue", "clue", about="a few letters of any clue or part")


def all_questions(desk: Desk, record: RecordDoc) -> list[tuple[PartDoc, Asked, Clue]]:
    """Every clue that may be asked of the record, with both sides of each disc."""
    found: list[tuple[PartDoc, Asked, Clue]] = []
    for part in hand.in_hand_order(record):
        if not is_here(part):
            continue
        for clue in desk.library.clues_for(record, part, volunteered=True):
            places = [f"{clue.place} {side}" for side in sides_of(part)] if clue.per_side else [clue.place]
            found += [(part, (place, clue.id), clue) for place in places]
        asked = {one[1] for one in found if one[0] is part}
        for answer in record["answers"]:  # what was answered can be taken out, asked of such a record or not
            stands = (answer["place"], answer["clue"])
            own = desk.library.clue(answer["clue"]) if answer["part"] == part["id"] else None
            if own is not None and stands not in asked:
                found.append((part, stands, own))
    return found


def _clue_picks(desk: Desk, line: OpenLine) -> list[Pick]:
    """Those that fit by beginnings first; below them letters within words, then slips.

    A side named whole (``runout a``) and a question of just these words come before the title's own
    questions, these before the part in the hand, that before other parts; last what the title has no use
    for. One that another asks instead fits no better than by its answer.
    """
    record = desk.work.record
    if record is None:
        return []
    record = said_now(record, desk.library.clue)
    typed = " ".join(line.text.casefold().split())
    ranked: list[tuple[tuple[int, bool, bool, int, bool, int, bool], Pick]] = []
    spoken, replaced = _spoken_of(desk), _replaced(desk, record)
    for part, asked, clue in all_questions(desk, record):
        where = f"{hand.part_name(record, part)}, {asked[0]}"
        found, answer_text = _fits(line.text, f"{clue.ask} {where} {clue.id}", clue)
        if found is not None:
            second = clue.per_side and asked[0].endswith(sides_of(part)[1])
            close = _closeness(line.text, clue.ask, asked[0])
            pick = _pick(record, part, asked, clue, where, answer_text)
            elsewhere = not (clue.per_side and typed == asked[0].casefold())
            other = part["id"] != desk.work.part_id
            if (part["id"], clue.id) in replaced and close >= 0:
                found = max(found, ANSWER)
            mute = clue.volunteer and clue.id not in spoken
            use = OWN if clue.titles else USELESS if mute else USED
            ranked.append(((found, elsewhere, close >= 0, use, other, close, second), pick))
    ranked.sort(key=lambda one: one[0])
    fits_well = bool(ranked) and ranked[0][0][0] < SLIP
    fresh = [] if fits_well else _making.offer(desk, line.text)
    return [pick for _, pick in ranked[: 8 - len(fresh)]] + fresh


def _spoken_of(desk: Desk) -> set[str]:
    """The questions that the pressings of the title say something of."""
    title = desk.book_title
    return {clue for one in (title.pressings if title else ()) for clue in one.expect}


def _replaced(desk: Desk, record: RecordDoc) -> set[tuple[str, str]]:
    """Of each part the questions that another of its questions asks instead."""
    return {
        (part["id"], other)
        for part in record["parts"]
        for clue in desk.library.clues_for(record, part, volunteered=True)
        for other in clue.instead_of
    }


def _fits(typed: str, words: str, clue: Clue) -> tuple[int | None, str]:
    """How well the question fits, None where it does not, and the answer by which it does."""
    found = fit(typed, words)
    if found is not None and found != SLIPPED:
        return found, ""
    if len(typed.strip()) > 2:  # what was seen, instead of what is asked
        answer_text = next((answer.text for answer in clue.answers if begins(typed, answer.text)), "")
        if answer_text:
            return ANSWER, answer_text
    if found is None:
        return (HELP if len(typed.strip()) > 2 and begins(typed, clue.help) else None), ""
    return SLIP, ""


JUMP_COLUMNS = (
    Column(key="clue", rank=1, least=14),
    Column(key="answer", rank=2, least=10),
    Column(key="place", rank=3, least=10),
)


def _pick(record: RecordDoc, part: PartDoc, asked: Asked, clue: Clue, where: str, answer_text: str) -> Pick:
    seen = answer_to(record, part["id"], *asked)
    answered = seen["text"].partition(": ")[2] if seen and seen["how"] == "seen" else ""
    if form_of(clue).written:
        answered = typed_on(part, asked[0].split()[-1])
    said = words(answer_text, "bold") or words(answered and f"answered: {answered}", "dim")
    return pick_of((words(clue.ask.removesuffix(LATEST)), said, words(where, "dim")), (part["id"], asked))


def _closeness(typed: str, ask: str, place: str) -> int:
    """-1 where the question is just these words, 0 where it begins with them, 1 where it begins so, 2 where
    its own words do, 3 where only its place or part does.

    A side's letter at the end (``lab b``) is that side of it.
    """
    words, side = typed.casefold().split(), place.casefold().split()[-1]
    plain = " ".join(words[:-1] if len(words) > 1 and words[-1] == side else words)
    ask = " ".join(_SIGNS.sub(" ", ask).split())  # "Label: colour of the paper" begins with "label colour"
    if ask.casefold() == plain:
        return -1
    if ask.casefold().startswith(plain):
        return int(ask[len(plain) : len(plain) + 1].isalpha())
    return 2 if begins(plain, ask) else 3


def _take_jump(desk: Desk, line: OpenLine) -> None:
    record, pick = desk.work.record, marked_pick(line)
    if record is None or pick is None:
        desk.refuse(f"no clue fits '{line.text}'")
        return
    part_id, asked = pick.value
    if asked[1] == NEW_CLUE:
        _making.make(desk, line.text)
        return
    close_line(desk)
    go_to_question(desk, part_id, asked)


def go_to_question(desk: Desk, part_id: str, asked: Asked) -> None:
    """Ask that question of that part now, the part taken in the hand."""
    record = desk.work.record
    if record is not None and part_id != desk.work.part_id:
        hand.take(desk, record, part_id)
    if asked not in desk.asking.order:
        desk.asking.order.append(asked)
    desk.asking.asked, desk.asking.asked_explicitly = asked, True
    desk.say("")
    desk.place()


def _make(desk: Desk, line: OpenLine) -> None:
    _making.make(desk, line.text)


LINES["jump-clue"] = LineKind(_take_jump, _clue_picks, new=_make, one_write=True, columns=JUMP_COLUMNS)
