"""What is known to the whole shop: settings, senders, titles made on the bench, sales seen."""

import contextlib
import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.model.currencies import use_currencies
from benchtui.model.earlier import OF_SENDER, OF_SHOP, note_kept, with_earlier
from benchtui.model.record import new_id
from benchtui.store.background_save import BackgroundSave
from benchtui.store.codec import Doc, fresh
from benchtui.store.home import Home
from benchtui.store.pending import Make, Sheet
from benchtui.store.presence import shop_id
from benchtui.store.shared import SharedFile

DEFAULTS: dict[str, Any] = {
    "name": "",
    "currency": "GBP",
    "currencies": {},
    "scale": "american",
    "letter": "A",
    "hour_wage": None,
    "threshold": 0.95,
    "price_steps": [],
    "margin_scheme": "none",
    "vat_rate": "",
    "keymap": "two-hands",
    "theme": "",
    "last_parcels": {},
}


def last_parcels(settings: dict[str, Any]) -> dict[str, str]:
    """Bench letter -> the parcel that bench was at last.

    Before there was one for each letter, one for the shop (``last_parcel``): it is the shop's own letter's.
    """
    kept, old = settings.get("last_parcels"), settings.get("last_parcel")
    found = {str(settings.get("letter") or "A"): old} if isinstance(old, str) and old else {}
    return {**found, **(kept if isinstance(kept, dict) else {})}


def _mark(sheet: Sheet, mark: Doc) -> None:
    """The shop's id, unless another bench has given it one meanwhile."""
    if "shop" not in sheet.docs("shop"):
        sheet.put("shop", "shop", mark)


def _closed_at(settings: Mapping[str, Doc]) -> str:
    """The moment at which books were closed last; "" where none were."""
    return str(settings.get("settings", {}).get("closed_at") or "")


_BEFORE_FIRST: dict[str, list[str]] = {"invoices": [], "credit_notes": ["C0000"]}
"""What the number before the first of a series would be: credit notes are told from invoices by their C."""
_SERIES = re.compile(r"(.*?)(\d+)", re.DOTALL | re.ASCII)


def next_invoice(numbers: Sequence[str]) -> str:
    """The number after the highest of the series that was used last; ``0001`` where there is none."""
    found = [match for one in numbers if (match := _SERIES.fullmatch(one))]
    if not found:
        return "0001"
    prefix = found[-1][1]
    last = max((match[2] for match in found if match[1] == prefix), key=int)
    return f"{prefix}{int(last) + 1:0{len(last)}}"


