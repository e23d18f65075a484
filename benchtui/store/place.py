"""Where a kept file and its side files stand."""

from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

KEEP = ".keep"


@dataclass(frozen=True)
class Place:
    """The main file and what belongs to it.

    ``new`` stands beside the main file, so that a rename can take its place; the rest stands in the folder
    ``.keep``: the previous copy, the log of changes since the main file was written, the log before that
    one, the lock. Each path is made once: they are asked for at every save.
    """

    main: Path

    @cached_property
    def folder(self) -> Path:
        """The folder of the main file."""
        return self.main.parent

    @cached_property
    def keep(self) -> Path:
        """The folder of the side files."""
        return self.main.parent / KEEP

    @cached_property
    def new(self) -> Path:
        """The next main file while it is being written."""
        return self.main.with_name(self.main.name + ".new")

    @cached_property
    def previous(self) -> Path:
        """The main file before the present one."""
        return self.side("previous")

    @cached_property
    def log(self) -> Path:
        """Changes made since the main file was written."""
        return self.side("log")

    @cached_property
    def old_log(self) -> Path:
        """The log that led from the previous main file to the present one."""
        return self.side("log.previous")

    @cached_property
    def lock(self) -> Path:
        """The lock's side file."""
        return self.side("lock")

    def side(self, suffix: str) -> Path:
        """A side file of that suffix."""
        return self.keep / f"{self.main.name}.{suffix}"
