"""The parcel report: one HTML file that says what came, how it was packed, and how each record stands.

Made for the sender and for a carrier's claim: it holds no cost and no share. A record set apart is counted
with its reason, so that the count is true, and nothing else is said of it; nor of one taken out.
"""

from collections.abc import Iterable, Sequence
from datetime import date
from pathlib import Path
from typing import NamedTuple

from benchtui.books.cautions import said
from benchtui.export.items import Item
from benchtui.export.page import page, shown, tag
from benchtui.export.report_record import STYLE, record_html
from benchtui.export.spanbar import LEGEND, Axis, axis_of
from benchtui.export.wording import Wording, local_day
from benchtui.model.day_words import long_day
from benchtui.model.money import Money
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import MoneyDoc, RecordDoc, why_apart
from benchtui.money.notice import ESTIMATE, REPORT_ESTIMATE


class Count(NamedTuple):
    """What came against what was announced. ``came`` leaves out empty places and records taken out."""

    expected: int
    came: int
    apart: tuple[str, ...]
    taken_out: int
    unpacked: bool = True

    @property
    def say(self) -> str:
        """``15 announced, 14 came: 1 short``; what is still in the box is not short."""
        gap = self.came - self.expected
        if gap < 0 and not self.unpacked:
            return f"{self.expected} announced, {self.came} out of the box so far"
        verdict = f"{-gap} short" if gap < 0 else f"{gap} over" if gap > 0 else "complete"
        return f"{self.expected} announced, {self.came} came: {verdict}"


def count_of(head: HeadDoc, records: Sequence[RecordDoc]) -> Count:
    """Counts one parcel's queue."""
    came = [record for record in records if record["state"] not in ("empty", "withdrawn")]
    apart = tuple(
        f"no. {record['no']} ({why_apart(record['set_apart'])})" for record in came if record["set_apart"]
    )
    taken_out = sum(record["state"] == "withdrawn" for record in records)
    unpacked = head["state"] == "closed" or all(record["state"] != "empty" for record in records)
    return Count(head["expected"], len(came), apart, taken_out, unpacked)


def parcel_report(
    head: HeadDoc,
    items: Iterable[Item],
    wording: Wording | None = None,
    sender: str = "",
    made: date | None = None,
    shop: Path | None = None,
) -> bytes:
    """The report of one parcel; items of other parcels are left out, and there may be none at all. ``shop``
    is where its pictures are looked for.
    """
    own = [item for item in items if item.head["id"] == head["id"]]
    title = f"Parcel {head['id']}"
    body = _parcel(head, own, wording or Wording(), sender, shop)
    return _page(title, tag("h1", shown(title)) + body, made)


def sender_report(
    sender: str, items: Sequence[Item], wording: Wording | None = None, made: date | None = None,
    shop: Path | None = None,
) -> bytes:  # fmt: skip
    """What one sender's consigned records came to be, parcel by parcel; what was bought is the shop's own."""
    consigned = [item for item in items if item.terms == "consigned"]
    axis = axis_of(consigned)
    sections = "".join(
        tag("h2", f"Parcel {shown(parcel)}")
        + _records([one for one in consigned if one.head["id"] == parcel], wording or Wording(), axis, shop)
        for parcel in dict.fromkeys(item.head["id"] for item in consigned)
    )
    body = tag("h1", f"Consigned goods of {shown(sender)}") + (sections or tag("p", "Nothing is consigned."))
    return _page(f"Consigned goods of {sender}", body, made, REPORT_ESTIMATE)


def _page(title: str, body: str, made: date | None, caution: str = ESTIMATE) -> bytes:
    day = f"Made on {long_day(made)}. " if made else ""
    said = f"{day}Prices are asking prices, not what was paid. {caution}"
    return page(title, body + tag("p", said, "small"), STYLE)


