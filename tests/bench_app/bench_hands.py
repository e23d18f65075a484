"""Two hands at a desk without a screen: keys as the app would bring them, typing as its editor would do it."""

from collections.abc import Callable, Iterable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from textual.pilot import Pilot

from benchtui.desk.ask.asking import ahead
from benchtui.desk.core.desk import Desk, OpenLine
from benchtui.desk.core.keys import SIGNS, key_name
from benchtui.desk.keyboard.press import press
from benchtui.desk.keyboard.script import Step
from benchtui.desk.line.lines import LINES, type_text
from benchtui.desk.parcel import parcel as parcel_page
from benchtui.desk.session import versions
from benchtui.desk.session.resume import resume
from benchtui.desk.session.start import open_desk
from benchtui.model.record import PartDoc, RecordDoc
from benchtui.store import Shop

MORNING = datetime(2026, 11, 25, 10, 0, tzinfo=UTC)
TODAY = "2026-11-25"


Sit = Callable[..., "Hands"]
"""Sits down at a shop, as the fixture of that name does."""


class Clock:
    """Goes on three seconds a look, so that nothing depends on the day the tests run."""

    def __init__(self, start: datetime = MORNING) -> None:
        self.time = start

    def __call__(self) -> datetime:
        self.time += timedelta(seconds=3)
        return self.time


def sit_down(path: Path, keymap: str | None = None, clock: Clock | None = None) -> "Hands":
    """Open the shop as the bench does and stand where it was left."""
    shop = Shop.open(path)
    try:
        desk, notice = open_desk(shop, keymap, clock or Clock())
    except BaseException:
        shop.close()
        raise
    resume(desk)
    versions.offer(desk)
    if notice:
        desk.refuse(notice)
    return Hands(desk)


