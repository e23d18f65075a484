"""A question told in one line without a copy in the hand: ``disc label: colour / red / blue 1965..``."""

from collections.abc import Callable

from benchtui.books.dated_words import BY_DEALER, answers_from
from benchtui.books.from_bench import new_id
from benchtui.books.shape import Answer, Clue
from benchtui.desk.book.new_question import PER_SIDE, PLACES
from benchtui.desk.core.desk import Desk

TOLD_ABOUT = "disc label: what is told apart / first answer / next answer"


def told_question(
    desk: Desk,
    text: str,
    about: str = TOLD_ABOUT,
    read: Callable[[str], tuple[Answer, ...]] = answers_from,
) -> Clue:
    """The question of the shop's own that the line tells, asked of every title until the caller narrows it.

    Part and place stand before a colon, the answers after it, each with a date where one is known.
    ``read``: how. ValueError, in a sentence, for what is none.
    """
    head, _, answers = text.partition("/")
    where, colon, ask = head.partition(":")
    kind, _, place = " ".join(where.casefold().split()).partition(" ")
    ask = " ".join(ask.split())
    if kind not in PLACES and not place:  # ``runout: hand`` is the disc's
        kind, place = next(((part, kind) for part, its in PLACES.items() if kind in its), (kind, ""))
    if not colon or kind not in PLACES or not ask:
        parts = ", ".join(PLACES)
        raise ValueError(f"begin with the part ({parts}) and place, a colon, what is told apart: {about}")
    taken = [one.id.removeprefix("own-") for one in desk.library.clues()]
    return Clue(
        f"own-{new_id(ask, taken)}", ask, kind, place or "whole", read(answers),
        per_side=kind == "disc" and place in PER_SIDE, source=BY_DEALER,
    )  # fmt: skip
