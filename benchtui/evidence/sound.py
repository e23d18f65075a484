"""Channels and numbers speak: what follows from them for every clue that shows one, in any book.

An answer shows channels by its words ("stereo", "mono", "STEREO on a pasted strip"); a number by being one of
the title's. No book has to say clue by clue that a stereo pressing bears the stereo word.
"""

from collections.abc import Sequence
from functools import lru_cache

from benchtui.books.dated_words import BY_DEALER
from benchtui.books.shape import BookTitle, Clue, Pressing, Word
from benchtui.books.sound_words import shows_sound, sound_of
from benchtui.evidence.seen import PartSeen

CHANNELS = ("mono", "stereo")
_MISREAD = 0.015


def follows(pressing: Pressing, title: BookTitle | None, clue: Clue) -> dict[str, Word]:
    """Answer to word, as the pressing's channels or number have it; empty where the clue shows neither."""
    channels = pressing.channels or (title.channels if title else "")
    if channels in CHANNELS and shows_sound(clue):
        return by_sound(channels, clue)
    return _by_number(pressing, title, clue) if title is not None and pressing.catalogue else {}


def by_sound(channels: str, clue: Clue) -> dict[str, Word]:
    """The own word usually; the other never on a disc, and rarely on what was printed for both.

    A mono record often bears no word at all, where a clue has an answer for that: there was nothing else yet.
    Among words of the dealer's own that nobody here can read (``TWO-EAR`` for stereo) nothing is usual: only
    the other sound's word is hardly ever there, and that only beside a word for this one.
    """
    told = {answer.id: sound_of(answer.text) for answer in clue.answers if not answer.neutral}
    silent = [answer.id for answer in clue.answers if answer.absent and not told.get(answer.id)]
    unread = any(not sound and one not in silent for one, sound in told.items())
    if unread and clue.source.startswith(BY_DEALER):
        read = channels in told.values()
        hardly: Word = "never" if clue.part == "disc" else "rarely"
        return {one: hardly for one, sound in told.items() if read and sound not in ("", channels)}
    bare = channels == "mono" and silent
    own: Word = "sometimes" if bare else "usually"
    other: Word = "never" if clue.part == "disc" else "rarely"
    found = {name: own if sound == channels else other for name, sound in told.items() if sound}
    return found | dict.fromkeys(silent, "usually" if bare else "rarely")


def sound_for(title: BookTitle | None, clue: Clue) -> str:
    """The one sound that all of a title's pressings are known to have, where the clue shows it; "" else."""
    if title is None or title.channels not in CHANNELS or not shows_sound(clue):
        return ""
    same = all(one.channels in ("", title.channels) for one in title.pressings)
    return title.channels if same else ""


def _by_number(pressing: Pressing, title: BookTitle, clue: Clue) -> dict[str, Word]:
    """Of answers that are numbers of the title its own usually, another pressing's hardly ever."""
    known = {
        _bare(number) for number in (*title.catalogues, *(p.catalogue for p in title.pressings)) if number
    }
    told = {answer.id: _bare(answer.text) for answer in clue.answers if not answer.neutral}
    own = _bare(pressing.catalogue)
    if own not in told.values():
        return {}
    return {
        name: "usually" if number == own else "rarely" for name, number in told.items() if number in known
    }


def stem_row(
    channels: str, pressings: Sequence[Pressing], title: BookTitle | None, candidates: int
) -> list[float]:
    """P that a disc bears the stem of these channels: its own but for a misread, even odds where unknown."""
    own = [one.channels or (title.channels if title else "") for one in pressings]
    row = [(1 - _MISREAD if one == channels else _MISREAD) if one in CHANNELS else 0.5 for one in own]
    return [*row, *[0.5] * (candidates - len(row))]


@lru_cache(maxsize=4096)
def _bare(number: str) -> str:
    return "".join(sign for sign in number.casefold() if sign.isalnum())


def part_sound(part: PartSeen) -> str:
    """What the answers seen on a part say of its channels: one of them, or "" where they say none or both."""
    told = {part.stem} - {""}
    for mark in part.marks:
        if shows_sound(mark.clue):
            told |= {sound for answer in mark.answers if (sound := sound_of(answer.text))}
    return told.pop() if len(told) == 1 else ""
