"""What each dated answer says of its part's time."""

from collections.abc import Collection, Iterable
from datetime import date, timedelta
from functools import lru_cache
from typing import NamedTuple

from benchtui.books.shape import SOFTNESS, Answer, Hardness
from benchtui.evidence.cells import YEAR
from benchtui.evidence.results import DateLine
from benchtui.evidence.seen import COPY_BY_HAND, Mark, PartSeen, Seen
from benchtui.evidence.settings import WeighSettings
from benchtui.model.span import UNKNOWN, Span, hull

TITLES_OWN = ("disc", "cover", "box")
"""Kinds of part that cannot be older than the title."""
SLEEVES = ("cover", "box")
_ISSUED: tuple[Hardness, Hardness] = ("firm", "firm")


class Bound(NamedTuple):
    """What one answer says of a part's time. ``caps``: its latest end is when the copy was already sold.

    ``hardness`` of the earliest end and of the latest. ``times``: every span the answer allows, ``span``
    reaching over them all (in a bound that ``each`` made, only one of them).
    """

    part: str
    clue: str
    label: str
    span: Span
    hardness: tuple[Hardness, Hardness]
    caps: bool
    ease: float
    said: str = ""
    source: str = ""
    times: tuple[Span, ...] = ()

    def line(self, names: dict[str, str]) -> DateLine:
        """The bound as it is shown beside its source."""
        label = f"{names[self.part]}: {self.label}: {self.said}"
        times = self.times or (self.span,)
        return DateLine(self.part, self.clue, label, times, self.hardness, self.caps, self.source)

    def each(self) -> list["Bound"]:
        """A bound for each of the spans apart."""
        return [self._replace(span=span, times=()) for span in self.times] if self.times else [self]

    def certain(self) -> Span:
        """What its hard ends alone allow."""
        start, end = (kind == "hard" for kind in self.hardness)
        return Span(self.span.earliest if start else None, self.span.latest if end else None)

    def graced(self, settings: WeighSettings) -> Span:
        """Each end moved outward by the grace of its hardness: none, half a year, two years."""
        return _graced(self.span, self.hardness, settings.model.firm, settings.model.soft)


@lru_cache(maxsize=4096)
def _graced(span: Span, hardness: tuple[Hardness, Hardness], firm: float, soft: float) -> Span:
    start, end = ({"firm": firm, "soft": soft}.get(kind, 0.0) for kind in hardness)
    return Span(moved(span.earliest, -start), moved(span.latest, end))


def bounds_of(part: PartSeen, settings: WeighSettings) -> list[Bound]:
    """The dated answers of a part; a number between two brackets bounds nothing."""
    found = []
    for mark in part.marks:
        answer = mark.bound
        if answer is None or answer.span is None or answer.hardness == "none":
            continue
        span = Span(None, answer.span.latest) if answer.caps_sale else answer.span
        if span.known:
            found.append(_bound(mark, answer, span, part.id, settings.model.swap(part.kind)))
            if mark.doc["clue"] == COPY_BY_HAND and span.latest:  # said of the whole: it ends there
                found.append(found[-1]._replace(span=Span(None, span.latest), caps=True, times=()))
    return found


def _bound(mark: Mark, answer: Answer, span: Span, part: str, ease: float) -> Bound:
    ask = mark.clue.ask.partition(":")[0].rstrip("?").strip()
    clue, source = mark.doc["clue"], answer.source or mark.clue.source
    times = () if answer.caps_sale else answer.times
    caps, said = answer.caps_sale, answer.text
    return Bound(part, clue, ask, span, answer.ends, caps, ease, said, source, times)


def moved(day: date | None, years: float) -> date | None:
    """The day so many years on; None beyond the calendar."""
    if day is None or not years:
        return day
    try:
        return day + timedelta(days=round(years * YEAR))
    except OverflowError:
        return None


def meet(bounds: Iterable[Iterable[Span]]) -> Span | None:
    """What all the bounds allow, each of one span or of several apart, from first to last; None: nothing."""
    left = [UNKNOWN]
    for spans in bounds:
        spans = list(spans)
        left = [both for one in left for span in spans if (both := one.meet(span)) is not None]
    return hull(left) if left else None


def latest_start(bounds: Iterable[Bound], settings: WeighSettings) -> Bound | None:
    """The bound with the greatest earliest, grace included; the harder one on a tie."""
    dated = [
        (day, -SOFTNESS[b.hardness[0]], i, b)
        for i, b in enumerate(bounds)
        if (day := b.graced(settings).earliest)
    ]
    return max(dated)[3] if dated else None


def earliest_end(bounds: Iterable[Bound], settings: WeighSettings) -> Bound | None:
    """The bound with the least latest, grace included; the harder one on a tie."""
    dated = [
        (day, SOFTNESS[b.hardness[1]], i, b)
        for i, b in enumerate(bounds)
        if (day := b.graced(settings).latest)
    ]
    return min(dated)[3] if dated else None


def in_order_of_time(late: Bound, cap: Bound, settings: WeighSettings, years: float = 0.0) -> bool:
    """Whether the earliest lies at or before the latest, grace included and so many years more."""
    begin, end = late.graced(settings).earliest, moved(cap.graced(settings).latest, years)
    return begin is None or end is None or begin <= end


def older_than_stock(soon: Bound, begins: Bound, settings: WeighSettings) -> bool:
    """Whether a part's last day, old stock allowed, lies before the copy's first.

    The grace of a soft end and the years of old stock are the same years: the longer of the two counts.
    """
    first, last, graced = begins.graced(settings).earliest, soon.span.latest, soon.graced(settings).latest
    if first is None or last is None or graced is None:
        return False
    stocked = moved(last, settings.stock_years)
    return stocked is not None and max(stocked, graced) < first


def newer_than_waiting(late: Bound, ends: Bound, settings: WeighSettings) -> bool:
    """Whether a sleeve's first day lies after its disc's last by more than discs lay waiting for one, and by
    more than the grace of the two.
    """
    first, last = late.span.earliest, moved(ends.span.latest, settings.late_cover)
    late_enough = first is not None and last is not None and last < first
    return late_enough and not in_order_of_time(late, ends, settings)


def from_words(bound: Bound) -> str:
    """``label from 1963``."""
    return f"{bound.label} from {Span(bound.span.earliest, None).edtf().strip('[.]')}"


def to_words(bound: Bound) -> str:
    """``label to 1968``."""
    return f"{bound.label} to {end_words(bound)}"


def end_words(bound: Bound) -> str:
    """The latest end alone."""
    return Span(None, bound.span.latest).edtf().strip("[.]")


def issue_of(first: Span) -> list[Bound]:
    """The bound that the title's first issue sets, where it is known."""
    span = Span(first.earliest, None)
    return [Bound("", "first", "the title's first issue", span, _ISSUED, False, 0.0)] if span.known else []


def dating_disc(seen: Seen, elsewhere: Collection[str] = ()) -> PartSeen | None:
    """The disc that dates the copy: the anchor, else the first that belongs to it."""
    discs = [part for part in seen.parts if part.kind == "disc" and part.id not in elsewhere]
    return next((part for part in discs if part.id == seen.anchor), next(iter(discs), None))
