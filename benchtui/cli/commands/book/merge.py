"""``benchtui book merge OTHER``: another dealer's book taken into the shop's, nothing of mine overwritten."""

import argparse
from pathlib import Path

from benchtui.base.errors import BenchError
from benchtui.base.signs import print_visible
from benchtui.books.from_bench import OWN_BOOK
from benchtui.books.library import Library
from benchtui.cli.declare import command
from benchtui.cli.options import shop_path
from benchtui.knowledge.asked import target_of
from benchtui.knowledge.merge import merge as merge_books
from benchtui.knowledge.other import Told, compare, lines_of
from benchtui.knowledge.reading import other_book
from benchtui.store import Shop


def _options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("other", metavar="OTHER", help="the other dealer's book, a file")
    parser.add_argument(
        "--into", metavar="MINE", default=Path(OWN_BOOK).stem, help="the book that gets what is new"
    )
    about = "this title, question or pressing of theirs is that one of yours, 'new' or 'skip'"
    parser.add_argument("--same", action="append", default=[], metavar="THEIRS=MINE", help=about)
    parser.add_argument(
        "--doubtful", choices=["same", "new", "skip"], default="", help="what to do with everything doubtful"
    )
    done = parser.add_mutually_exclusive_group()
    done.add_argument("--yes", action="store_true", help="write it")
    done.add_argument("--dry-run", action="store_true", help="only show what would be done (the default)")


@command("take another dealer's book into yours; what differs is kept beside, with its source", _options)
def merge(args: argparse.Namespace) -> int:
    """Exit 1 where something was left out: nobody decided it, or no digit was left for an answer."""
    shop = Shop.open(shop_path(args), read_only=True)
    currency = str(shop.settings.get("currency") or "")
    shop.close()
    said = dict(_pair(text) for text in args.same)
    theirs, head = other_book(args.other, shop.path / "books")
    mine = Library.open([shop.path / "books"])
    if any(one.path == head.path for one in mine.books()):
        raise BenchError(
            f"{head.id} is one of the shop's books already", "book merge", "name another dealer's file"
        )
    found = compare(mine, theirs, head.id, Told(said, args.doubtful))
    for line in lines_of(found):
        print_visible(line)
    if not args.yes:
        print_visible("nothing is written yet; --yes writes it and leaves out what is still asked")
        return 0
    target = target_of(shop.path / "books", args.into, currency=currency)
    merge_books(found, mine, head, shop.path, target)
    left = found.undecided
    out = f", but {', '.join(left)} left out, undecided" if left else ""
    print_visible(f"merged into {target.path}{out}; benchtui book undo takes it out again")
    if left:
        print_visible(f"decide: --same {left[0]}=YOURS (or =new, =skip), or --doubtful; then merge again")
    if found.no_digit:
        out = "; ".join(found.no_digit)
        print_visible(f"left out, no digit is left: {out}, and what their pressings say of it")
        print_visible("make two answers of your own one (own answers, on the bench), then merge again")
    return 1 if left or found.no_digit else 0


def _pair(text: str) -> tuple[str, str]:
    theirs, sign, mine = text.partition("=")
    if not sign or not theirs.strip() or not mine.strip():
        raise BenchError(f"{text!r} names no pair", "--same", "write --same THEIRS=MINE")
    return theirs.strip(), mine.strip()
