"""The runout line: side by side in shorthand, with the full inscription read back while typing."""

import re

from benchtui.books.shape import Clue
from benchtui.desk.ask.asking import ahead, is_insisted, is_runout, next_question, typed_on
from benchtui.desk.core.command import Legend, command
from benchtui.desk.core.desk import Asked, Desk, OpenLine
from benchtui.desk.core.needs import disc_here
from benchtui.desk.core.shapes import RUNOUT
from benchtui.desk.hand import hand
from benchtui.desk.line.lines import LINES, LineKind, begin, close_line, left_at, open_line, type_text
from benchtui.desk.look import clues
from benchtui.evidence import Runout, cuts_of, other_side, read_runout
from benchtui.model.record import PartDoc, RecordDoc, SideDoc, is_here, part_of, parts_of, sides_of

ABOUT = "1 or 1b 3un, 1|2 for either, or the whole inscription; Enter takes it and goes on to the other side"
GLUED, RARE = re.compile(r"(\d)(\d)([A-Za-z]{1,5})"), 20
"""Cut, mother and stamper without a space; a cut from which on it is rather those (no source)."""
SAME = "="
"""Typed first on the second side: as the first side reads."""


def _disc_in_hand(desk: Desk) -> object:
    return desk.work.part is not None and is_here(desk.work.part) and desk.work.part["kind"] == "disc"


@command(
    "runout",
    "bench",
    "write down the runouts, one side after the other",
    short="runout",
    group="Look",
    also="matrix deadwax etching stamper inscription",
    legend=Legend(record=80, when=_disc_in_hand),
    needs=[disc_here],
    one_write=True,
    often=20,
    order=230,
)
def open_runout(desk: Desk) -> None:
    following = ahead(desk)
    if following is not None and following.part["kind"] == "disc" and _is_written(desk):
        hand.go_on(desk)
    record = desk.record
    disc = disc_in_question(desk, record)
    if disc["id"] != desk.work.part_id:
        hand.take(desk, record, disc["id"])
    sides = sides_of(disc)
    _open(desk, disc, desk.work.side or _side_to_write(desk, disc, sides))


def _side_to_write(desk: Desk, disc: PartDoc, sides: tuple[str, str]) -> str:
    """Where Escape left half a runout, written already or not; else the first that is not written."""
    left = [side for side in sides if left_at(desk, "runout", side=side, disc=disc["id"])]
    return next(iter([*left, *(side for side in sides if not typed_on(disc, side)), *sides]))


def _is_written(desk: Desk) -> bool:
    """Whether no runout is wanted of the part in the hand: it is no disc, or both its sides are written."""
    record, part = desk.work.record, desk.work.part
    if record is None or part is None or part["kind"] != "disc":
        return True
    return all(typed_on(part, side) for side in sides_of(part))


def write_side(desk: Desk, side: str, begun: str) -> None:
    """Open the line of that side of the disc in the hand with its first figure typed already."""
    record, disc = desk.work.record, desk.work.part
    if record is not None and disc is not None:
        _open(desk, disc, side, "")
        if begun == SAME:
            type_text(desk, begun)
        else:
            begin(desk, begun)


def as_the_first(desk: Desk) -> str:
    """The second side, where it is asked now and the first is written; "" else."""
    record, disc, asked = desk.work.record, desk.work.part, desk.asking.asked
    if record is None or disc is None or asked is None or not is_runout(desk, asked):
        return ""
    side = asked[0].split()[-1]
    return side if _of_the_first(disc, side) else ""


def disc_in_question(desk: Desk, record: RecordDoc) -> PartDoc:
    """The disc in the hand, else the first that is there."""
    part = part_of(record, desk.work.part_id)
    if part is not None and part["kind"] == "disc" and is_here(part):
        return part
    return parts_of(record, "disc")[0]


def _open(desk: Desk, disc: PartDoc, side: str, text: str | None = None) -> None:
    typed = typed_on(disc, side) if text is None else text
    open_line(desk, "runout", f"runout {side}", typed, ABOUT, replace=bool(typed), side=side, disc=disc["id"])
    _show(desk, desk.open.line)


