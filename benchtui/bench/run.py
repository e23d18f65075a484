"""Opening the bench, the demo and a play: from a command to a running app and back to an exit code."""

import asyncio
import gc
import json
import re
import shlex
import shutil
import sys
import tempfile
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from benchtui.base.errors import BenchError
from benchtui.base.longwork import waiting
from benchtui.base.paths import path_from
from benchtui.base.shipped import shipped
from benchtui.bench.app import BenchApp
from benchtui.bench.play import play, report
from benchtui.bench.terminal import HUNG_UP, need_terminal, quiet_streams
from benchtui.desk.keyboard.script import Script, read_script
from benchtui.desk.session.start import open_desk, prepare_first_screen
from benchtui.server import ServerHome, to_server
from benchtui.store import Shop
from benchtui.store.home import check_free

_SIZE = re.compile(r"(\d{1,4})x(\d{1,4})\Z")


Where = Path | ServerHome


def open_bench(where: Where, keymap: str | None, plain: bool, home: Path | None = None) -> int:
    """Open the bench on a shop, making it on first use.

    BenchError where the folder above the shop's is missing, but for a shop at `home`: a stick that is not
    plugged in is no new shop.
    """
    first = not _there(where)
    if first and isinstance(where, Path):
        _check_place(where, home)
    if first:
        need_terminal()  # before a shop is made that nobody would see
    shop = Shop.create(where) if first else Shop.open(where)
    try:
        need_terminal()
        with waiting("opening the shop; after a change a large book takes a while ..."):
            desk, notice = open_desk(shop, keymap)
        prepare_first_screen(desk, first, notice)

        app = BenchApp(desk, plain=plain, alone=True, ready=True)
        # Said, not asked of rich: it takes a dumb terminal for 80 x 25, and Textual would go to and fro.
        app.run(size=shutil.get_terminal_size())
        if failed := app.failed():
            right = "everything accepted is saved; " if shop.unsaved() is None else ""
            raise BenchError(f"the bench failed: {failed}", shop.home.where, f"{right}open it again")
    finally:
        gc.enable()  # off since the start where no screen came
        lost = close_telling(shop)
    code = app.return_value or lost
    if code == HUNG_UP:
        quiet_streams()
    return code


def _there(where: Where) -> bool:
    return (where / "shop.json").exists() if isinstance(where, Path) else where.made


def _check_place(path: Path, home: Path | None) -> None:
    """BenchError where no new shop may be made."""
    if path != home and not path.absolute().parent.is_dir():
        right = "plug in the disk the shop is on; for a new shop, make the folder above it first"
        raise BenchError("there is no shop here, and the folder above it is missing too", path, right)
    check_free(path)


def close_telling(shop: Shop) -> int:
    """Close the shop. What was given up, or could not be saved before the end, is told in one line, once the
    terminal is given back: then 1, else 0.
    """
    shop.close()
    lost = shop.unsaved()
    if lost is None or lost.slight:
        return 0
    with suppress(OSError):  # no terminal any more
        print(f"benchtui: NOT SAVED, and lost: {lost.words()}: {lost.why}", file=sys.stderr, flush=True)
    return 1


def open_demo(given: Where | None, keymap: str | None, plain: bool) -> int:
    """Open the bench on a fresh copy of the demo shop."""
    where = given or Path(tempfile.mkdtemp(prefix="benchtui-demo-")) / "shop"
    fill(where, copy_demo)
    code = open_bench(where, keymap, plain)
    place = where if isinstance(where, Path) else where.address
    print(f"the demo shop stays at {place}; open it again with: benchtui --shop {shlex.quote(str(place))}")
    return code


def fill(where: Where, make: Callable[[Path], None]) -> None:
    """What ``make`` makes of a new folder, there or on a server."""
    if isinstance(where, Path):
        make(where)
        return
    with tempfile.TemporaryDirectory(prefix="benchtui-") as above:
        try:
            make(Path(above) / "shop")
            to_server(Path(above) / "shop", where)
        except BaseException:
            where.close()
            raise


def copy_demo(path: Path) -> None:
    """A fresh copy of the demo shop. Raises BenchError where something is there already."""
    if path.exists() and any(path.iterdir() if path.is_dir() else [path]):
        right = f"name a new folder for the demo's copy, or open what is there with: benchtui --shop {path}"
        raise BenchError("something is there already", path, right)
    try:
        shutil.copytree(
            shipped("demo") / "shop", path, dirs_exist_ok=True, ignore=shutil.ignore_patterns(".*", "*.lock")
        )
    except OSError as error:
        raise BenchError(
            f"cannot copy the demo shop: {error.strerror or error}", path, "give a folder that can be written"
        ) from None


def empty_demo(path: Path) -> None:
    """A new shop with the demo's books and title list, and nothing else."""
    Shop.create(path, name="demo").close()
    source = shipped("demo") / "shop"
    for folder in ("books", "titles"):
        if (source / folder).is_dir():
            shutil.copytree(
                source / folder, path / folder, dirs_exist_ok=True, ignore=shutil.ignore_patterns(".*")
            )
    for name in source.glob("*.csv"):
        shutil.copy(name, path / name.name)


def play_keys(
    keys: str, shop: Where | None, size: str, shots: str | None, keymap: str | None, plain: bool
) -> int:
    """Play a key script and print its JSON object."""
    script = read_script(script_path(keys))
    across = parse_size(size)
    if shop:
        return _play(script, shop, across, shots, keymap, plain)
    with tempfile.TemporaryDirectory(prefix="benchtui-play-") as folder:
        return _play(script, Path(folder) / "shop", across, shots, keymap, plain)


def script_path(keys: str) -> Path:
    """A file, or a script shipped in demo/ by its name. Raises BenchError naming those there are."""
    given = path_from(keys)
    if given.is_file():
        return given
    named = shipped("demo") / f"{keys}.keys"
    if keys.replace("-", "_").isidentifier() and named.is_file():
        return named
    known = ", ".join(sorted(path.stem for path in shipped("demo").glob("*.keys")))
    raise BenchError("no such key script", keys, f"give a file, or one of: {known}")


def parse_size(size: str) -> tuple[int, int]:
    match = _SIZE.match(size)
    if match is None or not (20 <= int(match[1]) <= 500 and 5 <= int(match[2]) <= 200):
        raise BenchError(f"'{size}' is not a screen size", "--size", "write columns x rows, such as 120x40")
    return int(match[1]), int(match[2])


def _play(
    script: Script, where: Where, size: tuple[int, int], shots: str | None, keymap: str | None, plain: bool
) -> int:
    if not _there(where):
        made = {"demo": copy_demo, "empty": empty_demo}
        fill(where, made.get(script.shop, lambda path: Shop.create(path).close()))
    shop = Shop.open(where)
    at = script.at
    try:
        desk, notice = open_desk(shop, keymap or script.keymap, (lambda: at) if at else None)
        app = BenchApp(desk, plain=plain, error=notice)
        played = asyncio.run(play(app, script, Path(shots) if shots else None, size))
        json.dump(report(app, played), sys.stdout)
        print()
    finally:
        lost = close_telling(shop)
    return lost