class Hands:
    """Presses keys into a desk."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self._edited: OpenLine | None = None

    # -- keys ------------------------------------------------------------------------------

    def key(self, *keys: str) -> "Hands":
        """Keys by name or sign, one after the other."""
        for one in keys:
            name = key_name(one)
            self._press(name, one if len(one) == 1 else SIGNS.get(name, " " if name == "space" else None))
        return self

    def burst(self, keys: str, apart: float = 0.0001, start: float = 100.0) -> "Hands":
        """Keys one after the other, so many seconds apart, as a scanner or a fast hand brings them; a new line
        is Enter."""
        for n, char in enumerate(keys):
            name = "enter" if char == "\n" else key_name(char)
            self._press(name, None if char == "\n" else char, start + n * apart)
        return self

    def do(self, *actions: str) -> "Hands":
        """The first key the map has for each action."""
        for action in actions:
            key = self.desk.references.keymap.first_key(action)
            assert key is not None, f"the map has no key for {action}"
            self.key(key)
        return self

    def type(self, text: str) -> "Hands":
        """Text, a key a letter, into the open line."""
        for char in text:
            assert self.desk.open.line is not None, f"the line closed while {text!r} was typed"
            self._press(key_name(char), char)
        return self

    def enter(self, text: str = "") -> "Hands":
        """Text and then Enter (what a paste brings is put in at once)."""
        if len(text) > 60:
            self.paste(text)
        else:
            self.type(text)
        return self.do("line-accept")

    def paste(self, text: str) -> "Hands":
        """Text put into the line at once."""
        assert self.desk.open.line is not None
        type_text(self.desk, ("" if self._is_marked() else self.desk.open.line.text) + text)
        self._edited = self.desk.open.line
        return self

    def step(self, step: Step) -> None:
        """One key of a script."""
        if step.kind == "key":
            self._press(step.name, step.char)

    def _press(self, name: str, char: str | None, at: float | None = None) -> None:
        line = self.desk.open.line
        if name == "backspace" and line is not None:
            self._backspace(line)
        elif not press(self.desk, name, at) and line is not None and char is not None:
            text = ("" if self._is_marked() else line.text) + char
            self._edited = line
            type_text(self.desk, text)

    def _is_marked(self) -> bool:
        line = self.desk.open.line
        return line is not None and line.replace and self._edited is not line

    def _backspace(self, line: OpenLine) -> None:
        kind = LINES[line.name]
        if not line.text and kind.backspace is not None:
            kind.backspace(self.desk, line)
            return
        text = "" if self._is_marked() else line.text[:-1]
        self._edited = line
        type_text(self.desk, text)

    # -- what the dealer does -----------------------------------------------------------------

    def find(self, text: str) -> "Hands":
        """The title line opened if need be, letters typed, the first fit taken."""
        if self.desk.open.line is None:
            self.do("find-title")
        return self.enter(text)

    def grade(self, grade: str, shade: str = "") -> "Hands":
        self.do(f"grade:{grade}")
        return self.do({"+": "shade-up", "-": "shade-down"}[shade]) if shade else self

    def take(self, kind: str, number: int = 1) -> PartDoc:
        """Keys until that part is in the hand."""
        action = {"box": "take-cover", "wrap": "take-cover", "extra": "next-part"}.get(kind, f"take-{kind}")
        for _ in range(24):
            part = self.desk.work.part
            here = part and part["kind"] == kind and part.get("number", 1) == number
            if part and here and not self.desk.work.side and ahead(self.desk) is None:
                return part
            self.do(action)
        raise AssertionError(f"{kind} {number} cannot be taken: {self.desk.open.message}")

    def ask(self, letters: str) -> "Hands":
        """Jump to a clue by letters of it."""
        return self.do("jump-clue").enter(letters)

    def answer(self, answer_id: str) -> "Hands":
        """The digit of that answer of the question shown."""
        clue = self.desk.clue
        assert clue is not None
        answer = clue.answer(answer_id)
        assert answer is not None, f"{clue.id} has {[one.id for one in clue.answers]}"
        return self.do(f"answer-{answer.digit}")

    def new_parcel(self, expected: int, sender: str = "Una Dovrick") -> "Hands":
        """A parcel of so many empty records; the first is on the bench."""
        if self.desk.open.page is None or self.desk.open.page.name != "parcels":
            self.do("parcels-page")
        self.do("page-new")
        self.enter(sender)
        self.enter()
        self.enter(str(expected))
        return self.do("line-leave", "page-leave")

    def ready(self, letters: str = "baf") -> "Hands":
        """A record with a title, everything graded and priced: fit to be taken in."""
        self.find(letters)
        for part in list(self.record["parts"]):
            if part["kind"] == "extra":
                while self.part["id"] != part["id"]:
                    self.do("next-part")
                self.ask_here("present")
            else:
                self.take(part["kind"], part.get("number", 1))
                self.grade("VG", "+")
        return self.do("price-hand").enter("12")

    def ask_here(self, state: str) -> "Hands":
        return self.do({"present": "answer-1", "missing": "answer-2"}[state])

    def mark(self, record_no: int) -> "Hands":
        """On the parcel's page: arrow keys until that record is marked."""
        assert self.desk.work.parcel is not None
        rows = parcel_page.rows(self.desk)
        wanted = next(n for n, row in enumerate(rows) if row.id == self.at(record_no)["id"])
        assert self.desk.open.page is not None
        while (away := wanted - self.desk.open.page.marked) != 0:
            self.do("page-down" if away > 0 else "page-up")
        return self

    # -- what stands ----------------------------------------------------------------------------

    @property
    def record(self) -> RecordDoc:
        record = self.desk.work.record
        assert record is not None
        return record

    @property
    def part(self) -> PartDoc:
        part = self.desk.work.part
        assert part is not None
        return part

    @property
    def head(self) -> Any:
        assert self.desk.work.parcel is not None
        return self.desk.work.parcel.head

    @property
    def said(self) -> str:
        return self.desk.open.message

    @property
    def refused(self) -> bool:
        return self.desk.open.tone in ("refused", "clash")

    def at(self, no: int) -> RecordDoc:
        return next(record for record in self.desk.work.records if record["no"] == no)

    def kinds(self) -> list[str]:
        return [part["kind"] for part in self.record["parts"]]

    def p_of(self, pressing: str) -> float:
        weighing = self.desk.weighing()
        assert weighing is not None
        return sum(likely.p for likely in weighing.pressings if likely.id == pressing)

    def answers(self, clue: str) -> list[Any]:
        return [one for one in self.record["answers"] if one["clue"] == clue]

    def leave(self) -> None:
        self.desk.shop.close()


def press_all(hands: Hands, steps: Iterable[Step]) -> None:
    for step in steps:
        hands.step(step)


async def settled(pilot: "Pilot[int]") -> None:
    """The first screen is there and all that it loads is loaded, however long that takes."""
    await pilot.pause()
    await pilot.app.workers.wait_for_complete()
    await pilot.pause()
