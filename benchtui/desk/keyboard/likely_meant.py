"""A key that does nothing here: what was likely meant, named by its key and its word."""

import unicodedata
from collections.abc import Iterator
from contextlib import suppress

from benchtui.desk.ask.asking import is_runout, wants_grade
from benchtui.desk.core.command import Command, by_id, command_of, commands
from benchtui.desk.core.desk import Choice, Desk, Menu
from benchtui.desk.core.keys import SIGNS, key_name, shown
from benchtui.desk.core.pages import pages
from benchtui.desk.keyboard.keymap_file import GRADE
from benchtui.desk.keyboard.perform import elsewhere, with_keys

MOST = 3
"""So many keys are named at once: more is a list to read."""
A_ROW = 10
"""Keys of more choices than these are not told one by one."""
SHIFTED = {
    "left_curly_bracket": "left_square_bracket",
    "right_curly_bracket": "right_square_bracket",
    "vertical_line": "backslash",
    "colon": "semicolon",
    "quotation_mark": "apostrophe",
    "tilde": "grave_accent",
    "less_than_sign": "comma",
    "greater_than_sign": "full_stop",
    "underscore": "minus",
    "question_mark": "slash",
    "plus": "equals_sign",
    "asterisk": "8",
    "number_sign": "3",
}
"""What a sign is without Shift, on a US keyboard."""
MEANT: dict[str, dict[str, tuple[str, ...]]] = {
    "bench": {
        "up": ("previous-clue", "previous-record"),
        "left": ("previous-clue", "previous-record"),
        "down": ("next-clue", "next-record"),
        "right": ("next-clue", "next-record"),
        "pageup": ("previous-record", "parcel-page"),
        "pagedown": ("take-in", "next-record"),
        "backspace": ("undo", "previous-clue"),
        "delete": ("undo", "not-here"),
        "enter": ("next-part", "take-in"),
        "tab": ("next-part",),
        "space": ("next-record",),
        "home": ("parcel-page",),
        "end": ("parcels-page",),
        "insert": ("ditto", "add-part"),
        "f1": ("help",),
        "f10": ("help", "commands"),
    },
    "page": {
        "left": ("page-leave",),
        "right": ("page-enter",),
        "home": ("page-parcel",),
        "backspace": ("page-undo", "page-leave"),
        "delete": ("page-out", "page-undo"),
        "insert": ("page-add", "page-new"),
        "tab": ("page-down",),
        "space": ("page-screen-down",),
        "f1": ("page-more",),
        "f10": ("page-more",),
    },
}
"""What keys that have a meaning elsewhere are pressed for."""


def say_near(desk: Desk, key: str) -> None:
    """Say that the key does nothing here and what is near. Enter and Escape are often pressed for nothing."""
    if desk.open.menu is not None:
        desk.refuse(_of_menu(desk, desk.open.menu, key))
    elif key == "escape":
        return
    elif key == _CLEARS:
        desk.refuse(f"{_shown(key)} clears what is typed in an open line; {_undo(desk)} takes back")
    elif key == "enter":
        if desk.open.scope == "bench" and (not desk.open.message or desk.open.tone == "refused"):
            writes = ("runout",) if is_runout(desk, desk.asking.asked) else ()
            named = _wanted_first(desk) or _named(desk, (*writes, *MEANT["bench"]["enter"]))
            desk.say(f"Enter does nothing here: {named}")
    else:
        desk.refuse(_of_keys(desk, key))


def _wanted_first(desk: Desk) -> str:
    """What to press where the title, or the grade of the part in the hand, is all that is asked; "" else."""
    record, part, keymap = desk.work.record, desk.work.part, desk.references.keymap
    if record is not None and record["title"] is None:
        return f"the title first, {_named(desk, ('find-title',))}"
    if part is None or desk.asking.asked is not None or not wants_grade(desk, part):
        return ""
    keys = [
        f"{shown(key)} {use.removeprefix(GRADE)}"
        for key, use in keymap.uses["bench"].items()
        if use.startswith(GRADE)
    ]
    return f"the grade is wanted: {', '.join(keys)}"


