"""The shop's plain files: books, lists, keymaps, layouts, templates, what was handed out. The server has
them, and each machine a copy in a folder of its own, where the rest of the program reads and writes them.

What changed on one side since both were last the same goes to the other. What changed on both stays as the
server has it; this machine's is kept in ``.keep`` and named. What a machine makes of them (prepared lists,
the index) stays with that machine.
"""

import contextlib
import hashlib
import json
import os
from collections.abc import Iterator
from pathlib import Path, PurePosixPath

from benchtui.base.errors import BenchError
from benchtui.server.session import Session
from benchtui.store.files import DISK, as_bench_error, write_new
from benchtui.store.place import KEEP

FOLDERS = (KEEP, "titles", "books", "keymaps", "exports")
NOT_FILES = ("shop.json", "titles.json")
ASIDE = "aside"
"""Where a backup has the versions of parcels that were set aside on the server."""
NOT_FOLDERS = ("parcels", "closed", ASIDE, KEEP)
MADE_HERE = (".new", ".part", ".index", ".taking", ".prepared")
"""What a machine makes for itself beside them."""
_CHANGE = """
WITH changed AS ({change} RETURNING 1),
told AS (UPDATE kept SET revision = revision + 1, shown = revision + 1 WHERE name = 'files'
  AND EXISTS (SELECT FROM changed) RETURNING revision)
SELECT pg_notify(%(channel)s, 'files files ' || revision) FROM told"""
_PUT = _CHANGE.format(
    change="INSERT INTO files (name, digest, body) VALUES (%(name)s, %(digest)s, %(body)s)"
    " ON CONFLICT (name) DO UPDATE SET digest = excluded.digest, body = excluded.body"
    " WHERE files.digest = %(base)s"
)
_DROP = _CHANGE.format(change="DELETE FROM files WHERE name = %(name)s AND digest = %(base)s")
Stamped = dict[str, tuple[int, int, str]]
"""Name -> size, time and digest of a file as it was last looked at."""


