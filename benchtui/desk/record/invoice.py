"""The invoice of the sale that a record is in, written to be printed from its page."""

from datetime import date

from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.keeping import exports
from benchtui.desk.core.needs import is_sold
from benchtui.export.ask import Ask
from benchtui.export.files import write_whole
from benchtui.export.papers import invoice_of, tax_caution
from benchtui.export.shop_books import each_parcel
from benchtui.export.untold import told_parcels
from benchtui.model.filename import plain_name


@command(
    "record-invoice",
    "page",
    "print its invoice: a page of the sale it is in",
    short="invoice",
    also="invoice bill print paper receipt sales note buyer",
    needs=[is_sold],
    changes="nothing",
    on=("record",),
    order=1180,
)
def write_invoice(desk: Desk) -> None:
    """As it was issued, with all that was sold with it."""
    record = desk.record
    today = date.fromisoformat(desk.today())
    told: list[str] = []
    parcels = told_parcels(list(each_parcel(desk.shop)), told.append)
    if not any(one["id"] == record["id"] for _, mine in parcels for one in mine):
        desk.refuse("; ".join(told))
        return
    paper = invoice_of(record, parcels, desk.settings, Ask("invoices", today))
    path = exports(desk) / f"invoice-{plain_name(record['stock'] or record['id'])}.html"
    write_whole(path, paper)
    caution = tax_caution(paper)
    desk.say(f"invoice written, to be printed: {path}{caution and f'. {caution}'}", "done")
