"""``benchtui photographs FOLDER``: pictures from a camera, matched to the records whose slips they follow."""

import argparse
from collections import defaultdict
from datetime import UTC, datetime
from itertools import count
from pathlib import Path

from benchtui.base.errors import BenchError
from benchtui.base.longwork import Progress, long_work
from benchtui.base.paths import path_from
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
    lines_of,
    matched,
    pictures_in,
)
from benchtui.export.pictures import add_pictures, note_missing
from benchtui.export.shots import shots
from benchtui.export.wording import Wording
from benchtui.model.record import PICTURES
from benchtui.store import Shop
from benchtui.store.passing import changing_parcel


def _options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("folder", metavar="FOLDER", help="the camera's pictures; none is moved or changed")
    parser.add_argument(
        "--keep", action="store_true", help="save the matches; without it they are only listed"
    )
    parser.add_argument(
        "--copy", action="store_true", help="with --keep: a copy of each in the shop, by its content"
    )
    parser.add_argument(
        "--missing",
        action="store_true",
        help="with --keep: put records without pictures on the work list",
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
        files = pictures_in(path_from(args.folder))
        with long_work("photographs", "nothing was saved") as progress:
            groups = matched(files, _counting(read, progress, len(files)), listed, given)
        for line in lines_of(groups, {number: item.name for number, item in items.items()}):
            print_visible(line)
        asked = sum(len(group.pictures) for group in groups if group.why not in ("", "left out"))
        fine = [group for group in groups if not group.why and group.pictures]
        said = f"{len(files)} files: {sum(len(one.pictures) for one in fine)} pictures of {len(fine)} records"
        print(f"{said}, {asked} asked about")
        if args.keep:
            print(_keep(shop, fine, items, words, shop.path if args.copy else None))
            if args.missing:
                print(_note_missing(shop, items, words))
        elif fine:
            print("nothing is saved yet: run the same command with --keep")
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
                "write a file's name, = and the stock number of its record; or - for a slip, to leave it out"
            )
            raise BenchError(f"--first {one[:80]!r} does not say which", right=right)
        given[name] = number
    return given


def _keep(
    shop: Shop, groups: list[Group], items: dict[str, Item], words: Wording, keep_in: Path | None
) -> str:
    """Writes the pictures down with their records, a write a parcel; what is there already stays."""
    parcels: dict[str, list[Group]] = defaultdict(list)
    for group in groups:
        parcels[items[group.number].head["id"]].append(group)
    new, (at, day) = 0, _now()
    for parcel_id, mine in parcels.items():
        with changing_parcel(shop, parcel_id, "photographs") as change:
            for group in mine:
                item = items[group.number]
                record, listed = change.record(item.record["id"]), shots(item, words)[1:]
                new += add_pictures(record, group.pictures, listed, at, day, keep_in)
    return f"{new} pictures saved, {sum(len(one.pictures) for one in groups) - new} were there already"


def _note_missing(shop: Shop, items: dict[str, Item], words: Wording) -> str:
    """What is in the shop and not photographed as its list asks goes on the work list. How many they are."""
    parcels: dict[str, list[Item]] = defaultdict(list)
    for item in items.values():
        if item.in_stock:
            parcels[item.head["id"]].append(item)
    noted, (at, day) = 0, _now()
    for parcel_id, mine in parcels.items():
        with changing_parcel(shop, parcel_id, "photographs still missing") as change:
            for item in mine:
                record = change.record(item.record["id"])
                note_missing(record, shots(item, words)[1:], at, day)
                noted += any(one["what"] == PICTURES and not one["done"] for one in record["chores"])
    return f"{noted} records with photographs missing are on the work list"


def _now() -> tuple[str, str]:
    """The time as records keep it, and the dealer's day."""
    now = datetime.now(UTC)
    return now.strftime("%Y-%m-%dT%H:%M:%SZ"), now.astimezone().date().isoformat()
