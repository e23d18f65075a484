"""The part in the hand: taking it, its order of questions, its grade."""

from functools import partial

from benchtui.desk.ask.asking import HERE as HERE
from benchtui.desk.ask.asking import ahead, next_question, order_of
from benchtui.desk.ask.asking import in_hand_order as in_hand_order
from benchtui.desk.ask.asking import is_incomplete as is_incomplete
from benchtui.desk.core.command import Legend, Need, command
from benchtui.desk.core.desk import Choice, Desk, Menu
from benchtui.desk.core.needs import disc_here, none_here, part_in_hand, record_here, unless
from benchtui.desk.line.lines import open_line
from benchtui.model.naming import part_name as part_name
from benchtui.model.record import (
    PART_KINDS,
    PartDoc,
    PartKind,
    RecordDoc,
    half_words,
    halves_of,
    is_here,
    is_touched,
    new_part,
    part_of,
    parts_of,
    sides_of,
    ungraded_half,
)


def take(desk: Desk, record: RecordDoc, part_id: str | None, side: str = "") -> None:
    """Take a part in the hand and freeze the order of its questions. The caller saves."""
    desk.work.part_id, desk.work.side, desk.work.held = part_id, side, False
    desk.asking.order, desk.asking.asked, desk.asking.asked_explicitly = [], None, False
    desk.asking.returning = ()
    part = part_of(record, part_id)
    if part is None:
        return
    if part["id"] not in desk.work.taken:
        desk.work.taken.append(part["id"])
    desk.asking.order = order_of(desk, part, desk.weighings.of(record, part_id))
    desk.asking.asked = next_question(desk, record)


def go_on(desk: Desk) -> bool:
    """Take up the part whose question is shown already, nothing being wanted of the one in the hand."""
    following = ahead(desk)
    if following is None:
        return False
    desk.work.part_id, desk.work.side, desk.asking.asked_explicitly = following.part["id"], "", False
    desk.asking.order, desk.asking.asked = list(following.order), following.asked
    if following.part["id"] not in desk.work.taken:
        desk.work.taken.append(following.part["id"])
    return True


def next_part(desk: Desk, record: RecordDoc) -> PartDoc | None:
    """The part to take next, going round in the order of handling from the one in the hand.

    Before all the one the evidence asks for, if it has not been in the hand yet; then what was not in
    the hand yet or still lacks its grade or its being there; at last simply the next. One that is not there
    only its own key takes.
    """
    parts = in_hand_order(record)
    here = next((n for n, part in enumerate(parts) if part["id"] == desk.work.part_id), -1)
    others = [part for part in parts[here + 1 :] + parts[: max(here, 0)] if part["id"] != desk.work.part_id]
    fresh = [part for part in others if part["id"] not in desk.work.taken and not is_touched(record, part)]
    weighing = desk.weighing()
    if weighing is not None and not weighing.settled:
        for part in fresh:
            if part["id"] == weighing.next_part and part["kind"] != "extra":
                return part
    waiting = [part for part in others if part in fresh or is_incomplete(part)]
    there = [part for part in others if part.get("state") != "missing"]
    return next(iter(waiting or there), None)


def hold(desk: Desk, part: PartDoc, side: str = "") -> None:
    """Take a part as a key of its own; moving the hand is kept but is no history."""
    record = desk.record
    take(desk, record, part["id"], side)
    desk.work.held = True
    if record["state"] == "empty" or desk.work.parcel is None:
        desk.place()
        return
    name = f"{part_name(record, part)}{' ' + half_words(side) if side else ''}"
    desk.say(f"{name}: is it there?" if desk.asking.asked == HERE else f"{name} in hand")
    desk.place()


def _other_part(desk: Desk) -> str:
    return unless(next_part(desk, desk.record), none_here(desk, "other part"))


def _kind(words: str, *kinds: str) -> Need:
    def why(desk: Desk) -> str:
        return unless(_of_kinds(desk.record, *kinds), none_here(desk, words))

    return why


