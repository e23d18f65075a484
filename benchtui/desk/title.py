"""Recognising the title: completion, picking, a new one from what was typed, repeating the last copy."""

from collections.abc import Iterator
from functools import partial
from typing import Any

from benchtui.books.shape import BookTitle
from benchtui.desk import hand
from benchtui.desk.background import load_on
from benchtui.desk.command import Legend, command
from benchtui.desk.core import Desk, OpenLine, Pick
from benchtui.desk.foresight import foreseen_parts
from benchtui.desk.lines import LINES, LineKind, close_line, marked_pick, open_line, refresh, settle
from benchtui.desk.needs import record_here
from benchtui.desk.title_picks import picks_for, steps_for
from benchtui.model.parcel import ListLine
from benchtui.model.record import PartKind, RecordDoc, TitleRef, new_part
from benchtui.model.title import Title
from benchtui.store import Change
from benchtui.titles import read_barcode
from benchtui.titles.lists import signature

ABOUT = "letters of artist, title or number, in any order; Enter takes the marked line"


@command(
    "find-title",
    "bench",
    "which record is it? a few letters find it",
    short="title",
    group="Record",
    also="artist album search identify catalogue barcode",
    legend=Legend(untitled=10),
    needs=[record_here],
    one_write=True,
    often=80,
    order=20,
)
def find_title(desk: Desk) -> None:
    """Open the title line, empty or with what it held when it was left."""
    if desk.work.record is None:
        desk.refuse("no record on the bench: take one from the queue")
        return
    _look_for_lists(desk)
    open_line(desk, "title", "title", about=ABOUT)


def _look_for_lists(desk: Desk) -> None:
    """Load the title lists anew where the command line, or another bench, changed them since."""
    from benchtui.desk.titles_in import load_again  # which no first screen wants

    now = signature(desk.shop.path / "titles")
    was, desk.background.lists_seen = desk.background.lists_seen, now
    if was is not None and was != now and desk.background.job is None:
        desk.background.job = load_again(desk)


def _suggest(desk: Desk, line: OpenLine) -> list[Pick]:
    return picks_for(desk, line.text)


def _steps(desk: Desk, line: OpenLine) -> Iterator[list[Pick]]:
    return steps_for(desk, line.text)


def _typed(desk: Desk, line: OpenLine) -> None:
    """A barcode whose check digit is wrong is said at once, without a sound: more digits may come.

    A take-in pressed twice is no title: its second sign goes nowhere.
    """
    if line.text == desk.key("take-in") and not line.text.isalnum():
        line.text = ""
        refresh(desk)
        return
    remark = desk.finder.remark(line.text)
    if remark:
        desk.open.message, desk.open.tone = remark, "refused"
    elif line.text and not len(desk.finder):
        desk.open.message = (
            "no titles are known yet: artist - title - number makes one; F5 on the page of parcels"
        )
        desk.open.message, desk.open.tone = f"{desk.open.message} takes in a list", "plain"


def _accept(desk: Desk, line: OpenLine) -> None:
    pick = marked_pick(line)
    if pick is None and line.text.strip() and not line.picks:  # the lists may have come since it was typed
        while load_on(desk):
            pass
        refresh(desk)
        settle(desk)
        pick = marked_pick(line)
    if pick is not None:
        title: Title = pick.value
        new = not title.id  # known from the sender's list only
        if new:
            title = make_title(desk, title.artist, title.title, title.catalogue)
        close_line(desk)
        take_title(desk, title, new)
    elif line.text.strip():
        _new_if_meant(desk, line)
    else:
        close_line(desk)
        desk.say("")
        desk.place()


def _new_if_meant(desk: Desk, line: OpenLine) -> None:
    """Enter on what no list knows: ``artist - title`` is meant as a new title; a bare word only when pressed
    once more, since it is as likely a slip.
    """
    text = line.text.strip()
    barcode = read_barcode(text)
    plain = " - " not in text and " / " not in text and (barcode is None or barcode.valid is None)
    if plain and line.data.get("unknown") != text:
        line.data["unknown"] = text
        desk.refuse(f"nothing fits '{text}'; Enter once more makes it a new title (artist - title - number)")
        desk.place()
        return
    _new(desk, line)


def _new(desk: Desk, line: OpenLine) -> None:
    """A new title from what was typed: ``artist - title - number``, the last two may be missing.

    On the empty line there is nothing to make: the record before is repeated, for a second copy.
    """
    text = " ".join(line.text.split())
    if not text:
        close_line(desk)
        from benchtui.desk.repeating import copy_last

        if not copy_last(desk):
            desk.refuse("nothing to repeat yet: type artist - title - number")
            desk.place()
        return
    barcode = read_barcode(text)
    if barcode is not None and barcode.valid is not None:
        unknown = f"no list knows the barcode {barcode.digits}: type artist - title - number"
        desk.refuse(barcode.say or unknown)
        return
    pieces = [piece.strip() for piece in text.replace(" / ", " - ").split(" - ")]
    artist, name = (pieces[0], pieces[1]) if len(pieces) > 1 else ("", pieces[0])
    title = make_title(desk, artist, name, " - ".join(pieces[2:]))
    close_line(desk)
    take_title(desk, title, new=True)


def make_title(desk: Desk, artist: str, name: str, catalogue: str) -> Title:
    """A title of the shop's own: in the shop's file first, so that the parcel never refers to nothing."""
    fields: dict[str, Any] = {"artist": artist, "title": name, "catalogue": catalogue}
    title = Title(id=desk.shop.add_title(fields), artist=artist, title=name, catalogue=catalogue)
    desk.finder.add(title)
    return title


