"""A whole shop from a folder to the server, and back: equal documents and history, the same files."""

import contextlib
import secrets
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.server.documents import kind_aside, put_rows
from benchtui.server.home import ServerHome
from benchtui.server.mirror import ASIDE, digest_of, names_in
from benchtui.store.codec import Tables, encode
from benchtui.store.files import DISK, as_bench_error, write_new
from benchtui.store.load import body_of, load, main_text
from benchtui.store.log import Header
from benchtui.store.place import Place
from benchtui.store.watch import by_day, parcels_in

Progress = Callable[[float], object]
_CLOSED = "closed"
IN_FOLDER = {"parcel": "parcels", "other": ASIDE, "kept": ASIDE}


def to_server(folder: Path, home: ServerHome, progress: Progress = lambda _: None) -> None:
    """The shop in the folder becomes the shop on the server, all of it or nothing. It stays in the folder.

    BenchError where the server has one already, or the folder's cannot be read.
    """
    if home.made:
        raise BenchError(
            "there is already a shop here", home.where, "name another database, or open this one"
        )
    kept = [("shop", "shop", folder / "shop.json")]
    if (titles := folder / "titles.json").exists():  # a shop on a server has none before the first title
        kept.append(("titles", "titles", titles))
    parcels = sorted(parcels_in(DISK, folder / "parcels"), key=by_day)
    kept += [("parcel", name, folder / "parcels" / f"{name}.json") for name in parcels]
    aside = sorted(DISK.names(folder / ASIDE, ".json"))
    kept += [(kind_aside(name[:-5]), name[:-5], folder / ASIDE / name) for name in aside]

    def fill(ask: Callable[..., Any]) -> None:
        for at, (kind, name, path) in enumerate(kept):
            tables = load(DISK, Place(path), _written_as(kind)).tables
            texts = {(table, key): encode(doc) for table, docs in tables.items() for key, doc in docs.items()}
            put_rows(ask, name, kind, texts)
            progress(at / len(kept))
        for name in _files(folder):
            with as_bench_error(folder / name):
                body = (folder / name).read_bytes()
            values = (name, digest_of(folder / name), body)
            ask("INSERT INTO files (name, digest, body) VALUES (%s, %s, %s)", values)

    home.session.make(fill)


def to_folder(home: ServerHome, folder: Path, progress: Progress = lambda _: None) -> None:
    """The shop on the server as it stands at one moment, into a folder that is not there yet."""
    with as_bench_error(folder), home.session.line.together() as ask:
        for each in (folder, folder / "parcels"):
            DISK.make_folder(each, above=True)
        kept = ask("SELECT kind, name, revision FROM kept WHERE kind <> 'files'")
        for at, (kind, name, revision) in enumerate(kept):
            texts: dict[str, dict[str, str]] = {}
            for table, key, body in ask(
                "SELECT tbl, id, body FROM docs WHERE name = %s ORDER BY place", (name,)
            ):
                texts.setdefault(table, {})[key] = body
            tables: Tables = {table: {key: {} for key in mine} for table, mine in texts.items()}
            header = Header(secrets.token_hex(4), "", revision)
            whole = main_text(_written_as(kind), header, body_of(tables, texts))
            parent = folder / IN_FOLDER.get(kind, "")
            DISK.make_folder(parent, above=True)
            write_new(DISK, parent / f"{name}.json", whole)
            progress(at / len(kept))
        for (name,) in ask("SELECT name FROM files"):
            DISK.make_folder((folder / name).parent, above=True)
            body = ask("SELECT body FROM files WHERE name = %s", (name,))[0][0]
            write_new(DISK, folder / name, bytes(body))


@contextlib.contextmanager
def as_folder(where: Path | ServerHome, progress: Progress = lambda _: None) -> Iterator[Path]:
    """The shop as a folder to be read: the folder itself, or what the server has at this moment."""
    if isinstance(where, Path):
        yield where
        return
    with tempfile.TemporaryDirectory(prefix="benchtui-") as above:
        to_folder(where, Path(above) / "shop", progress)
        yield Path(above) / "shop"


def _written_as(kind: str) -> str:
    """A version set aside is written as the parcel that it is one of."""
    return kind if kind in ("shop", "titles") else "parcel"


def _files(folder: Path) -> Iterator[str]:
    """The plain files, and the closed periods."""
    yield from names_in(folder)
    yield from (f"{_CLOSED}/{name}" for name in sorted(DISK.names(folder / _CLOSED, ".json")))
