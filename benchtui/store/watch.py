"""Notices which parcels changed, without asking after 2,000 files each time."""

import time
from collections.abc import Iterable
from pathlib import Path

from benchtui.store.copies import copied_from
from benchtui.store.files import Files, Stamp, as_bench_error
from benchtui.store.place import KEEP

# A folder's time may be as coarse as two seconds: one that changed just now may change again unseen.
SETTLED_NS = 3_000_000_000
_NONE = Stamp(0, 0, 0)


class Watch:
    """The stamps of all parcels of a folder.

    A parcel whose log is in use ("live") changes by growing; any other only by a name that comes or goes, in
    its folder or in ``.keep``. So while both folders have their old stamps, only the live ones are looked at.
    ``pause``: for so many seconds after all were looked at, only the live ones are in any case.
    """

    def __init__(self, folder: Path, files: Files) -> None:
        self.pause = 0.0
        self._folder = folder
        self._files = files
        self._stamps: dict[str, str] = {}
        self._folders: list[Stamp] = []
        self._looked = 0.0

    def look(self, live: Iterable[str]) -> tuple[dict[str, str], bool]:
        """Parcel id -> what tells its present state from any other; and whether all were looked at."""
        with as_bench_error(self._folder):
            all_of_them = self._look(live)
            return self._stamps, all_of_them

    def one(self, key: str) -> str:
        """The stamp of one parcel, looked at now."""
        with as_bench_error(self._folder):
            main = self._files.look(self._folder / f"{key}.json")
            log = self._files.look(self._folder / KEEP / f"{key}.json.log")
        self._stamps[key] = _both(main or _NONE, log or _NONE)
        return self._stamps[key]

    def forget(self) -> None:
        """The next look is at all of them."""
        self._looked, self._folders = 0.0, []

    def _look(self, live: Iterable[str]) -> bool:
        lately = self._looked > 0 and time.monotonic() - self._looked < self.pause
        if not lately and not (self._folders and self._folder_stamps() == self._folders):
            self._look_at_all()
            return True
        for key in live:
            self.one(key)
        return False

    def _look_at_all(self) -> None:
        folders = self._folder_stamps()
        now = time.time_ns()
        settled = all(stamp is not None and 0 < SETTLED_NS < now - stamp.changed for stamp in folders)
        logs = self._files.names(self._folder / KEEP, ".log")
        mains = parcels_in(self._files, self._folder)
        self._stamps = {key: _both(main, logs.get(f"{key}.json.log", _NONE)) for key, main in mains.items()}
        self._folders = [stamp for stamp in folders if stamp is not None] if settled else []
        self._looked = time.monotonic()

    def _folder_stamps(self) -> list[Stamp | None]:
        return [self._files.look(self._folder), self._files.look(self._folder / KEEP)]


def _both(main: Stamp, log: Stamp) -> str:
    return f"{main.inode} {main.size} {main.changed} {log.inode} {log.size} {log.changed}"


def parcels_in(files: Files, folder: Path) -> dict[str, Stamp]:
    """Id and stamp of every parcel's file; copies that another program left beside one are none."""
    stamps = {name[:-5]: stamp for name, stamp in files.names(folder, ".json").items()}
    return {key: stamp for key, stamp in stamps.items() if not copied_from(key, stamps)}


def by_day(parcel_id: str) -> tuple[str, int, str]:
    """Ids are a day and a number: 2026-11-25-10 comes after 2026-11-25-9."""
    day, _, number = parcel_id.rpartition("-")
    return (day, int(number), "") if number.isdecimal() else (parcel_id, 0, parcel_id)
