"""``benchtui spread PARCEL [--json]``: landed cost and its shares, as text or JSON."""

import json
from collections.abc import Mapping, Sequence
from typing import Any

from benchtui.base.signs import visible_json
from benchtui.model.earlier import local_day
from benchtui.model.money import Money
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money.charges import GET_HERE
from benchtui.money.moved_cost import moved_over
from benchtui.money.result import ParcelResult, ResultRow, guess_in_words, parcel_result

_HEADS = ("no", "stock", "terms", "asked", "cost share", "to seller", "inbound", "margin", "VAT", "record")
_BAR = 20


def spread_command(
    head: HeadDoc,
    records: Sequence[RecordDoc],
    settings: Mapping[str, Any],
    *,
    as_json: bool = False,
    weights: Mapping[str, int] | None = None,
    senders: Mapping[str, Mapping[str, Any]] | None = None,
) -> str:
    """The whole answer, ending in a line feed; ``senders`` are the shop's. Raises as ``parcel_result``."""
    result = parcel_result(head, records, settings, weights, senders)
    if as_json:
        return visible_json(json.dumps(spread_json(result), ensure_ascii=False, indent=2)) + "\n"
    return spread_text(result, head)


def spread_json(result: ParcelResult) -> dict[str, Any]:
    """The result as plain JSON: amounts are {"minor", "currency"}, None what is not known."""
    return {
        "parcel": result.parcel,
        "currency": result.currency,
        "note": result.note,
        "how": result.spread.how,
        "frozen": result.spread.frozen,
        "rounding": result.cost.rule,
        "charges": [
            {
                "what": charge.what,
                "charged": _doc(charge.charged),
                "rate": charge.rate,
                "rate_date": charge.rate_date,
                "rate_from": charge.rate_from,
                "landed": _doc(charge.landed),
            }
            for charge in result.cost.charges
        ],
        "records": [_row_json(row) for row in result.rows],
        "whole": {
            "paid": _doc(result.paid),
            "landed": _doc(result.landed),
            "unspread": _doc(result.spread.unspread),
            "cost_moved": _doc(result.spread.moved),
            "asked": _doc(result.asked),
            "expected_margin": _doc(result.margin),
            "sunk": _doc(result.sunk),
            "late": _doc(result.spread.late),
            "expected_vat": _doc(result.vat),
            "asked_consigned": _doc(result.asked_consigned),
            "expected_commission": _doc(result.commission),
            "records": len(result.rows),
            "priced": result.priced,
        },
        "changed_since_closing": _changes(result),
    }


def spread_text(result: ParcelResult, head: HeadDoc) -> str:
    """The result for reading: charges, a table, bars of the whole, and that it is an estimate."""
    lines = [f"parcel {result.parcel}, shares {_HOW.get(result.spread.how, result.spread.how)}"]
    if result.spread.frozen:
        lines[0] += f", frozen when it was closed on {local_day(head['closed_at'] or '') or 'an unknown day'}"
    lines += ["", *_charges(result), "", *_table(result.rows)]
    if guess := guess_in_words(result):
        lines.append(f"* {guess}: {sum(row.share.guessed for row in result.rows)}")
    lines += ["", *_bars(result)]
    if result.asked_consigned.minor:
        asked, earned = result.asked_consigned.show(), result.commission.show()
        lines.append(f"  consigned: asked {asked}, commission less costs {earned}")
    by_id = {row.record: f"record {row.no}" for row in result.rows}
    for change in _changes(result):
        before, now = (Money(change[when], result.currency).plain() for when in ("before", "now"))
        lines.append(
            f"changed since it was closed: {by_id.get(change['id'], 'a record gone')} {before} -> {now}"
        )
    lines += [
        f"record {row.no}: {row.share.moved.show()} of its cost share {_WAY[row.share.moved.minor > 0]}"
        for row in result.rows
        if row.share.moved.minor
    ]
    if result.spread.moved.minor:
        lines.append(moved_over(result.spread.moved))
    if result.sunk.minor:
        lines.append(f"cost that no price will recover (in the margin): {result.sunk.show()}")
    if result.spread.unspread.minor:
        lines.append(f"on no record: {result.spread.unspread.show()}")
    return "\n".join([*lines, "", result.note]) + "\n"


