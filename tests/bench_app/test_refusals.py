"""What the list of commands says can be done is done, what it says is refused is refused, and nothing is left out."""

from collections.abc import Callable
from copy import copy
from dataclasses import replace
from pathlib import Path
from typing import Any, NamedTuple

import pytest
from bench_hands import Hands, Sit

from benchtui.desk.core.command import by_id, commands
from benchtui.desk.core.desk import Desk, Page
from benchtui.desk.core.offers import everything_here
from benchtui.desk.keyboard.find_command import where
from benchtui.desk.keyboard.perform import run, why_not

Stand = Callable[[Hands], object]


class Then(NamedTuple):
    """How to stand on a page: a place on the bench, and the way on from there."""

    stand: Stand
    actions: tuple[str, ...]


HELD = ("work", "asking", "open", "background", "tally")


def _missing(hands: Hands) -> None:
    hands.take("inner")
    hands.do("not-here")


def _copied(hands: Hands) -> None:
    hands.do("later", "line-leave", "ditto")


def _taken_in(hands: Hands) -> None:
    hands.grade("VG").do("undo", "redo", "previous-record", "previous-record")


def _shut(hands: Hands) -> None:
    hands.do("parcel-page", "page-close").key("1")


def _shut_record(hands: Hands) -> None:
    _shut(hands)
    hands.do("parcel-page").mark(2).do("page-enter")


def _no_parcel(hands: Hands) -> None:
    assert hands.desk.work.parcel is not None
    hands.desk.work.parcel.close()
    hands.desk.work.parcel = hands.desk.work.record_id = hands.desk.work.part_id = hands.desk.asking.asked = (
        None
    )
    hands.desk.open.page = Page("parcels")


def _marked(no: int) -> Stand:
    return lambda hands: hands.do("parcel-page").mark(no)


def _undone(hands: Hands) -> None:
    hands.grade("VG").do("undo", "parcel-page")


BENCH: dict[str, Stand] = {
    "at work": lambda hands: None,
    "a record without a title": lambda hands: hands.do("later", "line-leave"),
    "a part that is missing": _missing,
    "a second copy": _copied,
    "the first, taken in, something to redo": _taken_in,
    "the last": lambda hands: hands.do("jump-record").enter("15").do("line-leave"),
    "a disc graded": lambda hands: hands.do("take-disc").grade("VG", "+"),
    "a closed parcel": _shut_record,
}
PAGES: dict[str, Stand | Then] = {
    "parcel, its first field": lambda hands: hands.do("parcel-page", *["page-screen-up"] * 6),
    "parcel, its first record": _marked(1),
    "parcel, its last record": _marked(15),
    "parcel, something undone": _undone,
    "parcel, closed": _shut,
    "parcels": lambda hands: hands.do("parcels-page"),
    "parcels, none open": _no_parcel,
    "record": lambda hands: hands.do("record-page"),
    "record, taken in": Then(_taken_in, ("record-page",)),
    "record, closed": Then(_shut_record, ("record-page",)),
    "why": lambda hands: hands.do("why"),
    "why, without a title": lambda hands: hands.do("later", "line-leave", "why"),
    "result": lambda hands: hands.do("parcel-page", "result-page"),
    "result, closed": Then(_shut, ("parcel-page", "result-page")),
    "sender": lambda hands: hands.do("parcel-page", "sender-page"),
    "chores": lambda hands: hands.do("chores-page"),
    "rules": lambda hands: run(hands.desk, "rules-page"),
    "help": lambda hands: hands.do("help"),
}