def take_title(desk: Desk, title: Title, new: bool = False) -> None:
    """Give the record this title: everything the lists know is filled in, the first part is taken up."""
    record, parcel = desk.work.record, desk.work.parcel
    if record is None or parcel is None:
        return
    before = [
        r
        for r in desk.work.records
        if r["title"] and r["title"]["id"] == title.id and r["id"] != record["id"]
    ]
    name = ", ".join(filter(None, (title.artist, title.title)))
    with desk.act(f"record {record['no']}: {'new title ' if new else ''}{name}") as change:
        copy = desk.changed(change)
        dress(desk, copy, record["title"], title)
        copy["parts"] = foreseen_parts(desk, record, title) or copy["parts"]
        tick_off(desk, change, copy)
        first = next(iter(hand.in_hand_order(copy)), None)
        hand.take(desk, copy, first["id"] if first else None)
    desk.background.later.add(partial(desk.shop.note_pick, title.id, parcel.head["sender"]))
    if not desk.background.patient:
        desk.background.later.do()
    old = record["title"]
    if old is not None and old["id"] != title.id:
        desk.say(
            f"{desk.open.message}; it was {old['title']} before, {desk.key('undo')} takes that back", "clash"
        )
    elif before:
        desk.say(
            f"{desk.open.message}; a copy stands at {before[-1]['no']}: "
            f"{desk.key('ditto')} repeats its answers",
            "done",
        )


def dress(desk: Desk, record: RecordDoc, before: TitleRef | None, title: Title) -> None:
    """Everything the lists and books know of a title goes into a copy of the record."""
    known, channels = desk.library.title(title.id), title.channels
    channels = channels or (known.channels if known else "")
    record["title"] = title_ref(title)
    record["channels"] = channels if channels in ("mono", "stereo") else ""
    record["size_in"] = title.size_in or (known.size_in if known else 12)
    fill_parts(desk, before, record, title)


def title_ref(title: Title) -> TitleRef:
    """What the record keeps of its title, so that it stands alone."""
    return {
        "id": title.id,
        "artist": title.artist,
        "title": title.title,
        "catalogue": title.catalogue,
        "first": title.first,
        "company": title.company,
        "country": title.country,
        "book": title.book,
    }


def fill_parts(desk: Desk, before: TitleRef | None, record: RecordDoc, title: Title) -> None:
    """The parts such a title comes in, and the extras it should have; what the dealer already said stays."""
    owner, known = hand.owner_of(desk, record), desk.library.title(title.id)
    if not {part["kind"] for part in record["parts"]} & {"cover", "box"}:
        record["parts"].append(new_part("cover", owner))
    was = _comes_with(1, desk.library.title(before["id"])) if before else (0, 0)
    discs, inners = _comes_with(title.discs, known)
    material = known.material if known else "vinyl"
    _fit_kind(record, "disc", (was[0], discs), owner, material=material)
    _fit_kind(record, "inner", (was[1], inners), owner)
    expected = expected_extras(known) if known else []
    record["parts"] = [
        part
        for part in record["parts"]
        if not (
            part["kind"] == "extra"
            and part.get("expected")
            and part.get("state") == "unknown"
            and part.get("name") not in expected
        )
    ]
    names = {part.get("name") for part in record["parts"] if part["kind"] == "extra"}
    for name in expected:
        if name not in names:
            record["parts"].append(new_part("extra", owner, name=name, expected=True, state="unknown"))


def _comes_with(discs: int, known: BookTitle | None) -> tuple[int, int]:
    """How many discs and inners a title has; one the books do not know has an inner to each disc."""
    if known is None:
        return max(1, discs), max(1, discs)
    return known.discs, max(known.inners, known.discs) if known.inners else 0


def _fit_kind(record: RecordDoc, kind: PartKind, counts: tuple[int, int], owner: str, **fields: Any) -> None:
    """As many as this title comes with; what one picked by mistake brought goes if nobody touched it."""
    was, count = counts
    record["parts"] = [
        part
        for part in record["parts"]
        if part["kind"] != kind or not count < part.get("number", 1) <= was or hand.is_touched(record, part)
    ]
    have = {part.get("number", 1) for part in record["parts"] if part["kind"] == kind}
    record["parts"] += [
        new_part(kind, owner, number=n, **fields) for n in range(1, count + 1) if n not in have
    ]


def expected_extras(known: BookTitle) -> list[str]:
    """Every extra that some pressing of the title came with, in the book's order."""
    names = list(known.extras)
    for pressing in known.pressings:
        names += [name for name in pressing.extras if name not in names]
    return list(dict.fromkeys(names))


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

    plain = {_plain(number) for number in numbers} - {""}
    wanted = f"{title['artist']} {title['title']}".casefold()
    scored = []
    for line in lines:
        text = " ".join(filter(None, (line["artist"], line["title"]))) or line["line"]
        same_number = _plain(line["catalogue"]) in plain
        score = 100.0 if same_number else fuzz.token_set_ratio(wanted, text.casefold())
        scored.append((score, line))
    best = max(scored, key=lambda pair: pair[0], default=None)
    return best[1] if best and best[0] >= 85 else None


def _plain(number: str) -> str:
    """A catalogue number without spaces, dashes and case."""
    return "".join(char for char in number.casefold() if char.isalnum())


def _take_extra_name(desk: Desk, line: OpenLine) -> None:
    name = " ".join(line.text.split())
    close_line(desk)
    if not name:
        desk.say("")
        desk.place()
        return
    hand.add_part(desk, "extra", name)


LINES["title"] = LineKind(_accept, _suggest, typed=_typed, new=_new, steps=_steps, one_write=True)
LINES["extra-name"] = LineKind(_take_extra_name, one_write=True)