class SharedFacts:
    """The shared half of a shop: a change is durable when its method returns, else BenchError.

    With ``may_keep_pending`` set, as the bench does, what the disk does not take is kept in memory instead,
    and goes there by itself later: `SharedFile` has it pending, and no parcel is saved before.
    """

    def __init__(self, home: Home, read_only: bool, clock: Callable[[], str]) -> None:
        self.home = home
        self.path = home.folder
        """Where its books, lists, keymaps and what was handed out stand on this machine."""
        self.read_only = read_only
        self.clock = clock
        self.may_keep_pending = False
        self.background_save = BackgroundSave()
        self.presence = home.presence
        self._file, self._titles = (
            SharedFile(home, kind, read_only, clock, self.background_save) for kind in ("shop", "titles")
        )

    @property
    def shared(self) -> SharedFile:
        """shop.json itself, for the store's own rooms."""
        return self._file

    def _hold_together(self) -> None:
        """From now on nothing is written where this shop is not. One of an older version gets its id."""
        known = self._file.docs("shop")
        if not shop_id({"shop": known}):
            mark = {"id": new_id("shop")}
            with contextlib.suppress(BenchError):  # without room for it: known by its open file alone
                self._file.apply(lambda sheet: _mark(sheet, mark))
        self.presence.hold(shop_id({"shop": self._file.docs("shop")}))

    @property
    def notice(self) -> str:
        """What was wrong with the shared files when they were read ("" for nothing)."""
        return " ".join(each for each in (self._file.notice, self._titles.notice) if each)

    @property
    def settings(self) -> dict[str, Any]:
        """A copy of the settings, the defaults filled in. The currencies they give are known from then on:
        another bench may have given one since.
        """
        settings = {**DEFAULTS, **fresh(self._file.docs("settings").get("settings", {}))}
        use_currencies(settings["currencies"])
        return settings

    def change_settings(self, **values: Any) -> None:
        """Sets some of the settings, durably."""
        new, at = fresh(values), self.clock()

        def make(sheet: Sheet) -> None:
            old = sheet.docs("settings").get("settings", {})
            closed_at = _closed_at(sheet.docs("settings"))
            made = {**old, **note_kept(old, new, closed_at)}
            kept = with_earlier(old, made, OF_SHOP, at, "", closed_at)
            sheet.put("settings", "settings", kept)

        self._change(make)

    def _closed_at(self) -> str:
        return _closed_at(self._file.held("settings"))

    def update_setting(self, name: str, update: Callable[[Any], Any]) -> None:
        """Sets one setting to what ``update`` makes of it as it stands on the disk, on any bench."""

        def make(sheet: Sheet) -> None:
            old = sheet.docs("settings").get("settings", {})
            sheet.put("settings", "settings", {**old, name: fresh(update(fresh(old.get(name))))})

        self._change(make)

    @property
    def senders(self) -> dict[str, dict[str, Any]]:
        """Everyone parcels came from, by id; each with at least ``name``. Not to be changed."""
        return dict(self._file.docs("senders"))

    def add_sender(self, name: str, **fields: Any) -> str:
        """A new sender, on the disk before any parcel refers to it; gives the id."""
        sender = new_id("s")
        doc = fresh({**fields, "id": sender, "name": name})
        self._change(lambda sheet: sheet.put("senders", sender, doc))
        return sender

    def change_sender(self, sender: str, **fields: Any) -> None:
        """Changes some fields of a sender. BenchError where there is none of that id."""
        new, at = fresh(fields), self.clock()

        def make(sheet: Sheet) -> None:
            old = sheet.docs("senders").get(sender)
            if old is None:
                raise BenchError(f"there is no sender {sender!r}", self.path)
            closed_at = _closed_at(sheet.docs("settings"))
            made = {**old, **note_kept(old, new, closed_at), "id": sender}
            kept = with_earlier(old, made, OF_SENDER, at, "", closed_at)
            sheet.put("senders", sender, kept)

        self._change(make)

    def drop_sender(self, sender: str) -> None:
        """Away with a sender that no parcel refers to; nothing where there is none."""

        def make(sheet: Sheet) -> None:
            if sender in sheet.docs("senders"):
                sheet.put("senders", sender, None)

        self._change(make)

    def forget_older(self) -> None:
        """Nothing older than the shared facts as they stand is kept beside their file."""
        for _ in range(2):
            self._file.fold()
            self.update_setting("rewritten", lambda n: (n if isinstance(n, int) else 0) + 1)
        self._file.fold()

    def made_titles(self) -> list[dict[str, Any]]:
        """The titles made on the bench. Not to be changed."""
        return list(self._titles.docs("titles").values())

    def add_title(self, title: dict[str, Any]) -> str:
        """A title made on the bench (or a new version of one, by its id); gives the id."""
        title_id = str(title.get("id") or new_id("t"))
        doc = fresh({**title, "id": title_id})
        self._titles.apply(lambda sheet: sheet.put("titles", title_id, doc), self.may_keep_pending)
        return title_id

    def drop_title(self, title_id: str) -> None:
        """Away with a title made on the bench that nothing refers to; nothing where there is none."""

        def make(sheet: Sheet) -> None:
            for table in ("titles", "picks"):
                if title_id in sheet.docs(table):
                    sheet.put(table, title_id, None)

        self._titles.apply(make, self.may_keep_pending)

    def note_pick(self, title_id: str, sender: str | None = None) -> None:
        """The title was picked just now, in a parcel of that sender. It only ranks: nothing waits for it."""
        at = self.clock()

        def make(sheet: Sheet) -> None:
            old = sheet.docs("picks").get(title_id, {"count": 0, "senders": {}})
            by = dict(old["senders"])
            if sender is not None:
                by[sender] = by.get(sender, 0) + 1
            sheet.put("picks", title_id, {"count": old["count"] + 1, "last": at, "senders": by})

        with contextlib.suppress(*([BenchError] if self.may_keep_pending else [])):
            self._titles.apply(make, self.may_keep_pending, needed=False)

    def picks(self) -> dict[str, dict[str, Any]]:
        """Title id -> ``count``, ``last`` (ISO time) and ``senders`` (id -> count). Not to be changed."""
        return dict(self._titles.docs("picks"))

    def sales_seen(self) -> list[dict[str, Any]]:
        """Sales seen elsewhere, each with an ``id``. Not to be changed."""
        return list(self._file.docs("sales").values())

    def add_sales(self, sales: list[dict[str, Any]]) -> list[str]:
        """Notes sales seen, all or none; one with a known ``id`` replaces it. Gives the ids."""
        docs = [fresh({**sale, "id": str(sale.get("id") or new_id("x"))}) for sale in sales]

        def make(sheet: Sheet) -> None:
            for doc in docs:
                sheet.put("sales", doc["id"], doc)

        self._change(make)
        return [doc["id"] for doc in docs]

    def take_invoice(self, number: str, deal: str, known: Mapping[str, str]) -> str:
        """A sales invoice's number, for one sale only; "#" is the next of the series. Gives the number.

        The series goes on from the number taken last: its digits counted up, what stands before them kept.
        ``known``: number -> sale of those that older sales bear. BenchError where another sale has it.
        """
        return self._take_number("invoices", number, deal, known)

    def take_credit_note(self, event: str) -> str:
        """The next number of the credit notes' own series, for one return or price reduction of an invoiced
        sale (``event``: record and number of it)."""
        return self._take_number("credit_notes", "#", event, {})

    def _take_number(self, table: str, number: str, deal: str, known: Mapping[str, str]) -> str:
        taken = [number]

        def make(sheet: Sheet) -> None:
            kept = sheet.docs(table)
            taken[0] = next_invoice([*known, *kept] or _BEFORE_FIRST[table]) if number == "#" else number
            other = kept.get(taken[0], {}).get("deal") or known.get(taken[0])
            if other not in (None, deal):
                right = "type another number, or # for the next"
                raise BenchError(f"invoice {taken[0]} is taken already", "sale", right)
            at = self.clock()
            for older, sale in known.items():  # the first time: from now on they are kept here
                if older not in kept:
                    sheet.put(table, older, {"deal": sale, "at": at})
            sheet.put(table, taken[0], {"deal": deal, "at": at})

        self._file.apply(make)
        return taken[0]

    def free_invoice(self, number: str, deal: str) -> None:
        """The number is not used after all: the sale could not be entered."""
        self._free_number("invoices", number, deal)

    def free_credit_note(self, number: str, event: str) -> None:
        """The same of a credit note: the return could not be entered."""
        self._free_number("credit_notes", number, event)

    def _free_number(self, table: str, number: str, deal: str) -> None:
        def make(sheet: Sheet) -> None:
            if sheet.docs(table).get(number, {}).get("deal") == deal:
                sheet.put(table, number, None)

        self._file.apply(make)

    def invoices(self) -> dict[str, dict[str, Any]]:
        """Every number taken here, with the sale it was taken for. Not to be changed."""
        return dict(self._file.docs("invoices"))

    def credit_notes(self) -> dict[str, dict[str, Any]]:
        """Every credit note's number, with the event it was taken for. Not to be changed."""
        return dict(self._file.docs("credit_notes"))

    def settle(self) -> None:
        """Writes down what is pending to the shared files. BenchError where that cannot be done now."""
        self._titles.settle()
        self._file.settle()

    def _change(self, make: Make) -> None:
        self._file.apply(make, self.may_keep_pending)
