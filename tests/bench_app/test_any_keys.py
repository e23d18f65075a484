"""Any keys in any order: nothing breaks, nothing is drawn beyond the screen, memory and disk stay the same."""

import random
from pathlib import Path

import pytest
from bench_hands import Hands
from rich.cells import cell_len
from same_parcel import canonical
from seen import seen

from benchtui.bench.asked import question_now
from benchtui.desk.ask.asking import is_runout
from benchtui.store import Shop

KEYS = 120
TYPED = [*"abcdeost1234 -[", "enter", "enter", "escape", "f1", "insert", "up", "down", "backspace"]


def _some_key(hands: Hands, chance: random.Random) -> str:
    """Mostly a key that means something where one is."""
    desk, keymap = hands.desk, hands.desk.references.keymap
    if desk.open.line is not None and chance.random() < 0.6:
        return chance.choice(TYPED)
    if desk.open.menu is not None and chance.random() < 0.8:
        return chance.choice([choice.key for choice in desk.open.menu.choices] or ["escape"])
    known = {key for scope in ("bench", "page", "line") for key in keymap.uses[scope]}
    return chance.choice(sorted(known))


def _drawn_well(hands: Hands) -> None:
    desk = hands.desk
    assert "\n" not in desk.open.message
    for size in ((60, 16), (80, 24), (120, 40)):
        drawn = seen(desk, size)
        for line in drawn.lines:
            assert cell_len("".join(text for text, _ in line)) <= size[0]
        if desk.open.scope == "bench" and desk.open.explained is None and desk.open.sight.answers:
            assert _wanted_digits(hands) <= {
                style.partition("@key:")[2] for line in drawn.prompt for _, style in line
            }


def _wanted_digits(hands: Hands) -> set[str]:
    """The digits that answer the question shown, where it is one with a list of answers."""
    desk = hands.desk
    asked = question_now(desk) if desk.work.record is not None else None
    clue = desk.library.clue(asked.asked[1]) if asked is not None else None
    if asked is None or clue is None or clue.form != "choice" or is_runout(desk, asked.asked):
        return set()
    return {str(answer.digit) for answer in clue.answers}


def _kept(hands: Hands, path: Path) -> None:
    parcel = hands.desk.work.parcel
    if parcel is None or parcel.read_only:
        return
    shop = Shop.open(path, read_only=True)
    found = shop.open_parcel(parcel.id, read_only=True)
    assert canonical(found) == canonical(parcel)
    draft = found.head["draft"]
    line = hands.desk.open.line
    assert (draft["line"], draft["text"]) == (line.name, line.text) if line and draft else not (line or draft)
    shop.close()


@pytest.mark.parametrize("seed", range(4))
def test_any_keys_do_no_harm(seed: int, demo: Hands) -> None:
    chance, pressed = random.Random(seed), []
    path = demo.desk.shop.path
    for n in range(KEYS):
        pressed.append(_some_key(demo, chance))
        try:
            demo.key(pressed[-1])
            if n % 6 == 0:
                _drawn_well(demo)
            if n % 20 == 0:
                _kept(demo, path)
        except Exception as error:
            raise AssertionError(f"seed {seed}, after {' '.join(pressed[-12:])}") from error
