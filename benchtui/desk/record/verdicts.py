"""Notes, chores, setting apart, rulings, the pressing by hand, looking a second time."""

from functools import partial
from typing import Any

from benchtui.books.cautions import said_apart, said_at
from benchtui.books.ladder import is_proposed
from benchtui.desk.ask.asking import DOUBT, knows_pressings
from benchtui.desk.book.another import adopt, another_one, no_new_pressing
from benchtui.desk.core.command import Legend, command
from benchtui.desk.core.desk import Choice, Desk, Menu, OpenLine
from benchtui.desk.core.lives import has_left
from benchtui.desk.core.needs import part_in_hand, record_here, title_known, unless
from benchtui.desk.hand import hand
from benchtui.desk.line.lines import LINES, LineKind, close_line, open_line
from benchtui.desk.queue.queue import contradictions, verdicts_wanted
from benchtui.evidence import Likely, Weighing
from benchtui.evidence.clashes import unresolved, unruled
from benchtui.export.telling_pressing import UNLIKELY
from benchtui.model.record import NOT_BY_COMPANY, RecordDoc, Ruling, is_here, new_id, not_called, why_apart

CHORES = (
    ("c", "clean"),
    ("d", "dry"),
    ("r", "repair"),
    ("p", "play-test"),
    ("f", "photograph"),
    ("i", "find an insert"),
)
APART = (
    ("m", "mould"),
    ("s", "smell"),
    ("v", "insects or mice"),
    ("u", NOT_BY_COMPANY),
    ("o", "other"),
)
NEW_PRESSING = "n"
"""In the list of pressings the key for one that no book has."""
PRESSINGS = "123456789" + "abcdefghijklmnopqrstuvwxyz".replace(NEW_PRESSING, "")
"""The keys of those there are, the likeliest first."""
RULINGS: tuple[tuple[str, Ruling, str], ...] = (
    ("1", "own", "belongs to this copy"),
    ("2", "swapped", "came from another copy"),
    ("3", "unsure", "not sure"),
)


@command(
    "note",
    "bench",
    "write a note about the record",
    short="note",
    group="Record",
    also="comment remark text",
    legend=Legend(record=180),
    needs=[record_here],
    order=330,
)
def open_note(desk: Desk) -> None:
    open_line(desk, "note", "note", desk.record["note"], "anything worth saying; it goes out with the record")


def _take_note(desk: Desk, line: OpenLine) -> None:
    record, text = desk.work.record, line.text
    close_line(desk)
    if record is None or text == record["note"]:
        desk.say("")
        desk.place()
        return
    with desk.act(f"record {record['no']}: note") as change:
        desk.changed(change)["note"] = text


@command(
    "chore",
    "bench",
    "note work still to do, or set the record apart",
    short="chore",
    group="Grade",
    also="clean repair photograph task todo set apart quarantine smell",
    legend=Legend(record=170),
    needs=[record_here],
    often=60,
    order=320,
)
def chore_menu(desk: Desk) -> None:
    hand.go_on(desk)
    record = desk.record
    open_chores = {chore["what"] for chore in record["chores"] if not chore["done"]}
    choices = [
        Choice(key, what, partial(add_chore, desk, what), "•" if what in open_chores else "")
        for key, what in CHORES
    ]
    if record["set_apart"] is None:
        choices += [Choice(key, f"set apart: {why}", partial(set_apart, desk, why)) for key, why in APART]
    else:
        choices.append(
            Choice(
                "b",
                f"back to stock: no longer set apart for {why_apart(record['set_apart'])}",
                partial(release, desk),
            )
        )
    desk.open.menu = Menu(
        "Work to do, or set apart",
        tuple(choices),
        "• on the list already: the key again takes it off",
        "chore",
    )


def add_chore(desk: Desk, what: str) -> None:
    """A chore for the part in the hand, or away with it if it stood there."""
    record, part = desk.work.record, desk.work.part
    if record is None:
        return
    part_id = part["id"] if part and what != "find an insert" else ""
    standing = [
        c for c in record["chores"] if c["what"] == what and not c["done"] and c["part"] in (part_id, "")
    ]
    name = f" {hand.part_name(record, part)}" if part and part_id else ""
    with desk.act(f"record {record['no']}: {'no longer to ' if standing else ''}{what}{name}") as change:
        copy = desk.changed(change)
        if standing:
            gone = {chore["id"] for chore in standing}
            waived = [[chore["what"], chore["part"]] for chore in standing if chore["by"] == "rule"]
            if waived:  # the dealer's word goes before the rule, at take-in too
                copy["waived"] = [*copy.get("waived", []), *waived]
            copy["chores"] = [chore for chore in copy["chores"] if chore["id"] not in gone]
        else:
            copy["chores"].append(
                {
                    "id": new_id("c"),
                    "what": what,
                    "part": part_id,
                    "note": "",
                    "by": "key",
                    "at": desk.now(),
                    "done": None,
                }
            )
    if not standing and (mind := _to_mind(desk, record, what, part_id)):
        desk.say(f"{desk.open.message}. Caution: {mind}", "done")


