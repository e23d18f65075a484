"""The prompt: question, answers and the line for typing in one place; its frame marks where keys go."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from benchtui.bench import asked as asking
from benchtui.bench.columns import Entry, in_columns, rows_wanted
from benchtui.bench.packed import Short, packed
from benchtui.bench.page_lines import GAP, cells_of, line_of, widths_of
from benchtui.bench.pieces import Glyphs, Line, Piece, clean, cut, fill, joined, shed, text_of, width_of, wrap
from benchtui.bench.widgets.rows import Rows
from benchtui.bench.widgets.stack import ended, faults_in_short
from benchtui.desk.ask.asking import ahead, wants_grade
from benchtui.desk.core.desk import Desk, Menu, OpenLine
from benchtui.desk.core.page_parts import Cell, Column
from benchtui.desk.line.as_read import READ_AS
from benchtui.desk.line.lines import FUNCTION_KEYS, LINES, LONG_TEXTS, is_undo
from benchtui.desk.queue import queue
from benchtui.model.naming import part_grade
from benchtui.model.record import RecordDoc, is_here

EDGES = 2
"""Cells of a frame's edge beyond its inside that no title takes."""
LISTED = FUNCTION_KEYS + 1
"""Rows of a list under the text: those that have a key, and one more."""
Typed = Callable[[int], Line]
PICK_LEAD = 5
"""Cells before a line of a list: its sign and its key."""
TOO_SMALL = "make the window larger: its answers do not fit"


@dataclass(frozen=True)
class Asking:
    """What the prompt shows. ``whole``: every answer of the question is in sight; ``shown``: which choices of
    the menu are.
    """

    title: Line
    foot: Line
    lines: list[Line] = field(default_factory=list)
    whole: bool = True
    shown: range | None = None


def set_out(desk: Desk, typed: Typed, width: int, base: int, most: int, signs: Glyphs) -> tuple[int, Asking]:
    """Rows inside the frame, and what stands in them.

    As many as ever, or more for a list and for choices that would else be cut.
    """
    line, menu = desk.open.line, desk.open.menu
    rows = base
    if desk.open.scope == "line" and line is not None:
        rows = min(most, max(base, LISTED + 1)) if line.picks else base
    elif menu is not None:
        wanted = rows_wanted([asking.choice_entry(desk, one) for one in menu.choices], width)
        said = len(_asked(menu.title, width)) + len(_about(menu.about, width))
        rows = max(base, min(most, wanted + said))
    asked = view(desk, typed, width, rows, signs)
    if asked.whole or rows == most:
        return rows, asked
    return most, view(desk, typed, width, most, signs)


def view(desk: Desk, typed: Typed, width: int, rows: int, signs: Glyphs) -> Asking:
    """The prompt in so many rows inside its frame. ``typed`` gives the open line in so many cells."""
    if desk.open.scope == "line" and desk.open.line is not None:
        return _of_line(desk, desk.open.line, typed, width, rows, signs)
    if desk.open.menu is not None:
        return _of_menu(desk, desk.open.menu, width, rows)
    record = desk.work.record
    if desk.open.page is not None or record is None:
        return Asking([], [])
    return _of_question(desk, record, width, rows, signs)


# -- a question -----------------------------------------------------------------------------------


def _of_question(desk: Desk, record: RecordDoc, width: int, rows: int, signs: Glyphs) -> Asking:
    following = asking.comes_next(desk, record, signs)
    foot = cut(following, width - EDGES)
    right: list[Line] = [[(words, "hand")] for words in asking.keys_go_to(desk, record)]
    shown = asking.question_now(desk)
    if shown is None:
        left, lines = _nothing_asked(desk, record, width, rows)
        said = text_of(lines).split() == text_of([following]).split()  # once is enough, in several rows too
        foot = [] if said else foot
        return Asking(ended(left, right, width - EDGES), foot, lines)
    left = [(asking.place_words(desk, record, shown), "hand"), (" ─ ", "frame")]
    left.append((asking.question_words(desk, shown), "accent bold"))
    lines, whole = _answers(desk, record, shown, width, rows, signs)
    return Asking(ended(left, right, width - EDGES), foot, lines, whole)


def _answers(
    desk: Desk, record: RecordDoc, shown: asking.Shown, width: int, rows: int, signs: Glyphs
) -> tuple[list[Line], bool]:
    entries = asking.answers(desk, record, shown, signs)
    said = _said_below(desk, record, shown, width)
    below = [cut(said, width)] if said else []
    lines = _set_out(entries, width, rows)
    if lines is None:
        return [*wrap(TOO_SMALL, width, "warn")], False
    return [*lines, *below][:rows], True


def _said_below(desk: Desk, record: RecordDoc, shown: asking.Shown, width: int) -> Line:
    """How it is answered, and behind that, where both have room, why it is asked."""
    words, why = asking.hint(desk, shown), asking.why_asked(desk, record, shown)
    if not words:
        return why
    both: Line = [(words, "dim"), ("  (", "dim"), *why, (")", "dim")]
    return both if why and width_of(both) <= width else [(words, "dim")]


