"""A disk that is not waited for, for tests about other things."""

from pathlib import Path

from benchtui.store import Files


class Unsynced(Files):
    """The disk without waiting for it: what is about syncing is tested in test_faults.py, on a disk in memory."""

    def sync(self, handle: int) -> None:
        pass

    def sync_folder(self, folder: Path) -> None:
        pass
