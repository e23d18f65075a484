"""Answering which titles an inner or a cover advertises: picked with the same completion as any title."""

from collections.abc import Iterator

from benchtui.desk.clues import TITLES, write_answer
from benchtui.desk.core import Desk, OpenLine, Pick
from benchtui.desk.lines import LINES, LineKind, close_line, marked_pick, refresh
from benchtui.model.title import Title


def _advertised(desk: Desk, line: OpenLine) -> list[Pick]:
    from benchtui.desk.title_picks import picks_for

    return picks_for(desk, line.text)


def _advertised_steps(desk: Desk, line: OpenLine) -> Iterator[list[Pick]]:
    from benchtui.desk.title_picks import steps_for

    return steps_for(desk, line.text)


def _take_advertised(desk: Desk, line: OpenLine) -> None:
    clue = desk.clue
    chosen: list[dict[str, str]] = line.data.setdefault("chosen", [])
    pick = marked_pick(line)
    if line.text.strip() and pick is None:
        desk.refuse("no list knows it: a title without a date gives no bound; Escape leaves")
        return
    if line.text.strip() and pick is not None:
        title: Title = pick.value
        if not title.first:
            desk.refuse(f"no list knows when {title.title} came out: it gives no bound")
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
        desk.say("no title picked: nothing is bounded")
        desk.place()
        return
    close_line(desk)
    value = {"titles": [one["id"] for one in chosen], "first": [one["first"] for one in chosen]}
    write_answer(desk, clue, TITLES, value, ", ".join(one["title"] for one in chosen))


LINES["clue-titles"] = LineKind(_take_advertised, _advertised, steps=_advertised_steps, one_write=True)