def _of_kinds(record: RecordDoc, *kinds: str) -> list[PartDoc]:
    return [part for part in in_hand_order(record) if part["kind"] in kinds]


@command(
    "next-part",
    "bench",
    "the next part worth looking at",
    short="next part",
    group="Hand",
    also="go on forward",
    legend=Legend(record=40),
    needs=[_other_part],
    changes="nothing",
    one_write=True,
    order=30,
)
def take_next(desk: Desk) -> None:
    if (part := next_part(desk, desk.record)) is not None:
        hold(desk, part)


def _cycle(desk: Desk, *kinds: str) -> None:
    parts = _of_kinds(desk.record, *kinds)
    at = next((n for n, part in enumerate(parts) if part["id"] == desk.work.part_id), -1)
    hold(desk, parts[(at + 1) % len(parts)])


@command(
    "take-cover",
    "bench",
    "take the cover (or box, then wrap)",
    short="cover",
    group="Hand",
    also="sleeve jacket box wrap",
    needs=[_kind("cover", "cover", "box", "wrap")],
    changes="nothing",
    one_write=True,
    order=40,
)
def take_cover(desk: Desk) -> None:
    """The cover, or the box as a whole, then its base, its lid; then the wrap."""
    if not _next_half(desk, "box"):
        _cycle(desk, "cover", "box", "wrap")


@command(
    "take-inner",
    "bench",
    "take the inner sleeve; again: the next one",
    short="inner",
    group="Hand",
    also="sleeve liner",
    needs=[_kind("inner sleeve", "inner")],
    changes="nothing",
    one_write=True,
    order=60,
)
def take_inner(desk: Desk) -> None:
    _cycle(desk, "inner")


@command(
    "take-extra",
    "bench",
    "take the extra: insert, poster, obi; again: the next one",
    short="extra",
    group="Hand",
    also="booklet lyric sheet postcard strip sticker wrap-around what came with it",
    needs=[_kind("extra", "extra")],
    changes="nothing",
    one_write=True,
    order=65,
)
def take_extra(desk: Desk) -> None:
    """The next that was not looked for; from one of those simply the next."""
    part = desk.work.part
    if part is None or not (part["kind"] == "extra" and is_incomplete(part)):
        waiting = _after_in_hand(desk, "extra")
        if (first := next(filter(is_incomplete, waiting), None)) is not None:
            hold(desk, first)
            return
    _cycle(desk, "extra")


def _after_in_hand(desk: Desk, kind: PartKind) -> list[PartDoc]:
    """The parts of that kind, going round from the one in the hand."""
    parts = in_hand_order(desk.work.record) if desk.work.record else []
    at = next((n for n, part in enumerate(parts) if part["id"] == desk.work.part_id), -1)
    return [part for part in parts[at + 1 :] + parts[: at + 1] if part["kind"] == kind]


@command(
    "take-disc",
    "bench",
    "take the disc; again: its sides, the next",
    short="disc",
    group="Hand",
    also="vinyl lp side",
    needs=[_kind("disc", "disc")],
    changes="nothing",
    one_write=True,
    order=50,
)
def take_disc(desk: Desk) -> None:
    """Disc as a whole, then its first side, its second, then the next disc."""
    if not _next_half(desk, "disc"):
        _cycle(desk, "disc")


def _next_half(desk: Desk, kind: str) -> bool:
    """The part's first half after the whole, then its second; False where the part has been gone through."""
    record, part = desk.work.record, desk.work.part
    if record is None or part is None or part["kind"] != kind or not is_here(part):
        return False
    if not desk.work.side and ahead(desk) is not None:  # done with: it is taken anew before its halves are
        hold(desk, part)
        return True
    steps = ("", *halves_of(part))
    at = steps.index(desk.work.side) + 1 if desk.work.side in steps else len(steps)
    if desk.work.side and not desk.work.held and desk.work.side == ungraded_half(part):
        at -= 1  # the other half's grade brought the hand here already
    if at == len(steps):
        return False
    desk.work.side, desk.work.held = steps[at], True
    desk.say(
        f"{part_name(record, part)}, {half_words(desk.work.side)}: grade and faults are for this side only"
    )
    desk.place()
    return True


