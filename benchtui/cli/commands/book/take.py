"""``benchtui book take FILE``: a table of pressings taken into a book, after saying what it would do."""

import argparse
import sys
from pathlib import Path

from benchtui.base.errors import BenchError
from benchtui.base.paths import path_from
from benchtui.base.signs import print_visible
from benchtui.books.from_bench import OWN_BOOK
from benchtui.books.library import Library
from benchtui.cli.declare import command
from benchtui.cli.options import shop_path
from benchtui.desk.core.field import facts_of_new, field_of
from benchtui.desk.own_book.known_titles import in_no_book
from benchtui.knowledge.asked import decisions_of, target_of
from benchtui.knowledge.plan import Decisions, Plan
from benchtui.knowledge.preview import preview_lines
from benchtui.knowledge.put import put
from benchtui.knowledge.rows import read_table
from benchtui.knowledge.take import plan_of
from benchtui.store import Shop


def _options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("file", metavar="FILE", help="CSV, .xlsx, .ods or .xls; one row a pressing")
    parser.add_argument(
        "--into", metavar="BOOK", default=Path(OWN_BOOK).stem, help="the book that gets what is new"
    )
    about = "this column is that question, that fixed column, 'new', or '-' to leave it out"
    parser.add_argument("--map", action="append", default=[], metavar="COLUMN=QUESTION", help=about)
    parser.add_argument(
        "--place", action="append", default=[], metavar="COLUMN=PART PLACE", help="where a question is seen"
    )
    parser.add_argument(
        "--doubtful",
        choices=["same", "new", "skip"],
        help="titles that may be known already, and pressings grown here that look like a row",
    )
    parser.add_argument("--new-answers", action="store_true", help="make new answers of texts that fit none")
    parser.add_argument("--keep", action="store_true", help="where the table differs, keep what is known")
    parser.add_argument("--company", default="", help="company of the titles, where the table names none")
    parser.add_argument("--country", default="", help="ISO code of the titles' country")
    parser.add_argument("--currency", default="", help="currency of the prices")
    parser.add_argument("--encoding", metavar="NAME", help="encoding of a text file, if guessed wrong")
    done = parser.add_mutually_exclusive_group()
    done.add_argument("--yes", action="store_true", help="write it without asking")
    done.add_argument("--dry-run", action="store_true", help="only show what would be done")


@command("take a table of pressings into a book: CSV, .xlsx, .ods or .xls", _options)
def take(args: argparse.Namespace) -> int:
    shop = Shop.open(shop_path(args), read_only=True)
    try:
        settings, library = dict(shop.settings), Library.open([shop.path / "books"])
        made = in_no_book(shop, library)
    finally:
        shop.close()
    currency = args.currency or str(settings.get("currency") or "")
    fixed, decisions = decisions_of(args.map, args.place)
    decisions = Decisions(
        decisions.meant,
        doubtful=args.doubtful,
        add_answers=args.new_answers,
        keep=args.keep,
        every_grown=None if args.doubtful is None else args.doubtful == "same",
    )
    target = target_of(shop.path / "books", args.into, args.company, args.country, currency)
    here = field_of(settings)
    companies = (here.company, *library.companies)
    table = read_table(path_from(args.file), fixed, args.encoding, here.prefixes, companies)
    said = {key: getattr(args, key) for key in ("company", "country") if getattr(args, key)}
    plan = plan_of(
        *(table, library, target.head, decisions, currency),
        usual=lambda number: facts_of_new(settings, library, number) | said,
        made=made,
    )
    for line in preview_lines(plan):
        print_visible(line)
    if plan.unplaced and not args.new_answers:
        print_visible("what could not be placed stays out; --new-answers makes answers of such words")
    left = 1 if plan.asked or plan.unplaced else 0
    if plan.empty:
        print_visible("nothing to write")
        return left
    if args.dry_run or not (args.yes or _agreed(plan)):
        print_visible("nothing is written")
        return left
    put(plan, shop.path, target.path, target.text)
    print_visible(f"taken into {target.path}; benchtui book undo takes it out again")
    return left


def _agreed(plan: Plan) -> bool:
    """Asks on the terminal; BenchError where nobody can be asked."""
    if not sys.stdin.isatty():
        raise BenchError(
            "there is no terminal to ask on", "book take", "--yes writes it, --dry-run only shows it"
        )
    left = f" Not decided, and left out: {len(plan.asked)}." if plan.asked else ""
    return input(f"Write this?{left} [y/n] ").strip().lower() in ("y", "yes")