def _to_mind(desk: Desk, record: RecordDoc, what: str, part_id: str) -> str:
    """What to mind at that work on that part ("": on any of the record), as the work list says it."""
    parts = [part for part in record["parts"] if is_here(part) and part_id in ("", part["id"])]
    faults = {fault.id: fault for fault in desk.references.faults}
    return "; ".join(said_at(what, parts, faults, why_apart(record["set_apart"])))


def set_apart(desk: Desk, why: str) -> None:
    record = desk.work.record
    if record is None:
        return
    with desk.act(f"record {record['no']} set apart: {why}") as change:
        desk.changed(change)["set_apart"] = {"why": why, "note": "", "at": desk.now()}
    if mind := said_apart(why):
        desk.say(f"{desk.open.message}. Caution: {mind}", "done")


def release(desk: Desk) -> None:
    record = desk.work.record
    if record is None:
        return
    with desk.act(f"record {record['no']} no longer set apart") as change:
        desk.changed(change)["set_apart"] = None


def _doubted(desk: Desk) -> object:
    """Whether the part in the hand is likely another copy's, or of another time than the others."""
    weighing, part = desk.weighing(), desk.work.part
    if weighing is None or part is None or not is_here(part):
        return False
    agreement, record = weighing.agreement.get(part["id"]), desk.work.record
    doubtful = unresolved(record, weighing.clashes) if record is not None else []
    apart = any(part["id"] in clash.parts and not clash.within for clash in doubtful)
    return apart or (agreement is not None and agreement.p_swapped >= DOUBT)


@command(
    "ruling",
    "bench",
    "say whether the part belongs to this copy",
    short="belongs?",
    group="Look",
    also="belongs swapped original married ruling",
    legend=Legend(record=30, when=_doubted),
    needs=[part_in_hand],
    often=130,
    order=270,
)
def ruling_menu(desk: Desk) -> None:
    """Of the part in the hand; of one that is done, where another waits for its verdict, of that one."""
    hand.go_on(desk)
    record, wanted = desk.record, _to_rule(desk, desk.record)
    if wanted and desk.work.part_id not in wanted and not desk.work.held:
        hand.take(desk, record, wanted[0])
    part = desk.part
    choices = [
        Choice(
            key,
            words,
            partial(rule, desk, ruling),
            "•" if record["rulings"].get(part["id"]) == ruling else "",
        )
        for key, ruling, words in RULINGS
    ]
    choices.append(
        Choice("4", "make it the main part: it decides what the record is", partial(make_anchor, desk))
    )
    desk.open.menu = Menu(f"Your verdict: {hand.part_name(record, part)} ...", tuple(choices), name="belongs")


def _to_rule(desk: Desk, record: RecordDoc) -> list[str]:
    """The parts that wait for a verdict, in the order in which the hand takes them."""
    weighing = desk.weighing()
    if weighing is None:
        return []
    apart = {part for one in unresolved(record, weighing.clashes) if not one.within for part in one.parts}
    apart |= {part["id"] for part in unruled(record, weighing)}
    return [part["id"] for part in hand.in_hand_order(record) if part["id"] in apart]


def rule(desk: Desk, ruling: Ruling) -> None:
    """The dealer's own word on a part; it stands whatever the odds say."""
    record, part = desk.work.record, desk.work.part
    if record is None or part is None:
        return
    words = next(words for _, known, words in RULINGS if known == ruling)
    with desk.act(f"record {record['no']}: {hand.part_name(record, part)} {words}") as change:
        desk.changed(change)["rulings"][part["id"]] = ruling


def make_anchor(desk: Desk) -> None:
    record, part = desk.work.record, desk.work.part
    if record is None or part is None:
        return
    with desk.act(f"record {record['no']}: {hand.part_name(record, part)} is the main part") as change:
        desk.changed(change)["anchor"] = part["id"]


def _pressings(desk: Desk) -> str:
    known = knows_pressings(desk.weighing()) or not no_new_pressing(desk)
    return unless(known, "no book has a pressing of this title, and nothing was seen yet to make one of")