def _parcel(head: HeadDoc, items: Sequence[Item], words: Wording, sender: str, shop: Path | None) -> str:
    return (
        _facts(head, sender)
        + tag("h2", "How it came")
        + _came(head, [item.record for item in items])
        + _list(head, items)
        + tag("h2", "Records")
        + _records(items, words, axis_of(items), shop)
    )


def _facts(head: HeadDoc, sender: str) -> str:
    rows = [
        ("From", sender),
        ("Terms", head["terms"]),
        ("Carrier", " ".join(filter(None, (head["carrier"], head["tracking"])))),
        ("Customs reference", head["customs"]),
        ("Declared value", _money(head["declared"])),
        ("Insured value", _money(head["insured"])),
        ("Dispatched", _day(head["dispatched"])),
        ("Delivered", _day(head["delivered"])),
        ("Opened", _day(head["opened"])),
        ("Closed", _day(head["closed_at"] or "")),
    ]
    return tag("table", "".join(_fact(label, shown(text)) for label, text in rows if text))


def _came(head: HeadDoc, records: Sequence[RecordDoc]) -> str:
    count = count_of(head, records)
    damage = shown(head["damage"]) or "none noted"
    deadline = f"{shown(_day(head['claim_deadline'])) or 'not entered'} ({said('claims')})"
    rows = [
        ("Count", shown(count.say)),
        ("Set apart", shown(", ".join(count.apart))),
        ("Taken out of the queue", str(count.taken_out or "")),
        ("Packing", shown(head["packing"]) or "not noted"),
        ("Damage in transit", damage),
        ("Claim from the carrier by", deadline if head["damage"] or head["claim_deadline"] else ""),
        ("Evidence", shown(", ".join(_evidence(head, records)))),
    ]
    return tag("table", "".join(_fact(label, text) for label, text in rows if text))


def _evidence(head: HeadDoc, records: Sequence[RecordDoc]) -> list[str]:
    """What backs a claim: records photographed, or still to be, before they are cleaned or moved."""
    if not head["damage"]:
        return []
    shot = [(r["no"], c["done"]) for r in records for c in r["chores"] if c["what"] == "photograph"]
    done = [f"no. {no} photographed {local_day(day) or day}" for no, day in shot if day]
    return done + [f"no. {no} still to be photographed" for no, day in shot if not day]


def _list(head: HeadDoc, items: Sequence[Item]) -> str:
    if not head["list"]:
        return ""
    listed = {line["record"] for line in head["list"] if line["record"]}
    absent = [line["line"] for line in head["list"] if not line["record"]]
    extra = [
        f"no. {i.record['no']}" for i in items if i.record["state"] in _HERE and i.record["id"] not in listed
    ]
    missing = "On the list, not found" if head["state"] == "closed" else "On the list, not found yet"
    rows = [
        ("On the list and here", str(len(head["list"]) - len(absent))),
        (missing, "<br>".join(shown(line) for line in absent)),
        ("Here, not on the list", shown(", ".join(extra))),
    ]
    facts = "".join(_fact(label, text) for label, text in rows if text)
    return tag("h2", "The sender's list") + tag("table", facts)


_HERE = ("started", "taken-in")


def _records(items: Sequence[Item], words: Wording, axis: Axis | None, shop: Path | None) -> str:
    open_to_tell = [item for item in items if item.record["state"] in _HERE and not item.record["set_apart"]]
    claimed = {
        line["record"]: line["grade"] for item in items[:1] for line in item.head["list"] if line["record"]
    }
    blocks = "".join(
        record_html(item, words, axis, claimed.get(item.record["id"], ""), shop)
        for item in sorted(open_to_tell, key=lambda item: item.record["no"])
    )
    legend = tag("p", LEGEND, "small") if axis else ""
    return legend + blocks if blocks else tag("p", "No record yet.")


def _fact(label: str, text: str) -> str:
    return tag("tr", tag("th", label) + tag("td", text))


def _money(doc: MoneyDoc | None) -> str:
    return Money(doc["minor"], doc["currency"]).show() if doc else ""


def _day(text: str) -> str:
    day = local_day(text)
    return long_day(day) if day else text
