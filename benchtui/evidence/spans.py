"""When each part and the copy were made, and what excludes what (evidence.md: *Spans*, *Agreement*)."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import product

from benchtui.books.shape import Answer, Hardness
from benchtui.evidence.cells import YEAR
from benchtui.evidence.results import Clash, DateLine, PartSpan
from benchtui.evidence.seen import Mark, PartSeen, Seen
from benchtui.evidence.settings import WeighSettings
from benchtui.model.record import RecordDoc
from benchtui.model.span import UNKNOWN, Span, hull

_SOFTNESS: dict[Hardness, int] = {"hard": 0, "firm": 1, "soft": 2, "none": 3}
_ISSUED: tuple[Hardness, Hardness] = ("firm", "firm")


@dataclass(frozen=True, slots=True)
class Bound:
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
        return [replace(self, span=span, times=()) for span in self.times] if self.times else [self]

    def certain(self) -> Span:
        """What its hard ends alone allow."""
        start, end = (kind == "hard" for kind in self.hardness)
        return Span(self.span.earliest if start else None, self.span.latest if end else None)

    def graced(self, settings: WeighSettings) -> Span:
        """Each end moved outward by the grace of its hardness: none, half a year, two years."""
        grace = {"firm": settings.model.firm, "soft": settings.model.soft}
        start, end = (grace.get(kind, 0.0) for kind in self.hardness)
        return Span(_moved(self.span.earliest, -start), _moved(self.span.latest, end))


@dataclass(frozen=True, slots=True)
class Spans:
    """All spans of a record and its clashes."""

    parts: dict[str, PartSpan]
    disc: PartSpan
    copy: PartSpan
    clashes: tuple[Clash, ...]
    dates: tuple[DateLine, ...]


def spans_of(
    record: RecordDoc, seen: Seen, first: Span, settings: WeighSettings, names: dict[str, str]
) -> Spans:
    """Spans of every part, of the anchor's disc and of the copy, with the pairs of clues that clash."""
    by_part = {part.id: bounds_of(part, settings) for part in seen.parts}
    issued = Bound("", "first", "the title's first issue", Span(first.earliest, None), _ISSUED, False, 0.0)
    parts: dict[str, PartSpan] = {}
    clashes: list[Clash] = []
    for part in seen.parts:
        bounds = by_part[part.id]
        # An inner may be a plain one from stock; disc and cover are the title's own.
        dated = [*bounds, issued] if first.earliest and part.kind in ("disc", "cover", "box") else bounds
        certain = _meet([one.certain() for one in bound.each()] for bound in bounds)
        likely = _meet([one.graced(settings) for one in bound.each()] for bound in dated)
        parts[part.id] = PartSpan(certain, likely)
        if parts[part.id].certain is None or parts[part.id].likely is None:
            clashes.append(_within(part.id, dated, settings, names))
    own = {
        key: [b for b in bounds if not b.caps]
        for key, bounds in by_part.items()
        if record["rulings"].get(key) != "swapped"
    }
    caps = [b for bounds in by_part.values() for b in bounds if b.caps]
    dated_own = {**own, "title": [issued]} if first.earliest else own
    clashes += _after_sale(dated_own, caps, settings, {**names, "title": "title"})
    disc = next((p for p in seen.parts if p.id == seen.anchor and p.kind == "disc"), None) or next(
        (p for p in seen.parts if p.kind == "disc"), None
    )
    dates = tuple(bound.line(names) for bounds in by_part.values() for bound in bounds)
    disc_span = parts[disc.id] if disc else PartSpan()
    clashes += _newer(own, disc.id, parts[disc.id], settings, names) if disc else []
    return Spans(parts, disc_span, _copy(dated_own, caps, settings), _once(clashes), dates)


def _once(clashes: list[Clash]) -> tuple[Clash, ...]:
    """A sale mark may cap its own part: one pair of clues is named once."""
    return tuple(
        {frozenset(((c.part_a, c.clue_a), (c.part_b, c.clue_b))): c for c in reversed(clashes)}.values()
    )[::-1]


def bounds_of(part: PartSeen, settings: WeighSettings) -> list[Bound]:
    """The dated answers of a part; a number between two brackets bounds nothing."""
    found = []
    for mark in part.marks:
        answer = mark.answers[0]
        if len(mark.answers) > 1 or answer.span is None or answer.hardness == "none":
            continue
        span = Span(None, answer.span.latest) if answer.caps_sale else answer.span
        if span.known:
            found.append(_bound(mark, answer, span, part.id, settings.model.swap(part.kind)))
    return found


def _bound(mark: Mark, answer: Answer, span: Span, part: str, ease: float) -> Bound:
    ask = mark.clue.ask.partition(":")[0].rstrip("?").strip()
    clue, source = mark.doc["clue"], answer.source or mark.clue.source
    times = () if answer.caps_sale else answer.times
    caps, said = answer.caps_sale, answer.text
    return Bound(part, clue, ask, span, answer.ends, caps, ease, said, source, times)


def _moved(day: date | None, years: float) -> date | None:
    if day is None or not years:
        return day
    try:
        return day + timedelta(days=round(years * YEAR))
    except OverflowError:
        return None


def _meet(bounds: Iterable[Iterable[Span]]) -> Span | None:
    """What all the bounds allow, each of one span or of several apart, from first to last; None: nothing."""
    left = [UNKNOWN]
    for spans in bounds:
        spans = list(spans)
        left = [both for one in left for span in spans if (both := one.meet(span)) is not None]
    return hull(left) if left else None


