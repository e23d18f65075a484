"""Regrading blind on the bench: a sample of the stock, graded again without seeing the grade that stands.

The sample and what was given are kept in the shop (setting ``regrading``): it may be left and gone on with,
on any day and from any bench.
"""

from collections.abc import Iterator
from functools import partial
from typing import Any

from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Choice, Desk, Menu, OpenLine, Page
from benchtui.desk.line.lines import LINES, LineKind, close_line, open_line
from benchtui.desk.record.describing import wording
from benchtui.export.blind import PASSED, Asked, draw_sample, gradable_items, kept_sample, step_read
from benchtui.export.gather import gather
from benchtui.model.grade import Scale

SIZES = (("1", 10), ("2", 20), ("3", 50), ("4", 100))


@command(
    "regrade-page",
    "bench",
    "grade a sample of the stock again, blind",
    short="regrade",
    group="Queue",
    also="blind check test sample agreement kappa",
    changes="nothing",
    offered=200,
    order=480,
)
def open_regrading(desk: Desk) -> None:
    """On with the sample where it was left; without one, how many parts a new one is to have."""
    found = sample(desk)
    if not found:
        ask_size(desk)
    elif waiting(found) is None:
        desk.open.page = Page("regraded")
    else:
        desk.open.page = Page("regrade", marked=waiting(found) or 0)
        open_item(desk)


def sample(desk: Desk) -> "list[Asked]":
    """The sample as the shop keeps it, [] where there is none."""

    return kept_sample(desk.settings.get("regrading"))


def waiting(found: "list[Asked]", after: int = -1) -> int | None:
    """The next item not graded yet, from the one after ``after`` on and then from the first."""
    order = [*range(after + 1, len(found)), *range(min(after + 1, len(found)))]
    return next((at for at in order if not found[at]["given"]), None)


# -- a new sample ---------------------------------------------------------------------------------


def ask_size(desk: Desk) -> None:
    choices = [Choice(key, f"{size} parts", partial(begin, desk, size)) for key, size in SIZES]
    about = "drawn at random from stock; the present grade is shown only at the end"
    desk.open.menu = Menu("Regrade blind, so many parts", tuple(choices), about, "regrade-size")


def begin(desk: Desk, size: int) -> None:
    """Draw a sample: the stock is read a parcel a step, between the keys."""
    desk.background.job = _drawing(desk, size)


def _drawing(desk: Desk, size: int) -> Iterator[None]:

    words, found = wording(desk), []
    ids = desk.shop.parcel_ids()
    for n, parcel_id in enumerate(ids, 1):
        desk.say(f"drawing a sample: {n} of {len(ids)} parcels read")
        yield
        found += list(gradable_items(gather(desk.shop, parcel=parcel_id), words))
    if not found:
        desk.refuse("nothing in stock is graded yet: take records in first")
        return
    clock = desk.clock()
    drawn = draw_sample(found, size, int(clock.timestamp()))
    desk.shop.change_settings(regrading={"begun": desk.today(), "items": drawn})
    desk.say("")  # what was said before would hide what the line wants
    if desk.open.line is None and desk.open.menu is None:
        desk.open.page = Page("regrade")
        open_item(desk)


# -- item by item ---------------------------------------------------------------------------------


def open_item(desk: Desk) -> None:
    """The marked item's line. It says the grades of its scale, never the grade that stands."""
    found, page = sample(desk), desk.open.page
    if page is None or not found:
        return
    at = page.at(len(found))
    asked = found[at]
    scale = desk.references.scales.get(asked["scale"])
    about = f"{_steps(scale)}; - not found; Escape leaves" if scale else "its scale is gone: - passes over"
    label = f"grade of {asked['stock']}, {asked['part']}"
    # ``side``: what Escape left of one item's text does not come back at another's
    open_line(desk, "regrade", label, about=about, at=at, side=f"{asked['stock']}/{at}")


def _steps(scale: Scale) -> str:
    return f"{scale.name}: {' '.join(grade.id for grade in scale.grades)}"


def _take(desk: Desk, line: OpenLine) -> None:

    found, at, text = sample(desk), int(line.data.get("at", 0)), line.text.strip()
    if not text or at >= len(found):
        close_line(desk)
        desk.say("stopped here; resume it from the list of all commands")
        desk.place()
        return
    asked = found[at]
    scale = desk.references.scales.get(asked["scale"])
    given = PASSED if text == PASSED else step_read(scale, text) if scale else None
    if given is None:
        desk.refuse(f"{_steps(scale)}: '{text}' is not one of them" if scale else "its scale is gone: - only")
        return
    desk.shop.update_setting("regrading", lambda doc: _with(doc, at, asked["stock"], given))
    close_line(desk)
    _go_on(desk, at)


def _with(doc: Any, at: int, stock: str, given: str) -> Any:
    """The sample with one grade given; another sample, drawn on another bench meanwhile, stays as it is."""
    items = doc.get("items") if isinstance(doc, dict) else None
    if isinstance(items, list) and at < len(items) and items[at].get("stock") == stock:
        items[at]["given"] = given
    return doc


def _go_on(desk: Desk, at: int) -> None:
    found = sample(desk)
    following = waiting(found, at)
    if following is None:
        desk.open.page = Page("regraded")
        desk.say("all regraded", "done")
        desk.place()
        return
    if desk.open.page is None or desk.open.page.name != "regrade":
        desk.open.page = Page("regrade")
    desk.open.page.marked = following
    desk.say("")
    open_item(desk)


LINES["regrade"] = LineKind(_take)
