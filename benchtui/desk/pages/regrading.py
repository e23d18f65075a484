"""Regrading blind: what to take from the shelf, without a grade; at the end what the second grading says."""

from benchtui.desk.core.desk import Desk
from benchtui.desk.core.page_parts import (
    SIGNS,
    Column,
    PageView,
    Para,
    Row,
    Section,
    Table,
    Text,
    says,
    words,
)
from benchtui.desk.core.pages import page
from benchtui.desk.record.regrading import ask_size, open_item, sample
from benchtui.export.blind import PASSED, Asked, sample_results


@page(
    "regrade",
    "Parts to grade again without seeing their present grades.",
    keys=("page-enter", "page-leave"),
    enter=open_item,
    count=lambda desk: len(sample(desk)),
    restored=True,
)
def regrade(desk: Desk) -> PageView:
    """A row an item: stock number, shelf, part, title. No grade, neither the first nor the second."""
    found = sample(desk)
    at = desk.open.marked(len(found))
    if desk.open.line is not None and desk.open.line.name == "regrade":
        at = max(0, min(int(desk.open.line.data.get("at", 0)), len(found) - 1))
    done = sum(bool(asked["given"]) for asked in found)
    columns = (
        Column(),
        Column("number"),
        Column("shelf", rank=2),
        Column("part", rank=1),
        Column("record", rank=3),
    )
    return PageView(
        (("Regrading blind", "accent bold"), (f"  {done} of {len(found)} done; saved as you go", "dim")),
        (says(_now(found[at]), "bold", hang=2),) if found else (),
        (Table(columns, [_item(n, asked, n == at) for n, asked in enumerate(found)], name="sample"),),
    )


def _now(asked: Asked) -> str:
    """The record to take from the shelf now, in full."""
    shelf = f", shelf {asked['shelf']}" if asked["shelf"] else ""
    return f"{asked['stock']}{shelf}: {asked['part']} of {_name(asked)}"


def _name(asked: Asked) -> str:
    return ", ".join(filter(None, (asked["artist"], asked["title"])))


def _item(n: int, asked: Asked, here: bool) -> Row:
    style = "bold" if here else "dim" if asked["given"] else ""
    texts = (asked["stock"], asked["shelf"], asked["part"], _name(asked))
    cells = (words(SIGNS["done"] if asked["given"] else "", "good"), *(words(text, style) for text in texts))
    return Row(f"item:{n}", cells, marked=here)


@page(
    "regraded",
    "How far the second grades agree with the first: 1 is fully, 0 is chance.",
    keys=("page-enter", "page-leave"),
    enter=ask_size,
)
def regraded(desk: Desk) -> PageView:
    """Weighted kappa, drift by grade and by month, then each part with both grades, unlike ones first."""
    found = sample(desk)
    results, left_out = sample_results(found, desk.references.scales)
    sections: list[Section] = []
    for result in results:
        value = (
            "cannot be worked out: one grade throughout" if result.kappa is None else f"{result.kappa:.2f}"
        )
        text = f"same step {result.same or 0:.0%}, at most one step apart {result.near or 0:.0%}"
        sections += [
            Text(
                (
                    Para(((f"{result.scale}: {result.count} parts, weighted kappa ", ""), (value, "bold"))),
                    says(f"{text}; 1 is full agreement, 0 is chance", "dim", 2, 2),
                    says("drift in steps: above 0, you grade higher now", "dim", 2),
                )
            ),
            _drift([(one.group, one.count, one.steps) for one in (*result.by_grade, *result.by_month)]),
        ]
    passed = sum(asked["given"] == PASSED for asked in found)
    paras = [] if results else [says("nothing was graded twice", "dim")]
    paras += [says(f"skipped: {passed}", "dim")] if passed else []
    paras += [says(f"left out because their scale has changed: {left_out}", "warn")] if left_out else []
    sections += [Text(tuple(paras))] if paras else []
    return PageView(
        (("Regraded blind", "accent bold"), ("  Enter draws a new sample", "dim")),
        sections=(*sections, _both([asked for asked in found if asked["given"] != PASSED])),
    )


def _drift(groups: list[tuple[str, int, float]]) -> Table:
    rows = []
    for n, (group, count, steps) in enumerate(groups):
        style = "" if abs(steps) < 0.5 else "warn"
        cells = (
            words(group or "no day", "bold"),
            words(f"{steps:+.2f}", style),
            words(f"over {count}", "dim"),
        )
        rows.append(Row(f"drift:{n}", cells, markable=False))
    return Table((Column(rank=1), Column(right=True), Column()), rows, name="drift")


def _both(found: list[Asked]) -> Table:
    rows: list[Row] = []
    for asked in sorted(found, key=lambda one: (one["first"] == one["given"], one["stock"])):
        style = "" if asked["first"] != asked["given"] else "dim"
        texts = (asked["stock"], asked["part"], f"{asked['first']} then", f"{asked['given']} now")
        rows.append(Row(f"part:{len(rows)}", tuple(words(text, style) for text in texts), markable=False))
    return Table((Column(), Column(rank=1), Column(), Column()), rows, name="both")
