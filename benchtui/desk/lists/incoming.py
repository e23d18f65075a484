"""The preview of a title list: read it in another encoding, or say which column is which."""

from pathlib import Path

from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Desk, OpenLine
from benchtui.desk.core.needs import unless
from benchtui.desk.line.lines import LINES, LineKind, close_line, open_line
from benchtui.desk.lists.titles_in import read_list, taking_of
from benchtui.titles.columns import COLUMNS
from benchtui.titles.command import read_maps


def _no_preview(desk: Desk) -> str:
    found = taking_of(desk)
    return unless(found and found[0].data["phase"] == "preview", "no list to look at")


@command(
    "incoming-encoding",
    "page",
    "read the list in another encoding",
    short="encoding",
    also="letters accents wrong charset",
    needs=[_no_preview],
    changes="nothing",
    on=("incoming",),
    order=952,
)
def ask_encoding(desk: Desk) -> None:
    """Ask for the encoding; the preview is made anew."""
    about = "such as cp1252 (Western), cp850 (DOS), cp1250 (Central European), shift_jis, utf-8"
    open_line(desk, "titles-encoding", "encoding", about=about)


@command(
    "incoming-columns",
    "page",
    "say which column of the list is which",
    short="columns",
    also="map header name",
    needs=[_no_preview],
    changes="nothing",
    on=("incoming",),
    order=954,
)
def ask_columns(desk: Desk) -> None:
    """Ask for columns of the list and what they hold; the preview is made anew."""
    open_line(
        desk, "titles-columns", "THEIRS=OURS", about="3=title or name=title; ours are " + ", ".join(COLUMNS)
    )


def _take_encoding(desk: Desk, line: OpenLine) -> None:
    found, text = taking_of(desk), line.text.strip()
    if found is None or not text:
        close_line(desk)
        return
    taking = found[1]
    read_list(desk, taking.path, text, taking.mapping)


def _take_columns(desk: Desk, line: OpenLine) -> None:
    found, text, path = taking_of(desk), line.text.strip(), line.data.get("path")
    if text and path is not None:
        read_list(desk, Path(path), None, read_maps([text]))
        return
    if found is None or not text:
        close_line(desk)
        return
    taking = found[1]
    read_list(desk, taking.path, taking.encoding, {**taking.mapping, **read_maps([text])})


LINES["titles-encoding"] = LineKind(_take_encoding)
LINES["titles-columns"] = LineKind(_take_columns)
