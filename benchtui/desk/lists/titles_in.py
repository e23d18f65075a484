"""A title list taken in on the bench: its path, the reading, the doubtful, the report, out again."""

from collections.abc import Iterator, Mapping
from functools import partial
from pathlib import Path
from typing import Any, Literal

from benchtui.base.errors import BenchError
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Choice, Desk, Menu, OpenLine, Page
from benchtui.desk.core.needs import unless
from benchtui.desk.line.lines import LINES, LineKind, close_line, open_line, typed_path
from benchtui.desk.queue.background import load_again
from benchtui.titles.columns import NoColumnError
from benchtui.titles.lists import last_taken_in, lists_in, undo_take_in
from benchtui.titles.report import Choice as Decision
from benchtui.titles.report import without_options
from benchtui.titles.takein import TakeIn
from benchtui.titles.values import country_of

MOST_ASKED = 12
"""Countries not known that a list is asked about; the rest are told."""
Phase = Literal["reading", "preview", "deciding", "writing"]


def folder(desk: Desk) -> Path:
    return desk.shop.path / "titles"


def _nothing_to_decide(desk: Desk) -> str:
    found = taking_of(desk)
    return unless(
        found and found[0].data["phase"] == "deciding", "nothing to decide now: the list is still being read"
    )


def _list_in(desk: Desk) -> str:
    return unless(last_taken_in(folder(desk)), "there is no title list to take out")


@command(
    "parcels-titles",
    "page",
    "take a title list in from a spreadsheet, CSV or text file",
    short="title list",
    also="import csv spreadsheet excel catalogue load",
    changes="nothing",
    on=("parcels",),
    order=930,
)
def open_titles(desk: Desk) -> None:
    """Ask for the list's path."""
    if desk.open.page is None or desk.open.page.name != "parcels":
        desk.refuse("take title lists in on the page of all parcels")
        return
    desk.say("")
    about = "the path of a spreadsheet, CSV or text file; what is in it is shown first"
    open_line(desk, "titles-csv", "title list", about=about)


def _take_path(desk: Desk, line: OpenLine) -> None:
    path = typed_path(desk, line)
    if path is None:
        return
    try:
        read_list(desk, path)
    except NoColumnError as error:
        ask_columns(desk, path, error)


def ask_columns(desk: Desk, path: Path, error: NoColumnError) -> None:
    """Ask which column of a list without names that are known here is which."""
    there = ", ".join(f"{no} {name}" for no, name in enumerate(error.header, 1))
    first = error.header[0]
    about = f"{first}=artist where this row names the columns, 1=artist where it is a record: {there}"
    open_line(desk, "titles-columns", "which column is which", about=about, path=str(path))
    desk.refuse(f"{error.what}: say which column it is, such as 1=artist,2=title")


def read_list(
    desk: Desk, path: Path, encoding: str | None = None, mapping: Mapping[str, str] | None = None
) -> None:
    """Begin to read a list; at the end its preview stands there and nothing is written yet.

    BenchError where the list cannot be read so.
    """
    known = desk.finder.besides_lists
    taking = TakeIn(path, folder(desk), mapping, known, apart=True, encoding=encoding)
    if desk.open.line is not None:
        close_line(desk)
    desk.open.page = Page(
        "incoming", data={"taking": taking, "phase": "reading", "done": 0.0, "last": "keep"}
    )
    desk.say("")
    desk.place()
    desk.background.job = _reading(desk, desk.open.page, taking)


def taking_of(desk: Desk) -> tuple[Page, TakeIn] | None:
    """The page of the list on its way in, and the list."""
    page = desk.open.page
    on = page is not None and page.name in ("incoming", "doubtful")
    return (page, page.data["taking"]) if page is not None and on else None


# -- the work, in steps between the keys -----------------------------------------------------------


def _reading(desk: Desk, page: Page, taking: TakeIn) -> Iterator[None]:
    for done in taking.reading():
        page.data["done"] = done
        yield
    page.data["phase"] = "preview"
    desk.say(f"nothing is written yet: {desk.key('page-enter')} takes it in")


def take(desk: Desk) -> None:
    """What the preview shows is wanted: on to the doubtful, or to the writing where nothing is."""
    found = taking_of(desk)
    if found is None or found[0].data["phase"] != "preview":
        desk.refuse("the list is still being read")
        return
    taking = found[1]
    if ask_country(desk):
        return
    page = desk.open.page = Page("doubtful", data=found[0].data)
    page.data["phase"], page.data["lines"] = "deciding", len(taking.doubts)
    if taking.undecided():
        desk.say(f"{len(taking.doubts)} look like titles known already: merge, keep both or skip")
    else:
        _write(desk, page, taking)


def ask_country(desk: Desk) -> bool:
    """Ask for the next country of the list that is not known; False where none is left to ask about."""
    found = taking_of(desk)
    if found is None:
        return False
    asked: set[str] = found[0].data.setdefault("asked", set())
    countries = found[1].report.countries.most_common(MOST_ASKED)
    word, count = next(((word, count) for word, count in countries if word not in asked), ("", 0))
    if not word:
        return False
    lines = "1 line" if count == 1 else f"{count:,} lines"
    about = f"{lines}; its ISO 3166 code such as GB, or its name; Enter alone leaves it out"
    open_line(desk, "titles-country", f"which country is {word[:30]!r}", about=about, word=word)
    return True


def _take_country(desk: Desk, line: OpenLine) -> None:
    found, text = taking_of(desk), line.text.strip()
    if found is None:
        close_line(desk)
        return
    code, wrong = country_of(text)
    if wrong:
        desk.refuse(wrong)
        return
    page, taking = found
    page.data["asked"].add(line.data["word"])
    said: dict[str, str] = page.data.setdefault("countries", {})
    if code:
        said[line.data["word"]] = code
    close_line(desk)
    if ask_country(desk):
        return
    if not said:
        take(desk)
        return
    asked = page.data["asked"]
    read_list(desk, taking.path, taking.encoding, {**taking.mapping, **said})
    if desk.open.page is not None:
        desk.open.page.data["asked"] = asked