def _late(bounds: Iterable[Bound], settings: WeighSettings) -> Bound | None:
    """The bound with the greatest earliest, grace included; the harder one on a tie."""
    dated = [
        (day, -_SOFTNESS[b.hardness[0]], i, b)
        for i, b in enumerate(bounds)
        if (day := b.graced(settings).earliest)
    ]
    return max(dated)[3] if dated else None


def _soon(bounds: Iterable[Bound], settings: WeighSettings) -> Bound | None:
    """The bound with the least latest, grace included; the harder one on a tie."""
    dated = [
        (day, _SOFTNESS[b.hardness[1]], i, b)
        for i, b in enumerate(bounds)
        if (day := b.graced(settings).latest)
    ]
    return min(dated)[3] if dated else None


def _within(part: str, bounds: list[Bound], settings: WeighSettings, names: dict[str, str]) -> Clash:
    """The two answers of one part that leave it no time."""
    hard = [replace(b, span=b.certain(), times=tuple(o.certain() for o in b.each())) for b in bounds]
    torn = _meet([one.span for one in bound.each()] for bound in hard) is None
    use = _nearest(hard if torn else bounds, settings)
    late, soon = _late(use, settings), _soon(use, settings)
    if late is None or soon is None:
        raise ValueError("spans clash without two ends")
    doubt = _doubted(late, soon)
    say = f"{names[part]}: {_from(late)}, {_to(soon)}{_look(doubt, late)}"
    return Clash(part, late.clue, soon.part or part, soon.clue, say, doubt.clue if doubt else "")


def _nearest(bounds: list[Bound], settings: WeighSettings) -> list[Bound]:
    """Of bounds of several spans apart the one span each that leaves the least gap between all."""

    def gap(chosen: Iterable[Bound]) -> float:
        spans = [bound.graced(settings) for bound in chosen]
        low = max((span.earliest.toordinal() for span in spans if span.earliest), default=0)
        return low - min((span.latest.toordinal() for span in spans if span.latest), default=low)

    return list(min(product(*(bound.each() for bound in bounds)), key=gap))


def _after_sale(
    own: dict[str, list[Bound]], caps: list[Bound], settings: WeighSettings, names: dict[str, str]
) -> list[Clash]:
    """Earliest of a part after something that caps the sale: a clash whatever the odds."""
    cap = _soon(caps, settings)
    found = []
    for key, bounds in own.items():
        late = _late(bounds, settings)
        if cap is None or late is None or _order(late, cap, settings):
            continue
        doubt = _doubted(late, cap)
        say = f"{names[key]}: {_from(late)}, but {names[cap.part]}: {cap.label}, sold by {_end(cap)}"
        say += _look(doubt, late)
        found.append(Clash(key, late.clue, cap.part, cap.clue, say, doubt.clue if doubt else ""))
    return found


def _order(late: Bound, cap: Bound, settings: WeighSettings) -> bool:
    """Whether the earliest lies at or before the latest, grace included."""
    begin, end = late.graced(settings).earliest, cap.graced(settings).latest
    return begin is None or end is None or begin <= end


def _newer(
    own: dict[str, list[Bound]], disc: str, span: PartSpan, settings: WeighSettings, names: dict[str, str]
) -> list[Clash]:
    """A part newer than its disc by more than old stock explains: likely another copy's."""
    latest = _moved(span.likely.latest, settings.stock_years) if span.likely else None
    soon = _soon(own.get(disc, []), settings)
    found = []
    for key, bounds in own.items():
        late = _late(bounds, settings)
        begin = late.graced(settings).earliest if late else None
        if key == disc or late is None or soon is None or latest is None or begin is None or begin <= latest:
            continue
        doubt = late if late.ease >= soon.ease else soon
        say = f"{names[key]}: {_from(late)}, {names[disc]} by {_end(soon)}: another copy's?"
        found.append(Clash(key, late.clue, disc, soon.clue, say, doubt.clue))
    return found


def _doubted(one: Bound, two: Bound) -> Bound | None:
    """The softer of an earliest end and a latest, else that on the part more easily swapped; None: alike."""
    first = (_SOFTNESS[one.hardness[0]], one.ease)
    second = (_SOFTNESS[two.hardness[1]], two.ease)
    if one.clue == "first" or two.clue == "first":  # the title may be the wrong one, the list seldom is
        return two if one.clue == "first" else one
    if first == second:
        return None
    return one if first > second else two


def _look(doubt: Bound | None, first: Bound) -> str:
    if doubt is None:
        return "; look at both again"
    return "; doubt the first" if doubt is first else "; doubt the second"


def _from(bound: Bound) -> str:
    return f"{bound.label} from {Span(bound.span.earliest, None).edtf().strip('[.]')}"


def _to(bound: Bound) -> str:
    return f"{bound.label} to {_end(bound)}"


def _end(bound: Bound) -> str:
    return Span(None, bound.span.latest).edtf().strip("[.]")


def _copy(own: dict[str, list[Bound]], caps: list[Bound], settings: WeighSettings) -> PartSpan:
    """Earliest: the greatest of the parts'. Latest: the least of what caps the sale, else open."""
    return PartSpan(_joined(own, caps, None), _joined(own, caps, settings))


def _joined(own: dict[str, list[Bound]], caps: list[Bound], settings: WeighSettings | None) -> Span | None:
    def use(bounds: Iterable[Bound]) -> list[Span]:
        return [b.graced(settings) if settings else b.certain() for b in bounds]

    earliest = max((s.earliest for bounds in own.values() for s in use(bounds) if s.earliest), default=None)
    latest = min((s.latest for s in use(caps) if s.latest), default=None)
    return None if earliest and latest and earliest > latest else Span(earliest, latest)