def _set_out(entries: list[Entry], width: int, rows: int) -> list[Line] | None:
    """In columns; where there is no room for those, one after the other."""
    lines = in_columns(entries, width, rows)
    if lines is None:
        short = [Short(one.target.partition(":")[2], one.key, one.text, one.sign) for one in entries]
        lines = packed([], short, width, rows)
    return lines


def _nothing_asked(desk: Desk, record: RecordDoc, width: int, rows: int) -> tuple[Line, list[Line]]:
    """What is left to do with a part of which nothing is asked: its grade, the record, the next part."""
    part, following = desk.work.part, ahead(desk)
    if part is None:
        if record["title"] is None:
            words = f"{desk.key('find-title')} opens the line for its title"
            return [("What is it?", "accent bold")], wrap(words, width, "dim")
        return [("no part in hand", "dim")], wrap(f"{desk.key('next-part')} takes a part", width, "dim")
    wanting = following.part if following is not None else part
    name: Line = [(asking.part_words(desk, record, wanting), "hand")]
    if wants_grade(desk, wanting) or (desk.work.held and is_here(wanting) and not wanting["grades"]):
        lines = in_columns(asking.grade_entries(desk, wanting["kind"]), width, rows)
        return [*name, (" ─ ", "frame"), ("its grade?", "accent bold")], lines or []
    if not queue.waits_for_grade(desk, record) and record["state"] != "taken-in":
        return [*name, (" ─ ", "frame"), ("all done", "good")], wrap(
            queue.way_in(desk, record), width, "good"
        )
    weighing = desk.weighing()
    settled = weighing is not None and weighing.settled
    left = asking.settled_words(record) if settled else "nothing more to ask"
    return [*name, (" ─ ", "frame"), (left, "dim")], wrap(
        f"{desk.key('next-part')} takes the next part", width, "dim"
    )


# -- choices ----------------------------------------------------------------------------------------


def _about(text: str, width: int) -> list[Line]:
    return wrap(text, width, "dim") if text else []


def _asked(title: str, width: int) -> list[Line]:
    """What is asked, in lines of its own where the frame's edge has no room for it; else none."""
    words = clean(title)
    return wrap(words, width, "accent bold") if width_of([(words, "")]) > width - EDGES else []


def _of_menu(desk: Desk, menu: Menu, width: int, rows: int) -> Asking:
    """The choices in columns; in a small window a part of them, the rest by the next key. A question too long
    for the frame's edge stands above them.
    """
    asked = _asked(menu.title, width)[: max(0, rows - 2)]
    told = _choices(desk, menu, width, rows - len(asked), whole=not asked)
    return Asking(told.title, told.foot, [*asked, *told.lines], told.whole, told.shown)


def _choices(desk: Desk, menu: Menu, width: int, rows: int, whole: bool) -> Asking:
    entries = [asking.choice_entry(desk, one) for one in menu.choices]
    about = _about(menu.about, width)
    about = about if len(about) + rows_wanted(entries, width) <= rows else []  # the choices come first
    title = ended([(clean(menu.title) if whole else "", "accent bold")], _held(desk), width - EDGES)
    lines = in_columns(entries, width, rows - len(about))
    if lines is not None:
        return Asking(title, [], [*lines, *about], shown=range(len(entries)))
    room = max(1, rows - 1)
    start = menu.top if menu.top < len(entries) else 0
    shown = range(start, min(len(entries), start + room))
    listed = in_columns([entries[n] for n in shown], width, room) or []
    more: Line = [(f"… {len(entries) - len(shown)} more: {desk.key('menu-more')}", "accent")]
    return Asking(title, [], [*listed, more], shown=shown)


def _held(desk: Desk) -> list[Line]:
    """The part in the hand, which the prompt may cover: its name, grade and faults; in less room its name."""
    record, part = desk.work.record, desk.work.part
    if record is None or part is None or desk.open.page is not None:
        return [[]]
    name: Line = [(asking.part_words(desk, record, part), "hand")]
    given = part_grade(part, desk.scale)
    grade: Line = [(f" {given}", "bold")] if given else []
    faults: Line = [(" ", ""), *faults_in_short(desk, part)] if part["faults"] else []
    return [[*name, *grade, *faults], [*name, *grade], name, []]


# -- a text line --------------------------------------------------------------------------------------


