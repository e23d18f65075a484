"""Whose a record was and what was agreed about it: owners with documents, opinions, values, who had it."""

from collections.abc import Iterable
from typing import Literal, NotRequired, TypedDict

CustodyStep = Literal["owned", "opinion", "value", "lies", "handled", "asked", "approved", "refused"]


class CustodyDoc(TypedDict):
    """One dated entry. ``who``: the owner, who gave the opinion, with whom the value was agreed, who handled
    it, who was asked or answered. ``since``: when the owner had it, in words. ``document``: what shows it.
    An amount is the value agreed, or the price asked about, approved or refused.
    """

    at: str
    what: CustodyStep
    who: NotRequired[str]
    note: NotRequired[str]
    since: NotRequired[str]
    document: NotRequired[str]
    minor: NotRequired[int]
    currency: NotRequired[str]


def last_of(entries: Iterable[CustodyDoc], what: CustodyStep, on: str = "9999") -> CustodyDoc | None:
    """The last entry of its kind dated up to that day; of several of one day the one entered last."""
    found = [entry for entry in entries if entry["what"] == what and entry["at"] <= on]
    return max(enumerate(found), key=lambda one: (one[1]["at"], one[0]))[1] if found else None


def approved(entries: Iterable[CustodyDoc]) -> CustodyDoc | None:
    """The price that the owner approved of last, where nothing was refused since."""
    answers = [entry for entry in entries if entry["what"] in ("approved", "refused")]
    return answers[-1] if answers and answers[-1]["what"] == "approved" else None
