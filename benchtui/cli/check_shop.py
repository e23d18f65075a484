"""What ``benchtui check`` looks at: every file of the shop, its books, scales, keymaps, layouts and lists."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import suppress
from functools import partial
from pathlib import Path
from typing import cast

from benchtui.base.errors import BenchError
from benchtui.base.shipped import shipped
from benchtui.books.check import check_books
from benchtui.books.scales import load_scales
from benchtui.desk.keyboard.keymap_file import load_keymap
from benchtui.export.describe import DEFAULT, check_templates, load_templates
from benchtui.export.known_columns import known_columns
from benchtui.export.layout import check_layouts
from benchtui.model.grade import Scale
from benchtui.model.parcel import HeadDoc
from benchtui.money.check import check_accounts, check_money, unused_credit_notes, unused_invoices
from benchtui.store import Shop
from benchtui.store.home import Home
from benchtui.titles.listfile import list_faults
from benchtui.titles.lists import lists_in

MOST_OF_LIST = 20


def check_shop(path: Path | Home) -> list[str]:
    """Every fault in one line each: where, what, and what would be right. Changes nothing.

    Raises BenchError where there is no shop at all.
    """
    shop = Shop.open(path, read_only=True)
    try:
        return list(dict.fromkeys(_all(shop)))
    finally:
        shop.close()


def _all(shop: Shop) -> Iterator[str]:
    folders = [shop.path / "books", shop.path]
    yield from _guarded(shop.path, lambda: _shop(shop))
    yield from _guarded(shop.path / "books", lambda: _books(shop, folders))
    yield from _guarded(shop.path / "keymaps", lambda: _keymaps(shop))
    yield from _guarded(shop.path / "templates", lambda: _layouts(shop))
    yield from _guarded(shop.path / "parcels", lambda: _parcels(shop))
    yield from _guarded(shop.path / "parcels", shop.number_faults)
    yield from _guarded(shop.path, lambda: (f"{one.path.parent}: {one.line()}" for one in shop.copies()))
    for path in lists_in(shop.path / "titles"):
        yield from _guarded(path, partial(_list, path))


def _books(shop: Shop, folders: Sequence[Path]) -> Iterator[str]:
    """The books' faults; a question of the shop's own may be asked of a title that no book has."""
    made = {str(one["id"]) for one in shop.made_titles()}
    with suppress(BenchError):  # a parcel that cannot be read is told by itself
        made |= set(shop.titles_had())
    return (one.one_line() for one in check_books(folders, made))


def _guarded(where: Path, look: Callable[[], Iterable[str]]) -> Iterator[str]:
    """What is found, line by line. Where the looking itself breaks, that is a line too: the rest is told."""
    try:
        yield from look()
    except BenchError as error:
        yield error.one_line()
    except Exception as error:  # whatever the files hold, a check ends with its report
        what = f"cannot be checked to its end ({type(error).__name__}: {error})"
        yield BenchError(what, where, "look at the file that was changed last").one_line()


def _shop(shop: Shop) -> Iterator[str]:
    """What was wrong with the shop's own two files; the titles' is read only once it is asked for."""
    shop.made_titles()
    if shop.notice:
        yield f"{shop.path}: {shop.notice}"


def _list(path: Path) -> Iterator[str]:
    """The first faults of a title list; rows that make no title are passed over when it is searched."""
    faults = list_faults(path)
    yield from (fault.one_line() for fault in faults[:MOST_OF_LIST])
    if len(faults) > MOST_OF_LIST:
        yield f"{path}: {len(faults) - MOST_OF_LIST} more rows with errors"


def _keymaps(shop: Shop) -> Iterator[str]:
    """Each keymap against each scale, for a shop may change its scale."""
    try:
        scales: list[Scale | None] = [*load_scales([shop.path / "books", shop.path]).values()]
    except BenchError:
        scales = [None]  # already told with the books
    for folder in (shipped("keymaps"), shop.path / "keymaps"):
        for path in sorted(folder.glob("*.toml")) if folder.is_dir() else []:
            for scale in scales:
                try:
                    load_keymap(path, scale)
                except BenchError as error:
                    yield error.one_line()


def _layouts(shop: Shop) -> Iterator[str]:
    """Every template's first fault, and every layout's faults against the templates that can be read."""
    problems = check_templates(shop.path)
    yield from (problem.one_line() for problem in problems)
    try:
        templates = load_templates(None if problems else shop.path)
        names = known_columns(templates[DEFAULT])
        known = [*templates, *(path.stem for path in (shop.path / "templates").glob("*.txt"))]
        yield from (problem.one_line() for problem in check_layouts(shop.path, names, known))
    except BenchError as error:
        yield error.one_line()


def _parcels(shop: Shop) -> Iterator[str]:
    """Each parcel must open; those that do are looked through for their money."""
    found, closings = [], shop.closings()
    moments = [str(doc.get("closed_at") or "") for doc in closings]
    for parcel_id in shop.parcel_ids():
        try:
            parcel = shop.open_parcel(parcel_id, read_only=True)
        except BenchError as error:
            yield error.one_line()
            continue
        if parcel.notice:
            yield f"{shop.path / 'parcels' / parcel_id}.json: {parcel.notice}"
        head = parcel.head
        if lost := parcel.lost_places(lambda: moments):
            yield _lost(parcel_id, len(lost))
            head = cast(HeadDoc, {**head, "earlier": [*(head.get("earlier") or ()), *lost]})
        found.append((head, parcel.records))
    senders, settings = shop.senders, shop.settings
    yield from (error.one_line() for error in check_money(found, senders, settings, shop.sales_seen()))
    yield from (error.one_line() for error in check_accounts(found, senders, settings, closings))
    yield from (error.one_line() for error in unused_invoices(found, shop.invoices()))
    yield from (error.one_line() for error in unused_credit_notes(found, shop.credit_notes()))


def _lost(parcel_id: str, count: int) -> str:
    """An earlier version forgot places of a parcel that was closed after its books: how to mend it."""
    places = "1 place" if count == 1 else f"{count} places"
    said = f"{places} that books were closed over not noted, by a fault of an earlier version"
    right = "open the parcel once on the bench, from the page of all parcels: that notes them again"
    return BenchError(said, f"parcel {parcel_id}", right).one_line()
