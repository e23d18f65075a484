"""Whether the shop's folder is still the one that was opened: a stick is pulled, a folder is renamed.

The folder is known by a file in it that is held open: as long as that is the file found at its path, nothing
was put in its place, for its number on the disk cannot be given to another. Where it is not, the id in
shop.json tells whether the same shop is there again, plugged in anew or copied back. A copy of a
shop has no such file yet: as long as its shop.json is as it was read, so is the id.
"""

import contextlib
from pathlib import Path

from benchtui.base.errors import BenchError
from benchtui.store.codec import Tables
from benchtui.store.files import Files, Stamp
from benchtui.store.load import load
from benchtui.store.place import Place

GONE = "the shop is gone: NOT SAVED"


class Gone(BenchError):  # noqa: N818  (named for the state it tells)
    """At the shop's path is nothing that can be reached, or another shop."""

    said = GONE

    def __init__(self, why: str, where: Path | str) -> None:
        super().__init__(f"{self.said} ({why})", where)


def shop_id(tables: Tables) -> str:
    """The id in the tables of shop.json; "" in those of an older version."""
    return str(tables.get("shop", {}).get("shop", {}).get("id", ""))


class Presence:
    """The folder of one open shop. Checks nothing before `hold` said which shop it is."""

    def __init__(self, shop: Path, files: Files) -> None:
        self.gone = False
        """What the last look found."""
        self.over_line = False
        self._shop = shop
        self._place = Place(shop / "shop.json")
        self._files = files
        self._id = ""
        self._handle: int | None = None
        self._seen: Stamp | None = None
        """The shop's file when it was last read."""

    def hold(self, known: str) -> None:
        """From now on this shop and no other, by its id."""
        self._id = known
        with contextlib.suppress(OSError):
            self._anchor()

    def check(self) -> None:
        """Gone where the folder is not there, or not (any more) this shop's."""
        if not self._id:
            return
        try:
            self._look()
        except (OSError, BenchError) as error:
            self.gone = True
            if isinstance(error, Gone):
                raise
            said = error.what if isinstance(error, BenchError) else error.strerror or str(error)
            raise Gone(said, self._shop) from error
        self.gone = False

    def is_there(self) -> bool:
        """The same as an answer."""
        with contextlib.suppress(Gone):
            self.check()
            return True
        return False

    def free(self) -> None:
        """Lets go of the file held open."""
        self._id = ""
        self._close()

    def _look(self) -> None:
        if self._handle is not None and self._files.is_at(self._handle, self._place.lock):
            return
        seen = self._files.look(self._place.main)
        if seen is not None and seen == self._seen:
            return
        found = shop_id(load(self._files, self._place, "shop").tables)
        if found != self._id:
            raise Gone("another shop is in its place", self._shop)
        self._seen = seen
        self._anchor()

    def _anchor(self) -> None:
        self._close()
        with contextlib.suppress(
            FileNotFoundError
        ):  # a copy without its side files: the next change makes it
            self._handle = self._files.extend(self._place.lock)

    def _close(self) -> None:
        if self._handle is not None:
            handle, self._handle = self._handle, None
            with contextlib.suppress(OSError):
                self._files.close(handle)