class Mirror:
    """The copy on this machine, in ``folder``."""

    def __init__(self, session: Session, folder: Path) -> None:
        self._session = session
        self._folder = folder
        self._state = folder / KEEP / "files.json"
        self._agreed: dict[str, str] = {}
        self._here: Stamped = {}
        self._theirs: dict[str, str] = {}
        self._revision = -1
        self._news: list[str] = []
        self._known = False

    def make(self) -> None:
        """The folder on this machine."""
        with as_bench_error(self._folder):
            for name in FOLDERS:
                DISK.make_folder(self._folder / name, above=True)
        DISK.make_private(self._folder)

    def exchange(self) -> bool:
        """Brings both sides together; whether a file changed here. BenchError where that cannot be done."""
        self._read_state()
        revision = self._session.shown.get("files", 0)
        if revision != self._revision:
            named = self._session.line.ask("SELECT name, digest FROM files")
            self._theirs = {name: digest for name, digest in named if belongs(name)}
        before, here = dict(self._here), self._look()
        if revision == self._revision and here == before:
            return False
        taken = False
        for name in sorted({*here, *self._theirs, *self._agreed}):
            taken |= self._one(name, here[name][2] if name in here else None, self._theirs.get(name))
        self._here = self._look()
        self._revision = revision
        self._keep_state()
        return taken

    def news(self) -> list[str]:
        """What was changed on both sides, since this was asked last."""
        found, self._news = self._news, []
        return found

    def _one(self, name: str, here: str | None, there: str | None) -> bool:
        """Whether the file was changed here."""
        agreed = self._agreed.get(name)
        took = False
        if here == there:
            pass
        elif there == agreed and self._session.may_write:
            there = here if self._give(name, here, agreed) else there
        else:
            if here not in (None, agreed):
                self._keep_aside(name)
            self._take(name, there)
            took, here = True, there
        if here is not None and here == there:
            self._agreed[name] = here
        elif here is None:
            self._agreed.pop(name, None)
        return took

    def _give(self, name: str, digest: str | None, agreed: str | None) -> bool:
        """Whether the server took it; not where it was changed there in the same moment."""
        path = self._folder / name
        with as_bench_error(path):
            body = b"" if digest is None else path.read_bytes()
        values = {"name": name, "digest": digest, "body": body, "base": agreed or "",
                  "channel": f"benchtui {self._session.mark}"}  # fmt: skip
        if not self._session.line.ask(_DROP if digest is None else _PUT, values):
            return False
        if digest is None:
            self._theirs.pop(name, None)
        else:
            self._theirs[name] = digest
        return True

    def _take(self, name: str, digest: str | None) -> None:
        path = _inside(self._folder, name)
        with as_bench_error(path):
            if digest is None:
                DISK.remove(path)
                return
            rows = self._session.line.ask("SELECT body FROM files WHERE name = %s", (name,))
            if not rows:
                return
            DISK.make_folder(path.parent, above=True)
            beside = path.with_name(f"{path.name}.new")
            DISK.remove(beside)
            write_new(DISK, beside, bytes(rows[0][0]))
            DISK.replace(beside, path)

    def _keep_aside(self, name: str) -> None:
        path = self._folder / name
        aside = self._folder / KEEP / "other" / name
        with as_bench_error(aside):
            DISK.make_folder(aside.parent, above=True)
            DISK.replace(path, aside)
        self._news.append(f"{name} was changed on two machines; this one's is kept: {aside}")

    def _look(self) -> Stamped:
        """Every file here; read again only where size or time changed."""
        found: Stamped = {}
        with as_bench_error(self._folder):
            for name in names_in(self._folder):
                with contextlib.suppress(FileNotFoundError):
                    seen = os.stat(self._folder / name)
                    old = self._here.get(name)
                    if old is not None and old[:2] == (seen.st_size, seen.st_mtime_ns):
                        found[name] = old
                    else:
                        found[name] = (seen.st_size, seen.st_mtime_ns, digest_of(self._folder / name))
        return found

    def _read_state(self) -> None:
        if self._known:
            return
        self._known = True
        with contextlib.suppress(OSError, ValueError, TypeError, AttributeError):
            kept = json.loads(self._state.read_bytes())
            self._agreed = {str(name): str(digest) for name, digest in kept.items()}

    def _keep_state(self) -> None:
        beside = self._state.with_suffix(".new")
        with contextlib.suppress(OSError, BenchError):
            DISK.remove(beside)
            write_new(DISK, beside, json.dumps(self._agreed).encode())
            DISK.replace(beside, self._state)


def names_in(folder: Path) -> Iterator[str]:
    """Every plain file of a shop's folder that is neither documents nor made by the machine."""
    for at, inner, names in os.walk(folder):
        top = Path(at) == folder
        inner[:] = sorted(name for name in inner if name != KEEP and not (top and name in NOT_FOLDERS))
        for name in sorted(names):
            path = Path(at) / name
            if not path.is_symlink() and belongs(relative := path.relative_to(folder).as_posix()):
                yield relative


def belongs(name: str) -> bool:
    """Whether that is a name of a plain file that machines share."""
    parts = PurePosixPath(name).parts
    return (
        bool(parts)
        and parts[0] not in (*NOT_FOLDERS, *NOT_FILES)
        and KEEP not in parts
        and not name.endswith(MADE_HERE)
    )


def digest_of(path: Path) -> str:
    """What tells these bytes from any others."""
    with path.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()


def _inside(folder: Path, name: str) -> Path:
    """A name from the server is no way out of the folder."""
    pure = PurePosixPath(name)
    if pure.is_absolute() or ".." in pure.parts or not pure.parts or "\\" in name or ":" in name:
        raise BenchError(
            f"{name[:60]!r} is not the name of a shop's file",
            folder,
            "a file taken out of the server's table",
        )
    return folder / pure
