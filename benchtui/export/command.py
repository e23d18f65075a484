"""``benchtui export KIND``: its options, and what it does. Knows no screen."""

import argparse
import sys
from collections.abc import Callable
from datetime import date, datetime
from functools import partial
from pathlib import Path

from benchtui.base.errors import BenchError
from benchtui.base.signs import print_visible
from benchtui.export.ask import ENCODINGS, GROUPS, KINDS, WEIGHED, Ask
from benchtui.export.gather import gather, weigher, wording_of
from benchtui.export.listed import Listings, keep_listings
from benchtui.export.regrade import regraded
from benchtui.export.run import export, read_day
from benchtui.model.filename import name_fault
from benchtui.money.scheme import period_bounds
from benchtui.store.home import Home
from benchtui.store.passing import changing_parcel
from benchtui.store.shop import Shop


def add_options(parser: argparse.ArgumentParser) -> None:
    """The options of ``export``; ``--shop`` is the caller's."""
    parser.add_argument("kind", choices=KINDS, metavar="WHAT", help=f"one of {', '.join(KINDS)}")
    parser.add_argument("--day", metavar="D", help="today, yesterday or a date such as 2026-11-25")
    parser.add_argument("--parcel", metavar="P", help="one parcel, such as 2026-11-25-1")
    parser.add_argument("--sender", metavar="S", help="report, statement: one sender, by name or id")
    parser.add_argument("--layout", metavar="NAME", help="the shop's own columns for it")
    parser.add_argument("--template", metavar="NAME", help="intake: the description's template")
    parser.add_argument(
        "--changes-since",
        metavar="N",
        help="intake: only what changed since an earlier export: last, or its number",
    )
    parser.add_argument("--sample", metavar="N", type=int, default=20, help="regrade: how many parts")
    parser.add_argument("--seed", metavar="N", type=int, help="regrade: the same sample again")
    parser.add_argument(
        "--from", metavar="D", dest="since", help="from that day; regrade: the sheet filled in"
    )
    parser.add_argument("--to", metavar="D", help="up to that day")
    parser.add_argument("--period", metavar="P", help="vat: a period such as 2026-Q1, 2026-03 or 2026")
    parser.add_argument("--by", choices=GROUPS, help="sales: added up by month, parcel, sender or record")
    parser.add_argument("--totals", action="store_true", help="add a last row of totals")
    parser.add_argument(
        "--encoding",
        choices=ENCODINGS,
        default="",
        help="of a file: utf-8 unless a layout says otherwise; utf-8-sig for some spreadsheets",
    )
    parser.add_argument(
        "--private", action="store_true", help="stockbook: with the identity of private sellers"
    )
    parser.add_argument(
        "--known", metavar="D", help="books: with what was entered by the end of that day, and no more"
    )
    parser.add_argument(
        "--out", metavar="FILE", help="default: standard output; slips, statement to FILE.html: to print"
    )


def run_command(
    args: argparse.Namespace,
    shop_path: Path | Home,
    today: date | None = None,
    progress: Callable[[float], object] | None = None,
) -> int:
    """Exit code 0; BenchError for bad usage and input. ``today``: the dealer's day, else the clock's."""
    day_now = today or datetime.now().astimezone().date()
    day = read_day(args.day, day_now) if args.day else None
    _beside(args.out, shop_path if isinstance(shop_path, Path) else shop_path.folder)
    shop = Shop.open(shop_path, read_only=not args.changes_since)
    try:
        if args.since and args.kind == "regrade":
            for result in regraded(args.since, gather(shop, progress=progress), wording_of(shop)):
                print_visible("\n".join(result.lines()))
            return 0
        start, end = _range(args, day_now)
        ask = Ask(
            kind=args.kind,
            today=day_now,
            day=day,
            parcel=args.parcel,
            sender=args.sender,
            layout=args.layout,
            template=args.template,
            sample=max(0, args.sample),
            seed=args.seed,
            start=start,
            end=end,
            encoding=args.encoding,
            totals=args.totals,
            by=args.by,
            private=args.private,
            known=read_day(args.known, day_now, "--known") if args.known else None,
            handed=args.changes_since,
        )
        weigh = weigher(shop) if args.kind in WEIGHED else None
        export(shop, ask, args.out, weigh, progress, _tell, partial(_note_listings, shop))
    finally:
        shop.close()
    return 0


def _note_listings(shop: Shop, found: Listings, place: str) -> None:
    """Each record says where it is listed from now on; what a bench has open is told of."""
    for why in keep_listings(found, place, partial(changing_parcel, shop)):
        _tell(f"the listing is not noted with its records: {why}")


def _range(args: argparse.Namespace, today: date) -> tuple[date | None, date | None]:
    """First and last day wanted, of a period by its name. BenchError for what does not go together."""
    if args.period:
        if args.since or args.to or args.day:
            raise BenchError("a period is a range already", "--period", "leave --from, --to and --day out")
        first, last = period_bounds(args.period)
        return date.fromisoformat(first), date.fromisoformat(last)
    if args.day and (args.since or args.to):
        raise BenchError("a day and a range", "--day", "give either --day, or --from and --to")
    start = read_day(args.since, today, "--from") if args.since else None
    end = read_day(args.to, today, "--to") if args.to else None
    if start and end and start > end:
        raise BenchError(f"from {start} to {end}", "--from", "put the earlier day first")
    return start, end


def _tell(said: str) -> None:
    print(f"benchtui: {said}", file=sys.stderr)


def _beside(out: str | None, shop_path: Path) -> None:
    """BenchError for a file to be written in the shop's folder, but for its folder ``exports``: a slip of
    the pen must not write over a parcel.
    """
    if out is None or out == "-":
        return
    target, shop = Path(out).resolve(), shop_path.resolve()
    if target.is_relative_to(shop) and (fault := name_fault(target.name)):
        raise BenchError(fault, target, "another name")
    if target.is_relative_to(shop) and not target.is_relative_to(shop / "exports"):
        raise BenchError(
            "this place is kept for the shop's own files", target, f"name a file in {shop / 'exports'}"
        )
