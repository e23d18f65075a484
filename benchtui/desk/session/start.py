"""Putting a bench together: shop, books, scales, keys and titles, before any screen."""

from collections.abc import Callable, Iterator
from datetime import datetime

from benchtui.base.errors import BenchError
from benchtui.base.shipped import shipped
from benchtui.books.faults import usable_faults
from benchtui.books.joins import joins_of
from benchtui.books.library import Library
from benchtui.books.scales import STANDARD, usable_scales
from benchtui.desk.book.outside import aside_line
from benchtui.desk.core.desk import Desk, References
from benchtui.desk.core.keymap import Keymap
from benchtui.desk.keyboard.keymap_file import find_keymap, load_keymap
from benchtui.desk.own_book.known_titles import known_titles
from benchtui.desk.parcel.opening import open_or_read
from benchtui.desk.session import setup, versions
from benchtui.desk.session.resume import resume
from benchtui.evidence import counts_of
from benchtui.model.grade import Scale
from benchtui.model.parcel import is_given_up
from benchtui.store import ParcelHeld, Shop
from benchtui.titles.finder import Finder
from benchtui.titles.lists import Loading, load_steps

USUAL_MAP = "two-hands"
NEEDED = ("commands", "line-accept", "page-enter", "page-leave")
"""What a keymap must have keys for: without them nothing can be done on the bench."""


def open_desk(
    shop: Shop, keymap: str | None = None, now: Callable[[], datetime] | None = None
) -> tuple[Desk, str]:
    """The desk on the parcel open last, and what the dealer has to know at once ("" for nothing).

    What cannot be read of the files that people write is left out, and the shipped ones stand in. Raises
    BenchError for a keymap that was asked for by name.
    """
    folders = [shop.path / "books", shop.path]
    library = Library.open(folders[:1]).joined(joins_of(shop.settings))
    scales, told = usable_scales(folders)
    faults, more = usable_faults(folders)
    aside = [*library.aside, *told, *more]
    scale = scale_of(shop, scales, aside)
    found = keymap_of(shop, keymap, scale, aside)
    desk = Desk(shop, References(library, scales, faults, found), lambda: finder_of(shop, desk.library), now)
    desk.background.lists = lists_of(shop)
    return desk, "; ".join(filter(None, (_open_last(desk, shop), aside_line(aside))))


def prepare_first_screen(desk: Desk, first: bool, notice: str) -> None:
    """The desk as the first screen shows it. ``first``: in a shop just made, three questions are asked."""
    desk.background.patient = True
    desk.shop.read_in_steps(counts_of)
    desk.shop.save_in_background()
    resume(desk)
    versions.offer(desk)
    if first:
        setup.begin(desk)
    if notice:
        desk.refuse(notice)


def finder_of(shop: Shop, library: Library) -> Finder:
    """All titles but those of the lists, ready to be searched."""

    return Finder(known_titles(shop, library))


def lists_of(shop: Shop) -> Iterator[Loading]:
    """The shop's title lists, loaded in steps."""

    yield from load_steps(shop.path / "titles")


def scale_of(shop: Shop, scales: dict[str, Scale], aside: list[str]) -> Scale:
    """The shop's grading scale; where it is not among these a shipped one, and ``aside`` gets a line."""
    wanted = str(shop.settings["scale"])
    if wanted not in scales:
        there = f"use one of: {', '.join(scales)}"
        said = f"the grading scale '{wanted}' cannot be read; grades use the scale '{STANDARD}'"
        aside.append(BenchError(said, shop.path / "shop.json", there).one_line())
    return scales.get(wanted) or scales[STANDARD]


def keymap_of(shop: Shop, name: str | None, scale: Scale, aside: list[str]) -> Keymap:
    """The keymap by name: the shop's own folder before those shipped.

    Of the shop's usual one that cannot be used ``aside`` gets a line, and the shipped two-hands stands in;
    where the scale's letters clash with that too, they are found by the list of grades only.
    """
    folders = [shop.path / "keymaps", shipped("keymaps")]
    if name:
        return load_keymap(find_keymap(name, folders), scale)
    try:
        path = find_keymap(str(shop.settings.get("keymap") or USUAL_MAP), folders)
        found = load_keymap(path, scale)
        if all(map(found.first_key, NEEDED)):
            return found
        raise BenchError("has no key for " + " or ".join(NEEDED), path, "give each of them a key")
    except BenchError as error:
        aside.append(error.one_line())
    usual = find_keymap(USUAL_MAP, folders[1:])
    try:
        return load_keymap(usual, scale)
    except BenchError:
        return load_keymap(usual, None)


def _open_last(desk: Desk, shop: Shop) -> str:
    """Open the parcel that was open last; a damaged one is said and left alone."""
    last = shop.last_parcel()
    for parcel_id in dict.fromkeys((*([str(last)] if last else []), *reversed(shop.parcel_ids()))):
        try:
            parcel, notice = open_or_read(shop, parcel_id)
        except ParcelHeld as held:
            return held.one_line()
        if not is_given_up(parcel.head, parcel.records):
            desk.work.parcel = parcel
            return notice or shop.notice
        parcel.close()
    return shop.notice
