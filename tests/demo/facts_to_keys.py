"""Presses the facts of demo/parcel.toml into a desk, and writes down which keys that took.

The key scripts in demo/ are made with it (see make_demo.py), so that they follow when a book, a
clue or a key changes. It does what a dealer would: a few letters until the right title stands first,
the questions as they come up until the pressing is settled, passing over what cannot be told.
"""

import re
from datetime import date
from typing import Any

from benchtui.desk.ask.asking import ahead, is_runout, wants_grade
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.keys import key_name
from benchtui.desk.hand import hand, prices
from benchtui.desk.keyboard.press import press
from benchtui.desk.line.lines import type_text
from benchtui.desk.look.title_picks import picks_for
from benchtui.desk.queue import queue
from benchtui.model.record import PartDoc, answer_to

Facts = dict[str, Any]
_GRADES = {"M": "m", "NM": "n", "VG": "v", "G": "g", "F": "f", "P": "p"}
_TAKE = {"cover": "c", "box": "c", "disc": "d", "inner": "i"}
_JOIN = re.compile(r'"((?:[^"\n]|"")*)" "((?:[^"\n]|"")*)"(?=\s)')


class Presser:
    """Keys into a desk, and out into a script."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self.out: list[str] = []

    def key(self, *keys: str) -> None:
        for one in keys:
            press(self.desk, key_name(one))
            self.out.append(one)

    def type(self, text: str) -> None:
        """Type into the open line, as its editor would: what is marked is replaced."""
        if not text:
            return
        self.out.append('"' + text.replace('"', '""') + '"')
        line = self.desk.open.line
        if line is None:
            raise AssertionError(f"typed {text!r} with no line open")
        fresh = line.replace
        for char in text:
            line = self.desk.open.line
            assert line is not None, f"the line closed while {text!r} was typed"
            type_text(self.desk, ("" if fresh else line.text) + char)
            fresh = False

    def field(self, text: str) -> None:
        self.type(text)
        self.key("enter")

    def say(self, text: str) -> None:
        self.out.append(f"\n# {text}\n")

    def line(self, text: str = "") -> None:
        self.out.append(f"\n{text}\n" if text else "\n")

    def script(self, head: str) -> str:
        text = "".join(piece if piece.startswith("\n") else piece + " " for piece in self.out)
        text = re.sub(r"[ ]*\n[ ]*", "\n", text)
        text = re.sub(r"\n{3,}", "\n\n", text)
        before = None
        while before != text:
            before, text = text, _JOIN.sub(r'"\1\2"', text)
        return head + text.strip() + "\n"


def settled(desk: Desk) -> bool:
    weighing = desk.weighing()
    return weighing is not None and (weighing.settled or weighing.nothing_left)


def find_part(desk: Desk, fact: Facts) -> PartDoc | None:
    for part in desk.work.record["parts"] if desk.work.record else []:
        same = part["kind"] == fact["kind"] and part.get("number", 1) == fact.get("number", 1)
        if same and (fact["kind"] != "extra" or part.get("name") == fact.get("name")):
            return part
    return None


def press_title(p: Presser, record: Facts) -> None:
    """The fewest letters that put the right title first."""
    if record.get("repeats"):
        p.key("insert")
        return
    words = record["search"]
    for size in range(2, len(words) + 1):
        picks = picks_for(p.desk, words[:size])
        if picks and picks[0].value.id == record["title"]:
            break
    else:
        raise AssertionError(f"{record['title']} never comes first for {words!r}")
    p.type(words[:size])
    p.key("enter")
    p.line()


def press_missing(p: Presser, record: Facts) -> None:
    """What did not come, and the box that came instead of a cover."""
    desk = p.desk
    assert desk.work.record is not None
    if "box" in {part["kind"] for part in record["part"]} - {
        part["kind"] for part in desk.work.record["parts"]
    }:
        p.key("a", "3")
    came = {(part["kind"], part.get("number", 1)) for part in record["part"]}
    for part in list(desk.work.record["parts"]):
        if part["kind"] in _TAKE and (part["kind"], part.get("number", 1)) not in came:
            while desk.work.part_id != part["id"]:
                p.key(_TAKE[part["kind"]])
            p.key("o")


def press_parts(p: Presser, record: Facts, until: str = "") -> None:
    """The questions as they are shown, part by part; ``until``: only of the parts marked done."""
    desk, last = p.desk, None
    todo = [part for part in record["part"] if not until or part.get("done")]
    for _ in range(80):
        held = _fact_of(desk, todo, desk.work.part_id)
        part_id, asked = shown(desk)
        fact = _fact_of(desk, todo, part_id)
        if held is not None and (
            part_id != desk.work.part_id or asked is None or _has_told(desk, held, asked)
        ):
            _press_state(p, held)
        if all(part.get("_pressed") for part in todo):
            return
        if shown(desk) != (part_id, asked):
            continue
        if asked is None or fact is None or (fact.get("_pressed") and part_id == desk.work.part_id):
            p.key("/")
        elif not _can_tell(desk, fact, asked):
            p.key("]" if _tells_more(desk, fact) or not _has_told(desk, fact, asked) else "/")
        else:
            if part_id != last:
                p.line()
            last = part_id
            press_shown(p, record, fact, asked)
    raise AssertionError(f"record {record['no']}: the parts are never done with")


def shown(desk: Desk) -> tuple[str | None, Any]:
    """The part and the question that a digit answers now."""
    following = ahead(desk)
    return (following.part["id"], following.asked) if following else (desk.work.part_id, desk.asking.asked)


def _fact_of(desk: Desk, todo: list[Facts], part_id: str | None) -> Facts | None:
    for fact in todo:
        part = find_part(desk, fact)
        if part is not None and part["id"] == part_id:
            return fact
    return None


def _can_tell(desk: Desk, fact: Facts, asked: Any) -> bool:
    """Whether the facts answer the question."""
    if asked == hand.HERE:
        return True
    if is_runout(desk, asked):
        return bool(fact.get("sides")) and not fact.get("in_hand_only")
    return _fact(fact, asked) is not None


def _has_told(desk: Desk, fact: Facts, asked: Any) -> bool:
    """Whether the facts have no answer to what is asked of the part in the hand, nor a runout to come."""
    part = find_part(desk, fact)
    open_runout = fact.get("sides") and part is not None and not part.get("sides")
    return not _can_tell(desk, fact, asked) and not open_runout


def _tells_more(desk: Desk, fact: Facts) -> bool:
    part = find_part(desk, fact)
    assert part is not None
    told = [key.partition("@")[0] for key in fact.get("answers", {})]
    return any(not _answered(desk, part["id"], clue) for clue in told)


def _press_state(p: Presser, fact: Facts) -> None:
    """Grade, faults and ruling of the part in the hand, once."""
    if not fact.get("_pressed"):
        fact["_pressed"] = True
        if fact["kind"] != "extra":
            press_state(p, fact)


def press_shown(p: Presser, record: Facts, fact: Facts, asked: Any) -> None:
    if asked == hand.HERE:
        p.key({"present": "1", "missing": "2"}[fact.get("state", "present")])
        fact["_pressed"] = True
    elif is_runout(p.desk, asked):
        press_runouts(p, fact, cuts_only=not stampers_matter(record) or fact.get("number", 1) > 1)
    else:
        _press_answer(p, asked, _fact(fact, asked))


def _reach(p: Presser, fact: Facts) -> None:
    part = find_part(p.desk, fact)
    assert part is not None, f"no part for {fact['kind']} {fact.get('name', '')}"
    for _ in range(12):
        if p.desk.work.part_id == part["id"]:
            return
        p.key(_TAKE.get(fact["kind"], "/"))
    raise AssertionError(f"{fact['kind']} cannot be reached")


def press_rest(p: Presser, record: Facts) -> None:
    """Where parts are not told apart yet that should be, back to those that have more to tell."""
    for fact in record["part"]:
        part = find_part(p.desk, fact)
        if part is None or fact["kind"] == "extra":
            continue
        for _ in range(24):
            if (settled(p.desk) and told_apart(p.desk, record)) or not _tells_more(p.desk, fact):
                break
            if shown(p.desk)[0] != part["id"]:
                _reach(p, fact)
            asked = shown(p.desk)[1]
            if asked is None or not _can_tell(p.desk, fact, asked):
                p.key("]")
            else:
                press_shown(p, record, fact, asked)


def told_apart(desk: Desk, record: Facts) -> bool:
    """Whether the parts that should be told apart are, by the evidence or by the dealer's ruling."""
    weighing = desk.weighing()
    if weighing is None or desk.work.record is None:
        return False
    for name in record.get("expect", {}).get("swapped", []):
        kind, _, number = name.partition(" ")
        part = find_part(desk, {"kind": kind, "number": int(number or 1)})
        found = weighing.agreement.get(part["id"]) if part else None
        if (
            part
            and part["id"] not in desk.work.record["rulings"]
            and (found is None or found.p_swapped < 0.5)
        ):
            return False
    return True


