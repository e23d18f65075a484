"""Ticking off the sender's list: which of its lines a record answers."""

from typing import Any

from benchtui.desk.core.desk import Desk
from benchtui.desk.look.contradicted import plain
from benchtui.model.parcel import ListLine
from benchtui.model.record import RecordDoc, TitleRef
from benchtui.store import Change


def tick_off(desk: Desk, change: Change, record: RecordDoc) -> None:
    """Tick the line of the sender's list that this title answers; a changed title gives its line back."""
    title = record["title"]
    if title is None:
        return
    lines = change.head["list"]
    for line in lines:
        if line["record"] == record["id"]:
            line["record"] = None
    known = desk.library.title(title["id"])
    numbers = {title["catalogue"], *(known.catalogues if known else ())}
    unticked = [line for line in lines if line["record"] is None]
    meant = _meant_line(desk, title, unticked)
    best = meant if meant is not None else _best_line(title, numbers, unticked)
    if best is not None:
        best["record"] = record["id"]


def _meant_line(desk: Desk, title: TitleRef, lines: list[ListLine]) -> ListLine | None:
    """The line by which the pick list put this title first, so that the two never differ."""
    listed = desk.finder.by_id(title["id"])
    text = desk.finder.line_of(listed, desk.open.ranked_by[1]) if listed and desk.open.ranked_by else ""
    return next((line for line in lines if text and text in (line["line"], line["title"])), None)


def _best_line(title: TitleRef, numbers: set[str], lines: list[Any]) -> Any | None:
    from rapidfuzz import fuzz

    wanted_numbers = {plain(number) for number in numbers} - {""}
    wanted = f"{title['artist']} {title['title']}".casefold()
    scored = []
    for line in lines:
        text = " ".join(filter(None, (line["artist"], line["title"]))) or line["line"]
        same_number = plain(line["catalogue"]) in wanted_numbers
        score = 100.0 if same_number else fuzz.token_set_ratio(wanted, text.casefold())
        scored.append((score, line))
    best = max(scored, key=lambda pair: pair[0], default=None)
    return best[1] if best and best[0] >= 85 else None
