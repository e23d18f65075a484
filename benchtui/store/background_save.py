"""One save that goes on while the caller computes what it will show once that save is on the disk."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from concurrent.futures import Future, ThreadPoolExecutor


class Waits(Protocol):
    """Whoever has a save under way."""

    def settle(self) -> None:
        """Wait for it, and do what follows from how it went."""


class BackgroundSave:
    """At most one save is under way in a shop: every other waits for it, so that their order on the disk
    is the order in which they were made. Does nothing before it is ``wanted``.
    """

    def __init__(self) -> None:
        self.wanted = False
        self._whose: Waits | None = None
        self._workers: ThreadPoolExecutor | None = None

    def run(self, whose: Waits, sync: Callable[[], None]) -> "Future[None]":
        """Begin ``sync`` in a thread: the system call lets other threads of Python run meanwhile."""
        if self._workers is None:
            from concurrent.futures import ThreadPoolExecutor  # no start wants it

            self._workers = ThreadPoolExecutor(1, thread_name_prefix="benchtui-save")
        self._whose = whose
        return self._workers.submit(sync)

    @property
    def busy(self) -> bool:
        """Whether a save is under way that nobody has waited for yet."""
        return self._whose is not None

    def settle(self) -> None:
        """Wait for the save under way, whosever it is."""
        if self._whose is not None:
            self._whose.settle()

    def forget(self, whose: Waits) -> None:
        """For the one that has waited: none of it is under way any more."""
        if self._whose is whose:
            self._whose = None