@command(
    "take-side",
    "bench",
    "one side of a disc, by letter",
    short="side",
    group="Hand",
    also="half face a b c d",
    needs=[disc_here],
    changes="nothing",
    order=55,
)
def side_menu(desk: Desk) -> None:
    """Every side there is, by its letter: side C is two keys away."""
    record = desk.record
    sides = [(side, disc) for disc in parts_of(record, "disc") for side in sides_of(disc)]
    choices = [
        Choice(
            side.casefold(),
            f"side {side}, {part_name(record, disc)}",
            partial(hold, desk, part=disc, side=side),
        )
        for side, disc in sides
    ]
    desk.open.menu = Menu("Which side?", tuple(choices), "grade and faults go to it alone", "side")


@command(
    "add-part",
    "bench",
    "add a disc, inner, wrap, box or extra",
    short="add part",
    group="Hand",
    also="insert poster booklet extra new",
    needs=[record_here],
    order=70,
)
def add_part_menu(desk: Desk) -> None:
    keys = "123456"
    desk.open.menu = Menu(
        "Add a part",
        tuple(
            Choice(key, kind, partial(_add_kind, desk, kind))
            for key, kind in zip(keys, PART_KINDS, strict=True)
        ),
        name="add-part",
    )


def _add_kind(desk: Desk, kind: PartKind) -> None:
    add_part(desk, kind)


def add_part(desk: Desk, kind: PartKind, name: str = "") -> None:
    """Add a part of that kind and take it in the hand."""
    if kind == "extra" and not name:
        open_line(desk, "extra-name", "extra", about="what it is: poster, booklet, lyric sheet ...")
        return
    with desk.act(
        f"record {desk.work.record['no'] if desk.work.record else 0}: {name or kind} added"
    ) as change:
        record = desk.changed(change)
        part = new_part(kind, owner_of(desk, record))
        if kind == "box":  # it came instead of the cover, not beside it
            record["parts"] = [p for p in record["parts"] if p["kind"] != "cover" or is_touched(record, p)]
        if kind in ("disc", "inner"):
            part["number"] = 1 + max(
                (p.get("number", 1) for p in record["parts"] if p["kind"] == kind), default=0
            )
        if kind == "extra":
            part.update({"name": name, "expected": False, "state": "present"})
        record["parts"].append(part)
        take(desk, record, part["id"])
        desk.work.held = True  # its grade comes next, whatever the evidence asks for


def owner_of(desk: Desk, record: RecordDoc) -> str:
    """Whose the part is: the record's own owner where that was said, else by the parcel's terms."""
    if desk.work.parcel is None:
        return "shop"
    said = next((part["owner"] for part in record["parts"] if "owner" in part), "")
    if record["terms"] is not None and said:
        return said
    head = desk.work.parcel.head
    terms = record["terms"] or head["terms"]
    if terms == "consigned" and (named := record.get("consignor")):
        return named
    return head["sender"] or "sender" if terms == "consigned" else "shop"


def _part(desk: Desk) -> object:
    return desk.work.part


@command(
    "not-here",
    "bench",
    "the part did not come with the record; press it again if it did",
    short="not there",
    group="Hand",
    also="missing absent gone lacks without",
    legend=Legend(record=90, when=_part),
    needs=[part_in_hand],
    one_write=True,
    often=70,
    order=80,
)
def not_here(desk: Desk) -> None:
    if desk.work.part is not None and is_here(desk.work.part):
        go_on(desk)  # nobody takes away a part that is finished with: the next one is meant
    record, part = desk.record, desk.part
    missing = is_here(part)
    name = part_name(record, part)
    with desk.act(f"record {record['no']}: {name} {'is not there' if missing else 'is there'}") as change:
        copy = desk.changed(change)
        changed = part_of(copy, part["id"])
        assert changed is not None
        if missing:
            changed["state"] = "missing"
        elif part["kind"] == "extra":
            changed["state"] = "present"
        else:
            changed.pop("state", None)
        take(desk, copy, part["id"])
