"""On the record's page, what came after the bench: where it is listed, how it went out."""

from collections.abc import Sequence

from benchtui.desk.core.desk import Desk
from benchtui.desk.core.page_parts import Section, Text, says, words
from benchtui.desk.line.amount_typed import shown
from benchtui.desk.pages.record_life import details
from benchtui.model.custody import CustodyDoc, CustodyStep
from benchtui.model.listening import opinion_words
from benchtui.model.listing import SAID, ListingDoc, online_at
from benchtui.model.post import PostDoc, packing_words, sent_words
from benchtui.model.record import RecordDoc
from benchtui.money.standings import LEFT


def listing(desk: Desk, record: RecordDoc) -> list[Section]:
    """Where it was and is listed, with what happened to it meanwhile, by day; nothing where it never was."""
    events = record.get("listing", [])
    if not events:
        return []
    rows = [
        (
            event["at"],
            2 * (event["what"] == "down"),
            f"{SAID[event['what']]} {event['place']}",
            _amount(event),
        )
        for event in events
    ]
    void = {one.get("of") for one in record["life"] if one.get("what") == "corrected" and not one.get("now")}
    rows += [
        (str(event.get("at")), 1, str(event["what"]), details(event).removeprefix(", "))
        for event in record["life"]
        if event.get("what") in ("held", "released", "returned", *LEFT)
        and event.get("n") not in void
        and str(event.get("at")) >= events[0]["at"]
    ]
    here = ", ".join(f"{place} since {_since(events, place)}" for place in online_at(events)) or "nowhere"
    lines = [says(f"online at {here}" if here != "nowhere" else "online nowhere", "", 2, 3)]
    for at, _, *said in sorted(rows, key=lambda row: row[:2]):  # of one day: listed, sold, taken down
        lines.append(says(f"{at}  {', '.join(filter(None, said))}", "dim", 2, 3))
    return [Text(tuple(lines), words("Listing", "accent bold"), "listing")]


CUSTODY: dict[CustodyStep, str] = {
    "owned": "earlier owner", "opinion": "second opinion", "value": "value agreed", "lies": "kept at",
    "handled": "handled by", "asked": "owner asked", "approved": "owner approved", "refused": "owner refused",
}  # fmt: skip


def _since(events: Sequence[ListingDoc], place: str) -> str:
    """The day it went online there last."""
    days = [event["at"] for event in events if (event["place"], event["what"]) == (place, "online")]
    return days[-1] if days else online_at(events)[place]["at"]


def post(desk: Desk, record: RecordDoc) -> list[Section]:
    """How it went out, step by step; nothing where it was never packed or sent."""
    steps = record.get("post", [])
    lines = [
        says(f"{step['at']}  {_step(step)}", "warn" if step["what"] in ("lost", "damaged") else "", 2, 3)
        for step in steps
    ]
    return [Text(tuple(lines), words("Out by post", "accent bold"), "post")] if steps else []


def custody(desk: Desk, record: RecordDoc) -> list[Section]:
    """Whose it was and what was agreed about it, by day; private, in no export that does not ask for it."""
    entries = record.get("custody", [])
    lines = [says(f"{entry['at']}  {_entry(entry)}", "", 2, 3) for entry in entries]
    heading = (("Owners, opinions, values", "accent bold"), ("  private", "dim"))
    return [Text(tuple(lines), heading, "custody")] if entries else []


def listening(desk: Desk, record: RecordDoc) -> list[Section]:
    """How it sounded to somebody: opinions, which weigh nothing."""
    heard = record.get("listening", [])
    lines = [says(f"{one['at']}  {opinion_words(one)}", "", 2, 3) for one in heard]
    heading = (("Listening", "accent bold"), ("  opinions, not evidence", "dim"))
    return [Text(tuple(lines), heading, "listening")] if heard else []


def _amount(entry: ListingDoc | CustodyDoc | PostDoc) -> str:
    """What it says of money, "" where it says nothing of it."""
    return shown(entry) if "minor" in entry else ""


def _entry(entry: CustodyDoc) -> str:
    said = (CUSTODY[entry["what"]], _amount(entry), *(
        str(entry.get(name, "")) for name in ("who", "since", "note", "document")
    ))  # fmt: skip
    return ", ".join(filter(None, said))


def _step(step: PostDoc) -> str:
    what = step["what"]
    if what == "sent":
        return f"sent, {sent_words(step)}, should be there by {step.get('until', '?')}"
    until = f"claim by {step['until']}" if step.get("until") else ""
    insured = "insured for " if what == "packed" and "minor" in step else ""
    amount = f"{insured}{_amount(step)}"
    return ", ".join(filter(None, (what, packing_words(step), amount, until)))
