"""``benchtui photographs FOLDER``: pictures from a camera, matched to the records whose slips they follow."""

import argparse
from collections import defaultdict
from datetime import UTC, datetime
from itertools import count
from pathlib import Path

from benchtui.base.errors import BenchError
from benchtui.base.longwork import Progress, long_work
from benchtui.base.signs import print_visible
from benchtui.books.faults import load_faults
from benchtui.books.scales import load_scales
from benchtui.cli.declare import command
from benchtui.cli.options import shop_path
from benchtui.export.gather import gather
from benchtui.export.items import Item
from benchtui.export.photographs import (
    NOBODY,
    Group,
    Reader,
    bar_codes,
    by_name,
    digest_of,
    lines_of,
    matched,
    pictures_in,
)
from benchtui.export.shots import shots
from benchtui.export.wording import Wording
from benchtui.model.record import RecordDoc
from benchtui.store import Shop


def _options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("folder", metavar="FOLDER", help="the camera's pictures; none is moved or changed")
    parser.add_argument(
        "--keep", action="store_true", help="write them down; without it they are only listed"
    )
    parser.add_argument("--by-name", action="store_true", help="read no bar codes, go by the names of files")
    parser.add_argument(
        "--first", action="append", default=[], metavar="FILE=NUMBER", help="the first picture of a record"
    )


@command("match a folder of photographs to the records whose slips they follow", _options)
def photographs(args: argparse.Namespace) -> int:
    shop = Shop.open(shop_path(args), read_only=not args.keep)
    try:
        words = Wording.of(load_scales([shop.path, shop.path / "books"]), load_faults([shop.path]))
        items = {item.stock: item for item in gather(shop) if item.stock}
        listed = {number: len(shots(item, words)) - 1 for number, item in items.items()}
        given = _given(args.first, listed)
        read = by_name if args.by_name else bar_codes()
        files = pictures_in(Path(args.folder).expanduser())
        with long_work("photographs", "nothing was written down") as progress:
            groups = matched(files, _counting(read, progress, len(files)), listed, given)
        for line in lines_of(groups, {number: item.name for number, item in items.items()}):
            print_visible(line)
        asked = sum(len(group.pictures) for group in groups if group.why not in ("", "left out"))
        fine = [group for group in groups if not group.why and group.pictures]
        said = f"{len(files)} files: {sum(len(one.pictures) for one in fine)} pictures of {len(fine)} records"
        print(f"{said}, {asked} asked about")
        if args.keep:
            print(_keep(shop, fine, items, words))
        elif fine:
            print("nothing is written down yet: the same command with --keep does that")
        return 1 if asked else 0
    finally:
        shop.close()


def _counting(read: Reader, progress: Progress, of: int) -> Reader:
    done = count()

    def counted(path: Path) -> str:
        progress(next(done) / of)
        return read(path)

    return counted


def _given(first: list[str], listed: dict[str, int]) -> dict[str, str]:
    given = {}
    for one in first:
        name, equals, number = one.rpartition("=")
        if not equals or not name or number not in (NOBODY, *listed):
            right = (
                "the name of a file, = and the stock number of a record; or - for a slip, which is left out"
            )
            raise BenchError(f"--first {one[:80]!r} does not say which", right=right)
        given[name] = number
    return given


def _keep(shop: Shop, groups: list[Group], items: dict[str, Item], words: Wording) -> str:
    """Writes the pictures down with their records, a correction a parcel; what is there already stays."""
    parcels: dict[str, list[Group]] = defaultdict(list)
    for group in groups:
        parcels[items[group.number].head["id"]].append(group)
    new = 0
    for parcel_id, mine in parcels.items():
        parcel = shop.open_parcel(parcel_id, passing=True)
        try:
            for group in mine:
                item = items[group.number]
                names = [shot.file for shot in shots(item, words)][1:]
                say = f"photographs of record {item.record['no']}"
                with parcel.correct(say) if parcel.closed else parcel.action(say) as change:
                    new += _add(change.record(item.record["id"]), group.pictures, names)
        finally:
            parcel.close()
    return f"{new} pictures written down, {sum(len(one.pictures) for one in groups) - new} were there already"


def _add(record: RecordDoc, pictures: list[Path], names: list[str]) -> int:
    """Adds what is not there yet, and the chore of taking photographs is done. How many were new."""
    kept = record.setdefault("photographs", [])
    known = {one["digest"] for one in kept}
    whole = len(pictures) == len(names)
    added = 0
    at = datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
    for n, path in enumerate(pictures):
        digest = digest_of(path)
        if digest not in known:
            known.add(digest)
            added += 1
            kept.append(
                {"digest": digest, "file": str(path.absolute()), "shot": names[n] if whole else "", "at": at}
            )
    if added:
        for chore in record["chores"]:
            if chore["what"] == "photograph" and not chore["done"]:
                chore["done"] = datetime.now().astimezone().date().isoformat()
    return added
