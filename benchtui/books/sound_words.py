"""Which channels the words of an answer say."""

import re
from functools import lru_cache

from benchtui.books.shape import Clue

_STEREO = re.compile(r"\bstereo|\bstereophonic|\bbinaural", re.IGNORECASE)
_MONO = re.compile(r"\bmono\b|\bmonaural|\bmonophonic", re.IGNORECASE)


@lru_cache(maxsize=4096)
def sound_of(text: str) -> str:
    """``stereo``, ``mono`` or "" by the words of an answer; "stereo, also playable mono" is stereo."""
    if _STEREO.search(text):
        return "stereo"
    return "mono" if _MONO.search(text) else ""


def shows_sound(clue: Clue) -> bool:
    """Whether the answers of a clue tell stereo from what is not."""
    told = [sound_of(answer.text) for answer in clue.answers if not answer.neutral]
    return "stereo" in told and set(told) != {"stereo"}
