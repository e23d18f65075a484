"""What the desk does between the keys, a step at a time: title lists, parcels changed outside, long work."""

from collections.abc import Iterator

from benchtui.base.errors import BenchError
from benchtui.desk.core.desk import Desk
from benchtui.desk.line.lines import refresh
from benchtui.evidence import counts_of
from benchtui.titles.lists import load_steps


def load_on(desk: Desk) -> bool:
    """One step of loading the title lists; False when all of them can be searched.

    A list that cannot be read is said and left out; the others still load.
    """
    background = desk.background
    try:
        step = next(background.lists, None)
    except BenchError as error:
        background.lists, background.loading = iter(()), ""
        desk.refuse(error.one_line())
        return False
    if step is None:
        if background.loading:
            background.loading = ""
            _list_again(desk)
        return False
    background.loading = f"{step.name} {step.done * 100:.0f} %"
    if step.piece is not None:
        desk.finder.attach(step.piece)
    return True


def load_again(desk: Desk) -> Iterator[None]:
    """The finder on the lists as they are now; typing finds the rest meanwhile."""
    desk.finder.detach_lists()
    desk.background.lists = load_steps(desk.shop.path / "titles")
    while load_on(desk):
        yield
    _list_again(desk)


def _list_again(desk: Desk) -> None:
    """The titles that fit what is typed, of all lists; a list on which the mark was moved stays."""
    line = desk.open.line
    if line is not None and line.name == "title" and not line.marked:
        refresh(desk)


def catch_up(desk: Desk) -> bool:
    """One step of reading what changed in the parcels since the shop was last closed; False when all is
    known, and then what was learnt of them counts.
    """
    if not desk.shop.still_reading:
        return False
    try:
        done = desk.shop.catch_up(counts_of)
    except BenchError as error:
        done = None
        desk.refuse(error.one_line())
    desk.background.loading = "" if done is None else f"parcels {done * 100:.0f} %"
    if done is None:
        desk.weighings.forget_counts()
    return done is not None


def work_on(desk: Desk) -> bool:
    """One step of the long work at hand; False when there is none (left). What goes wrong is said."""
    background = desk.background
    job = background.job
    if job is None:
        return _check_on(desk)
    try:
        next(job)
    except StopIteration:
        if background.job is job:
            background.job = None
    except (BenchError, OSError) as error:
        background.job = None
        desk.refuse(error.one_line() if isinstance(error, BenchError) else str(error))
    return background.job is not None or background.checking is not None


def _check_on(desk: Desk) -> bool:
    """One step of looking whether the books call the records taken in as before."""
    background = desk.background
    checking = background.checking
    if checking is None:
        return False
    try:
        if next(checking, True) and background.checking is checking:
            background.checking = None
    except BenchError as error:  # a parcel that cannot be read: told where it is opened
        background.checking = None
        desk.refuse(error.one_line())
    return background.checking is not None
