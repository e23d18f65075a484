"""A title list on its way in: how far it is, the doubtful side by side, and what became of it."""

from benchtui.bench.draw.scroll import around, scrolled
from benchtui.bench.pieces import Glyphs, Line, bar, clean, cut, fill, wrap
from benchtui.desk.core import Desk, Page
from benchtui.desk.titles_in import phase_of, taking_of
from benchtui.model.title import Title
from benchtui.titles import Doubt, TakeIn

FIELDS = ("artist", "title", "catalogue", "first", "company", "country", "barcode", "channels")
STOPS = ("; Escape stops, nothing is taken in", "dim")
LABEL, GAP = 11, 2
CHOSEN = {"merge": "merge", "keep": "keep both", "skip": "skip"}


def draw_doubtful(desk: Desk, width: int, height: int, glyphs: Glyphs) -> list[Line]:
    found = taking_of(desk)
    if found is None:
        return []
    page, taking = found
    if phase_of(page) != "deciding":
        return _progress(page, taking, width, glyphs)
    at = min(page.marked, len(taking.doubts) - 1)
    lines = _side_by_side(taking, at, width)
    lines.append([])
    head = len(lines)
    lines += [_row(page, doubt, no, no == at, glyphs) for no, doubt in enumerate(taking.doubts)]
    return around(lines, head, at, height)


def _progress(page: Page, taking: TakeIn, width: int, glyphs: Glyphs) -> list[Line]:
    done, what = float(page.data["done"]), phase_of(page)
    words = "reading and comparing" if what == "reading" else "writing and making it ready to search"
    lines: list[Line] = [[("Title list", "accent bold"), (f"  {clean(str(taking.path))}", "dim")], []]
    lines.append([(f"{done * 100:4.0f}% ", "bold"), (bar(done, min(40, width - 8), glyphs), "accent")])
    report = taking.report
    lines += [[(f"{words}: {report.lines:,} lines, {len(report.refused):,} refused so far", "")]]
    return [*lines, [], *wrap("Escape stops it, and nothing is taken in.", width, "dim")]


def _side_by_side(taking: TakeIn, at: int, width: int) -> list[Line]:
    """The doubt that is marked: each field of both titles, what differs marked."""
    doubt, left = taking.doubts[at], len(taking.undecided())
    each = max(8, min(52, (width - LABEL - GAP) // 2))
    lines: list[Line] = [
        [("Doubtful titles", "accent bold"), (f"  {left} of {len(taking.doubts)} to decide", "dim"), STOPS],
        [(f"line {doubt.line}: {clean(doubt.why)}, {doubt.alike:.0f} % alike", "bold")],
        [(" " * LABEL, ""), *fill([("in this list", "dim")], each + GAP), ("known already", "dim")],
    ]
    for name in FIELDS:
        mine, other = _text(doubt.title, name), _text(doubt.other, name)
        if mine or other:
            style = "" if mine == other else "warn"
            lines.append(
                [
                    (f"{name:<{LABEL}}", "dim"),
                    *fill(cut([(mine, style)], each), each + GAP),
                    *cut([(other, style)], each),
                ]
            )
    return lines


def _text(title: Title, name: str) -> str:
    value = getattr(title, name)
    return clean(str(value)) if value else ""


def _row(page: Page, doubt: Doubt, no: int, here: bool, glyphs: Glyphs) -> Line:
    chosen = page.data.get("chosen", {}).get(no, "")
    name = ", ".join(filter(None, (doubt.title.artist, doubt.title.title)))
    return [
        (f"{glyphs.here if here else ' '} ", "accent bold"),
        (f"{doubt.line:>7}  ", "dim"),
        (f"{CHOSEN.get(chosen, ''):<10}", "good"),
        (clean(name), "bold" if here else ""),
        (f"  {doubt.alike:.0f} %", "dim"),
    ]


def draw_taken(desk: Desk, width: int, height: int, glyphs: Glyphs) -> list[Line]:
    """What was new, changed and doubtful, and what was refused and why."""
    page = desk.page
    if page is None:
        return []
    lines: list[Line] = [[("What became of the list", "accent bold")], []]
    for n, told in enumerate(page.data["told"]):
        lines += wrap(told, width, "bold" if n == 0 else "warn" if ": refused:" in told else "", "  ")
    return scrolled(desk, lines, height)
