"""One key pressed: what it means in the present scope, done."""

from collections.abc import Callable, Iterator
from functools import cache, partial
from importlib import import_module

from benchtui.base.errors import BenchError
from benchtui.desk import clues, hand, lines
from benchtui.desk.choices import in_sight, numbered
from benchtui.desk.core import Desk, Menu
from benchtui.desk.explain import asks
from benchtui.desk.fields import FIELDS
from benchtui.desk.keymap import GRADE
from benchtui.desk.keys import is_printable
from benchtui.desk.lines import LINES
from benchtui.desk.verbs import VERBS

_MODULES = (
    "hand",
    "clues",
    "advertised",
    "explain",
    "lines",
    "grading",
    "runout",
    "title",
    "prices",
    "queue",
    "bench_verbs",
    "closing",
    "grow",
    "handing_on",
    "jumping",
    "moving",
    "paging",
    "parcel",
    "play_test",
    "reckoning",
    "record_correct",
    "record_life",
    "record_money",
    "record_page",
    "regrading",
    "result",
    "sell",
    "sender",
    "terms",
    "titles_in",
    "words",
    "find_command",
)
"""The modules beside this one that register verbs and lines by being imported; those for a record first."""
_READING = frozenset(
    [
        "next-part",
        "take-cover",
        "take-disc",
        "take-inner",
        "jump-clue",
        "previous-clue",
        "next-clue",
        "why",
        "next-record",
        "previous-record",
        "jump-record",
        "search",
        "record-page",
        "record-template",
        "page-more",
        "sell",
        "record-sell",
        "result-page",
        "result-rules",
        "rules-page",
        "regrade-page",
        "sender-page",
        "sender-statement",
        "sender-book",
        "parcel-page",
        "parcels-page",
        "chores-page",
        "export-day",
        "commands",
        "help",
        "explain",
        "line-help",
        "menu-help",
        "menu-more",
        "page-help",
        "theme",
        "quit",
        "line-accept",
        "line-leave",
        "line-up",
        "line-down",
        "menu-leave",
        "page-leave",
        "page-parcel",
        "page-up",
        "page-down",
        "page-screen-up",
        "page-screen-down",
        "page-enter",
        "page-new",
        "parcels-titles",
        "parcels-undo-list",
        "doubtful-merge",
        "doubtful-keep",
        "doubtful-skip",
        "doubtful-rest",
    ]
)
"""What may be done in a parcel that is open for reading only."""
_QUEUE = frozenset(["page-list", "page-add", "page-out", "page-earlier", "page-later"])
"""What changes a parcel's queue, which stands still once the parcel is closed."""


HELPS = ("explain", "line-help", "menu-help", "page-help")
LEAVES = ("line-leave", "menu-leave", "page-leave")
"""These close the words of the help key first."""
ONE_WRITE_LINES = frozenset(
    [
        "title",
        "runout",
        "clue-number",
        "clue-titles",
        "jump-clue",
        "jump-record",
        "price",
        "note",
        "extra-name",
        *(f"field-{field.name}" for field in FIELDS),
    ]
)
"""Text lines whose taking stays within the parcel, however far it moves on."""
_ONE_WRITE = frozenset(
    [
        "take-in",
        "next-record",
        "previous-record",
        "next-part",
        "take-cover",
        "take-disc",
        "take-inner",
        "not-here",
        "ditto",
        "runout",
        "find-title",
        "undo",
        "redo",
        "page-undo",
        "page-redo",
    ]
)


def learn() -> Iterator[None]:
    """Imports what the keys do, a module a step: a first screen is there sooner without."""
    for name in _MODULES:
        import_module(f"benchtui.desk.{name}")
        yield


def learn_line(name: str) -> bool:
    """Learns until it is known what a line of that name does. False where there is no such line."""
    return name in LINES or any(name in LINES for _ in learn())


@cache
def learn_all() -> None:
    """Everything a key may do is known from here on."""
    for _ in learn():
        pass