def _writing(desk: Desk, page: Page, taking: TakeIn) -> Iterator[None]:
    desk.shop.presence.check()
    page.data["before"] = {path.name for path in lists_in(folder(desk))}
    try:
        for done in taking.writing():
            page.data["done"] = done
            yield
    except BenchError as error:
        page.data["phase"] = "preview"
        desk.open.page = Page("incoming", data=page.data)
        raise BenchError(error.what, error.where, f"{desk.key('page-enter')} tries again") from error
    yield from load_again(desk)
    if desk.open.page is page:
        told = [without_options(line) for line in taking.report.told()]
        desk.open.page = Page("taken", data={"told": told, "refused": set(taking.report.told_refused())})
    path = taking.report.path
    desk.say(f"{path.name} is taken in" if path else "nothing new: no list is kept", "done")


def stop(desk: Desk) -> None:
    """Leave the list on its way in: nothing of it is kept, also where its writing had begun."""
    found = taking_of(desk)
    if found is None:
        return
    page, taking = found
    if desk.background.job is not None and hasattr(desk.background.job, "close"):
        desk.background.job.close()
    desk.background.job = None
    written = {path.name for path in lists_in(folder(desk))} - page.data.get("before", set())
    if page.data["phase"] == "writing" and written:
        undo_take_in(folder(desk))
    desk.open.page = Page("parcels")
    desk.say(f"stopped: nothing of {taking.path.name} is taken in")
    if page.data["phase"] == "writing":
        desk.background.job = load_again(desk)
    desk.place()


# -- deciding -----------------------------------------------------------------------------------------


@command(
    "doubtful-merge",
    "page",
    "the two are one title: merge them",
    short="merge",
    needs=[_nothing_to_decide],
    changes="nothing",
    on=("doubtful",),
    order=950,
)
def merge(desk: Desk) -> None:
    _decide(desk, "merge")


@command(
    "doubtful-keep",
    "page",
    "the two are two titles: keep both",
    short="keep both",
    needs=[_nothing_to_decide],
    changes="nothing",
    on=("doubtful",),
    order=960,
)
def keep(desk: Desk) -> None:
    _decide(desk, "keep")


@command(
    "doubtful-skip",
    "page",
    "leave the list's title out",
    short="skip",
    needs=[_nothing_to_decide],
    changes="nothing",
    on=("doubtful",),
    order=970,
)
def skip(desk: Desk) -> None:
    _decide(desk, "skip")


@command(
    "doubtful-rest",
    "page",
    "all the rest like the last one decided",
    short="all the rest",
    needs=[_nothing_to_decide],
    changes="nothing",
    on=("doubtful",),
    order=980,
)
def rest(desk: Desk) -> None:
    """All that is undecided like the last one decided; before any was, both titles are kept."""
    found = taking_of(desk)
    if found is None:
        return
    page, taking = found
    for no in taking.undecided():
        taking.decide(no, page.data["last"])
        page.data.setdefault("chosen", {})[no] = page.data["last"]
    _write(desk, page, taking)


def _decide(desk: Desk, choice: Decision) -> None:
    """The marked one is decided; the next that is not comes up, and after the last one all is written."""
    found = taking_of(desk)
    if found is None:
        return
    page, taking = found
    taking.decide(page.marked, choice)
    page.data.setdefault("chosen", {})[page.marked] = choice
    page.data["last"] = choice
    left = taking.undecided()
    if not left:
        _write(desk, page, taking)
        return
    page.marked = next((no for no in left if no > page.marked), left[0])
    desk.say(f"{WORDS[choice]}; {len(left)} to decide", "done")


WORDS: dict[str, str] = {"merge": "merged into one", "keep": "both kept", "skip": "left out"}


def _write(desk: Desk, page: Page, taking: TakeIn) -> None:
    desk.say("")
    page.data["phase"], page.data["done"] = "writing", 0.0
    desk.background.job = _writing(desk, page, taking)


# -- undo -------------------------------------------------------------------------------------------


@command(
    "parcels-undo-list",
    "page",
    "take the list taken in last out again",
    short="undo list",
    also="out remove delete titles",
    needs=[_list_in],
    changes="nothing",
    on=(
        "parcels",
        "taken",
    ),
    order=940,
)
def ask_undo(desk: Desk) -> None:
    """Take the list taken in last out again, as a whole, after asking."""
    last = last_taken_in(folder(desk))
    if last is None:
        return
    desk.open.menu = Menu(
        f"Take {last.name} out again?",
        (
            Choice("t", "take it out, as a whole", partial(_undo, desk, last.name)),
            Choice("n", "leave it", partial(_leave, desk)),
        ),
        "records keep their titles; the file stays beside the others until the next is taken out",
        "undo-list",
    )


def _undo(desk: Desk, name: str) -> None:
    last = last_taken_in(folder(desk))
    if last is None or last.name != name:
        desk.refuse(f"{name} is no longer the list taken in last")
        return
    gone = undo_take_in(folder(desk))
    desk.open.page = Page("parcels")
    desk.say(f"{gone} was taken out again", "done")
    desk.background.job = load_again(desk)


def _leave(desk: Desk) -> None:
    desk.say("")


def phase_of(page: Page) -> Phase:
    """Where the list is."""
    phase: Any = page.data["phase"]
    return phase  # type: ignore[no-any-return]


LINES["titles-csv"] = LineKind(_take_path)
LINES["titles-country"] = LineKind(_take_country)
