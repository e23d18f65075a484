"""Regrading blind: what to take from the shelf, without a grade; at the end what the second grading says."""

from benchtui.bench.draw.scroll import around, scrolled
from benchtui.bench.pieces import Glyphs, Line, clean, wrap
from benchtui.desk.core import Desk
from benchtui.desk.regrading import sample


def draw_regrade(desk: Desk, width: int, height: int, glyphs: Glyphs) -> list[Line]:
    """A line an item: stock number, shelf, part, title. No grade, neither the first nor the second."""
    page, found = desk.page, sample(desk)
    if page is None:
        return []
    if desk.line is not None and desk.line.name == "regrade":
        page.marked = int(desk.line.data.get("at", 0))
    at = max(0, min(page.marked, len(found) - 1))
    head = _head(found, at, width)
    body = [_item(asked, n == at, glyphs) for n, asked in enumerate(found)]
    return around(head + body, len(head), at, height)


def _head(found: list[dict[str, str]], at: int, width: int) -> list[Line]:
    """How far it is, and the record to take from the shelf now, in full."""
    done = sum(bool(asked["given"]) for asked in found)
    lines: list[Line] = [
        [("Regrading blind", "accent bold"), (f"  {done} of {len(found)} done; kept as you go", "dim")]
    ]
    if found:
        now = found[at]
        shelf = f", shelf {now['shelf']}" if now["shelf"] else ""
        lines += wrap(f"{now['stock']}{shelf}: {now['part']} of {_name(now)}", width, "bold", "  ")
    lines.append([])
    lines.append([(f"    {'number':<10}{'shelf':<9}{'part':<12}record", "dim")])
    return lines


def _name(asked: dict[str, str]) -> str:
    return ", ".join(filter(None, (asked["artist"], asked["title"])))


def _item(asked: dict[str, str], here: bool, glyphs: Glyphs) -> Line:
    style = "bold" if here else "dim" if asked["given"] else ""
    return [
        (f"{glyphs.here if here else ' '} ", "accent bold"),
        (f"{glyphs.done if asked['given'] else ' '} ", "good"),
        (f"{clean(asked['stock']):<9} {clean(asked['shelf'])[:8]:<9}", style),
        (f"{clean(asked['part'])[:11]:<12}{clean(_name(asked))}", style),
    ]


def draw_regraded(desk: Desk, width: int, height: int, glyphs: Glyphs) -> list[Line]:
    """Weighted kappa, drift by grade and by month, then each part with both grades, unlike ones first."""
    from benchtui.export.blind import PASSED, sample_results

    found = sample(desk)
    results, left_out = sample_results(found, desk.references.scales)
    passed = sum(asked["given"] == PASSED for asked in found)
    lines: list[Line] = [[("Regraded blind", "accent bold"), ("  Enter draws a new sample", "dim")], []]
    for result in results:
        value = "not defined: one grade throughout" if result.kappa is None else f"{result.kappa:.2f}"
        lines.append([(f"{clean(result.scale)}: {result.count} parts, weighted kappa ", ""), (value, "bold")])
        text = f"same step {result.same or 0:.0%}, at most one step apart {result.near or 0:.0%}"
        said = wrap(f"{text}; 1 is full agreement, 0 is chance", width - 2, "dim", "  ")
        lines += [[("  ", ""), *line] for line in said]
        lines.append([("  drift in steps, above 0 is graded higher now", "dim")])
        lines += [_drift(one.group, one.count, one.steps) for one in (*result.by_grade, *result.by_month)]
    if not results:
        lines.append([("nothing was graded twice", "dim")])
    if passed:
        lines.append([(f"passed over: {passed}", "dim")])
    if left_out:
        lines += wrap(f"left out, their scale is changed since: {left_out}", width, "warn")
    lines.append([])
    for asked in sorted(found, key=lambda one: (one["first"] == one["given"], one["stock"])):
        if asked["given"] != PASSED:
            both = f"{asked['first']:<5} then, {asked['given']:<5} now"
            style = "" if asked["first"] != asked["given"] else "dim"
            lines.append([(f"  {clean(asked['stock']):<10}{clean(asked['part']):<14}{both}", style)])
    return scrolled(desk, lines, height)


def _drift(group: str, count: int, steps: float) -> Line:
    """``    VG+      -0.50 over 2``"""
    style = "" if abs(steps) < 0.5 else "warn"
    return [
        (f"    {clean(group or 'no day'):<9}", "bold"),
        (f"{steps:+.2f}", style),
        (f" over {count}", "dim"),
    ]
