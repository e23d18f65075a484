"""What lies over the record: choices by one key, and the pages."""

from collections.abc import Callable
from importlib import import_module

from rich.cells import cell_len

from benchtui.bench.actions import ACTIONS
from benchtui.bench.desk.core import Choice, Desk
from benchtui.bench.desk.parcel import sender_name
from benchtui.bench.draw.scroll import scrolled, window
from benchtui.bench.draw.sheet import Glyphs, Line, clean, cut, fill, width_of, wrap
from benchtui.bench.keys import shown
from benchtui.store import Summary


def draw_menu(desk: Desk, width: int, height: int, glyphs: Glyphs) -> list[Line]:
    """The choices in one column, or in two where they are many."""
    menu = desk.menu
    if menu is None:
        return []
    lines: list[Line] = [[(clean(menu.title), "accent bold")]]
    lines += wrap(menu.about, width, "dim") if menu.about else []
    lines.append([])
    room = max(1, height - len(lines))
    rows = [_choice(desk, choice) for choice in menu.choices]
    columns = -(-len(rows) // room)
    each = width // max(1, columns)
    rows = _with_ends(rows, menu.choices, width if columns == 1 else each - 1)
    if columns == 1:
        return lines + [cut(row, width) for row in rows]
    for at in range(room):
        line: Line = []
        for column in range(columns):
            n = column * room + at
            line += fill(cut(rows[n], each - 1), each) if n < len(rows) else []
        lines.append(line)
    return lines


def _choice(desk: Desk, choice: Choice) -> Line:
    """Its key by the map in use, its mark, its words."""
    keymap = desk.references.keymap
    key = shown(keymap.first_key(f"answer-{choice.key}") or choice.key)
    return [
        (f" {key:<2} ", f"key@key:{choice.key}"),
        (f"{choice.mark} " if choice.mark else "", "accent"),
        (clean(choice.words), f"@key:{choice.key}"),
    ]


def _with_ends(rows: list[Line], choices: tuple[Choice, ...], width: int) -> list[Line]:
    """What stands at the end of the choices, in one column: the longer words where all have room for them,
    else the shorter ones, left out where a row has none.
    """
    needed = max(map(width_of, rows), default=0) + 2
    for at in range(max((len(choice.ends) for choice in choices), default=0)):
        ends = ["".join(choice.ends[at : at + 1]) for choice in choices]
        lead = min(needed, width - max(map(cell_len, ends)))
        if lead == needed or not any(choice.ends[at + 1 :] for choice in choices):
            return [
                [*fill(row, lead), (end, "dim")] if width_of(row) < lead else row
                for row, end in zip(rows, ends, strict=True)
            ]
    return rows


def draw_page(desk: Desk, width: int, height: int, glyphs: Glyphs) -> list[Line]:
    page = desk.page
    if page is None:
        return []
    lines = _drawing(page.name)(desk, width, height, glyphs)
    return [cut(line, width) for line in lines[:height]]


def _help(desk: Desk, width: int, height: int, glyphs: Glyphs) -> list[Line]:
    """One page, made from the action table and the keymap in use; whole words where there is room."""
    keymap = desk.references.keymap
    lines: list[Line] = [[("Keys", "accent bold"), (f"  map {keymap.name}: {keymap.about}", "dim")]]
    clue = desk.clue
    if clue is not None and (clue.help or clue.source):
        lines += wrap(f"{clue.ask}? {clue.help} (source: {clue.source})", width, "bold")
    lines += [
        [
            (f"{glyphs.done} taken in  {glyphs.open} the same, pressing not settled  ", "dim"),
            (f"{glyphs.begun} begun  {glyphs.empty} empty  {glyphs.apart} set apart or clash", "dim"),
        ],
    ]
    wide = width >= 110
    if wide:
        lines.append([("in a text line: Enter takes, Esc leaves, arrows mark, Insert makes new", "dim")])
    rows = _help_rows(desk, wide)
    columns = 2 if wide else 3
    each, height_each = width // columns, -(-len(rows) // columns)
    for at in range(height_each):
        line: Line = []
        for column in range(columns):
            n = column * height_each + at
            line += fill(cut(rows[n], each - 1), each) if n < len(rows) else []
        lines.append(line)
    return scrolled(desk, lines, height)


def _help_rows(desk: Desk, wide: bool) -> list[Line]:
    """The bench's actions by group, those without a key left out; the scale's letters among them."""
    keymap = desk.references.keymap
    rows: list[Line] = []
    group = ""
    for action in sorted((a for a in ACTIONS if a.scope in ("bench", "any")), key=_group_order):
        keys = keymap.keys.get(action.id, ())
        if not keys or action.id.startswith("answer-"):
            continue
        if action.group != group and wide:
            rows.append([(action.group, "bold")])
            rows += _grade_rows(desk) if action.group == "Grade" else []
        group = action.group
        shown_keys = " ".join(shown(key) for key in keys[: 2 if wide else 1])
        words = action.words if wide else action.short
        rows.append([(f"{'  ' if wide else ''}{shown_keys:<{11 if wide else 6}}", "key"), (words, "")])
    return rows


def _group_order(action: object) -> int:
    order = ("Record", "Hand", "Look", "Grade", "Queue", "Bench", "Text line", "Page")
    return (
        order.index(getattr(action, "group", "Page")) if getattr(action, "group", "") in order else len(order)
    )


def _grade_rows(desk: Desk) -> list[Line]:
    keymap = desk.references.keymap
    return [
        [(f"  {shown(key):<11}", "key"), (f"{grade.id}: {grade.criterion}", "")]
        for grade in desk.scale.grades
        if not grade.shade and (key := keymap.first_key(f"grade:{grade.id}"))
    ]


def _parcels(desk: Desk, width: int, height: int, glyphs: Glyphs) -> list[Line]:
    found, marked = desk.shop.parcels(), desk.page.marked if desk.page else 0
    lines: list[Line] = [[("Parcels", "accent bold"), (f"  {desk.shop.path}", "dim")], []]
    if desk.loading and desk.parcel is None:  # else the strip says it
        lines[0].append((f"  loading {clean(desk.loading)}", "warn"))
    if not found:
        lines += wrap(
            "No parcel yet. n opens one: its sender, what it cost, how many records are in it.", width
        )
    return lines + [
        _parcel_row(desk, found[n], n == marked, glyphs) for n in window(len(found), 2, marked, height)
    ]


def _parcel_row(desk: Desk, one: Summary, here: bool, glyphs: Glyphs) -> Line:
    states = one.counts
    text = f"{one.opened or '----------'}  {sender_name(desk, one.sender) or 'no sender yet'}"
    done = f"{states.get('taken-in', 0)} of {sum(states.values())} taken in"
    return [
        (f"{glyphs.here if here else ' '} ", "accent bold"),
        (f"{one.id:<16}", "bold" if here else ""),
        (clean(text), "bold" if here else ""),
        (f"  {one.terms}  {done}  {one.state}", "dim"),
    ]


Drawing = Callable[[Desk, int, int, Glyphs], list[Line]]
PAGES: dict[str, Drawing] = {"help": _help, "parcels": _parcels}
OTHERS = {
    "chores": "page_chores.draw_chores",
    "doubtful": "page_titles.draw_doubtful",
    "parcel": "page_parcel.draw_parcel",
    "record": "page_record.draw_record",
    "regrade": "page_regrade.draw_regrade",
    "regraded": "page_regrade.draw_regraded",
    "result": "page_result.draw_result",
    "rules": "page_rules.draw_rules",
    "sender": "page_sender.draw_sender",
    "taken": "page_titles.draw_taken",
    "why": "page_why.draw_why",
}
"""Pages of modules beside this one, imported when they are first drawn."""


def _drawing(name: str) -> Drawing:
    if name not in PAGES:
        module, _, function = OTHERS[name].partition(".")
        PAGES[name] = getattr(import_module(f"benchtui.bench.draw.{module}"), function)
    return PAGES[name]