def _answered(desk: Desk, part_id: str, clue: str) -> bool:
    answers = desk.work.record["answers"] if desk.work.record else []
    return any(one["part"] == part_id and one["clue"] == clue and one["how"] == "seen" for one in answers)


def _fact(fact: Facts, asked: tuple[str, str]) -> Any:
    answers = fact.get("answers", {})
    side = asked[0].rpartition(" ")[2]
    return answers.get(f"{asked[1]}@{side}", answers.get(asked[1]))


def _press_answer(p: Presser, asked: Any, value: Any) -> None:
    desk = p.desk
    clue = desk.library.clue(asked[1])
    part_id, _ = shown(desk)
    assert clue is not None
    assert desk.work.record is not None
    assert part_id is not None
    standing = answer_to(desk.work.record, part_id, *asked)
    if standing is not None and standing["how"] == "copied" and standing["answer"] == value:
        p.key("'")
    elif isinstance(value, int | float):
        text = str(value)
        p.key(text[0])
        p.type(text[1:])
        p.key("enter")
    elif isinstance(value, list):
        answer = clue.answer("titles")
        p.key(str(answer.digit if answer else 1))
        # The bound is the newest title's, so that one is enough.
        for title_id in [max(value, key=lambda one: _first_issued(desk, one))]:
            p.type(_fewest_letters(desk, title_id))
            p.key("enter")
        p.key("enter")
    else:
        answer = clue.answer(value)
        assert answer is not None, f"{clue.id} has no answer {value}"
        p.key(str(answer.digit))
        if clue.form == "number":  # nought begins a number too
            p.key("enter")


