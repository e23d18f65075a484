"""Weighs what was seen on a copy: runouts, spans, likely pressings, next clue, agreement, second look."""

from benchtui.evidence.learn import counts_of
from benchtui.evidence.reference import Reference
from benchtui.evidence.results import (
    Agreement,
    Clash,
    DateLine,
    Likely,
    NextClue,
    PartSpan,
    SecondLook,
    Weighing,
    WhyLine,
)
from benchtui.evidence.runout import Runout, Segment, cuts_of, other_side, read_runout, segments_of
from benchtui.evidence.settings import Counts, ModelSettings, WeighSettings
from benchtui.evidence.settling import say_held
from benchtui.evidence.teaching import book_alone_is_sure
from benchtui.evidence.together import together
from benchtui.evidence.weighing import prepare, weigh

__all__ = [
    "Agreement",
    "Clash",
    "Counts",
    "DateLine",
    "Likely",
    "ModelSettings",
    "NextClue",
    "PartSpan",
    "Reference",
    "Runout",
    "SecondLook",
    "Segment",
    "WeighSettings",
    "Weighing",
    "WhyLine",
    "book_alone_is_sure",
    "counts_of",
    "cuts_of",
    "other_side",
    "prepare",
    "read_runout",
    "say_held",
    "segments_of",
    "together",
    "weigh",
]
