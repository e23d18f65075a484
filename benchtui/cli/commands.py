"""The commands that need no screen: export, titles, weigh, spread, sales, book, check, backup."""

import argparse
import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.base.longwork import long_work
from benchtui.base.signs import print_visible
from benchtui.model.filename import name_fault

Run = Callable[[argparse.Namespace], int]
MakeCommand = Callable[[Any, str, str, Run], argparse.ArgumentParser]


def shop_path(args: argparse.Namespace) -> Path:
    """The shop folder: the option, BENCHTUI_SHOP, else the user's data folder."""
    chosen = getattr(args, "shop", None) or os.environ.get("BENCHTUI_SHOP")
    if chosen:
        return Path(chosen).expanduser()
    from platformdirs import user_data_path

    return user_data_path("benchtui") / "shop"


def add(made: Any, command: MakeCommand) -> None:
    """Add the commands to the parser; ``command`` makes one with the shop's option."""
    from benchtui.export.command import add_options

    add_options(
        command(made, "export", "write out intake, stock book, statement, chores, slips or report", _export)
    )
    titles = command(made, "titles", "take in a title list, or take the last one out again", _titles)
    titles.add_argument("file", nargs="?", metavar="FILE", help="a spreadsheet, CSV, JSON lines or text")
    titles.add_argument("--encoding", metavar="NAME", help="of a text file, where the guess is wrong")
    titles.add_argument("--map", action="append", default=[], metavar="THEIRS=OURS", help="a column's name")
    titles.add_argument(
        "--doubtful", default="keep", help="titles that look like known ones: keep, merge or skip"
    )
    titles.add_argument("--undo", action="store_true", help="take the last list out again")
    weigh = command(
        made,
        "weigh",
        "weigh the clues of a title: dates, likely pressings, what to look at next",
        _weigh,
    )
    weigh.add_argument("title", metavar="TITLE", help="an id, a title or a catalogue number")
    weigh.add_argument("answers", nargs="*", metavar="CLUE=ANSWER", help="also CLUE@part.place=ANSWER")
    weigh.add_argument("--book", metavar="FILE", help="this book instead of the shop's")
    weigh.add_argument("--json", action="store_true")
    spread = command(made, "spread", "a parcel's landed cost and its shares", _spread)
    spread.add_argument("parcel", metavar="PARCEL")
    spread.add_argument("--json", action="store_true")
    sales = command(made, "sales", "take in a CSV file of sales seen elsewhere", _sales)
    sales.add_argument("file", metavar="FILE.csv")
    book = command(made, "book", "write a commented skeleton of a new book into the shop", _book)
    book.add_argument("what", choices=["new"])
    book.add_argument("name", metavar="NAME")
    keymap = command(
        made, "keymap", "write a commented copy of a keymap into the shop, to be changed", _keymap
    )
    keymap.add_argument("what", choices=["new"])
    keymap.add_argument("name", metavar="NAME")
    keymap.add_argument("--like", metavar="MAP", help="the map to copy; else the one in use")
    check = command(
        made, "check", "every file of the shop, book and keymap: what is wrong, and where", _check
    )
    about = "write what can be read of damaged files into a new folder; the shop stays as it is"
    check.add_argument("--salvage", metavar="DIR", help=about)
    _add_keeping(made, command)


def _add_keeping(made: Any, command: MakeCommand) -> None:
    backup = command(made, "backup", "write the whole shop into one zip file", _backup)
    backup.add_argument("file", metavar="FILE.zip")
    restore = command(made, "restore", "check a backup and unpack it into a new shop folder", _restore)
    restore.add_argument("file", metavar="FILE.zip")


def _open(args: argparse.Namespace, read_only: bool = True) -> Any:
    from benchtui.store import Shop

    return Shop.open(shop_path(args), read_only=read_only)


def _export(args: argparse.Namespace) -> int:
    from benchtui.export.command import run_command

    with long_work("export", "nothing is written") as progress:
        return run_command(args, shop_path(args), progress=progress)


def _titles(args: argparse.Namespace) -> int:
    from benchtui.books.library import Library
    from benchtui.desk.known import known_titles
    from benchtui.titles.build import build_piece
    from benchtui.titles.command import run

    shop = _open(args)
    try:
        known = [build_piece(known_titles(shop, Library.open([shop.path / "books"])))]
        with long_work("titles", f"nothing from {args.file} was taken in") as progress:
            return run(
                shop.path,
                args.file,
                args.map,
                args.doubtful,
                args.undo,
                known,
                progress=progress,
                encoding=args.encoding,
            )
    finally:
        shop.close()


