"""What stock book and statement share: named columns, and a record in one line of words."""

from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import Any, Literal, NamedTuple, TypeAlias

from benchtui.model.filename import LONGEST, plain_name
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc, anchor_of, catalogue_of, parts_of

Parcels: TypeAlias = Sequence[tuple[HeadDoc, Sequence[RecordDoc]]]


class BookColumn(NamedTuple):
    """A column of a file: its name, whether it holds plain decimals, a sentence about it, and whether it is
    amounts that a reader would add up."""

    name: str
    kind: Literal["text", "number"] = "text"
    about: str = ""
    adds: bool = False


def description(record: RecordDoc) -> str:
    """Artist, title, catalogue number (the pressing's, as descriptions have it), size, and which parts are
    there: enough to tell the item from the others on the shelf. No part is named that is not there."""
    title = record["title"]
    if title is None:
        return "untitled record"
    words = " - ".join(word for word in (title["artist"], title["title"]) if word) or "untitled record"
    return ", ".join(word for word in (words, catalogue_of(record), *_there(record)) if word)


def _there(record: RecordDoc) -> list[str]:
    """``12-inch``, of a set that is not whole ``12-inch, 2 of 3 discs``; without any disc ``cover only``."""
    size = f"{record['size_in']}-inch" if record["size_in"] else ""
    discs, here = [part for part in record["parts"] if part["kind"] == "disc"], parts_of(record, "disc")
    if not record["parts"] or (here and len(here) == len(discs)):
        return [size]
    if here:
        return [size, f"{len(here)} of {len(discs)} discs"]
    kinds = [kind for kind in ("cover", "box", "inner", "wrap") if parts_of(record, kind)]
    return [f"{kinds[0]} only" if kinds else "no disc"]


def bought_on(head: HeadDoc) -> str:
    """The day of purchase: as entered, else when the parcel was delivered, opened or sent; else ""."""
    for day in (head.get("bought_on"), head["delivered"], head["opened"], head["dispatched"]):
        if day:
            return day[:10]
    return ""


def consignor(head: HeadDoc, record: RecordDoc) -> str | None:
    """Whose a consigned record is: as was said, else the owner of its anchor, else the parcel's sender.

    A neighbour may send one record along in somebody else's parcel.
    """
    if said := record.get("consignor"):
        return said
    anchor = anchor_of(record)
    owner = anchor.get("owner", "") if anchor else ""
    return head["sender"] if owner in ("", "shop", "sender") else owner


def sender_name(senders: Mapping[str, Mapping[str, Any]], sender: str | None) -> str:
    """The name of the parcel's sender; "" where nobody is named."""
    return str(senders.get(sender or "", {}).get("name", "")) if sender else ""


def known_as(senders: Mapping[str, Mapping[str, Any]], sender: str | None) -> str:
    """The sender's name, their id where it is lost, "" for nobody; of several of one name with the part of
    the address that none of the others has, else with the id: two people have two accounts, and two files."""
    if not sender:
        return ""
    name = str(senders.get(sender, {}).get("name") or sender)
    others = [
        _address(doc)
        for key, doc in senders.items()
        if key != sender and folded(doc.get("name")) == folded(name)
    ]
    if not others:
        return name
    taken = {folded(part) for one in others for part in one}
    own = (part for part in _address(senders[sender]) if folded(part) not in taken)
    return f"{name} ({next(own, sender)})"


def _address(doc: Mapping[str, Any]) -> list[str]:
    return [" ".join(part.split()) for part in str(doc.get("address") or "").split(",") if part.strip()]


def folded(text: object) -> str:
    """As a file's name has it: there `A/B` and `a b` are one."""
    return _folded(str(text or ""))


@lru_cache(4096)
def _folded(text: str) -> str:
    """Lists ask for everybody's name beside every line."""
    return plain_name(" ".join(text.casefold().split()), LONGEST)


def stock_key(stock: str) -> tuple[str, int]:
    """Stock numbers in their series' order: A00009 before A00010, letter by letter."""
    letters = stock.rstrip("0123456789")
    return letters, int(stock[len(letters) :] or 0)