def reading(desk: Desk, typed: str, side: str) -> Runout:
    """What the shorthand says for that side of the record's title."""
    return read_runout(typed, side, desk.book_title, desk.library)


def _show(desk: Desk, line: OpenLine | None) -> None:
    """The reading beside the line while it is typed."""
    if line is None:
        return
    text = line.text.strip()
    found = reading(desk, text, line.data["side"]) if text else None
    line.about = f"{found.full}  {found.say}".strip() if found else _about(desk, line)


def _about(desk: Desk, line: OpenLine) -> str:
    """What the empty line takes; on the second side what stands on the first."""
    disc = _disc(desk, line)
    first = "" if disc is None else _of_the_first(disc, line.data["side"])
    return f"the first side is {first}: {SAME} reads the same here; {ABOUT}" if first else ABOUT


def _typed(desk: Desk, line: OpenLine) -> None:
    """Nothing typed is taken before Enter, for any company; only the sign for the same takes itself."""
    if line.text != SAME or not _same(desk, line):
        _show(desk, line)


def _of_the_first(disc: PartDoc, side: str) -> str:
    """What was typed of the first side, where ``side`` is the second; else ""."""
    first = sides_of(disc)[0]
    return "" if side == first else typed_on(disc, first)


def _same(desk: Desk, line: OpenLine) -> bool:
    """Write this side as the first one reads: same cut, mother, stamper. False for the first itself."""
    disc, side = _disc(desk, line), line.data["side"]
    typed = "" if disc is None else _of_the_first(disc, side)
    if disc is None or not typed:
        return False
    first = reading(desk, typed, sides_of(disc)[0])
    other = other_side(first, side, desk.book_title, desk.library)
    line.text = typed if reading(desk, typed, side).full == other.full else other.typed
    _take(desk, line)
    return True


def _disc(desk: Desk, line: OpenLine) -> PartDoc | None:
    return part_of(desk.work.record, line.data["disc"]) if desk.work.record else None


def _accept(desk: Desk, line: OpenLine) -> None:
    if not line.text.strip():
        close_line(desk)
        desk.say(f"runout {line.data['side']} left open")
        desk.place()
        return
    disc = _disc(desk, line)
    if disc is not None and line.text == line.opened == typed_on(disc, line.data["side"]):
        close_line(desk)
        desk.say(f"runout {line.data['side']} stays as it is")
        desk.place()
        return
    doubt = _doubt(desk, line.text.strip(), line.data["side"])
    if doubt and line.data.get("so") != line.text:
        line.data["so"] = line.text
        desk.refuse(f"{doubt}; {desk.key('line-accept')} once more takes it as it is")
        return
    _take(desk, line)


def _doubt(desk: Desk, text: str, side: str) -> str:
    """Why it may be a slip: a cut that no pressing has, or one word of letters alone, which is no cut."""
    found = reading(desk, text, side)
    if spaced := _spaces_forgotten(desk, text, side):
        return f"read as cut {found.cut}, which no pressing has: was it {spaced}? Type the spaces"
    if text.isalpha() and not found.cut:
        return f"{text} is a word without a figure: was it meant? One that is scratched is typed <{text}>"
    return ""


def _spaces_forgotten(desk: Desk, text: str, side: str) -> str:
    """``5 1 UE`` of ``51ue``, where no pressing of the title has such a cut; "" for what is no such text.

    Of a title without known cuts only one from 20 on is asked about: so many are rare.
    """
    glued, title = GLUED.fullmatch(text), desk.book_title
    if glued is None:
        return ""
    known = {cut for one in (title.pressings if title else ()) for pair, _ in one.cuts for cut in pair}
    rare = reading(desk, text, side).cut not in known if known else int(glued[1] + glued[2]) >= RARE
    return f"{glued[1]} {glued[2]} {glued[3].upper()}" if rare else ""