def _weigh(args: argparse.Namespace) -> int:
    from benchtui.books.library import UNIVERSAL, Library
    from benchtui.books.prepared import prepare
    from benchtui.evidence import counts_of
    from benchtui.evidence.command import run_weigh

    if args.book:
        library = Library([prepare(UNIVERSAL), prepare(Path(args.book).expanduser())])
        print_visible(run_weigh(library, args.title, args.answers, json_out=args.json))
        return 0
    shop = _open(args)
    try:
        library = Library.open([shop.path / "books"])
        counts = shop.counts(counts_of)
        print_visible(run_weigh(library, args.title, args.answers, json_out=args.json, counts=counts))
    finally:
        shop.close()
    return 0


def _spread(args: argparse.Namespace) -> int:
    from benchtui.money.command import spread_command

    shop = _open(args)
    try:
        parcel = shop.open_parcel(args.parcel, read_only=True)
        text = spread_command(
            parcel.head, parcel.records, shop.settings, as_json=args.json, senders=shop.senders
        )
        print_visible(text.removesuffix("\n"))
    finally:
        shop.close()
    return 0


def _sales(args: argparse.Namespace) -> int:
    from benchtui.cli.sales_file import take_in_sales

    shop = _open(args, read_only=False)
    try:
        with long_work("sales", f"nothing from {args.file} was taken in") as progress:
            return take_in_sales(shop, Path(args.file).expanduser(), progress)
    finally:
        shop.close()


def _book(args: argparse.Namespace) -> int:
    from benchtui.books.skeleton import skeleton
    from benchtui.books.write import put_back

    path = _new_file(args.name, shop_path(args) / "books", "book")
    put_back(path, skeleton(args.name).encode())
    print_visible(f"{path} written; its comments say what goes where, and benchtui check finds what is wrong")
    return 0


def _new_file(name: str, folder: Path, what: str) -> Path:
    """Where the new book or keymap goes. BenchError for a name that cannot be a file's or is taken."""
    path = folder / f"{name}.toml"
    if not name.replace("-", "").isalnum():
        raise BenchError(f"'{name}' cannot be a file's name", f"{what} new", "letters, digits and dashes")
    if fault := name_fault(path.name):
        raise BenchError(fault, f"{what} new", "another name")
    if path.exists():
        raise BenchError(f"there is already a {what} of that name", path, "another name")
    return path


def _keymap(args: argparse.Namespace) -> int:
    from benchtui.base.reading import read_text
    from benchtui.base.shipped import shipped
    from benchtui.books.write import put_back
    from benchtui.desk.keymap import MOST_BYTES, find_keymap, load_keymap
    from benchtui.desk.keymap_copy import commented

    shop = _open(args)
    try:
        used = str(shop.settings.get("keymap") or "two-hands")
    finally:
        shop.close()
    own = shop.path / "keymaps"
    path = _new_file(args.name, own, "keymap")
    if (shipped("keymaps") / path.name).exists():
        raise BenchError(f"a keymap '{args.name}' comes with benchtui", "keymap new", "another name")
    source = find_keymap(args.like or getattr(args, "keymap", None) or used, [own, shipped("keymaps")])
    load_keymap(source, None)  # a map with a fault is told with its line, and not copied
    put_back(path, commented(read_text(source, MOST_BYTES, "a keymap"), source.stem, args.name).encode())
    print_visible(
        f"{path} written; benchtui --keymap {args.name} uses it, and benchtui check finds what is wrong"
    )
    return 0


def _check(args: argparse.Namespace) -> int:
    from benchtui.cli.check import check_shop

    if args.salvage:
        return _salvage(args)
    problems = check_shop(shop_path(args))
    for problem in problems:
        print_visible(problem)
    print("nothing wrong" if not problems else f"{len(problems)} errors found", file=sys.stderr)
    return 1 if problems else 0


def _salvage(args: argparse.Namespace) -> int:
    from benchtui.store.salvage import salvage

    shop, target = shop_path(args), Path(args.salvage).expanduser()
    if not (shop / "parcels").is_dir():
        raise BenchError("there is no shop here", shop, "a shop's folder")
    for line in salvage(shop, target):
        print(line)
    print(
        f"look through it with: benchtui --shop {target}; books and lists stay in the shop", file=sys.stderr
    )
    return 0


def _backup(args: argparse.Namespace) -> int:
    from benchtui.store.backup import backup

    shop = _open(args)
    try:
        with long_work("backup", f"no backup was written to {args.file}") as progress:
            told = backup(shop.path, Path(args.file).expanduser(), progress)
    finally:
        shop.close()
    print_visible(told)
    return 0


def _restore(args: argparse.Namespace) -> int:
    from benchtui.store.backup import restore

    target = shop_path(args)
    with long_work("restore", f"nothing was restored to {target}") as progress:
        told = restore(Path(args.file).expanduser(), target, progress)
    print_visible(told)
    return 0
