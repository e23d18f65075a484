"""Shops to sit down at: copies of two made once, whose books are prepared already."""

import os
import shutil
import sys
from collections.abc import Callable, Iterable, Iterator
from copy import copy
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

sys.path.insert(0, str(Path(__file__).parent))
sys.path.append(str(Path(__file__).parents[1] / "store"))  # for same_parcel.py

from bench_hands import Hands, Sit, sit_down

from benchtui.bench.run import copy_demo, empty_demo
from benchtui.books.library import _stamps, book_files
from benchtui.desk.core.keymap import Keymap
from benchtui.desk.session import start
from benchtui.model.grade import Scale
from benchtui.model.title import Title
from benchtui.store import Shop, files
from benchtui.store.storage import KeptStorage
from benchtui.titles import finder
from benchtui.titles.piece import Piece


def _once(read: Callable[..., Any]) -> Callable[..., Any]:
    """The reading kept for as long as the files of the folders are the same, by name, size and time."""
    kept: dict[tuple[Any, ...], Any] = {}

    def again(folders: list[Path], *rest: Any, **named: Any) -> Any:
        if named:
            return read(folders, *rest, **named)
        key = (rest, *(_stamp(path) for folder in folders for path in sorted(folder.glob("*.toml"))))
        if key not in kept:
            kept[key] = read(folders, *rest)
        return kept[key]

    return again


def _library_once(read: Callable[..., Any]) -> Callable[..., Any]:
    """The same books for every shop that has copies of them; each desk's library still knows its own folders,
    which it reads again when its own book grows."""

    def again(folders: list[Path]) -> Any:
        library = copy(read(folders))
        library._folders = tuple(folders)
        library._stamps = _stamps(book_files(folders))
        return library

    return again


def _keymap_once(read: Callable[..., Keymap]) -> Callable[..., Keymap]:
    kept: dict[
        tuple[Any, ...], tuple[Keymap, Scale | None]
    ] = {}  # the scale too, so that its id stays its own

    def again(path: Path, scale: Scale | None) -> Keymap:
        key = (*_stamp(path), id(scale))
        if key not in kept:
            kept[key] = read(path, scale), scale
        return kept[key][0]

    return again


def _piece_once(build: Callable[..., Piece]) -> Callable[..., Piece]:
    kept: dict[tuple[Title, ...], Piece] = {}

    def again(titles: Iterable[Title]) -> Piece:
        listed = tuple(titles)
        if listed not in kept:
            if len(kept) > 200:
                kept.clear()
            kept[listed] = build(listed)
        return kept[listed]

    return again


def _stamp(path: Path) -> tuple[str, int, int]:
    stat = path.lstat()
    return path.name, stat.st_size, stat.st_mtime_ns


ONCE: list[tuple[Any, str, Any]] = [
    (start, "usable_scales", _once(start.usable_scales)),
    (start, "usable_faults", _once(start.usable_faults)),
    (start, "load_keymap", _keymap_once(start.load_keymap)),
    (start, "Library", SimpleNamespace(open=_library_once(_once(start.Library.open)))),
    (finder, "build_piece", _piece_once(finder.build_piece)),
    (os, "fsync", lambda handle: None),
    (files, "_sync_handle", lambda handle: None),
]


@pytest.fixture(scope="module", autouse=True)
def _quick_shops() -> Iterator[None]:
    """Every shop here has copies of the same few books: they are read once, and the disk is not waited for.

    That what is written reaches the disk in its order is for tests/store to show, and for the kills here,
    which happen to another process.
    """
    with pytest.MonkeyPatch.context() as patch:
        for place, name, instead in ONCE:
            patch.setattr(place, name, instead)
        yield


@pytest.fixture(scope="session")
def demo_made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo shop, opened once so that its books are prepared."""
    path = tmp_path_factory.mktemp("made") / "demo"
    copy_demo(path)
    sit_down(path).leave()
    return path


@pytest.fixture(scope="session")
def empty_made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shop with the demo's books and people, and no parcel."""
    path = tmp_path_factory.mktemp("made") / "empty"
    empty_demo(path)
    shop = Shop.open(path)
    for name, terms in (("Una Dovrick", "bought"), ("Hester Quillow", "consigned")):
        shop.add_sender(name, terms=terms)
    shop.close()
    sit_down(path).leave()
    return path


@pytest.fixture
def demo_path(tmp_path: Path, demo_made: Path) -> Path:
    return Path(shutil.copytree(demo_made, tmp_path / "demo"))


@pytest.fixture
def empty_path(tmp_path: Path, empty_made: Path) -> Path:
    return Path(shutil.copytree(empty_made, tmp_path / "empty"))


@pytest.fixture
def sit() -> Iterator[Sit]:
    """Sit down at a shop; whatever was opened is left at the end."""
    opened: list[Hands] = []

    def down(path: Path, keymap: str | None = None) -> Hands:
        opened.append(sit_down(path, keymap))
        return opened[-1]

    yield down
    with pytest.MonkeyPatch.context() as patch:  # nobody reads these shops any more
        patch.setattr(KeptStorage, "fold", lambda storage: None)
        for hands in opened:
            hands.leave()


@pytest.fixture
def demo(demo_path: Path, sit: Sit) -> Hands:
    """At the demo shop, where it was left: the seventh record half done."""
    return sit(demo_path)


@pytest.fixture
def empty(empty_path: Path, sit: Sit) -> Hands:
    """At a shop with books and no parcel."""
    return sit(empty_path)


@pytest.fixture
def parcel(empty: Hands) -> Hands:
    """A new parcel of three; the first record's title line is open."""
    return empty.new_parcel(3)


@pytest.fixture
def breakwater(parcel: Hands) -> Hands:
    """The first record with its title: one cover, one disc, one inner."""
    return parcel.find("baf")
