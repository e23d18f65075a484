"""What is known to the whole shop: settings, senders, titles made on the bench, sales seen."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

from benchtui.errors import BenchError
from benchtui.model.record import new_id
from benchtui.store.codec import fresh
from benchtui.store.files import Files
from benchtui.store.shared import SharedFile

DEFAULTS: dict[str, Any] = {
    "name": "",
    "currency": "GBP",
    "scale": "american",
    "letter": "A",
    "hour_wage": None,
    "threshold": 0.95,
    "price_steps": [],
    "margin_scheme": "none",
    "vat_rate": "",
    "keymap": "two-hands",
    "theme": "",
    "last_parcel": None,
}


class Known:
    """The shared half of a shop: a change is durable when its method returns, else BenchError."""

    def __init__(self, path: Path, files: Files, read_only: bool, clock: Callable[[], str]) -> None:
        self.path = path
        self.read_only = read_only
        self.files = files
        self.clock = clock
        self._file = SharedFile(path / "shop.json", "shop", files, read_only, clock)
        self._titles = SharedFile(path / "titles.json", "titles", files, read_only, clock)

    @property
    def shared(self) -> SharedFile:
        """shop.json itself, for the store's own rooms."""
        return self._file

    @property
    def notice(self) -> str:
        """What was wrong with the shared files when they were read ("" for nothing)."""
        return " ".join(each for each in (self._file.notice, self._titles.notice) if each)

    @property
    def settings(self) -> dict[str, Any]:
        """A copy of the settings, the defaults filled in."""
        return {**DEFAULTS, **fresh(self._file.docs("settings").get("settings", {}))}

    def change_settings(self, **values: Any) -> None:
        """Sets some of the settings, durably."""
        with self._file.change() as table:
            old = self._file.docs("settings").get("settings", {})
            table("settings").put("settings", {**old, **fresh(values)})

    def update_setting(self, name: str, update: Callable[[Any], Any]) -> None:
        """Sets one setting to what ``update`` makes of it as it stands on the disk, on any bench."""
        with self._file.change() as table:
            old = self._file.docs("settings").get("settings", {})
            table("settings").put("settings", {**old, name: fresh(update(fresh(old.get(name))))})

    @property
    def senders(self) -> dict[str, dict[str, Any]]:
        """Everyone parcels came from, by id; each with at least ``name``. Not to be changed."""
        return dict(self._file.docs("senders"))

    def add_sender(self, name: str, **fields: Any) -> str:
        """A new sender, on the disk before any parcel refers to it; gives the id."""
        sender = new_id("s")
        with self._file.change() as table:
            table("senders").put(sender, fresh({**fields, "id": sender, "name": name}))
        return sender

    def change_sender(self, sender: str, **fields: Any) -> None:
        """Changes some fields of a sender. BenchError where there is none of that id."""
        with self._file.change() as table:
            old = self._file.docs("senders").get(sender)
            if old is None:
                raise BenchError(f"there is no sender {sender!r}", self.path)
            table("senders").put(sender, {**old, **fresh(fields), "id": sender})

    def made_titles(self) -> list[dict[str, Any]]:
        """The titles made on the bench. Not to be changed."""
        return list(self._titles.docs("titles").values())

    def add_title(self, title: dict[str, Any]) -> str:
        """A title made on the bench (or a new version of one, by its id); gives the id."""
        title_id = str(title.get("id") or new_id("t"))
        with self._titles.change() as table:
            table("titles").put(title_id, fresh({**title, "id": title_id}))
        return title_id

    def note_pick(self, title_id: str, sender: str | None = None) -> None:
        """The title was picked just now, in a parcel of that sender."""
        with self._titles.change() as table:
            old = self._titles.docs("picks").get(title_id, {"count": 0, "senders": {}})
            by = dict(old["senders"])
            if sender is not None:
                by[sender] = by.get(sender, 0) + 1
            pick = {"count": old["count"] + 1, "last": self.clock(), "senders": by}
            table("picks").put(title_id, pick)

    def picks(self) -> dict[str, dict[str, Any]]:
        """Title id -> ``count``, ``last`` (ISO time) and ``senders`` (id -> count). Not to be changed."""
        return dict(self._titles.docs("picks"))

    def sales_seen(self) -> list[dict[str, Any]]:
        """Sales seen elsewhere, each with an ``id``. Not to be changed."""
        return list(self._file.docs("sales").values())

    def add_sales(self, sales: list[dict[str, Any]]) -> list[str]:
        """Notes sales seen, all or none; one with a known ``id`` replaces it. Gives the ids."""
        docs = [fresh({**sale, "id": str(sale.get("id") or new_id("x"))}) for sale in sales]
        with self._file.change() as table:
            for doc in docs:
                table("sales").put(doc["id"], doc)
        return [doc["id"] for doc in docs]
