"""Putting a bench together: shop, books, scales, keys and titles, before any screen."""

from collections.abc import Callable, Iterator
from datetime import datetime

from benchtui.base.errors import BenchError
from benchtui.base.shipped import shipped
from benchtui.books.faults import load_faults
from benchtui.books.library import Library
from benchtui.books.scales import load_scales
from benchtui.desk.book.joining import joins_of, say_open_joins
from benchtui.desk.book.outside import aside_line
from benchtui.desk.core.desk import Desk, References
from benchtui.desk.core.keymap import Keymap
from benchtui.desk.keyboard.keymap_file import find_keymap, load_keymap
from benchtui.desk.parcel.opening import open_or_read
from benchtui.desk.queue.known_titles import known_titles
from benchtui.desk.session import setup, versions
from benchtui.desk.session.resume import resume
from benchtui.model.grade import Scale
from benchtui.store import ParcelHeld, Shop
from benchtui.titles import Finder
from benchtui.titles.lists import Loading, load_steps


def open_desk(
    shop: Shop, keymap: str | None = None, now: Callable[[], datetime] | None = None
) -> tuple[Desk, str]:
    """The desk on the parcel open last, and what the dealer has to know at once ("" for nothing).

    Raises BenchError for a book, scale, keymap or title list that cannot be used.
    """
    library = Library.open([shop.path / "books"]).joined(joins_of(shop.settings))
    scales = load_scales([shop.path / "books", shop.path])
    scale = scale_of(shop, scales)
    references = References(
        library=library,
        scales=scales,
        faults=load_faults([shop.path / "books", shop.path]),
        keymap=keymap_of(shop, keymap, scale),
    )
    desk = Desk(shop, references, lambda: finder_of(shop, desk.library), now)
    desk.background.lists = lists_of(shop)
    return desk, "; ".join(filter(None, (_open_last(desk, shop), aside_line(library))))


def prepare_first_screen(desk: Desk, first: bool, notice: str) -> None:
    """The desk as the first screen shows it. ``first``: in a shop just made, three questions are asked."""
    desk.background.patient = True
    desk.shop.read_in_steps()
    desk.shop.save_in_background()
    resume(desk)
    versions.offer(desk)
    if first:
        setup.begin(desk)
    if notice:
        desk.refuse(notice)
    else:
        desk.background.later.add(lambda: say_open_joins(desk))


def finder_of(shop: Shop, library: Library) -> Finder:
    """All titles but those of the lists, ready to be searched."""

    return Finder(known_titles(shop, library))


def lists_of(shop: Shop) -> Iterator[Loading]:
    """The shop's title lists, loaded in steps."""

    yield from load_steps(shop.path / "titles")


def scale_of(shop: Shop, scales: dict[str, Scale]) -> Scale:
    """The shop's grading scale. Raises BenchError naming those there are."""
    wanted = str(shop.settings["scale"])
    if wanted not in scales:
        raise BenchError(
            f"no grading scale '{wanted}'", shop.path / "shop.json", "there are: " + ", ".join(scales)
        )
    return scales[wanted]


def keymap_of(shop: Shop, name: str | None, scale: Scale) -> Keymap:
    """The keymap by name: the shop's own folder before those shipped."""
    wanted = name or str(shop.settings.get("keymap") or "two-hands")
    return load_keymap(find_keymap(wanted, [shop.path / "keymaps", shipped("keymaps")]), scale)


def _open_last(desk: Desk, shop: Shop) -> str:
    """Open the parcel that was open last; a damaged one is said and left alone."""
    wanted = shop.last_parcel() or next(reversed(shop.parcel_ids()), None)
    if not wanted:
        return shop.notice
    try:
        desk.work.parcel, notice = open_or_read(shop, str(wanted))
    except ParcelHeld as held:
        return held.one_line()
    return notice or shop.notice
