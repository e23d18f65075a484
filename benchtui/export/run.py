"""Every export by its name: what the command line and the bench both call."""

from collections import Counter
from collections.abc import Callable, Sequence
from datetime import date, timedelta

from benchtui.base.errors import BenchError
from benchtui.export.ask import BOOKS as BOOKS
from benchtui.export.ask import KINDS as KINDS
from benchtui.export.ask import TABLES
from benchtui.export.ask import WEIGHED as WEIGHED
from benchtui.export.ask import Ask as Ask
from benchtui.export.chores import chores
from benchtui.export.consignment import consignments
from benchtui.export.credit_notes import credit_notes
from benchtui.export.csvfile import encoded, out_csv
from benchtui.export.describe import DEFAULT, description_columns, load_templates, template_named
from benchtui.export.files import Out, put_out
from benchtui.export.gather import Progress, Weigh, gather, sender_name, wording_of
from benchtui.export.handed_out import changed, changes_table, hand_out_since, listed, note
from benchtui.export.insured import insured_table
from benchtui.export.intake import COLUMNS, intake
from benchtui.export.items import Item
from benchtui.export.known_shop import known_shop
from benchtui.export.laying_out import is_laid_out, lay_out, out_layout, with_sums
from benchtui.export.layout import load_layout
from benchtui.export.listed import Listings, listings
from benchtui.export.money_tables import carried, statement_table
from benchtui.export.packing import packing
from benchtui.export.papers import invoices, receipts, tax_caution
from benchtui.export.regrade import regrade_sheet
from benchtui.export.report import parcel_report, sender_report
from benchtui.export.shop_books import (
    each_parcel,
    journal_text,
    read_books,
    sales_table,
    stock_table,
    vat_table,
)
from benchtui.export.slips import slip_sheet, slips
from benchtui.export.statement_page import statement_page
from benchtui.export.stockfile import stockbook_file
from benchtui.export.table import Table, visible_table, with_totals
from benchtui.export.untold import told_items, told_parcels
from benchtui.model.filename import plain_name
from benchtui.money.book import folded
from benchtui.money.standings import LEFT
from benchtui.store.shop import Shop

PAPERS = {"invoices": invoices, "credit-notes": credit_notes, "packing": packing}
"""Pages to be printed, by their export."""
OF_RECORDS = ("intake", "chores", "slips", "regrade")
"""The kinds that say where each record is, and add nothing up."""


def read_day(text: str, today: date, option: str = "--day") -> date:
    """``today``, ``yesterday`` or an ISO date; BenchError for anything else."""
    named = {"today": today, "yesterday": today - timedelta(days=1)}
    try:
        return named.get(text) or date.fromisoformat(text)
    except ValueError:
        raise BenchError(
            f"{text!r} is not a day", option, "write today, yesterday or a date such as 2026-11-25"
        ) from None


def export(
    shop: Shop,
    ask: Ask,
    out: Out,
    weigh: Weigh | None = None,
    progress: Progress | None = None,
    tell: Callable[[str], None] | None = None,
    noted: Callable[[Listings, str], object] | None = None,
) -> int:
    """Writes one export to ``out`` (None or ``-``: standard output) and gives the number of its rows.

    ``out`` ending in ``.html`` makes slips a sheet to print. BenchError for what cannot be asked together,
    for a parcel, sender, layout or template that is not there, and for a file that cannot be written.
    ``progress`` is called with the share read; what it raises ends the export before anything is written.
    Signs that a terminal or a spreadsheet obeys stand as escapes in the cells; ``tell`` is told of them.
    ``noted`` is given what a hand-out changes of the listings, and its place.
    """
    if ask.kind not in KINDS:
        raise BenchError(f"there is no export {ask.kind!r}", "export", "one of " + ", ".join(KINDS))
    if ask.layout and ask.kind not in TABLES:
        raise BenchError(
            f"the export {ask.kind} is not a table", "--layout", "use one of " + ", ".join(TABLES)
        )
    if ask.by and ask.kind != "sales":
        raise BenchError(
            "only sales can be added up with --by", "--by", "use benchtui export sales --by month"
        )
    if ask.handed and (ask.kind != "intake" or ask.day or ask.ranged or ask.parcel):
        right = "leave out --day and --parcel: benchtui export intake --changes-since last"
        raise BenchError("what changed is worked out for the whole intake", "--changes-since", right)
    shop = known_shop(shop, ask.kind, ask.known) if ask.known else shop
    if ask.kind == "report":
        return _report(shop, ask, out, weigh, progress)
    if ask.kind == "stockbook":
        return stockbook_file(shop, ask, out, progress, tell)
    if ask.kind in BOOKS:
        return _books(shop, ask, out, progress, tell)
    items = _items(shop, ask, weigh, progress)
    items = told_items(items, tell) if ask.kind in OF_RECORDS else items
    if ask.kind == "consignment":
        data, count = consignments(shop, items, wording_of(shop), ask)
        put_out(data, out)
        return count
    if ask.kind == "slips" and str(out or "").lower().endswith((".html", ".htm")):
        put_out(slip_sheet(items, wording_of(shop), ask.day, ask.parcel), out)
        return len(slips(items, None, ask.day, ask.parcel).rows)
    table = _table(shop, ask, items, tell)
    if ask.kind == "statement" and str(out or "").lower().endswith((".html", ".htm")):
        put_out(statement_page(shop, table, ask), out)
        return len(table.rows)
    if ask.handed:
        return _changes(shop, ask, items, table, out, tell or _nothing, noted or _nothing)
    return _put(shop, ask, table, items, out, tell)


