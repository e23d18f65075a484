"""Whether two titles of the same words and number are one title.

Another company, country or size is another title. Where only the year or the channels differ, two rows of one
list are two titles, and between two sources the dealer is asked. What one of them does not say differs from
nothing.
"""

from functools import lru_cache

from benchtui.model.span import Span, parse_edtf
from benchtui.model.title import Title
from benchtui.titles.fold import fold


def differ_in(one: Title, other: Title) -> str:
    """What tells them apart for certain, in words: company, country or size; "" for nothing."""
    if one.company and other.company and fold(one.company) != fold(other.company):
        return "company"
    if one.country and other.country and one.country != other.country:
        return "country"
    if one.size_in and other.size_in and one.size_in != other.size_in:
        return "size"
    return ""


def differ_perhaps_in(one: Title, other: Title) -> str:
    """What may tell them apart: the year first issued, or mono and stereo; "" for nothing."""
    if (
        one.first
        and other.first
        and one.first != other.first
        and _apart(_span(one.first), _span(other.first))
    ):
        return "year"
    if one.channels and other.channels and one.channels != other.channels:
        return "channels"
    return ""


def _apart(one: Span, other: Span) -> bool:
    """Whether no day lies in both."""
    return bool(
        (one.latest and other.earliest and one.latest < other.earliest)
        or (other.latest and one.earliest and other.latest < one.earliest)
    )


@lru_cache(maxsize=20_000)
def _span(text: str) -> Span:
    return parse_edtf(text)