@command(
    "pressing",
    "bench",
    "choose the pressing yourself",
    short="pressing",
    group="Look",
    also="issue edition version reissue decide",
    legend=Legend(record=200),
    needs=[title_known, _pressings],
    often=140,
    order=260,
)
def pressing_menu(desk: Desk) -> None:
    weighing = desk.weighing()
    listed = weighing.pressings if weighing is not None and knows_pressings(weighing) else ()
    choices = [
        Choice(
            key,
            likely.name,
            partial(call_it, desk, likely),
            "•" if is_chosen(desk.record, likely) else "",
            (percent(likely.p),),
        )
        for key, likely in zip(PRESSINGS, listed, strict=False)
    ]
    if not no_new_pressing(desk):
        choices.append(
            Choice(
                NEW_PRESSING, "another one: a new pressing as this copy shows it", partial(another_one, desk)
            )
        )
    choices.append(Choice("0", "leave it to the evidence", partial(call_it, desk, None)))
    desk.open.menu = Menu(
        "Which pressing is it?", tuple(choices), "your choice counts, whatever the odds say", "pressing"
    )


def is_chosen(record: RecordDoc, likely: Likely) -> bool:
    """Whether the dealer named that one, be it "none of these"."""
    called = record["pressing"]
    if called["how"] != "hand":
        return False
    return likely.is_called(called["id"]) if called["id"] else likely.id is None


def leading_first(record: RecordDoc | None, weighing: Weighing) -> list[Likely]:
    """The pressings by their odds, the one that the dealer named before all."""
    return sorted(
        weighing.pressings, key=lambda likely: not (record is not None and is_chosen(record, likely))
    )


def call_it(desk: Desk, likely: Likely | None) -> None:
    """The dealer's own word on the pressing; None leaves it to the evidence again."""
    record = desk.work.record
    if record is None:
        return
    if likely is not None and is_proposed(likely.id):
        title = desk.book_title
        for one in title.pressings if title else ():
            if one.id == likely.id:
                adopt(desk, one)
        return
    words = f"pressing chosen: {likely.name}" if likely else "pressing left to the evidence"
    with desk.act(f"record {record['no']}: {words}") as change:
        copy = desk.changed(change)
        if likely is None:
            copy["pressing"] = not_called()
        else:
            copy["pressing"] = likely.by_hand()
            if likely.id is not None and (weighing := desk.weighing()) is not None:
                copy["pressing"]["bench"] = weighing.witness(likely.id)
    if likely is not None and likely.id is not None and likely.p < UNLIKELY:
        odds = percent(likely.p).strip()
        against = f"what was seen speaks against it ({odds}): it goes out as your own judgement"
        desk.say(f"{desk.open.message}; {against}", "clash")


def _second_look_wanted(desk: Desk) -> object:
    record, weighing = desk.work.record, desk.weighing()
    wanted = weighing is not None and weighing.second_look and not has_left(record)
    return wanted or (record is not None and contradictions(desk, record))


def _says_so(desk: Desk) -> object:
    """Whether that it is so is the answer to what is on the screen: where a clue is left, looking is."""
    record, weighing = desk.work.record, desk.weighing()
    if record is not None and contradictions(desk, record):
        return True
    second = weighing.second_look if weighing is not None and not has_left(record) else None
    return second is not None and second.clue is None


def _second_look(desk: Desk) -> str:
    verdicts = verdicts_wanted(desk, desk.record)
    return unless(_second_look_wanted(desk), verdicts[0] if verdicts else "no second look is needed here")


@command(
    "looked",
    "bench",
    "looked again, it is so: do not ask again",
    short="looked again",
    group="Look",
    also="second look checked",
    legend=Legend(record=20, when=_says_so),
    needs=[_second_look],
    order=250,
)
def looked(desk: Desk) -> None:
    """Looked a second time: what contradicts itself is so, else the second look is silent about its clue."""
    record, weighing = desk.record, desk.weighing()
    if again := contradictions(desk, record):
        with desk.act(f"record {record['no']}: looked again, it is so") as change:
            desk.changed(change)["looked"] += [{**so, "at": desk.now()} for _, so in again]
        return
    second = weighing.second_look if weighing else None
    if second is None:
        return
    leader = weighing.leader if weighing else None
    entry: dict[str, Any] = {
        "part": second.part,
        "place": second.place,
        "clue": second.clue.id if second.clue else "",
        "at": desk.now(),
    }
    if weighing is not None and leader is not None and leader.p >= weighing.stop.at and not second.imitation:
        entry |= {"called": leader.id, "cost": second.cost.minor}
    with desk.act(f"record {record['no']}: looked a second time") as change:
        desk.changed(change)["looked"].append(entry)
    if verdicts := verdicts_wanted(desk, record):
        desk.say(f"{desk.open.message}; still wanted: {verdicts[0]}")


LINES["note"] = LineKind(_take_note, one_write=True)


def percent(share: float) -> str:
    """`` 62%``, ``>99%``, `` <1%``: four cells; nothing that is not certain is called so."""
    if 0.995 <= share < 1:
        return ">99%"
    if 0 < share < 0.005:
        return " <1%"
    return f"{share * 100:3.0f}%"
