"""Ticking off the sender's list: which of its lines a record answers."""

from functools import partial

from benchtui.desk.core.desk import Choice, Desk, Menu
from benchtui.desk.look.contradicted import plain
from benchtui.model.parcel import ListLine
from benchtui.model.record import RecordDoc, TitleRef
from benchtui.store import Change
from benchtui.titles.fold import fold
from benchtui.titles.meant import differ

SAME = 85.0
"""A line is a title's from this likeness on (0 to 100)."""
ALIKE = 60.0
"""Below this likeness the words of line and record do not fit at all."""
UNLIKE = ALIKE - 1
"""At most so like is a line whose words are not those of the title, whatever they share."""
OTHER_NUMBER = 0.9
"""What is left of the likeness where line and title have another number: its words must fit almost wholly."""
MOST = 9
"""So many records are listed: each has a digit."""
NOT_HERE = "records whose title is on no line; Escape leaves the line open"


def tick_off(desk: Desk, change: Change, record: RecordDoc, better: tuple[str, ...] = ()) -> None:
    """Tick the line of the sender's list that this title answers; a changed title gives its line back.

    A line ticked off by another record that answers it less well is taken over, and that one looks again; a
    line tied by hand stays where it is. ``better``: records that took over just now.
    """
    title = record["title"]
    lines = change.head["list"]
    if title is None or any(line["record"] == record["id"] and line.get("by_hand") for line in lines):
        return
    for line in lines:
        if line["record"] == record["id"]:
            line["record"] = None
    meant = _meant_line(desk, title, [line for line in lines if line["record"] is None])
    scored = [(_likeness(desk, title, line) + (line is meant), line) for line in lines]
    free = [
        (score, line) for score, line in scored if line["record"] not in better and _yields(desk, line, score)
    ]
    score, best = max(free, key=lambda one: one[0], default=(0.0, None))
    if best is None or score < (ALIKE if best is meant else SAME):
        return
    before, best["record"] = best["record"], record["id"]
    if before is not None:
        tick_off(desk, change, change.record(before), (*better, record["id"]))


def _yields(desk: Desk, line: ListLine, score: float) -> bool:
    """Whether the line is open, or ticked off by a record that answers it less well than this."""
    if line["record"] is None:
        return True
    holder = next((one for one in desk.work.records if one["id"] == line["record"]), None)
    held = holder["title"] if holder is not None else None
    return not line.get("by_hand") and (held is None or _likeness(desk, held, line) < score)


def _meant_line(desk: Desk, title: TitleRef, lines: list[ListLine]) -> ListLine | None:
    """The line by which the pick list put this title first, so that the two never differ."""
    listed = desk.finder.by_id(title["id"])
    text = desk.finder.line_of(listed, desk.open.ranked_by[1]) if listed and desk.open.ranked_by else ""
    return next((line for line in lines if text and text in (line["line"], line["title"])), None)


def _likeness(desk: Desk, title: TitleRef, line: ListLine) -> float:
    """How like the line is to the title, 0 to 110: the same number is all there is to say, but for the words
    of two lines that have it; another number speaks against it, and so does a word of its own on either side.
    """
    from rapidfuzz import fuzz

    known = desk.library.title(title["id"])
    numbers = {plain(number) for number in (title["catalogue"], *(known.catalogues if known else ()))} - {""}
    text = fold(" ".join(filter(None, (line["artist"], line["title"]))) or line["line"])
    name = fold(f"{title['artist']} {title['title']}")
    alike: float = fuzz.token_set_ratio(name, text)
    if plain(line["catalogue"]) in numbers:
        return 100.0 + alike / 10
    if differ(name, text) and differ(fold(title["title"]), text):
        return min(alike, UNLIKE)
    return alike * OTHER_NUMBER if numbers and plain(line["catalogue"]) else alike


# -- by hand ----------------------------------------------------------------------------------------


def tie(desk: Desk, n: int) -> None:
    """The line is a record that has its title: the one at hand, else the only one that is on no line, where
    the words fit at all. Of several, or of one with other words, a digit says which, the likeliest first, and
    last the one at hand where it is on another line; beside each stands what of the line is not its own.
    """
    parcel, here = desk.work.parcel, desk.work.record
    if parcel is None or parcel.closed or parcel.read_only:
        why = "the parcel is closed" if parcel is None or parcel.closed else "open for reading only"
        desk.say(f"{why}: its list stays as it is")
        return
    line, taken = parcel.head["list"][n], {one["record"] for one in parcel.head["list"]}
    free = [
        (_likeness(desk, record["title"], line), record)
        for record in desk.work.records
        if record["title"] is not None and record["state"] != "withdrawn" and record["id"] not in taken
    ]
    of_line = [record for _, record in sorted(free, key=lambda one: -one[0])]
    if here is not None and (here["title"] is None or here["state"] == "withdrawn"):
        here = None
    meant = here if here in of_line or not of_line else None
    if here is None and len(of_line) == 1:
        meant = of_line[0]
    if meant is not None and _fits(desk, meant, line):
        _tie_to(desk, n, meant)
    elif of_line or here is not None:
        offered = of_line[:MOST] if here is None or here in of_line else [*of_line[: MOST - 1], here]
        choices = [
            Choice(
                str(digit),
                _named(record),
                partial(_tie_to, desk, n, record),
                ends=_apart(desk, record, line, on_another=record not in of_line),
            )
            for digit, record in enumerate(offered, 1)
        ]
        desk.open.menu = Menu(f"Which record is '{line['line']}'?", tuple(choices), NOT_HERE, "tie")
    else:
        desk.say("not here yet: it is ticked off when you choose its title")


def _fits(desk: Desk, record: RecordDoc, line: ListLine) -> bool:
    """Whether line and record have any words in common."""
    return record["title"] is not None and _likeness(desk, record["title"], line) >= ALIKE


def _apart(desk: Desk, record: RecordDoc, line: ListLine, on_another: bool) -> tuple[str, ...]:
    """Of a record that a choice names: that it has a line already, else what of this line is not its own."""
    if on_another:
        return ("on another line now", "")
    return () if _fits(desk, record, line) else (f"not alike: {_unlike(record, line)}", "not alike")


def _unlike(record: RecordDoc, line: ListLine) -> str:
    """``artist, title, number``: what the line says otherwise than the record; of one of bare words those."""
    from rapidfuzz import fuzz

    title = record["title"]
    assert title is not None
    pairs = (
        ("artist", line["artist"], title["artist"]),
        ("title", line["title"], title["title"]),
        ("number", line["catalogue"], title["catalogue"]),
    )
    other = [
        name
        for name, said, known in pairs
        if said and fuzz.token_set_ratio(said.casefold(), known.casefold()) < ALIKE
    ]
    return ", ".join(other) or "its words"


def _named(record: RecordDoc) -> str:
    title = record["title"]
    assert title is not None
    return ", ".join(filter(None, (f"record {record['no']}", title["artist"], title["title"])))


def _tie_to(desk: Desk, n: int, record: RecordDoc) -> None:
    """The line that was this record before is open again."""
    parcel = desk.work.parcel
    assert parcel is not None
    with desk.act(f"record {record['no']} is the sender's line '{parcel.head['list'][n]['line']}'") as change:
        for line in change.head["list"]:
            if line["record"] == record["id"]:
                line["record"] = None
                line.pop("by_hand", None)
        change.head["list"][n]["record"] = record["id"]
        change.head["list"][n]["by_hand"] = True