def _put(
    shop: Shop,
    ask: Ask,
    table: Table,
    items: Sequence[Item],
    out: Out,
    tell: Callable[[str], None] | None,
    adds: bool = False,
) -> int:
    """The table in the shop's layout or as it is; with sums where asked for, or ``adds`` says so."""
    may_add = ask.kind != "vat"  # a return's figures do not add up to one
    if not ask.layout:
        added = with_totals(table) if may_add and (adds or ask.totals) else table
        out_csv(visible_table(added, tell), out, encoding=ask.written_in)
        return len(table.rows)
    layout = load_layout(shop.path, ask.layout, table.names, ask.kind)
    laid = lay_out(layout, table, items, wording_of(shop))
    rows = len(laid.rows)
    if may_add and (layout.totals or ask.totals):
        laid = with_sums(layout, laid, table)
    if tell and (left := len(table.rows) - rows):
        kept = ", ".join(f"{name} {wanted}" for name, wanted in layout.only.items())
        tell(f"{left} {'row' if left == 1 else 'rows'} left out: this layout keeps those of {kept}")
    out_layout(layout, visible_table(laid, tell), out, ask.encoding)
    return rows


def _books(
    shop: Shop, ask: Ask, out: Out, progress: Progress | None, tell: Callable[[str], None] | None
) -> int:
    """What is made of the whole shop's entries; each page and file says that it is an estimate."""
    if ask.kind == "receipts":
        data, count = receipts(each_parcel(shop, progress, ask.parcel), shop.settings, ask)
        put_out(data, out)
        return count
    if ask.kind in PAPERS:
        parcels = told_parcels(list(each_parcel(shop, progress, ask.parcel)), tell)
        data, count = PAPERS[ask.kind](parcels, shop.settings, ask)
        put_out(data, out)
        if tell and (caution := tax_caution(data)):
            tell(caution)
        return count
    books = read_books(shop, ask.last, progress, ask.parcel)
    if ask.kind == "journal":
        text, count = journal_text(shop, books, ask)
        put_out(encoded(text, ask.written_in, out or "standard output"), out)
        return count
    tables = {"sales": lambda: sales_table(shop, books, ask), "stock": lambda: stock_table(shop, books, ask)}
    table = tables[ask.kind]() if ask.kind in tables else vat_table(books, ask)
    return _put(shop, ask, table, (), out, tell, adds=True)


def file_name(ask: Ask) -> str:
    """What an export is called among the shop's ``exports`` when nobody names it."""
    day = ask.day.isoformat() if ask.day else ""
    if ask.ranged:
        day = "-".join(each.isoformat() for each in (ask.start, ask.end) if each)
    about = "-".join(filter(None, (ask.parcel or ask.sender, day))) or ask.today.isoformat()
    kind = plain_name(ask.layout or ask.kind) + ("-changes" if ask.handed else "")
    about += f"-known-{ask.known}" if ask.known else ""
    ending = {
        "report": "html",
        "journal": "beancount",
        **dict.fromkeys((*PAPERS, "receipts", "consignment"), "html"),
    }
    return f"{kind}-{plain_name(about)}.{ending.get(ask.kind, 'csv')}"


def _items(shop: Shop, ask: Ask, weigh: Weigh | None, progress: Progress | None) -> list[Item]:
    """The records an export may speak of: books and accounts are about the whole shop, always."""
    if ask.kind in ("statement", "insured"):
        return gather(shop, progress=progress)
    day = ask.day if ask.kind in ("intake", "slips") else None
    weigh = weigh if ask.kind in WEIGHED else None
    found = gather(shop, day=day, parcel=ask.parcel, weigh=weigh, progress=progress)
    if not ask.ranged or ask.kind in ("chores", "consignment"):
        return found
    return [item for item in found if item.taken_in and ask.first <= item.taken_in.isoformat() <= ask.last]


def _table(shop: Shop, ask: Ask, items: Sequence[Item], tell: Callable[[str], None] | None = None) -> Table:
    words = wording_of(shop)
    if ask.kind == "intake":
        return _intake(shop, ask, items)
    if ask.kind == "chores":
        return _of_days(chores(items, words), ask, "chore_since")
    if ask.kind == "slips":
        return slips(items, words, ask.day, ask.parcel)
    if ask.kind == "insured":
        return insured_table(shop, items, ask.day or ask.end or ask.today)
    if ask.kind == "regrade":
        seed = ask.today.toordinal() if ask.seed is None else ask.seed
        return regrade_sheet(items, ask.sample, seed, words)
    sender = _sender(shop, ask.sender) or _sender_of(items, ask.parcel)
    table = statement_table(shop, items, sender, date.fromisoformat(ask.last), tell)
    return carried(table, _of_days(table, ask, "came_in", "sold_on", "paid_on")) if ask.start else table


