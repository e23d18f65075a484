"""A guess at the pressing, said before the cover is opened: kept, and scored beside the bench's own.

It is for the pleasure of it: nothing is weighed by it, and nobody else is told.
"""

from functools import partial

from benchtui.books.ladder import is_proposed
from benchtui.books.shape import Pressing
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Choice, Desk, Menu
from benchtui.desk.core.needs import title_known
from benchtui.evidence import Weighing
from benchtui.evidence.learn import GUESSED
from benchtui.model.record import RecordDoc, RightDoc, guess_right

TIED = 0.95
"""So much of the likeliest one's odds, and the bench has no guess of its own."""


def _inside_seen(record: RecordDoc) -> bool:
    """Whether anything of what the cover holds was looked at."""
    inside = {part["id"] for part in record["parts"] if part["kind"] in ("disc", "inner")}
    seen = any(one["part"] in inside and one["how"] == "seen" for one in record["answers"])
    return seen or any(
        bool(part.get("sides")) or bool(part["grades"]) for part in record["parts"] if part["id"] in inside
    )


def _known(desk: Desk) -> list[Pressing]:
    title = desk.book_title
    return [one for one in title.pressings if not is_proposed(one.id)] if title is not None else []


def no_guess(desk: Desk) -> str:
    """In short why no guess can be said now; "" where one can."""
    if desk.parcel.closed or desk.record["state"] == "taken-in":
        return "the record is taken in"
    if len(_known(desk)) < 2:
        return "the books know fewer than two pressings of it"
    return "the disc was looked at already" if _inside_seen(desk.record) else ""


@command(
    "guess",
    "bench",
    "guess the pressing before the cover is opened; it is scored beside the bench",
    short="guess",
    group="Look",
    also="bet predict before opening score",
    needs=[title_known, no_guess],
    order=268,
)
def guess(desk: Desk) -> None:
    """The title's pressings in the books' order, without their odds: those would be the bench's guess."""
    kept = desk.record.get("guess")
    choices = [
        Choice(str(n), one.name, partial(_keep, desk, one), "•" if kept and kept["id"] == one.id else "")
        for n, one in enumerate(_known(desk)[:9], 1)
    ]
    choices.append(Choice("0", "no guess", partial(_keep, desk, None)))
    about = "kept and scored once the record is taken in; nothing is weighed by it"
    desk.open.menu = Menu("Which pressing will it be?", tuple(choices), about, "guess")


def _keep(desk: Desk, one: Pressing | None) -> None:
    record, weighing = desk.work.record, desk.weighing()
    if record is None:
        return
    led = _led(weighing)
    with desk.act(f"record {record['no']}: {f'guess: {one.name}' if one else 'no guess'}") as change:
        copy = desk.changed(change)
        copy.pop("guess", None)
        if one is not None:
            copy["guess"] = {"id": one.id, "name": one.name, "bench": led}


def _led(weighing: Weighing | None) -> str | None:
    """The bench's own guess: the likeliest known pressing; none where another is as likely."""
    first, second = [*([one for one in weighing.pressings if one.id] if weighing else []), None, None][:2]
    tied = first is not None and second is not None and second.p > TIED * first.p
    return None if first is None or tied else first.id


def guess_in_words(record: RecordDoc) -> str:
    """``your guess was right, the bench's was wrong``; "" where nothing was guessed or called yet."""
    right, kept = guess_right(record), record.get("guess")
    if right is None or kept is None:
        return ""
    mine = "was right" if right["you"] else f"('{kept['name']}') was wrong"
    if kept["bench"] is None:
        return f"your guess {mine}; the bench had none"
    if right["bench"] == right["you"]:
        return f"your guess {mine}, and so was the bench's"
    return f"your guess {mine}, the bench's was {'right' if right['bench'] else 'wrong'}"


def score(desk: Desk) -> RightDoc | None:
    """How many guesses there were in all the shop, and how many were right."""
    found = desk.weighings.counts().get(GUESSED)
    if not found:
        return None
    return {"n": found.get("n", 0), "you": found.get("you", 0), "bench": found.get("bench", 0)}
