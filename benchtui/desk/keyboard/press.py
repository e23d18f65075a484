"""One key pressed: what it means in the present scope, done."""

from benchtui.desk.core.command import command_of
from benchtui.desk.core.desk import Desk, Menu
from benchtui.desk.core.keys import is_printable
from benchtui.desk.core.pages import page_now
from benchtui.desk.keyboard.burst import caught
from benchtui.desk.keyboard.explain import asks
from benchtui.desk.keyboard.likely_meant import IN_LINE, say_near, works_elsewhere
from benchtui.desk.keyboard.perform import guarded, run, write_now
from benchtui.desk.keyboard.typed_ahead import run_told
from benchtui.desk.line.choices import in_sight, numbered

HELPS = ("explain", "line-help", "menu-help", "page-help")
READS = {"up": -1, "down": 1, "pageup": -6, "pagedown": 6}
"""Keys that scroll the words of the help key, and by how many lines."""
READS_TOO = {
    "line-up": -1, "line-down": 1, "page-up": -1, "page-down": 1, "page-screen-up": -6, "page-screen-down": 6,
}  # fmt: skip
"""What moves up and down scrolls them too, by whatever key the map has for it."""
TURNS = ("undo", "page-undo", "redo", "page-redo", "commands")
"""These may go on with what the key before asked of undo and redo."""
LEAVES = ("line-leave", "menu-leave", "page-leave")
"""These close the words of the help key first."""


def press(desk: Desk, key: str, at: float | None = None) -> bool:
    """Do what the key does now. False where it does nothing here (the screen's editor may want it).

    ``at``: when it was pressed, in seconds of any clock; None counts as slowly typed (see burst.py). Whatever
    goes wrong with input or files is said in one line; nothing is half done.
    """
    desk.open.bell = False
    write_now(desk)
    if at is not None and caught(desk, key, at):
        return True
    scope = desk.open.scope
    if scope == "menu" and desk.open.menu is not None and _choose(desk, desk.open.menu, key):
        _number(desk)
        return True
    use = desk.references.keymap.use(scope, key)
    if use == "line-help" and is_printable(key) and not asks(desk.open.line):
        use = None
    if use is None and scope == "page":
        use = _offered(desk, key)
    if use is None and (through := _through(desk, key)):
        run(desk, "line-leave")
        use = through
    if _scrolls_help(desk, key, use):
        desk.count_key()
        return True
    if use is None and scope == "line":
        return _to_editor(desk, key)
    was, desk.open.explained = desk.open.explained, None
    if was is not None and (use in HELPS or use in LEAVES or key == "escape"):
        desk.count_key()
        return True
    if use is None and key == "enter" and scope == "bench" and desk.clue and desk.clue.form == "dated":
        use = "date-by-hand"
    if use is None:
        say_near(desk, key)
        _leave_what_is_final(desk)
        return True
    if scope == "page" and (said := works_elsewhere(desk, key, use)):
        desk.refuse(said)
        return True
    desk.count_key()
    listing = desk.open.line is not None and desk.open.line.name == "command"
    if use not in (desk.work.refused, "commands") and not listing:  # it may be on the way by the list of all
        desk.work.refused = ""
    if use not in TURNS and not listing:
        desk.work.turned = ""
    if desk.open.tone == "refused":
        desk.open.message = ""  # what was refused before would seem to be said of this key
    desk.work.pressed = use
    run_told(desk, use)
    desk.work.pressed = ""
    _number(desk)
    return True


def _scrolls_help(desk: Desk, key: str, use: str | None) -> bool:
    """Whether the key reads on in the words of the help key: while those stand it does nothing else."""
    explained, by = desk.open.explained, READS.get(key) or READS_TOO.get(use or "")
    if explained is None or by is None:
        return False
    top = min(max(0, explained.top + by), desk.open.sight.help_end)
    desk.open.explained = explained._replace(top=top)
    return True


def _offered(desk: Desk, key: str) -> str | None:
    """The bench's command of a key that types nothing, and that every page offers too."""
    use = desk.references.keymap.use("bench", key) if not is_printable(key) else None
    kind = page_now(desk)
    alone = kind is not None and kind.alone
    return use if use is not None and command_of(use).offered and not alone else None


_EDITS = ("ctrl+a", "ctrl+e", "ctrl+u", "ctrl+w")
"""What hands press in any line to go to its ends or clear it."""


def _through(desk: Desk, key: str) -> str:
    """The bench's command of a key pressed in the title line while nothing is typed there: those of keys that
    type nothing, but for what hands press in any line, and of signs the finder's and the way back, with which
    no title begins; "" for none."""
    line = desk.open.line if desk.open.scope == "line" else None
    if line is None or line.name != "title" or line.text or key in (*IN_LINE, *_EDITS):
        return ""
    use = desk.references.keymap.use("bench", key) or ""
    goes = use in ("commands", "previous-record") and not (len(key) == 1 and key.isalnum())
    return use if goes or not is_printable(key) else ""


def _to_editor(desk: Desk, key: str) -> bool:
    """Not a key of the bench's. Where it moves the cursor, what was marked is so no longer."""
    if desk.open.line is not None and not is_printable(key) and key != "backspace":
        desk.open.line.replace = False
    return False


def _leave_what_is_final(desk: Desk) -> None:
    menu = desk.open.menu
    if menu is not None and menu.kept:
        desk.open.menu = None
        desk.refuse(f"{desk.open.message.partition('; ')[0]}: {menu.kept}")


def _number(desk: Desk) -> None:
    """With a map for one hand every choice goes by a digit."""
    if desk.open.menu is not None and desk.references.keymap.one_hand:
        desk.open.menu = numbered(desk, desk.open.menu)


def _choose(desk: Desk, menu: Menu, key: str) -> bool:
    digit = desk.references.keymap.digit(key) or (key[1:] if len(key) == 2 and key[0] == "f" else key)
    for n, choice in enumerate(menu.choices):
        if choice.key in (key, digit):
            desk.count_key()
            if choice.key.isdigit() and n not in in_sight(desk, menu):
                desk.refuse(f"{choice.key} does not fit the window: {desk.key('menu-more')} shows more")
                return True
            desk.open.menu = desk.open.explained = None
            desk.open.message = "" if desk.open.tone == "refused" else desk.open.message
            guarded(desk, choice.act)
            return True
    return False