def press(desk: Desk, key: str) -> bool:
    """Do what the key does now. False where it does nothing here (the screen's editor may want it).

    Whatever goes wrong with input or files is said in one line; nothing is half done.
    """
    learn_all()
    scope = desk.scope
    desk.bell = False
    if scope == "menu" and desk.menu is not None and _choose(desk, desk.menu, key):
        _number(desk)
        return True
    use = desk.references.keymap.use(scope, key)
    if use == "line-help" and is_printable(key) and not asks(desk.line):
        use = None
    if use is None and scope == "line":
        return _to_editor(desk, key)
    was, desk.explained = desk.explained, None
    if was is not None and (use in HELPS or use in LEAVES or key == "escape"):
        desk.count_key()
        return True
    if use is None:
        from benchtui.desk.near import say_near  # no start has to pay for it

        say_near(desk, key)
        return True
    desk.count_key()
    listing = desk.line is not None and desk.line.name == "command"
    if use not in ("take-in", "commands") and not listing:  # it may be on the way by the list of all
        desk.lacking_said = None
    if use not in ("undo", "page-undo"):
        desk.turned = ""
    if desk.tone == "refused":
        desk.message = ""  # what was refused before would seem to be said of this key
    run(desk, use)
    _number(desk)
    return True


def _to_editor(desk: Desk, key: str) -> bool:
    """Not a key of the bench's. Where it moves the cursor, what was marked is so no longer."""
    if desk.line is not None and not is_printable(key) and key != "backspace":
        desk.line.replace = False
    return False


def _number(desk: Desk) -> None:
    """With a map for one hand every choice goes by a digit."""
    if desk.menu is not None and desk.references.keymap.one_hand:
        desk.menu = numbered(desk.menu)


def _choose(desk: Desk, menu: Menu, key: str) -> bool:
    digit = desk.references.keymap.digit(key) or (key[1:] if len(key) == 2 and key[0] == "f" else key)
    for n, choice in enumerate(menu.choices):
        if choice.key in (key, digit):
            desk.count_key()
            if choice.key.isdigit() and n not in in_sight(desk, menu):
                desk.refuse(f"{choice.key} is out of sight: {desk.key('menu-more')} shows more")
                return True
            desk.menu = desk.explained = None
            desk.message = "" if desk.tone == "refused" else desk.message
            _guarded(desk, partial(choice.act, desk))
            return True
    return False


def run(desk: Desk, use: str) -> None:
    """Do an action by its name, by a key or chosen from a list, where it may be done now."""
    if said := barred(desk, use):
        desk.refuse(said)
        return
    if desk.unseen and (use.startswith("answer-") or use == "ditto"):  # nobody answers what he cannot read
        desk.refuse("the question was not in sight whole: read it first, or make the window larger")
        return
    if use == "menu-leave":
        desk.menu = None
        desk.say("")
        return
    _guarded(desk, _verb(desk, use), one_write=_moves_on(desk, use))
    if use == "take-in":
        desk.forget_counts()  # what was learnt is on the disk only now


def _verb(desk: Desk, use: str) -> Callable[[], None]:
    if use.startswith(GRADE):
        return partial(hand.grade, desk, use.removeprefix(GRADE))
    if use.startswith("answer-"):
        return partial(clues.answer_digit, desk, use.removeprefix("answer-"))
    if use.startswith("pick-"):
        return partial(lines.pick_row, desk, int(use.removeprefix("pick-")))
    return partial(VERBS[use], desk)


def barred(desk: Desk, use: str) -> str:
    """Why the parcel as a whole does not let the action be done; "" where it does, or none is open."""
    parcel = desk.parcel
    if parcel is None or use in _READING or use.startswith("pick-"):
        return ""
    if parcel.read_only:
        return "this parcel is open for reading only: another bench has it"
    if parcel.head["state"] == "closed" and (desk.page is None or use in _QUEUE):
        return "this parcel is closed: facts change only by dated corrections"
    return ""


def _moves_on(desk: Desk, use: str) -> bool:
    """Whether the key may act and then move on within the parcel, which is to be one write."""
    if use == "line-accept" or use.startswith("pick-"):
        return desk.line is not None and desk.line.name in ONE_WRITE_LINES
    return use.startswith((GRADE, "answer-")) or use in _ONE_WRITE


def _guarded(desk: Desk, verb: Callable[[], None], one_write: bool = False) -> None:
    try:
        if one_write and desk.parcel is not None:
            with desk.parcel.one_write():
                verb()
        else:
            verb()
    except BenchError as error:
        desk.refuse(error.one_line())
    except OSError as error:  # a disk that has gone: whatever no room has said more clearly
        desk.refuse(BenchError(error.strerror or str(error), str(error.filename or "")).one_line())
    desk.watch_trouble()