def _take(desk: Desk, line: OpenLine) -> None:
    """Write the side; behind the first one the second one's line opens, with what stands there marked."""
    record, disc, side = desk.work.record, _disc(desk, line), line.data["side"]
    if record is None or disc is None:
        close_line(desk)
        return
    found = reading(desk, line.text.strip(), side)
    close_line(desk)
    sides = sides_of(disc)
    with desk.act(f"record {record['no']}, runout {side}: {found.full or found.typed}") as change:
        copy = desk.changed(change)
        changed = part_of(copy, disc["id"])
        assert changed is not None
        changed.setdefault("sides", {})[side] = side_doc(found)
        _answer_cut(desk, copy, changed, side, found)
        if desk.work.part_id == changed["id"]:
            desk.work.held = False
            _ask_on(desk, copy, side)
    if found.belongs is False:
        desk.say(f"runout {side}: {found.say}{_as_a_scratch(found)}", "clash")
    now = _disc_now(desk, disc["id"])
    if side == sides[0] and desk.work.record is not None and now is not None:
        message, tone = desk.open.message, desk.open.tone
        _open(desk, now, sides[1])
        desk.open.message, desk.open.tone = message, tone


def _as_a_scratch(found: Runout) -> str:
    """How words without a figure are typed where they are only scratched beside the number."""
    words = not any(sign.isdigit() for sign in found.typed) and not any(sign in found.typed for sign in "<>")
    return f"; type what is only scratched there as <{found.typed}>" if words else ""


def _ask_on(desk: Desk, record: RecordDoc, side: str) -> None:
    """The question after the runout; where another one was gone to, that stays."""
    asked = desk.asking.asked
    answered = asked is not None and is_runout(desk, asked) and asked[0].split()[-1] == side
    insisted = not desk.asking.asked_explicitly and is_insisted(desk)
    clues.leave_behind(desk, _question(desk, side))  # the way back leads over both sides, whichever was asked
    if answered or not (insisted or desk.asking.asked_explicitly):
        desk.asking.asked, desk.asking.asked_explicitly = next_question(desk, record, insisted), False


def _left(desk: Desk, line: OpenLine) -> None:
    """Half a runout was left: its side is what is asked, so that a digit or the key goes on with it."""
    record, disc, side = desk.work.record, _disc(desk, line), line.data["side"]
    if record is None or disc is None or disc["id"] != desk.work.part_id or typed_on(disc, side):
        return
    desk.asking.asked = _question(desk, side)


def _question(desk: Desk, side: str) -> Asked:
    place = f"runout {side}"
    listed = (one for one in desk.asking.order if one[0] == place and is_runout(desk, one))
    return next(listed, (place, RUNOUT))


def _disc_now(desk: Desk, disc_id: str) -> PartDoc | None:
    return part_of(desk.work.record, disc_id) if desk.work.record else None


def side_doc(found: Runout) -> SideDoc:
    """As typed is always kept, beside what was read out of it."""
    return {
        "typed": found.typed,
        "full": found.full,
        "cut": found.cut,
        "mother": found.mother,
        "stamper": found.stamper,
    }


def cut_clue(desk: Desk, record: RecordDoc, disc: PartDoc) -> Clue | None:
    """The clue through which a cut speaks for pressings, if the title's book has one."""
    return next((clue for clue in desk.library.clues_for(record, disc) if clue.form == "cut"), None)


def _answer_cut(desk: Desk, record: RecordDoc, disc: PartDoc, side: str, found: Runout) -> None:
    clue = cut_clue(desk, record, disc)
    if clue is None:
        return
    place = f"{clue.place} {side}"
    clues.drop_answer(record, disc["id"], place, clue.id)
    if found.cut and found.belongs is not False:
        listed = [clue.answer(cut) or clue.answer("other") for cut in cuts_of(found.cut)]
        answers = list(dict.fromkeys(answer for answer in listed if answer is not None))
        if answers:
            clues.put_answer(desk, record, disc["id"], place, clue, answers[0], found.full, found.full)
        if len(answers) > 1:
            record["answers"][-1]["also"] = [one.id for one in answers[1:]]


LINES["runout"] = LineKind(_accept, typed=_typed, left=_left, one_write=True)