_HOW = {"worked": "by worked price", "even": "evenly", "hand": "by hand, the rest by worked price"}

_WAY = {True: "came with parts from other records", False: "went with parts to other records"}


def _doc(money: Money | None) -> Any:
    return None if money is None else money.to_doc()


def _row_json(row: ResultRow) -> dict[str, Any]:
    share = row.share
    return {
        "id": row.record,
        "no": row.no,
        "stock": row.stock or None,
        "record": row.label,
        "terms": share.terms,
        "asked": _doc(row.asked),
        "weight": share.weight,
        "weight_guessed": share.guessed,
        "cost_share": _doc(share.cost_share),
        "cost_moved": _doc(share.moved),
        "margin_purchase_price": _doc(share.margin_purchase_price),
        "inbound": _doc(share.inbound),
        "expected_margin": _doc(row.margin),
        "expected_vat": _doc(row.vat),
        "margin_after_vat": _doc(row.after_vat),
    }


def _changes(result: ParcelResult) -> list[dict[str, Any]]:
    """Shares that would differ now from those frozen at the closing."""
    return [{"id": one, "before": before, "now": now} for one, (before, now) in result.since.items()]


def _charges(result: ParcelResult) -> list[str]:
    lines = []
    for charge in result.cost.charges:
        line = f"  {charge.what:<16}{charge.charged.show():>16}"
        if charge.charged.currency != result.currency:
            origin = ", ".join(word for word in (charge.rate_date, charge.rate_from) if word)
            line += f" at {charge.rate}" + (f" ({origin})" if origin else "") + f" = {charge.landed.show()}"
        lines.append(line)
    late = result.landed - result.cost.total
    if late.minor or result.spread.late.minor:
        expensed = late - result.spread.late
        on_none = f", of it on no record (expensed) {expensed.show()}" if expensed.minor else ""
        lines.append(f"  {'late bills':<16}{late.show():>16}{on_none}")
    cost = f"  {GET_HERE:<16}{result.landed.show():>16} (landed), of it to the seller {result.paid.show()}"
    return [*lines, cost]


def _table(rows: Sequence[ResultRow]) -> list[str]:
    cells = [_HEADS, *(_cells(row) for row in rows)]
    wide = [max(len(row[at]) for row in cells) for at in range(len(_HEADS) - 1)]
    return [
        "  ".join((cell.ljust if at in (1, 2) else cell.rjust)(wide[at]) for at, cell in enumerate(row[:-1]))
        + f"  {row[-1]}".rstrip()
        for row in cells
    ]


def _cells(row: ResultRow) -> tuple[str, ...]:
    share = row.share
    bought = share.terms == "bought"
    return (
        str(row.no),
        row.stock or "-",
        share.terms,
        (row.asked.plain() if row.asked else "-") + ("*" if share.guessed else ""),
        share.cost_share.plain() if bought else "-",
        share.margin_purchase_price.plain() if bought else "-",
        "-" if bought else share.inbound.plain(),
        row.margin.plain() if row.margin else "?",
        row.vat.plain() if row.vat else "?",
        row.label,
    )


def _bars(result: ParcelResult) -> list[str]:
    """Paid, landed, asked and margin on one scale, in signs that every terminal has."""
    figures = (
        ("paid", result.paid),
        (GET_HERE, result.landed),
        ("asked", result.asked),
        ("margin", result.margin),
    )
    known = [(name, money) for name, money in figures if money is not None]
    most = max([1, *(abs(money.minor) for _, money in known)])
    priced = f"({result.priced} of {len(result.rows)} records have a price)"
    lines = []
    for name, money in known:
        bar = ("#" if money.minor >= 0 else "-") * (_BAR * abs(money.minor) // most)
        lines.append(f"  {name:<16}{money.show():>16} {bar}".rstrip())
    return [*lines, f"  {priced}"]
