"""Which titles an inner or a cover advertises: picked with the same completion as any title."""

from collections.abc import Iterator

from benchtui.books.shape import Answer, Clue
from benchtui.desk.ask.forms import form, with_digits
from benchtui.desk.core.desk import Asked, Desk, OpenLine, Pick
from benchtui.desk.line.lines import LINES, LineKind, close_line, marked_pick, open_line, refresh
from benchtui.desk.look.clues import write_answer
from benchtui.desk.look.title_picks import TITLE_COLUMNS, picks_for, steps_for
from benchtui.model.title import Title

TITLES = Answer("titles", "titles, picked in a line", 1)
"""The answer that stands for what was picked: the bound comes from the dates of the titles."""


@form(
    "titles",
    help="In the line of the titles letters and Enter take each; Enter on the empty line ends.",
    asked_of=("inner", "wrap"),
    stands_for=TITLES,
)
def answer(desk: Desk, asked: Asked, clue: Clue | None, digit: str) -> None:
    """A digit of the book's answers it; the one for titles opens the line."""
    assert clue is not None
    possible = with_digits(clue)
    found = next((one for one in possible if str(one.digit) == digit), None)
    if found is None:
        desk.refuse(f"'{clue.ask}': {', '.join(f'{one.digit} {one.text}' for one in possible)}")
        return
    if found.id != TITLES.id:
        write_answer(desk, clue, found)
        return
    open_line(desk, "clue-titles", clue.ask, about="pick each title advertised; Enter on an empty line ends")


def _picks(desk: Desk, line: OpenLine) -> list[Pick]:
    return picks_for(desk, line.text)


def _steps(desk: Desk, line: OpenLine) -> Iterator[list[Pick]]:
    return steps_for(desk, line.text)


def _take(desk: Desk, line: OpenLine) -> None:
    clue = desk.clue
    chosen: list[dict[str, str]] = line.data.setdefault("chosen", [])
    pick = marked_pick(line)
    if line.text.strip() and pick is None:
        desk.refuse("no list has it: a title without a date says nothing of the age; Escape leaves")
        return
    if line.text.strip() and pick is not None:
        title: Title = pick.value
        if not title.first:
            desk.refuse(f"no list says when {title.title} came out: it says nothing of the age")
            return
        chosen.append({"id": title.id, "title": title.title, "first": title.first})
        line.text = ""
        line.about = (
            "advertised: " + ", ".join(one["title"] for one in chosen) + "; Enter on the empty line ends"
        )
        refresh(desk)
        desk.place()
        return
    if clue is None or not chosen:
        close_line(desk)
        desk.say("no title picked, so no date from this")
        desk.place()
        return
    close_line(desk)
    value = {"titles": [one["id"] for one in chosen], "first": [one["first"] for one in chosen]}
    write_answer(desk, clue, TITLES, value, ", ".join(one["title"] for one in chosen))


LINES["clue-titles"] = LineKind(_take, _picks, steps=_steps, one_write=True, columns=TITLE_COLUMNS)
