"""A person taken out of the whole shop: people, parcels, what is kept beside them; what still names them."""

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import replace
from functools import partial

from benchtui.base.errors import BenchError
from benchtui.export.gather import sender_name
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money.book import consignor
from benchtui.money.forgetting import LEAST, Person, forget_in_head, forget_in_record
from benchtui.store.codec import fresh
from benchtui.store.parcel import Parcel
from benchtui.store.shop import Shop

LAW = (
    "the law of your place on accounts and on personal data decides how long the books must name a person,"
    " and what they may ask to have removed"
)
PERSONAL = ("address", "note", "phone", "mail", "identity")
"""Fields of a sender that no account rests on."""
MOST_READ = 64 << 20
"""Bytes: larger files are not looked through."""
Open = Callable[[str], AbstractContextManager[Parcel]]


def person_of(shop: Shop, name: str, books_before: str = "") -> Person:
    """The person to be forgotten. BenchError for a name of too few letters to be told from other words."""
    if sum(map(str.isalpha, name)) < LEAST:
        raise BenchError(
            f"{name.strip()!r} is too short to tell from other words", "forget", "type the whole name"
        )
    closed = max((str(one.get("through", "")) for one in shop.closings()), default="")
    return Person(" ".join(name.split()), books_before, closed)


def would_forget(shop: Shop, person: Person) -> list[str]:
    """The parcels that name the person; what is to be removed and what stays is noted with the person."""
    found = []
    for parcel_id in shop.parcel_ids():
        head, records = shop.read_parcel(parcel_id)
        before = person.removed
        forget_in_head(fresh(head), person)
        for record in records:
            forget_in_record(fresh(record), person)
        if person.removed > before:
            found.append(parcel_id)
    for sender, fields in _senders(shop, person):
        person.removed += len(fields)
        person.senders.append(sender_name(shop, sender))
    return found


def forget(shop: Shop, person: Person, parcels: list[str], open_parcel: Open) -> list[str]:
    """Removes the person for good. Why not, for each parcel that another bench has open."""
    missed, again = [], replace(person, removed=0, stays=[])  # counted when it was looked for
    for parcel_id in parcels:
        try:
            with open_parcel(parcel_id) as parcel:
                parcel.rewrite(partial(forget_in_head, person=again), partial(forget_in_record, person=again))
        except BenchError as error:
            missed.append(error.one_line())
    for sender, fields in list(_senders(shop, again)):
        if "name" in fields:
            shop.drop_sender(sender)
        elif fields:
            shop.change_sender(sender, **dict.fromkeys(fields, ""))
    shop.forget_older()
    shop.forget_index()
    return missed


@contextmanager
def opened(shop: Shop, parcel_id: str) -> Iterator[Parcel]:
    """The parcel, open for a moment, where no bench is at work."""
    parcel = shop.open_parcel(parcel_id, passing=True)
    try:
        yield parcel
    finally:
        parcel.close()


def _senders(shop: Shop, person: Person) -> Iterator[tuple[str, list[str]]]:
    """Each sender of that name, and which fields go: with the name the whole sender does."""
    for key, sender in shop.senders.items():
        if person.is_meant(sender.get("name")):
            fields = [name for name in PERSONAL if sender.get(name)]
            named = [parcel_id for parcel_id, head, records in _parcels(shop) if _refers(head, records, key)]
            if named:
                person.keep(f"the name of the sender of {', '.join(named[:3])}", "")
            yield key, fields if named else [*fields, "name"]


def _parcels(shop: Shop) -> Iterator[tuple[str, HeadDoc, list[RecordDoc]]]:
    for parcel_id in shop.parcel_ids():
        head, records = shop.read_parcel(parcel_id)
        yield parcel_id, head, records


def _refers(head: HeadDoc, records: list[RecordDoc], sender: str) -> bool:
    owners = {part.get("owner") for record in records for part in record["parts"]}
    return (
        head["sender"] == sender or sender in owners or any(consignor(head, one) == sender for one in records)
    )


def still_named(shop: Shop, person: Person) -> list[str]:
    """What the shop keeps, but its parcels and people as they stand, that names the person still: it was
    handed out, closed or set aside, and is not changed here.
    """
    found = []
    for path in sorted(shop.path.rglob("*")):
        inner = path.relative_to(shop.path).as_posix()
        ours = inner in ("shop.json", ".keep/index.lines") or path.suffix in (".previous", ".log")
        ours = ours or (inner.startswith("parcels/") and path.suffix == ".json")
        if ours or not path.is_file() or path.stat().st_size > MOST_READ:
            continue
        text = path.read_bytes().decode("utf-8", "replace")
        if person.names(text):
            found.append(inner)
    found += [name for name, text in shop.home.beside() if person.names(text)]
    return list(dict.fromkeys(found))


def told(person: Person, parcels: list[str], done: bool) -> list[str]:
    """What was, or would be, removed and what stays, in lines."""
    verb = "removed" if done else "would be removed"
    texts = "1 text" if person.removed == 1 else f"{person.removed} texts"
    where = f" in {len(parcels)} {'parcel' if len(parcels) == 1 else 'parcels'}" if parcels else ""
    lines = [f"{texts} {verb}{where}" + ("; undo there reaches no further back" if parcels and done else "")]
    if len(person.senders) > 1 and not done:
        all_of = f"{', '.join(person.senders[:-1])} and {person.senders[-1]}"
        lines.append(f"several senders have that name: {all_of}; give whoever stays another name first")
    return [*lines, *(f"stays: {one}" for one in person.stays), f"Note: {LAW}."]
