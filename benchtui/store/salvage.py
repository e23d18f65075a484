"""What can still be read of a shop whose logs are damaged, as a copy: the shop itself is never touched.

Opening a parcel stops at the first line of its log that cannot be read, for whatever follows was made on what
is lost. Here every line is tried by itself: a change sets whole fields of a document, so that most later ones
can be made all the same. What comes of it wants to be looked through by a person.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from benchtui.base.errors import BenchError
from benchtui.store.codec import Tables, encode
from benchtui.store.files import DISK, as_bench_error, write_new
from benchtui.store.load import Loaded, body_of, main_text, read_alone
from benchtui.store.log import Header, header_of, play_change, read_line
from benchtui.store.place import Place
from benchtui.store.watch import parcels_in

_ASIDE = re.compile(r"\.log\.(damaged|foreign|other)-\d+\Z")


@dataclass(slots=True)
class _Read:
    """How many changes of a log were made, how many lines cannot be read, how many fit nothing any more."""

    made: int = 0
    lost: int = 0
    unfit: int = 0

    def words(self) -> str:
        """``12 changes read, 1 line lost``"""
        said = [f"{self.made} changes read from its log"]
        said += [f"{self.lost} line{'s' * (self.lost != 1)} lost"] if self.lost else []
        said += [f"{self.unfit} changes left out: what they change is lost"] if self.unfit else []
        return ", ".join(said)


def salvage(shop: Path, target: Path) -> list[str]:
    """Writes what can be read of shop.json, titles.json and every parcel into the new folder ``target``.

    Gives a line for each. Logs that were set aside are read too, each into a file of its own in
    ``target/aside``. BenchError where ``target`` is there already, lies in the shop, or cannot be written.
    """
    shop, target = shop.absolute(), target.absolute()
    if shop == target or shop in target.parents:
        raise BenchError("a copy in the shop's own folder", target, "another folder, best another disk")
    if target.exists():
        raise BenchError("there is something here already", target, "name a folder that does not exist yet")
    try:
        for folder in (target, target / "parcels", target / "aside"):
            DISK.make_folder(folder)
        return [line for kind, path in _kept(shop) for line in _one(kind, path, target, shop)]
    except OSError as error:
        said = f"the copy cannot be written: {error.strerror or error}"
        raise BenchError(said, target, "free some space, and choose a folder you can write to") from error


def _kept(shop: Path) -> Iterator[tuple[str, Path]]:
    yield from ((kind, shop / f"{kind}.json") for kind in ("shop", "titles"))
    with as_bench_error(shop):
        ids = {*parcels_in(DISK, shop / "parcels")}
        gone = DISK.names(shop / "parcels" / ".keep", ".json.previous")
    ids |= {name.removesuffix(".json.previous") for name in gone}
    yield from (("parcel", shop / "parcels" / f"{key}.json") for key in sorted(ids))


def _one(kind: str, path: Path, target: Path, shop: Path) -> Iterator[str]:
    place, bases = Place(path), _bases(Place(path), kind)
    if not bases:
        yield f"{path}: neither the file nor its previous copy can be read"
        return
    base = bases[0]
    logs = [place.log] if base.rescued is False else [place.old_log, place.log]
    read = _Read()
    for log in logs:
        _play(base.tables, _bytes(log), base, read)
    where = target / path.relative_to(shop)
    _write(where, kind, base, read.made)
    yield f"{where}: {read.words()}"
    for log in (each for each in sorted(place.keep.glob(f"{path.name}.log.*")) if _ASIDE.search(each.name)):
        yield _aside(kind, log, _bases(place, kind), target)


def _aside(kind: str, log: Path, bases: list[Loaded], target: Path) -> str:
    """A log that was set aside, on the file it follows."""
    raw, read = _bytes(log), _Read()
    header = header_of(raw)
    base = next((one for one in bases if header is not None and one.generation == header.generation), None)
    if base is None:
        return f"{log}: the file that it follows is not there any more"
    _play(base.tables, raw, base, read)
    where = target / "aside" / f"{log.name}.json"
    _write(where, kind, base, read.made)
    return f"{where}: {read.words()}"


def _bases(place: Place, kind: str) -> list[Loaded]:
    """The main file, if it can be read, then the other versions there are of it."""
    asides = sorted(place.keep.glob(f"{place.main.name}.*-[0-9]*"))
    others = [path for path in asides if ".log." not in path.name and not path.name.endswith(".new")]
    found = []
    for path in (place.main, place.previous, *others):
        try:
            one = read_alone(DISK, path, kind)
        except BenchError:
            continue
        one.rescued = path != place.main
        found.append(one)
    return found


def _play(tables: Tables, raw: bytes, base: Loaded, read: _Read) -> None:
    """Every line that can be read and is not in the file already, in order."""
    header = header_of(raw)
    if header is not None and header.generation != base.generation and not base.rescued:
        return  # it led to the file
    lines = raw.split(b"\n")
    for line in lines[header is not None : -1] if len(lines) > 1 else []:
        try:
            change = read_line(line)
            number, patches = int(change["n"]), list(change["c"])
        except (ValueError, KeyError, TypeError):
            read.lost += 1
            continue
        if number <= base.base_count:
            continue
        try:
            play_change(tables, patches)
            read.made += 1
        except (ValueError, KeyError, TypeError):
            read.unfit += 1


def _write(path: Path, kind: str, base: Loaded, made: int) -> None:
    texts = {table: {key: encode(doc) for key, doc in docs.items()} for table, docs in base.tables.items()}
    header = Header("", "", base.base_count + made)
    write_new(DISK, path, main_text(kind, header, body_of(base.tables, texts)))


def _bytes(path: Path) -> bytes:
    try:
        return DISK.read(path)
    except OSError:
        return b""
