"""One record of a parcel report: what it is, how it stands, when it was made, what is asked for it."""

from html import escape
from pathlib import Path

from benchtui.base.signs import visible
from benchtui.export import telling as tell
from benchtui.export.ceilings import too_high
from benchtui.export.claims import say
from benchtui.export.claims_state import in_order
from benchtui.export.items import Item
from benchtui.export.page import shown, tag
from benchtui.export.pictures import MOST_SMALL, file_of, small
from benchtui.export.spanbar import Axis, span_bars
from benchtui.export.wording import Wording, grade_text, part_name
from benchtui.model.money import Money
from benchtui.model.record import PART_KINDS, PartDoc, catalogue_of

STYLE = """
.record { display: grid; grid-template-columns: 1fr 78mm; gap: 1mm 6mm; padding: 2.5mm 0;
          border-top: 0.2mm solid #999; break-inside: avoid; }
.record h3 { font-size: 11pt; margin: 0; }
.record p { margin: 0.6mm 0; }
.pictures img { max-height: 26mm; margin: 0 1.5mm 1.5mm 0; }
.record .price { font-weight: bold; text-align: right; }
.above { border-bottom: 0.3mm dashed #111; }
.spans { width: 78mm; font: 11px Arial, "Liberation Sans", sans-serif; }
.spans text { fill: #111; }
.spans .year { text-anchor: middle; fill: #555; font-size: 9.5px; }
.spans .scale line { stroke: #ccc; stroke-width: 0.6; }
.spans .certain, .spans .open { fill: #555; }
.spans .likely { fill: #1f5f8b; stroke: #111; stroke-width: 0.4; }
.spans .clash { font-weight: bold; }
"""


def record_html(
    item: Item, words: Wording, axis: Axis | None, claimed: str = "", shop: Path | None = None
) -> str:
    """The record's block; ``claimed`` is the grade the sender's own list gave it, ``shop`` where its pictures
    are looked for.
    """
    right = tag("p", price(item), "price") + span_bars(item, axis)
    left = _left(item, words, claimed) + (_pictures(item, shop) if shop is not None else "")
    return tag("section", tag("div", left) + tag("div", right), "record")


def _pictures(item: Item, shop: Path) -> str:
    """The first of its photographs, small; nothing where none can be shown."""
    shown_small = []
    for one in item.record.get("photographs", [])[:MOST_SMALL]:
        path = file_of(shop, one)
        address = small(path) if path is not None else ""
        if address:
            said = escape(visible(one["shot"] or Path(one["file"]).name), quote=True)
            shown_small.append(f'<img alt="{said}" src="{address}">')
    return tag("p", "".join(shown_small), "pictures") if shown_small else ""


def price(item: Item) -> str:
    """The asking price; one worked out is named as the estimate it is."""
    asked = item.record["price"]
    if not asked:
        return "no price yet"
    text = shown(Money(asked["minor"], asked["currency"]).show())
    return text + (" (estimate)" if asked["how"] == "worked" else "")


def _left(item: Item, words: Wording, claimed: str) -> str:
    record = item.record
    title = dict(record["title"] or {})
    name = ": ".join(shown(title[key]) for key in ("artist", "title") if title.get(key))
    lines = [
        ("", shown(catalogue_of(record))),
        ("Pressing", shown(say("pressing", item, words).text)),
        ("Grades", _grades(item, words)),
        ("On the sender's list", shown(claimed)),
        ("Faults", shown(say("faults", item, words).text)),
        ("Extras", shown(say("extras", item, words).text)),
        ("Missing", shown(say("missing", item, words).text)),
        ("Parts", shown("; ".join(filter(None, (say(field, item, words).text for field in _TOGETHER))))),
        ("Still to do", shown(tell.chores_open(item, words))),
    ]
    paragraphs = "".join(tag("p", (f'<span class="small">{label}:</span> ' if label else "") + text)
                   for label, text in lines if text)  # fmt: skip
    number = f"{record['no']}. " + (f"{shown(item.stock)} " if item.stock else "")
    return tag("h3", number + (name or "no title yet")) + paragraphs


_TOGETHER = ("agreement", "assembled")


def _grades(item: Item, words: Wording) -> str:
    """Every part's grade; one above what its faults allow is marked, with the fault named."""
    parts = [part for part in in_order(item.record, PART_KINDS) if part["grades"]]
    said = [f"{shown(part_name(item.record, part))} {_marked(item, words, part)}" for part in parts]
    scale = tell.scales(item, words)
    return "; ".join(said) + (f' <span class="small">({shown(scale)} scale)</span>' if said else "")


def _marked(item: Item, words: Wording, part: PartDoc) -> str:
    text, mark = shown(tell.grades(item, words, part)), too_high(words, part)
    arrived = grade_text(words.lowest(e for e in part["grades"] if e["when"] == "arrived"))
    later = any(event["when"] != "arrived" for event in part["grades"])
    before = f" (arrived {shown(arrived)})" if arrived and later else ""
    return (tag("span", text, "above") + f" (!! {shown(mark)})" if mark else text) + before
