"""The keys that do something now, made from the action table and the keymap in use."""

from benchtui.bench.pieces import Line, cut, fill, width_of
from benchtui.bench.widgets.rows import Rows
from benchtui.desk.ask.asking import ahead
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.keys import is_printable, shown
from benchtui.desk.keyboard.explain import asks
from benchtui.desk.keyboard.key_line import wanted, word
from benchtui.model.record import is_here


class KeyLine(Rows):
    """One row, or two. Textual's Footer lays the whole screen out again when a key changes it."""

    DEFAULT_CSS = """
    KeyLine { height: 1; background: $panel; }
    """


def draw_legend(desk: Desk, width: int, rows: int = 2) -> list[Line]:
    """So many lines: grade letters first where they work, then commands. Where not all of them fit, the last
    line ends in a sign and in the keys that tell of all the rest.
    """
    keymap = desk.references.keymap
    items: list[Line] = []
    part = desk.work.part
    if desk.open.scope == "bench" and part is not None and is_here(part):
        letters = " ".join(
            f"{shown(key)}"
            for grade in desk.scale.grades
            if not grade.shade and (key := keymap.first_key(f"grade:{grade.id}"))
        )
        if letters:
            items.append([(letters, "key"), (" grade", "dim")])
    following = ahead(desk) if desk.open.scope == "bench" else None
    if desk.open.scope == "bench" and (desk.asking.asked if following is None else following.asked):
        items.append([("0-9", "key"), (" answer", "dim")])
    for action in wanted(desk):
        key = _key_now(desk, action)
        if key:
            items.append([(shown(key), f"key@key:{key}"), (f" {word(desk, action)}", f"dim@key:{key}")])
    return _flow(items, _rest(desk, rows), width, rows, desk.open.scope == "bench")


def _key_now(desk: Desk, action: str) -> str | None:
    """The first key that does it now: the help's sign only asks in an empty line."""
    keymap = desk.references.keymap
    if action != "line-help" or asks(desk.open.line):
        return keymap.first_key(action)
    return next((key for key in keymap.keys.get(action, ()) if not is_printable(key)), None)


TELLING = {
    "bench": ("commands", "help"),
    "line": ("line-help",),
    "menu": ("menu-help",),
    "page": ("page-more", "page-help"),
}
"""The keys that tell what else there is."""


def _rest(desk: Desk, rows: int) -> Line:
    """What stands at the end of a legend that is too short for all."""
    line: Line = [("…", "dim")]
    for action in TELLING.get(desk.open.scope, ())[: 1 if rows == 1 else 2]:
        if key := _key_now(desk, action):
            gap = "  " if len(line) > 1 else " "
            line += [(gap, ""), (shown(key), f"key@key:{key}"), (f" {word(desk, action)}", f"dim@key:{key}")]
    return line


def _flow(items: list[Line], rest: Line, width: int, rows: int, alone: bool) -> list[Line]:
    """The items on so many lines; the last one ends in ``rest`` where they do not all fit. ``alone``: rest is
    worth more than they are.
    """
    lines = _filled(items, width, rows, 0)
    if sum(map(len, lines)) < _pieces(items, rows):
        styles = {style for _, style in rest if style.startswith("key")}
        items = [item for item in items if item[0][1] not in styles]
        lines = _filled(items, width, rows, width_of(rest) + 1)
        if len(lines[0]) == 1 and not alone:  # nothing else would be left: the sign has to do
            rest = rest[:1]
            lines = _filled(items, width, rows, width_of(rest) + 1)
            if len(lines[0]) == 1:
                lines[0] = [*cut([*lines[0], *items[0]], width - width_of(rest) - 2)]
        lines[-1] = [*fill(_ungapped(lines[-1]), width - width_of(rest) - 1), *rest]
    return [cut(_ungapped(line), width) for line in lines]


def _ungapped(line: Line) -> Line:
    """Without the gap after the last item."""
    return line[:-1] if len(line) > 1 and not line[-1][0].strip() else line


def _pieces(items: list[Line], rows: int) -> int:
    """How many pieces the lines have that hold every item."""
    return sum(len(item) + 1 for item in items) + rows


def _filled(items: list[Line], width: int, rows: int, kept: int) -> list[Line]:
    """As many of the items as fit on so many lines, ``kept`` cells left free at the end of the last."""
    lines: list[Line] = [[(" ", "")]]
    for item in items:
        room = width - width_of(lines[-1]) - (kept if len(lines) == rows else 0)
        if width_of(item) + 1 > room:
            if len(lines) == rows:
                break
            lines.append([(" ", "")])
            if width_of(item) + 1 > width - 1 - (kept if len(lines) == rows else 0):
                break
        lines[-1] = [*lines[-1], *item, ("  ", "")]
    return [*lines, *([[(" ", "")]] * (rows - len(lines)))]
