"""A file for the books from the bench, in one line: what, which days, which layout."""

from datetime import date, timedelta

from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Desk, OpenLine
from benchtui.desk.core.keeping import exports
from benchtui.desk.line.day_typed import read_day
from benchtui.desk.line.lines import LINES, LineKind, left_empty, open_line
from benchtui.desk.sale.record_life import leave_line
from benchtui.export.ask import TABLES
from benchtui.export.run import PAPERS, Ask, export, file_name
from benchtui.money.scheme import period_bounds

FILES = ("sales", "stock", "vat", "journal", "invoices", "credit-notes", "receipts", "stockbook", "statement")
ABOUT = f"{', '.join(FILES)}; days: 2026-11, 2026-Q4, 2026 or one day; the name of a layout"


@command(
    "books-file",
    "bench",
    "write sales, stock, VAT, the journal, invoices: a file for the books",
    short="file for the books",
    group="Queue",
    also="export csv accountant sales stock vat journal invoices receipts statement tax return month",
    changes="nothing",
    order=491,
)
@command(
    "file-for-books",
    "page",
    "write sales, stock, VAT, the journal, invoices: a file for the books",
    short="file for the books",
    also="export csv accountant sales stock vat journal invoices receipts statement tax return month",
    changes="nothing",
    on=("parcel", "parcels", "result", "rules", "year", "sender"),
    order=1237,
)
def open_books_file(desk: Desk) -> None:
    """The line, with the month before this one in it."""
    before = date.fromisoformat(desk.today()).replace(day=1) - timedelta(days=1)
    open_line(desk, "books-file", "file for the books", f"sales; {before.isoformat()[:7]}", ABOUT)


def read_file(text: str, today: date) -> Ask:
    """What is asked for. ValueError or BenchError for a file that there is not, or days that are none."""
    what, days, layout, *rest = [*(cell.strip() for cell in text.split(";")), "", ""]
    kinds = [kind for kind in FILES if kind == what] or [
        kind for kind in FILES if what and kind.startswith(what)
    ]
    if len(kinds) != 1 or any(rest):
        raise ValueError(f"'{what}' is not one of {', '.join(FILES)}")
    if layout and kinds[0] not in TABLES:
        raise ValueError(f"no layout for {kinds[0]}: it is not a table")
    ask = Ask(kinds[0], today, layout=layout or None)
    if not days:
        return ask
    if len(days) == 10 or days.casefold() in ("today", "yesterday") or days.startswith("-"):
        return Ask(ask.kind, today, day=read_day(days, today), layout=ask.layout)
    first, last = (date.fromisoformat(each) for each in period_bounds(days))
    if kinds[0] in ("stock", "statement", "stockbook"):  # as they stand at the end of it
        return Ask(ask.kind, today, day=min(last, today), layout=ask.layout)
    return Ask(ask.kind, today, start=first, end=last, layout=ask.layout)


@left_empty
def _take(desk: Desk, line: OpenLine) -> None:
    """Write it among the exports; refused in one sentence, the text stays."""
    try:
        ask = read_file(line.text, date.fromisoformat(desk.today()))
    except ValueError as error:
        desk.refuse(str(error))
        return
    told: list[str] = []
    path = exports(desk) / file_name(ask)
    rows = export(desk.shop, ask, path, tell=told.append)
    what = "page" if ask.kind in PAPERS else "row"
    said = f"{ask.kind} of {rows} {what}{'' if rows == 1 else 's'} written: {path}"
    desk.say("; ".join((said, *told)), "done")
    leave_line(desk)


LINES["books-file"] = LineKind(_take)