def _of_line(desk: Desk, line: OpenLine, typed: Typed, width: int, rows: int, signs: Glyphs) -> Asking:
    """The text; under it what fits, or the answers of the question it answers, or what the line is for."""
    record = desk.work.record
    shown = asking.question_now(desk) if desk.open.page is None else None
    right: list[Line] = _held(desk) if line.name != "title" else [[]]
    left: Line = [(clean(line.label), "accent bold")]
    below = shed(wrap(line.about, width, "dim"), rows - 1, width)
    foot: Line = []
    if line.name in asking.ANSWERING and record is not None and shown is not None:
        left = [(asking.place_words(desk, record, shown), "hand"), (" ─ ", "frame")]
        left.append((asking.question_words(desk, shown), "accent bold"))
        right = [[(clean(line.label), "dim")], []]
        below = _answers(desk, record, shown, width, rows - 1, signs)[0]
        foot = cut([(clean(line.about), "dim")], width - EDGES) if line.about.startswith(READ_AS) else []
    if line.picks:
        below, out = _picks(line, width, rows - 1, signs)
        out = "" if is_undo(desk, line) else out  # the hint counts more than the end of a name
        foot = cut([(f"{signs.here} {out}" if out else clean(line.about), "dim")], width - EDGES)
    text = _typed_rows(line, typed, width, rows - len(below))
    if line.name in LONG_TEXTS and (more := width_of([(line.text + " ", "")]) - len(text) * (width - 1)) > 0:
        left.append((f"  {more} signs more than are shown", "dim"))
    return Asking(ended(left, right, width - EDGES), foot, [*text, *below])


def _typed_rows(line: OpenLine, typed: Typed, width: int, most: int) -> list[Line]:
    """The text in one row; a long one, as of a description, in as many as there is room for."""
    needed = -(-width_of([(line.text + " ", "")]) // (width - 1)) if line.name in LONG_TEXTS else 1
    count = max(1, min(needed, most))
    if count == 1:
        return [[(words, f"{style}@text") for words, style in typed(width)]]
    rows: list[Line] = [[]]
    before = used = 0
    for words, style in typed(count * (width - 1)):  # a wide sign may leave the last cell of a row empty
        for sign in words:
            if used + (cells := width_of([(sign, "")])) > width:
                before, used = before + used, 0
                rows.append([])
            rows[-1].append((sign, f"{style}@text:{before}"))
            used += cells
    return [joined(row) for row in rows]


def _picks(line: OpenLine, width: int, rows: int, signs: Glyphs) -> tuple[list[Line], str]:
    """The part of the list round the marked line, and how much there is above and below; what there was no
    room for of the marked one.
    """
    count = len(line.picks)
    room = rows if count <= rows else max(1, rows - 1)
    start = max(0, min(line.marked - room // 2, count - room))
    told, out = _told(line, width - PICK_LEAD, signs)
    shown = [
        pick_line(told[n], line.picks[n].end, n, n == line.marked, width, signs)
        for n in range(start, min(count, start + room))
    ]
    above, below = start, count - start - len(shown)
    said = ", ".join([f"{above} above"] * (above > 0) + [f"{below} below"] * (below > 0))
    return [*shown, [(f"     … {said}", "dim")]] if said else shown, out


def _told(line: OpenLine, width: int, signs: Glyphs) -> tuple[list[Line], str]:
    """What each line of the list says, and what there was no room for of the marked one. Those in columns
    line up down the list.
    """
    columns = LINES[line.name].columns if line.name in LINES else ()
    rows = [pick.cells for pick in line.picks if pick.cells] if columns else []
    if not rows:
        return [list(pick.spans) for pick in line.picks], ""
    widths = widths_of(columns, ([width_of(line_of(cell)) for cell in row] for row in rows), width)
    told = [
        _in_line(pick.cells, columns, widths, signs) if pick.cells else list(pick.spans)
        for pick in line.picks
    ]
    marked = line.picks[line.marked].cells
    out = [cell for cell, wide in zip(marked, widths, strict=False) if width_of(line_of(cell)) > wide]
    return told, "  ".join(text_of([line_of(cell)]) for cell in out)


def _in_line(cells: Sequence[Cell], columns: Sequence[Column], widths: list[int], signs: Glyphs) -> Line:
    told: Line = []
    for cell, wide in zip(cells_of(cells, columns, widths, signs), filter(None, widths), strict=True):
        told += [*cell, (" " * (wide - width_of(cell) + GAP), "")]
    return told[:-1]


def pick_line(told: Line, end: Piece, n: int, marked: bool, width: int, signs: Glyphs) -> Line:
    """A line that fits: its sign and its key in front, what stands at its end never cut."""
    key = f"F{n + 1}" if n < FUNCTION_KEYS else ""
    mark: Line = [
        (f"{signs.here if marked else ' '} ", "accent bold"),
        (f"{key:<3}", "key" if marked else "dim"),
    ]
    pieces: Line = [(clean(text), style or ("bold" if marked else "")) for text, style in told]
    right: Line = [("  ", ""), end] if end[0] else []
    row = [*fill([*mark, *pieces], width - width_of(right)), *right]
    ground = " line" if marked else ""
    return [(text, f"{style}{ground}@pick:{n}") for text, style in row]


class Prompt(Rows):
    """The panel across, just above the message and the keys."""

    DEFAULT_CSS = """
    Prompt { border: heavy $bench-hand; padding: 0 1; height: 7; }
    """

    def show_asked(self, asked: Asking) -> None:
        """What is asked; the text as the desk holds it stands in the first row."""
        self.show_titles(asked.title, asked.foot)
        self.show(asked.lines)