def _of_days(table: Table, ask: Ask, *names: str) -> Table:
    """The rows of which one of these columns has a day that is wanted."""
    if not ask.ranged and not ask.day:
        return table
    days = zip(*(table.cells(name) for name in names), strict=True)
    kept = tuple(
        row
        for row, mine in zip(table.rows, days, strict=True)
        if any(ask.first <= one[:10] <= ask.last for one in mine if one)
    )
    return Table(table.columns, kept)


def _intake(shop: Shop, ask: Ask, items: Sequence[Item]) -> Table:
    """The intake with its description columns: from the template asked for, else the layout's, else long."""
    templates = load_templates(shop.path)
    name = ask.template or DEFAULT
    if ask.layout and not ask.template:
        names = tuple(column.name for column, _ in COLUMNS)
        extra = tuple(column.name for column, _ in description_columns(templates[DEFAULT], DEFAULT))
        name = load_layout(shop.path, ask.layout, names + extra).description
    more = description_columns(template_named(templates, name), name)
    return intake(items, wording_of(shop), ask.day, ask.parcel, more)


def _changes(
    shop: Shop, ask: Ask, items: Sequence[Item], table: Table, out: Out,
    tell: Callable[[str], None], noted: Callable[[Listings, str], object],
) -> int:  # fmt: skip
    """Only what changed since an earlier hand-out; this one is noted once its file is written. What has
    left the shop is offered nowhere, whatever the layout takes.
    """
    name, takes = ask.layout or ask.kind, {}
    state = table.names.index("stock_state")
    table = Table(table.columns, tuple(row for row in table.rows if row[state] not in LEFT))
    rows = table.dicts()
    layout = load_layout(shop.path, ask.layout, table.names) if ask.layout else None
    if layout is not None:
        rows = [row for row in rows if is_laid_out(layout, row)]
        takes = {shape.name: shape.take for shape in layout.columns}
        table = lay_out(layout, table, items, wording_of(shop))
    before = hand_out_since(shop.path, name, str(ask.handed))
    now = listed(rows)
    words = changed(before.records, now)
    numbers = [row["stock_number"] for row in rows]
    made = visible_table(changes_table(table, numbers, words, before.records, takes), tell)
    if layout is not None:
        out_layout(layout, made, out)
    else:
        out_csv(made, out)
    number = note(shop.path, name, now)
    told = Counter(words.values())
    said = ", ".join(f"{told[word]} {word}" for word in ("new", "changed", "price", "gone") if told[word])
    noted(listings(items, now, name, ask.today.isoformat()), name)
    tell(f"export {number} of {name}: {said or 'nothing changed'} since export {before.number}")
    return len(made.rows)


def _nothing(*_: object) -> None:
    """Told of what nobody asked for."""


def _report(shop: Shop, ask: Ask, out: Out, weigh: Weigh | None, progress: Progress | None) -> int:
    if bool(ask.parcel) == bool(ask.sender):
        raise BenchError(
            "a report is about one parcel or one sender", "report", "add --parcel P or --sender S"
        )
    words = wording_of(shop)
    if ask.parcel:
        items = gather(shop, parcel=ask.parcel, weigh=weigh, progress=progress)
        parcel = shop.open_parcel(ask.parcel, read_only=True)
        head = parcel.head
        parcel.close()
        put_out(
            parcel_report(head, items, words, sender_name(shop, head["sender"]), ask.today, shop.path), out
        )
        return len(items)
    sender = _sender(shop, ask.sender)
    items = [item for item in gather(shop, weigh=weigh, progress=progress) if item.consignor == sender]
    put_out(sender_report(sender_name(shop, sender), items, words, ask.today, shop.path), out)
    return len(items)


def _sender_of(items: Sequence[Item], parcel: str | None) -> str | None:
    """The sender of a parcel; BenchError where it has none, for then there is nobody to account to."""
    heads = [item.head for item in items if item.head["id"] == parcel]
    if parcel and not (heads and heads[0]["sender"]):
        raise BenchError(
            f"parcel {parcel} has no sender", "--parcel", "name one at the bench, or use --sender"
        )
    return heads[0]["sender"] if heads else None


def _sender(shop: Shop, asked: str | None) -> str | None:
    """The id of a sender named by id or by name, whatever the capitals; None for nobody."""
    if asked is None:
        return None
    if asked in shop.senders:
        return asked
    names = {key: (str(doc.get("name") or key), sender_name(shop, key)) for key, doc in shop.senders.items()}
    found = [key for key, mine in names.items() if folded(asked) in map(folded, mine)]
    if len(found) == 1:
        return found[0]
    known = ", ".join(sorted(names[key][1] for key in found or names)) or "none yet"
    what = f"{len(found)} senders are called {asked!r}" if found else f"there is no sender {asked!r}"
    raise BenchError(what, "--sender", f"one of: {known}")
