"""One edit of a book's text as it can be kept and turned back later, though the rest has changed since."""

from pathlib import Path
from typing import Any, NamedTuple

from benchtui.base.errors import BenchError
from benchtui.base.reading import text_of
from benchtui.books.reread import changed_of
from benchtui.books.text import ends_alike, replace_file
from benchtui.books.toml_file import read_bytes
from benchtui.books.whole import checked

_AROUND = 48
"""Signs before and after the edit that are kept with it, to find its place again."""


class Patch(NamedTuple):
    """From the sign ``at`` on stood ``was``, now stands ``now``, between ``before`` and ``after``.

    ``made``: there was no file before.
    """

    at: int
    was: str
    now: str
    before: str = ""
    after: str = ""
    made: bool = False

    def doc(self) -> list[Any]:
        """As a parcel's history keeps it."""
        return [self.at, self.was, self.now, self.before, self.after, self.made]


def patch_from(doc: Any) -> Patch | None:
    """The patch that a history keeps; None where it keeps none, or something else."""
    try:
        at, was, now, before, after, made = doc
        return Patch(int(at), str(was), str(now), str(before), str(after), bool(made))
    except (TypeError, ValueError):
        return None


def text_at(path: Path) -> str | None:
    """The book's text as it is on the disk; None where there is no file. BenchError: it cannot be read."""
    return text_of(read_bytes(path), path) if path.exists() else None


def patch_of(before: str | None, after: str) -> Patch:
    """What changed between two texts, as one run of signs."""
    old = before or ""
    at, tail = ends_alike(old, after)
    was, now = old[at : len(old) - tail], after[at : len(after) - tail]
    rest = after[len(after) - tail :][:_AROUND] if tail else ""
    return Patch(at, was, now, after[max(0, at - _AROUND) : at], rest, before is None)


def turn(path: Path, patch: Patch, back: bool) -> bool:
    """Take the edit back (or do it again); False, and nothing done, where its place has changed since.

    BenchError where the book cannot be read or written, or would no longer be one.
    """
    text = text_at(path)
    if patch.made and (back or text is None):
        if back and text == patch.now:
            _remove(path)
            return True
        if back or text is not None:
            return False
    turned = turned_text(text or "", patch, back)
    if turned is None:
        return False
    checked(changed_of(text or "", turned).encode("utf-8"), path)
    replace_file(path, turned)
    return True


def turned_text(text: str, patch: Patch, back: bool) -> str | None:
    """The text with the edit taken back (or done again); None where its place is not as it was. What was put
    in at the end is done again only at the end: else it may stand there still, changed since.
    """
    here, there = (patch.now, patch.was) if back else (patch.was, patch.now)
    before, after = patch.before, patch.after
    whole = before + here + after
    if not (back or here or after) and not text.endswith(before):
        return None
    if text[patch.at - len(before) :].startswith(whole):
        start = patch.at
    elif text.count(whole) == 1:
        start = text.index(whole) + len(before)
    elif len(here) >= _AROUND and text.count(here) == 1:
        start = text.index(here)
    else:
        return None
    return text[:start] + there + text[start + len(here) :]


def _remove(path: Path) -> None:
    try:
        path.unlink(missing_ok=True)
    except OSError as error:
        raise BenchError(f"cannot be removed: {error.strerror or error}", path) from None
