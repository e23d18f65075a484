"""What may be asked of an export: its kinds, encodings, groups and tables.

Imports no room, so that the command line starts without any.
"""

from datetime import date
from typing import NamedTuple

BOOKS = ("sales", "stock", "vat", "journal", "invoices", "credit-notes", "receipts", "packing")
"""The kinds that are made of the shop's entries: whole periods, closed ones as they were written down."""
KINDS = (
    "intake", "stockbook", "statement", "chores", "slips", "report", "regrade", "insured", "consignment",
    *BOOKS,
)  # fmt: skip
ENCODINGS = ("utf-8", "utf-8-sig", "utf-16", "iso-8859-1", "windows-1252")
GROUPS = ("month", "parcel", "sender", "record")
TABLES = (
    "intake",
    "stockbook",
    "statement",
    "chores",
    "slips",
    "regrade",
    "insured",
    "sales",
    "stock",
    "vat",
)
"""The kinds that are a table, which a layout of the shop may lay out."""
WEIGHED = ("intake", "report")
"""The kinds that say something of the evidence; the others need no weighing."""


class Ask(NamedTuple):
    """What is wanted. ``layout`` and ``template`` are names; ``sender`` an id or a name; ``today`` the
    dealer's day; ``sample`` and ``seed`` are the regrading's; ``handed``: the hand-out since which the intake
    tells only what changed, ``last`` or its number.

    ``encoding`` is of the file, "" that of its layout, else UTF-8.
    ``start`` and ``end`` are the first and last day wanted, ``day`` is both. ``by`` adds the sales up by one
    of ``GROUPS``; ``totals`` adds a row where a column adds up; ``private`` puts a private seller's identity
    into the stock book, where the law of the place asks for it there; ``known``: as the documents stood at
    the end of that day.
    """

    kind: str
    today: date
    day: date | None = None
    parcel: str | None = None
    sender: str | None = None
    layout: str | None = None
    template: str | None = None
    sample: int = 20
    seed: int | None = None
    handed: str | None = None
    start: date | None = None
    end: date | None = None
    encoding: str = ""
    totals: bool = False
    by: str | None = None
    private: bool = False
    known: date | None = None

    @property
    def written_in(self) -> str:
        """The encoding of a file that no layout lays out."""
        return self.encoding or "utf-8"

    @property
    def first(self) -> str:
        """The first day wanted as text, "" for no beginning."""
        first = self.day or self.start
        return first.isoformat() if first else ""

    @property
    def last(self) -> str:
        """The last day wanted as text: the dealer's today where no end is given."""
        return (self.day or self.end or self.today).isoformat()

    @property
    def ranged(self) -> bool:
        """Whether ``--from`` or ``--to`` was given."""
        return self.start is not None or self.end is not None