def _fewest_letters(desk: Desk, title_id: str) -> str:
    """The shortest beginning of a title, its article left out, that puts it first."""
    title = desk.library.title(title_id)
    assert title is not None
    name = title.title.casefold().removeprefix("the ")
    return next(name[:n] for n in range(2, len(name) + 1) if _first(desk, name[:n]) == title_id)


def _first_issued(desk: Desk, title_id: str) -> date:
    title = desk.library.title(title_id)
    return (title.first.earliest if title else None) or date.min


def _first(desk: Desk, text: str) -> str:
    picks = picks_for(desk, text)
    return picks[0].value.id if picks else ""


def stampers_matter(record: Facts) -> bool:
    """Mother and stamper of the disc that decides are written down where a price may hang on them."""
    price = str(record.get("price", "worked")).partition(".")[0]
    return record["trap"] in WHOLE_RUNOUT or (price.isdigit() and int(price) >= 100)


WHOLE_RUNOUT = ("numbered two-disc set, chart missing", "a true rarity")


def press_runouts(p: Presser, fact: Facts, cuts_only: bool) -> None:
    """A plain record's cuts by a figure each; where money may be at stake the whole shorthand."""
    sides = [text.split()[0] if cuts_only else text for text in fact.get("sides", {}).values()]
    for n, text in enumerate(sides):
        if n == 0:
            p.key(text[0])
            p.type(text[1:])
        elif text == sides[0]:
            p.type("=")
            return
        else:
            p.type(text)
        p.key("enter")


