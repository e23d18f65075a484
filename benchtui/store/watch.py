"""Notices which parcels changed, without asking after 2,000 files each time."""

import time
from pathlib import Path

from benchtui.store.files import Files, Stamp, told
from benchtui.store.place import KEEP

# A folder's time may be as coarse as two seconds: one that changed just now may change again unseen.
SETTLED_NS = 3_000_000_000
_NONE = Stamp(0, 0, 0)


class Watch:
    """The stamps of all parcels of a folder.

    A parcel whose log is in use ("live") changes by growing; any other only by a name that comes or goes, in
    its folder or in ``.keep``. So while both folders have their old stamps, only the live ones are looked at.
    """

    def __init__(self, folder: Path, files: Files) -> None:
        self._folder = folder
        self._files = files
        self._stamps: dict[str, list[int]] = {}
        self._folders: list[Stamp] = []

    def stamps(self, live: list[str]) -> dict[str, list[int]]:
        """Parcel id -> what tells its present state from any other."""
        with told(self._folder):
            return self._stamps_now(live)

    def _stamps_now(self, live: list[str]) -> dict[str, list[int]]:
        if self._folders and self._folder_stamps() == self._folders:
            for key in live:
                main = self._files.look(self._folder / f"{key}.json")
                log = self._files.look(self._folder / KEEP / f"{key}.json.log")
                self._stamps[key] = _both(main or _NONE, log or _NONE)
        else:
            self._look_at_all()
        return self._stamps

    def _look_at_all(self) -> None:
        folders = self._folder_stamps()
        now = time.time_ns()
        settled = all(stamp is not None and 0 < SETTLED_NS < now - stamp.changed for stamp in folders)
        logs = self._files.names(self._folder / KEEP, ".log")
        mains = self._files.names(self._folder, ".json")
        found = ((name, main, logs.get(f"{name}.log", _NONE)) for name, main in mains.items())
        self._stamps = {name[:-5]: _both(main, log) for name, main, log in found}
        self._folders = [stamp for stamp in folders if stamp is not None] if settled else []

    def _folder_stamps(self) -> list[Stamp | None]:
        return [self._files.look(self._folder), self._files.look(self._folder / KEEP)]


def _both(main: Stamp, log: Stamp) -> list[int]:
    return [main.inode, main.size, main.changed, log.inode, log.size, log.changed]


def by_day(parcel_id: str) -> tuple[str, int, str]:
    """Ids are a day and a number: 2026-11-25-10 comes after 2026-11-25-9."""
    day, _, number = parcel_id.rpartition("-")
    return (day, int(number), "") if number.isdecimal() else (parcel_id, 0, parcel_id)
