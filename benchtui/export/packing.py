"""The packing slip: what lies in the box, how each record left the shop, how it was packed. No price."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.export.ask import Ask
from benchtui.export.page import page, shown, tag
from benchtui.export.papers import (
    STYLE,
    Sold,
    by_invoice,
    head_rows,
    line_heads,
    paper_row,
    sale_name,
    to_row,
)
from benchtui.model.money import Money
from benchtui.model.naming import grades_of
from benchtui.model.post import packed_and_sent, packing_words, sent_words
from benchtui.model.record import RecordDoc
from benchtui.money.book import Parcels, description
from benchtui.money.standings import standing


def packing(parcels: Parcels, settings: Mapping[str, Any], ask: Ask) -> tuple[bytes, int]:
    """A slip for every sale of the days, and how many they are. BenchError where there is none."""
    found = by_invoice(parcels, ask)
    if not found:
        raise BenchError("no sale in these days", "packing", "other days: --day, or --from and --to")
    return packing_slips(found, settings), len(found)


def sold_with(record: RecordDoc, parcels: Parcels) -> list[Sold]:
    """The record and all that was sold with it, in the order of the parcels; it must be sold."""
    sale = standing(record).sale
    if sale is None:
        raise BenchError("it is not sold", f"record {record['no']}", "choose a record that was sold")
    wanted = sale_name(record, sale)
    return [
        (other_head, other, theirs)
        for other_head, records in parcels
        for other in records
        if (theirs := standing(other).sale) is not None and sale_name(other, theirs) == wanted
    ]


def packing_slips(found: Sequence[Sequence[Sold]], settings: Mapping[str, Any]) -> bytes:
    """A page to print, a section a sale."""
    return page("Packing slips", "\n".join(tag("section", _slip(one, settings)) for one in found), STYLE)


def _slip(mine: Sequence[Sold], settings: Mapping[str, Any]) -> str:
    first = mine[0][2]
    about = [to_row(str(first.get("buyer") or "")), ("sold on", str(first["at"])[:10])]
    about += [("invoice", str(first.get("invoice") or ""))]
    rows = [paper_row(description(record), record["stock"] or "", grades_of(record)) for _, record, _ in mine]
    count = "1 record" if len(mine) == 1 else f"{len(mine)} records"
    return (
        tag("h1", "Packing slip")
        + head_rows(settings, (*about, *_sent(record for _, record, _ in mine)))
        + tag("table", "".join((line_heads((), "disc/cover"), *rows)), "lines")
        + tag("p", f"{count}; grades of disc and cover as they left the shop.")
        + tag("p", shown("The disc may lie outside its cover: open with care."), "small")
    )


def _sent(records: Iterable[RecordDoc]) -> list[tuple[str, str]]:
    """How the box was packed and sent, as noted with the first of its records that says so."""
    for record in records:
        packed, sent = packed_and_sent(record.get("post", []))
        if packed is None and sent is None:
            continue
        insured = Money(packed["minor"], packed["currency"]).show() if packed and "minor" in packed else ""
        return [
            ("packed", packing_words(packed) if packed else ""),
            ("insured for", insured),
            ("sent by", sent_words(sent) if sent else ""),
        ]
    return []