def press_state(p: Presser, fact: Facts) -> None:
    """Faults, ruling, then the grade: after it the next part is meant."""
    if hand_moves_on(p.desk, fact):
        _take_up(p, fact)
    for fault in fact.get("faults", []):
        known = next(one for one in p.desk.references.faults if one.id == fault["fault"])
        p.key("x", known.key)
        if p.desk.open.menu is not None:
            p.key(str(next(one.digit for one in known.severities if one.id == fault["severity"])))
    if fact.get("ruling") == "swapped":
        p.key("`", "2")
    grade = fact.get("grade")
    part = find_part(p.desk, fact)
    asked = part is not None and wants_grade(p.desk, part)
    if grade and (fact["kind"] != "inner" or fact.get("faults") or asked):
        base = grade.rstrip("+-")
        p.key(_GRADES[base])
        if grade != base:
            p.key("=" if grade.endswith("+") else "-")


def hand_moves_on(desk: Desk, fact: Facts) -> bool:
    """Whether the prompt names another part already, though there is something to say of this one."""
    graded = fact.get("grade") and fact["kind"] != "inner"
    says = fact.get("faults") or fact.get("ruling") == "swapped" or graded
    part = find_part(desk, fact)
    return bool(says) and part is not None and shown(desk)[0] != part["id"]


def _take_up(p: Presser, fact: Facts) -> None:
    """The part by its own key, once more where it is in the hand but no longer meant."""
    part = find_part(p.desk, fact)
    assert part is not None
    for _ in range(12):
        p.key(_TAKE.get(fact["kind"], "/"))
        if shown(p.desk)[0] == part["id"] and not p.desk.work.side:
            return
    raise AssertionError(f"{fact['kind']} cannot be taken up")


def press_price(p: Presser, record: Facts) -> None:
    """The worked price where there is one near the asked one: taking in accepts it; else by hand."""
    desk = p.desk
    worked = prices.worked_for(desk)
    wanted = record.get("price", "worked")
    if (
        worked is not None
        and worked.price is not None
        and (wanted == "worked" or _near(worked.price.minor, wanted))
    ):
        if desk.work.record is not None and prices.price_at_hand(desk, desk.work.record) is None:
            p.key("y")
        return
    p.key("k")
    p.type(wanted.partition(".")[0] if wanted != "worked" else "12")
    p.key("enter")


def _near(minor: int, wanted: str) -> bool:
    asked = int(wanted.partition(".")[0]) * 100
    return abs(minor - asked) <= asked // 4


def press_end(p: Presser) -> None:
    """Taken in; twice where something that cannot be had is lacking."""
    desk = p.desk
    here = desk.work.record_id
    p.key("\\")
    if desk.work.record_id == here and desk.work.record is not None and queue.lacking(desk, desk.work.record):
        p.key("\\")


def press_record(p: Presser, record: Facts) -> None:
    p.say(f"{record['no']}: {record['trap']}")
    assert p.desk.work.record is not None
    assert p.desk.work.record["no"] == record["no"]
    press_title(p, record)
    if record.get("terms") == "consigned":
        p.key("ctrl+b", "3")
        p.type("Hester Quillow")
        p.key("enter")
        p.line()
    press_missing(p, record)
    press_parts(p, record)
    press_rest(p, record)
    p.line()
