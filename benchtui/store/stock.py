"""Stock numbers: one unbroken series a bench letter, reserved under the shop's lock, never given twice."""

import contextlib
import string
from collections.abc import Callable

from benchtui.base.errors import BenchError
from benchtui.store.home import Home
from benchtui.store.lock import Held, HeldLock
from benchtui.store.shared import SharedFile

LETTERS = string.ascii_uppercase


class Stock:
    """The series of this bench. While it runs it holds the lock on its letter against other benches.

    Because of that lock a number may be given while the disk is full: it is pending for the file, and no
    parcel is saved before that is done (`settle`).
    """

    def __init__(self, home: Home, file: SharedFile, clock: Callable[[], str]) -> None:
        self._home = home
        self._file = file
        self._clock = clock
        self._lock: HeldLock | None = None
        self._letter = ""
        self._pending: dict[tuple[str, str], int] = {}

    @property
    def letter(self) -> str:
        """The letter this bench holds, "" before it takes one."""
        return self._letter

    def take_letter(self, wanted: str, strict: bool = False) -> str:
        """Holds ``wanted``, or the next free letter; ``strict``: that one or Held. Once held it stays."""
        if self._lock is not None:
            return self._letter
        if wanted not in LETTERS or len(wanted) != 1:
            raise BenchError(f"{wanted[:20]!r} is not a bench letter", "", "use one capital letter A to Z")
        at = LETTERS.index(wanted)
        for letter in [wanted] if strict else LETTERS[at:] + LETTERS[:at]:
            lock = self._home.lock("letter", letter, self._clock)
            try:
                lock.take()
            except Held:
                if strict:
                    raise
                continue
            self._lock, self._letter = lock, letter
            return letter
        raise BenchError(
            "every bench letter is in use", self._home.where, "use at most 26 benches in one shop"
        )

    def of(self, parcel: str, record: str) -> str | None:
        """The number reserved for that record, or None."""
        if (parcel, record) in self._pending:
            return _number(self._letter, self._pending[parcel, record])
        for letter in self._letters():
            held = self._file.docs("stock").get(f"{letter}/{parcel}")
            if held is not None and record in held["numbers"]:
                return _number(letter, held["numbers"][record])
        return None

    def reserve(self, parcel: str, record: str) -> str:
        """The record's number: the one it has had before, else the next of the series."""
        had = self.of(parcel, record)
        if had is not None:
            return had
        if self._lock is None:
            raise BenchError("this bench has no letter", "", "open the shop for writing")
        series = self._file.docs("stock").get(self._letter, {"next": 1})
        count = max([series["next"], *(n + 1 for n in self._pending.values())])
        self._pending[parcel, record] = count
        with contextlib.suppress(BenchError):
            self.settle()
        return _number(self._letter, count)

    def settle(self) -> None:
        """Writes down what is pending. BenchError where that cannot be done now."""
        if not self._pending:
            return
        if self._lock is not None:
            self._lock.keep()
        with self._file.change() as table:
            stock = table("stock")
            known = self._file.docs("stock")
            for (parcel, record), count in self._pending.items():
                key = f"{self._letter}/{parcel}"
                held = known.get(key, {"letter": self._letter, "parcel": parcel, "numbers": {}})
                stock.put(key, {**held, "numbers": {**held["numbers"], record: count}})
            stock.put(self._letter, {"letter": self._letter, "next": max(self._pending.values()) + 1})
        self._pending = {}

    def reserved(self) -> dict[str, tuple[str, str]]:
        """Every number ever reserved, with its parcel and record."""
        found = {_number(self._letter, n): owner for owner, n in self._pending.items()}
        for doc in self._file.docs("stock").values():
            for record, count in doc.get("numbers", {}).items():
                found[_number(doc["letter"], count)] = (doc["parcel"], record)
        return found

    def free(self) -> None:
        """Lets go of the letter."""
        if self._lock is not None:
            self._lock.free()
            self._lock = None

    def _letters(self) -> str:
        return self._letter + "".join(letter for letter in LETTERS if letter != self._letter)


def _number(letter: str, count: int) -> str:
    return f"{letter}{count:05d}"
