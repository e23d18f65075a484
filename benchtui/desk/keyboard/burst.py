"""Text typed, or scanned, where no line is open: taken back as one action, and said.

Every key comes with its time. Six figures within 50 ms, five letters each within 150 ms of the last (spaces
between them do not count; on a page 300 ms), or five signs of any kind at that pace with a space between two,
as of a runout, come from a scanner or from somebody who believes that a line is open: what they did is
undone, and what follows without a pause does nothing. On a page a digit right behind two letters is text
before it writes a file, which nothing takes back. Eight figures of a scanner in a line that takes no barcode,
as of a runout, are taken back too: the line stands again as it did. Keys without a time, as of a played
script, count as typed slowly.
"""

from copy import deepcopy
from dataclasses import replace
from itertools import pairwise
from typing import Any

from benchtui.desk.book.book_drop import turn_last, turn_rest
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.keys import is_printable
from benchtui.desk.core.shapes import OpenLine
from benchtui.desk.core.state import Before, Burst

SCANNED, WITHIN = 6, 0.05
"""So many figures within so many seconds come from no hand."""
NO_BARCODE, BARCODE = ("runout", "clue-number", "clue-either", "price"), 8
"""Lines into which no barcode is scanned, and the figures of the shortest one (GS1: 8, 12, 13 or 14)."""
WORD, APART = 5, 0.15
"""So many letters, none later than so many seconds after the one before, are a word."""
PAUSE = 0.4
"""Keys no later than so many seconds after text that was taken back belong to it: a busy machine brings a
paste in pieces, and nobody has read by then that it was taken back.
"""
ON_A_PAGE, UNLIKE = 0.3, 4
"""On a page keys so many seconds apart are text too, where so many different letters are among them: nobody
gives five commands there at a hand's pace, but moves (``ssse``) are few letters over and over.
"""
SPACED, FILLED = 5, 3
"""So many keys at that pace, so many of them no space, with a space between two, are text."""

Key = tuple[float, str, Before]
"""When it came, its name, what stood before it."""


def caught(desk: Desk, key: str, at: float) -> bool:
    """Whether the key belongs to text that no line is open for: then nothing is to be done with it."""
    burst = desk.burst
    if burst.slow:
        return False
    if burst.until is not None and at - burst.until <= max(PAUSE, _apart(desk)):
        burst.until = at
        return True
    burst.until = None
    begun = _answered_before(burst, key, at) or _opened_within(burst, key, at)
    in_line = desk.open.scope == "line" and not begun and not _may_be_scanned(desk, key, at)
    if in_line or not _types(key):
        burst.run.clear()
        return False
    if burst.run and at - burst.run[-1][0] > _apart(desk):
        burst.run.clear()
    burst.run.append((at, key, _standing(desk)))
    start = 0 if _leaves_parcel(desk, key) or _is_number_on_page(burst.run) else _start(burst)
    if start is None:
        return False
    before, said = burst.run[start][2], _taken_back(desk, burst.run[start:])
    _take_back(desk, before)
    desk.refuse(said)
    burst.run.clear()
    burst.until = at
    return True


def _leaves_parcel(desk: Desk, key: str) -> bool:
    """Whether a key behind others at that pace would begin another parcel, which nothing takes back."""
    return len(desk.burst.run) > 1 and desk.references.keymap.use(desk.open.scope, key) == "page-new"


def _apart(desk: Desk) -> float:
    """So many seconds at most are between two keys of a text that began where this one did."""
    page = desk.burst.run[0][2].page if desk.burst.run else desk.open.page
    return APART if page is None else ON_A_PAGE


def _is_number_on_page(run: list[Key]) -> bool:
    """Whether a digit follows two letters or more typed on a page, as of a title or its number."""
    letters = {key for _, key, _ in run[:-1] if key.isalpha()}
    return run[0][2].page is not None and run[-1][1].isdigit() and len(letters) > 1


def _is_text(run: list[Key]) -> bool:
    """Whether its keys came at the pace of a word, or are too unlike to be moves on a page."""
    slow = any(after[0] - one[0] > APART for one, after in pairwise(run))
    return not slow or len({key for _, key, _ in run if key.isalpha()}) >= UNLIKE


def _no_barcode(desk: Desk) -> OpenLine | None:
    """The open line, where it takes no barcode."""
    line = desk.open.line if desk.open.scope == "line" else None
    return line if line is not None and line.name in NO_BARCODE else None


def _may_be_scanned(desk: Desk, key: str, at: float) -> bool:
    """Whether it is a figure in such a line, and none that follows text at once, as of a pasted runout."""
    burst, line = desk.burst, _no_barcode(desk)
    if line is None:
        return False
    text = burst.text_at is not None and at - burst.text_at <= WITHIN
    if key.isdigit() and not text:
        return True
    burst.text_at = at
    return False


def _began_outside(run: list[Key]) -> bool:
    """Whether its keys did more than open a line."""
    return sum(before.line is None for _, _, before in run) > 1