def say_behind_line(desk: Desk, key: str) -> None:
    """Of a key that did nothing in the open line and is a command's where the line was opened."""
    use = desk.references.keymap.use("bench" if desk.open.page is None else "page", key)
    if use is not None and key not in IN_LINE:
        desk.refuse(f"{_shown(key)} ({word_of(use)}): leave the line first, {desk.key('line-leave')}")


def _undo(desk: Desk) -> str:
    return _named(desk, ("page-undo",) if desk.open.scope == "page" else ("undo",))


IN_LINE = ("left", "right", "up", "down", "backspace", "delete")
"""Keys that everybody presses once too often in a line."""
_CLEARS = "ctrl+u"


def _of_keys(desk: Desk, key: str) -> str:
    scope, mine = desk.open.scope, _shown(key)
    plain, elsewhere = _without_shift(key), _elsewhere(desk, key)
    if scope == "page" and elsewhere and len(key) > 1:  # a key of its own, no slip of another
        return f"{mine} works {elsewhere}"
    if plain and (use := desk.references.keymap.use(scope, plain)):
        meant = f"{mine} does nothing here: did you mean {shown(plain)} ({word_of(use)})?{_caps(key)}"
        at_runout = scope == "bench" and len(key) == 1 and is_runout(desk, desk.asking.asked)
        return f"{meant} The runout's line: {desk.key('runout')}" if at_runout else meant
    found = _named(desk, _near(desk, key))
    if found:
        more = f"; it works {elsewhere}" if elsewhere else ""
        return f"{mine} does nothing here; near it: {found}{more}"
    return f"{mine} works {elsewhere}" if elsewhere else f"{mine} does nothing here; {_all_keys(desk)}"


def _caps(key: str) -> str:
    return " Is Caps Lock on?" if len(key) == 1 and key.isalpha() else ""


def _all_keys(desk: Desk) -> str:
    if desk.open.scope == "page":
        keymap = desk.references.keymap
        return (
            f"the bottom line shows this page's keys, {shown(keymap.first_key('page-leave') or '')} leaves it"
        )
    return f"{desk.key('help')} shows what the keys do"


def _without_shift(key: str) -> str:
    """The key as it is without Shift or Ctrl or Alt, "" where it had none."""
    if len(key) == 1 and key.isalpha() and key != key.lower():
        return key.lower()
    for held in ("shift+", "ctrl+", "alt+"):
        if key.startswith(held):
            return key.removeprefix(held)
    return SHIFTED.get(key, "")


def _shown(key: str) -> str:
    """The key for a message: never a name that nobody has seen on a keyboard."""
    if key in SIGNS or "_" not in key:
        return shown(key)
    with suppress(KeyError):
        return unicodedata.lookup(key.replace("_", " ").upper())
    return "that key"


def _elsewhere(desk: Desk, key: str) -> str:
    """Where else the key does something: on a page, which one, or at the record."""
    keymap = desk.references.keymap
    if desk.open.scope == "bench":
        use = keymap.uses["page"].get(key)
        page = page_of(use) if use else ""
        if use is None or not page:
            return ""
        return f"{with_keys(desk, pages()[page].place)}: {word_of(use)}"
    use = keymap.uses["bench"].get(key)
    if use is None or desk.open.scope != "page":
        return ""
    back = shown(keymap.first_key("page-leave") or "")
    return f"at the record ({word_of(use)}): {back} goes back to it"


def works_elsewhere(desk: Desk, key: str, use: str) -> str:
    """Where the command of this key works, where that is not the open page; what is near it here."""
    place = elsewhere(desk, command_of(use))
    near = _named(desk, _near(desk, key)) if place else ""
    beside = f"; near it here: {near}" if near else ""
    return f"{_shown(key)} ({word_of(use)}) works {place}{beside}" if place else ""


def page_of(action: str) -> str:
    """The first page a command works on; "" where it works on all."""
    return next(iter(command_of(action).on), "")


