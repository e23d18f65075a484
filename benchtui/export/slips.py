"""Shelf slips: a CSV for any label printer, and a sheet to print, each with a mark that a scanner reads."""

from collections.abc import Iterable
from datetime import date

from benchtui.books.cautions import said
from benchtui.export import code128
from benchtui.export import telling as tell
from benchtui.export.chores import to_mind
from benchtui.export.claims import say
from benchtui.export.intake import COLUMNS as INTAKE
from benchtui.export.intake import Told
from benchtui.export.items import Item, leaving
from benchtui.export.page import page, shown, tag
from benchtui.export.table import Column, Table, table_of
from benchtui.export.wording import Wording
from benchtui.model.money import Money
from benchtui.model.record import catalogue_of

NAMES = (
    "stock_number",
    "stock_shelf",
    "title_artist",
    "title_name",
    "title_catalogue",
    "pressing_name",
    "disc_grade",
    "cover_grade",
    "money_price",
    "money_currency",
)
"""The slips' CSV has these of the intake's columns, then ``MIND``; the bars are those of ``stock_number``.
The catalogue number is the copy's, as in the stock book: the settled pressing's own where there is one."""
MIND: Told = (
    Column("chore_caution", "text", "cautions for handling the record and for the work still to do"),
    lambda item, words: to_mind(item.record, words),
)
_STYLE = """
body { font-family: "Helvetica Neue", Arial, "Liberation Sans", sans-serif; }
.sheet { display: grid; grid-template-columns: repeat(3, 62mm); gap: 0; }
.slip { width: 62mm; min-height: 38mm; padding: 2.5mm; border: 0.1mm dashed #999; overflow: hidden;
        break-inside: avoid; display: flex; flex-direction: column; font-size: 8.5pt; line-height: 1.25; }
.line { white-space: nowrap; overflow: hidden; text-overflow: ellipsis; }
.mind { font-size: 6pt; line-height: 1.15; margin: 0.5mm 0; }
.title { font-weight: bold; font-size: 9.5pt; }
.foot { display: flex; justify-content: space-between; align-items: baseline; font-size: 11pt; }
.code { display: block; width: 44mm; height: 10mm; margin-top: auto; }
.number { letter-spacing: 0.3mm; }
.price { font-weight: bold; white-space: nowrap; }
@page { size: auto; margin: 8mm; }
"""


def slips(
    items: Iterable[Item], wording: Wording | None = None, day: date | None = None, parcel: str | None = None
) -> Table:
    """One row a slip, for a label printer's own program."""
    words = wording or Wording()
    told = [(column, teller) for column, teller in INTAKE if column.name in NAMES]
    columns = [(column, _number if column.name == "title_catalogue" else teller) for column, teller in told]
    columns.append(MIND)
    rows = [
        {column.name: teller(item, words) for column, teller in columns}
        for item in leaving(items, day, parcel)
    ]
    return table_of([column for column, _ in columns], rows)


def slip_sheet(
    items: Iterable[Item], wording: Wording | None = None, day: date | None = None, parcel: str | None = None
) -> bytes:
    """A page of slips to print and cut, three in a row."""
    words = wording or Wording()
    cells = "\n".join(_slip(item, words) for item in leaving(items, day, parcel))
    sheet = tag("div", cells or "No slips to print.", "sheet" if cells else "")
    minded = tag("p", shown(said("rules")), "mind") if 'class="mind"' in cells else ""
    return page("Shelf slips", sheet + minded, _STYLE)


def _number(item: Item, words: Wording) -> str:
    return catalogue_of(item.record)


def _slip(item: Item, words: Wording) -> str:
    title = dict(item.record["title"] or {})
    disc, cover = tell.lowest("disc")(item, words), tell.lowest("cover")(item, words)
    grades = ", ".join(bit for bit in (disc and f"disc {disc}", cover and f"cover {cover}") if bit)
    lines = [
        ("line title", title.get("title", "")),
        ("line", say("imitation", item, words).text),
        ("line", title.get("artist", "")),
        ("line", " - ".join(bit for bit in (_number(item, words), grades) if bit)),
        ("line", tell.shelf(item, words)),
        ("mind", to_mind(item.record, words)),
    ]
    price = item.record["price"]
    asked = Money(price["minor"], price["currency"]).show() if price else ""
    foot = tag("div", shown(item.stock), "number") + tag("div", shown(asked), "price")
    columns = "".join(tag("div", shown(text), css) for css, text in lines if text)
    return tag("div", columns + code128.svg(item.stock) + tag("div", foot, "foot"), "slip")
