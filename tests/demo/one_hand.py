"""Three records taken in by one hand, answered as the books foretell: makes the scripts left-hand and number-pad."""

from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from typing import Any

from facts_to_keys import Presser

from benchtui.bench.asked import question_now
from benchtui.desk.ask.asking import HERE, ahead, is_runout, wants_grade
from benchtui.desk.core.desk import Asked, Desk
from benchtui.desk.core.keys import SIGNS
from benchtui.desk.look.clues import foretold
from benchtui.desk.queue.queue import lacking

MOST = 60
WORDS = ("never", "rarely", "sometimes", "usually", "always")
LEFT = """shop empty
keymap left-hand
# Three records taken in by the left hand alone, on the left half of the keyboard, while the right one holds
# the disc: no Enter (F5 takes), no chord, no Shift. Press it with: benchtui play left-hand --shop NEW-FOLDER

"""
PAD = """shop empty
keymap number-pad
# Three records taken in on a number pad alone: digits, / * - + . and Enter. No chord, no Shift.
# Press it with: benchtui play number-pad --shop NEW-FOLDER

"""
WHEN = datetime(2026, 11, 25, 10, 0, tzinfo=UTC)


class Hand(Presser):
    """Presses commands by the keys of the map in use; those without a key from the list of all commands."""

    def do(self, *ids: str) -> None:
        for one in ids:
            key = self.desk.references.keymap.first_key(one)
            if key is not None:
                self.key(SIGNS.get(key, key))
                continue
            self.do("commands")
            self.choose(lambda act, words, one=one: isinstance(act, partial) and act.args[-1] == one)

    def choose(self, is_it: Any) -> None:
        """The choice of the list that it is, page by page."""
        for _ in range(9):
            menu = self.desk.open.menu
            assert menu is not None
            found = next((one for one in menu.choices if is_it(one.act, one.words)), None)
            self.do(f"answer-{found.key if found else 0}")
            if found is not None:
                return
        raise AssertionError(f"not in the list: {self.desk.open.menu}")

    def take(self, text: str = "") -> None:
        self.type(text)
        self.do("line-accept")

    def grade(self, shade: str) -> None:
        """VG with the shade ("" for none): by their keys, else from the list of grades."""
        key = self.desk.references.keymap.first_key
        if key("grade:VG"):
            self.do("grade:VG")
        else:
            self.do("grade-ladder")
            self.choose(lambda act, words: words.startswith("VG "))
        shading = {"+": "shade-up", "-": "shade-down"}.get(shade)
        if shading is not None and key(shading):
            self.do(shading)
        elif shading is not None:
            self.do("grade-ladder")
            self.choose(lambda act, words: words.startswith(f"a {shading.replace('-', ' ')}"))


def script(desk: Desk, head: str, sender: str, titles: tuple[str, str, str]) -> str:
    """The keys of three records: a fault on the second, and prices by hand where no price follows."""
    p = Hand(desk)
    p.say("the parcel: bought, three records, price paid and postage; the rest of the lines later")
    p.do("page-new")
    for text in (sender, "", "3", "24", "6"):
        p.take(text)
    p.do("line-leave", "page-leave")
    for no, letters in enumerate(titles, 1):
        p.say(f"{no}")
        p.take(letters)
        press_record(p, shade="+-"[no - 1 : no], with_fault=no == 2)
        p.do("take-in")
        p.line()
    p.say("the day, handed on")
    p.do("export-day")
    return p.script(head)


def press_record(p: Hand, shade: str, with_fault: bool) -> None:
    """Questions as they come, grades where they lack, until the record lacks nothing but a price at most."""
    desk = p.desk
    for _ in range(MOST):
        record, part = desk.work.record, desk.work.part
        assert record is not None, desk.open.message
        assert record["title"] is not None, desk.open.message
        left = lacking(desk, record)
        if not left or left == ["price"]:
            break
        shown, following = question_now(desk), ahead(desk)
        wanting = following.part if following is not None else part
        key = seen(desk, shown.asked) if shown is not None else ""
        if key:
            p.do(*key.split())
            p.line()
        elif shown is not None and is_runout(desk, shown.asked):
            press_runouts(p)
        elif wanting is not None and wants_grade(desk, wanting):
            if with_fault:
                p.do("fault", "answer-1", "answer-1")
                with_fault = False
            if wanting["kind"] == "disc" and not wanting.get("sides"):
                press_runouts(p)
            p.grade(shade)
            p.line()
        else:
            p.do("next-part")
    if record is not None and lacking(desk, record) == ["price"]:
        p.do("price-hand")
        p.take("12")


def seen(desk: Desk, asked: Asked) -> str:
    """The key of what a copy of the title's first pressing shows; "" where the book does not say."""
    clue, title = desk.library.clue(asked[1]), desk.book_title
    if asked == HERE:
        return "answer-1"
    if clue is None or title is None:
        return ""
    shows = title.pressings[0].expect.get(clue.id, {})
    likely = max(shows, key=lambda one: WORDS.index(shows[one]), default="")
    found = clue.answer(likely) or foretold(desk, clue)
    return f"answer-{found.digit}" if found is not None and found.digit < 10 else ""


def press_runouts(p: Hand) -> None:
    """A figure each, of both sides."""
    p.do("runout")
    for _ in range(2):
        p.take("1")
    if p.desk.open.line is not None:
        p.do("line-leave")


def both(left: Path, pad: Path, open_at: Any) -> dict[str, str]:
    """The two scripts by name, each made in an empty shop of its own."""
    made = {}
    for name, path, head, sender, titles in (
        ("left-hand", left, LEFT, "greta dax", ("wax", "bras", "seve")),
        ("number-pad", pad, PAD, "", ("363", "438", "480")),
    ):
        shop, desk = open_at(path, WHEN, name)
        made[name] = script(desk, head, sender, titles)
        shop.close()
    return made