def _near(desk: Desk, key: str) -> tuple[str, ...]:
    """Commands the key was likely pressed for: by what it means elsewhere, else by its letter."""
    meant = MEANT.get(desk.open.scope, {}).get(key)
    if meant:
        return meant
    letter = key[-1] if len(key) == 1 or key.startswith(("ctrl+", "alt+")) else ""
    if not letter.isalpha():
        return ()
    held = desk.references.keymap.uses[desk.open.scope].get(f"ctrl+{letter.lower()}")
    found = [held] if held in by_id() else []
    found += [action.id for action in _beginning(desk, letter.casefold()) if action.id not in found]
    return tuple(found[:MOST])


def _beginning(desk: Desk, letter: str) -> Iterator[Command]:
    """Commands of the scope whose word begins with the letter, then those with a later word that does."""
    keymap = desk.references.keymap
    here = [action for action in commands() if action.where == desk.open.scope and action.short]
    if desk.open.scope == "page":
        here = [action for action in here if action.id in keymap.keys and _on(desk, action.id)]
    yield from (action for action in here if action.short[0] == letter)
    yield from (
        action for action in here if any(word[0] == letter for word in action.short.casefold().split()[1:])
    )


def _on(desk: Desk, action: str) -> bool:
    """Whether a page's command works on the page that is open."""
    pages = command_of(action).on
    return not pages or (desk.open.page is not None and desk.open.page.name in pages)


def _named(desk: Desk, actions: tuple[str, ...]) -> str:
    """``] next question, space next record``; an action without a key by its word in the list of all."""
    keymap = desk.references.keymap
    named = [
        f"{desk.key(action)} {command_of(action).short or command_of(action).words}"
        for action in actions
        if keymap.first_key(action)
    ]
    keyless = [
        command_of(a).short for a in actions if command_of(a).where == "bench" and not keymap.first_key(a)
    ]
    if keyless:
        words = "', '".join(keyless)
        named.append(f"{shown(keymap.first_key('commands') or '')} lists '{words}'")
    return " or ".join(named)


def word_of(use: str) -> str:
    """What a key does, in the legend's word."""
    if use.startswith(GRADE):
        return f"grade {use.removeprefix(GRADE)}"
    if use.startswith("answer-"):
        return f"answer {use.removeprefix('answer-')}"
    action = command_of(use)
    return action.short or action.words


def _of_menu(desk: Desk, menu: Menu, key: str) -> str:
    """What it would be without Caps Lock, the choices that begin so, or the keys there are."""
    mine, leave = _shown(key), shown(desk.references.keymap.first_key("menu-leave") or "escape")
    plain = _without_shift(key)
    by_key = {key_name(choice.key): choice for choice in menu.choices}
    if plain in by_key:
        meant = f"{shown(plain)} ({by_key[plain].words})?{_caps(key)}"
        return f"{mine} is not one of the choices: did you mean {meant}"
    letter = key.casefold() if len(key) == 1 and key.isalpha() else ""
    begun = [one for one in menu.choices if letter and one.words.casefold().startswith(letter)]
    if begun:
        near = ", ".join(f"{_choice_key(desk, one)} {one.words}" for one in begun[:MOST])
        return f"{mine} is not one of the choices; near it: {near}"
    if len(menu.choices) > A_ROW:
        return f"{mine} is not one of the choices; {leave} leaves"
    keys = [_choice_key(desk, choice) for choice in menu.choices]
    return f"{mine} is not one of the choices, which are {_run(keys)}; {leave} leaves"


def _choice_key(desk: Desk, choice: Choice) -> str:
    """The key of a choice as the list shows it, by the map in use."""
    return shown(desk.references.keymap.first_key(f"answer-{choice.key}") or key_name(choice.key))


def _run(keys: list[str]) -> str:
    """``1 to 6, 0`` of keys in their order."""
    if len(keys) > 3 and all(key.isdigit() for key in keys):
        last = keys[-1]
        row = keys[:-1] if last == "0" else keys
        if [int(key) for key in row] == list(range(int(row[0]), int(row[0]) + len(row))):
            return f"{row[0]} to {row[-1]}" + (", 0" if last == "0" else "")
    return " ".join(keys)