def _taken_back(desk: Desk, run: list[Key]) -> str:
    """What is said of it: where a scanner wrote, else that no line was open."""
    line = _no_barcode(desk)
    if line is None or _began_outside(run):
        asked = run[0][2].asking.asked
        at_runout = asked is not None and asked[0].startswith("runout")
        first = f"{desk.key('runout')} opens the runout's line" if at_runout else "open a line first"
        return f"typed outside a line: {len(run)} keys and what follows them taken back; {first}"
    stays = "; the line stands as it did" if run[0][2].line is not None else ""
    finds = f"the title line ({desk.key('find-title')}) finds a title by it"
    return f"that was a scanner: no barcode is written into {line.label}{stays}; {finds}"


def _answered_before(burst: Burst, key: str, at: float) -> bool:
    """Whether a figure in a line goes on with a scan whose first figures answered something else."""
    scan = len(burst.run) > 1 and key.isdigit() and burst.run[-1][1].isdigit()
    return scan and at - burst.run[-1][0] <= WITHIN


def _opened_within(burst: Burst, key: str, at: float) -> bool:
    """Whether a key in a line goes on with text of which a later letter than the first, or a space, opened
    the line: whoever opens one to type in it presses its key first."""
    if not burst.run or at - burst.run[-1][0] > APART:
        return False
    if not key.isdigit() and _letters(burst, _word(burst)) > 1:
        return True
    before, space, _ = _pieces(burst).partition(" ")
    return bool(space) and len(before) > 1


def _start(burst: Burst) -> int | None:
    """Where the text at the end of the run begins; None where it is none yet."""
    n = len(burst.run)
    while n and burst.run[n - 1][1].isdigit() and _close(burst, n):
        n -= 1
    figures = burst.run[n:]
    least = SCANNED if _began_outside(figures) else BARCODE
    if len(figures) >= least and figures[-1][0] - figures[-SCANNED][0] <= WITHIN:
        return n
    n = _word(burst)
    if _letters(burst, n) >= WORD and _is_text(burst.run[n:]):
        return n
    return 0 if _is_spaced(burst) and _is_text(burst.run) else None


def _is_spaced(burst: Burst) -> bool:
    """Whether the run is several pieces of text with a space between them: ``LP 77 B-1``."""
    pieces = _pieces(burst).strip()
    return len(pieces) >= SPACED and " " in pieces and pieces.count("x") >= FILLED


def _pieces(burst: Burst) -> str:
    return "".join(" " if key == "space" else "x" for _, key, _ in burst.run)


def _word(burst: Burst) -> int:
    """Where what follows the last figure or sign begins."""
    n = len(burst.run)
    while n and (burst.run[n - 1][1] == "space" or burst.run[n - 1][1].isalpha()):
        n -= 1
    return n


def _letters(burst: Burst, start: int) -> int:
    return sum(key != "space" for _, key, _ in burst.run[start:])


def _close(burst: Burst, n: int) -> bool:
    """Whether the key before the n-th one came at the pace of a scanner, seen from the one after it."""
    return n == len(burst.run) or burst.run[n][0] - burst.run[n - 1][0] <= WITHIN


def _types(key: str) -> bool:
    return key == "space" or is_printable(key)


def _standing(desk: Desk) -> Before:
    work, asking, shown = desk.work, desk.asking, desk.open
    parcel = work.parcel
    live = len(parcel.history) - parcel.head["undone"] if parcel is not None else 0
    line = _no_barcode(desk)
    return Before(
        replace(work, taken=list(work.taken)),
        replace(asking, order=list(asking.order), trail=list(asking.trail), passed=list(asking.passed)),
        replace(shown.page, data=dict(shown.page.data)) if shown.page is not None else None,
        shown.menu,
        shown.explained,
        tuple(parcel.history[:live]) if parcel is not None else (),
        tuple(parcel.records) if parcel is not None else (),
        replace(line, replace=line.replace and line.text == line.opened) if line is not None else None,
    )


def _take_back(desk: Desk, before: Before) -> None:
    """The parcel and the prompt as they stood; another parcel opened meanwhile stays open."""
    parcel = before.work.parcel
    if desk.work.parcel is not parcel:
        return
    if parcel is not None and not parcel.read_only and not parcel.closed:
        with desk.one_write(parcel):
            _history_back(desk, before)
    desk.work, desk.asking = before.work, before.asking
    desk.open.page, desk.open.menu, desk.open.explained = before.page, before.menu, before.explained
    desk.open.line, desk.background.search = before.line, None
    desk.weighings.forget_counts()  # a choice taken back taught nothing
    desk.place()


def _history_back(desk: Desk, before: Before) -> None:
    """What was done since is undone, and what was undone done again, each with the book and its new title."""
    parcel = before.work.parcel
    assert parcel is not None
    while (last := parcel.next_undo) is not None and last not in before.done:
        if turn_last(desk, parcel, back=True) is None:
            break
    while (ahead := parcel.next_redo) is not None and ahead in before.done:
        if turn_last(desk, parcel, back=False) is None:
            break
    first = parcel.history[0].n if parcel.history else 0
    lost = [one for one in before.done if one.n >= first and one not in parcel.history]
    if not lost:
        return
    for one in lost:  # undone among it, and driven out by what was done next
        turn_rest(desk, one, back=False)
    with parcel.action("typed outside a line, taken back") as change:
        for record in before.records:
            if isinstance(record, dict) and record != parcel.record(record["id"]):
                changed: Any = change.record(record["id"])
                changed.clear()
                changed.update(deepcopy(record))