class _Again:
    """Sits down anew, where the one before changed something: where a start leads back to where hands stood once,
    on a copy of what they had written by then.
    """

    def __init__(self, path: Path, sit: Sit, stand: Stand | Then, copy: Callable[[Path], Path]) -> None:
        self._path, self._sit, self._copy = path, sit, copy
        self._stand, self._more = (stand.stand, stand.actions) if isinstance(stand, Then) else (stand, ())
        self._reached: tuple[Path, tuple[object, ...]] | None = None
        self._is_elsewhere = False
        self.hands = self.fresh()

    def fresh(self) -> Hands:
        if self._reached is None or not self._is_resumed(*self._reached):
            self.hands = self._sit(self._copy(self._path)).do("line-leave")
            self._stand(self.hands)
            if not self._is_elsewhere:
                self._reached = self._copy(self.hands.desk.shop.path), where(self.hands.desk)
        self.hands.do(*self._more)
        assert self.hands.desk.open.line is None
        self._written, self._shown = self._stamps(), _what_is_shown(self.hands.desk)
        return self.hands

    def _is_resumed(self, path: Path, stood: tuple[object, ...]) -> bool:
        """Whether a start on a copy of what was written leads to where the hands stood."""
        self.hands = self._sit(self._copy(path))
        if where(self.hands.desk) != stood:
            self._reached, self._is_elsewhere = None, True
        return not self._is_elsewhere

    def as_before(self) -> Hands:
        """The same hands where only the screen has changed, else others."""
        desk = self.hands.desk
        if desk.background.job or desk.background.writing or self._written != self._stamps():
            return self.fresh()
        for name, fields in self._shown.items():
            vars(getattr(desk, name)).update(fields)
        self._shown = _what_is_shown(desk)
        return self.hands

    def _stamps(self) -> list[tuple[str, int, int]]:
        found = [(str(path), path.stat()) for path in sorted(self.hands.desk.shop.path.rglob("*"))]
        return [(path, stat.st_size, stat.st_mtime_ns) for path, stat in found]


def _what_is_shown(desk: Desk) -> dict[str, dict[str, Any]]:
    """What a desk holds but for documents, so that it can be put back."""
    return {
        name: {key: _copied_value(value) for key, value in vars(getattr(desk, name)).items()} for name in HELD
    }


def _copied_value(value: Any) -> Any:
    if isinstance(value, Page):
        return replace(value, data=dict(value.data))
    return copy(value) if isinstance(value, (list, dict)) else value


@pytest.fixture
def again(demo_made: Path, sit: Sit, tmp_path: Path) -> Callable[[Stand | Then], _Again]:
    import shutil

    made: list[int] = []

    def copy(path: Path) -> Path:
        made.append(1)
        return Path(shutil.copytree(path, tmp_path / f"shop{len(made)}"))

    return lambda stand: _Again(demo_made, sit, stand, copy)


def _refused(hands: Hands, action: str) -> bool:
    """Whether doing it is refused: said so, and all but the part in the hand is as it was."""
    hands.desk.say("")
    before = where(hands.desk)[1:]
    run(hands.desk, action)
    return hands.refused and where(hands.desk)[1:] == before


def _all_as_said(again: _Again) -> None:
    hands, seen = again.hands, []
    for action in everything_here(hands.desk):
        reason = why_not(hands.desk, action.id)
        was = _refused(hands, action.id)
        assert was is bool(reason), (action.id, reason, hands.said)
        assert not was or hands.said == reason
        seen.append(bool(reason))
        if not was:
            hands = again.as_before()
    assert not all(seen)


@pytest.mark.parametrize("state", BENCH)
def test_on_the_bench_what_the_list_says_is_so(state: str, again: Callable[[Stand | Then], _Again]) -> None:
    _all_as_said(again(BENCH[state]))


@pytest.mark.parametrize("state", PAGES)
def test_on_every_page_what_the_list_says_is_so(state: str, again: Callable[[Stand | Then], _Again]) -> None:
    _all_as_said(again(PAGES[state]))


@pytest.mark.parametrize("state", PAGES)
def test_what_a_page_s_list_leaves_out_is_refused_there(
    state: str, again: Callable[[Stand | Then], _Again]
) -> None:
    here = again(PAGES[state])
    listed = {by_id()[one.id].do for one in everything_here(here.hands.desk)}
    opens = state.split(",")[0] in ("parcel", "parcels", "sender", "chores", "rules")
    name = here.hands.desk.open.page.name if here.hands.desk.open.page else ""
    itself_again = [
        getattr(by_id().get(one), "do", None) for one in ("page-more", f"{name}-page", f"page-{name}", name)
    ]
    for action in commands():
        itself = action.where == "page" and by_id()[action.id].do in itself_again
        leaves = action.id == "page-enter" and not opens
        if action.where != "page" or by_id()[action.id].do in listed or itself or leaves:
            continue
        assert _refused(here.hands, action.id), action.id


def test_in_a_parcel_open_for_reading_only_the_list_says_so(demo: Hands, sit: Sit) -> None:
    other = sit(demo.desk.shop.path).do("line-leave")
    for action in everything_here(other.desk):
        if why_not(other.desk, action.id) == "open for reading only: another bench has it":
            assert _refused(other, action.id)
    assert why_not(other.desk, "fault") == "open for reading only: another bench has it"
    assert why_not(other.desk, "why") == ""
