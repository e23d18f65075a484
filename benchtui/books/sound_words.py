"""Which channels the words of an answer say."""

import re
from functools import lru_cache

_STEREO = re.compile(r"\bstereo|\bstereophonic|\bbinaural", re.IGNORECASE)
_MONO = re.compile(r"\bmono\b|\bmonaural|\bmonophonic", re.IGNORECASE)


@lru_cache(maxsize=4096)
def sound_of(text: str) -> str:
    """``stereo``, ``mono`` or "" by the words of an answer; "stereo, also playable mono" is stereo."""
    if _STEREO.search(text):
        return "stereo"
    return "mono" if _MONO.search(text) else ""
