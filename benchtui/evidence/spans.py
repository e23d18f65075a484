"""When each part and the copy were made, and what excludes what."""

from collections.abc import Collection, Iterable, Set
from typing import NamedTuple

from benchtui.evidence.bounds import SLEEVES, TITLES_OWN, Bound, bounds_of, dating_disc, issue_of, meet
from benchtui.evidence.clashes import after_sale, apart_from_disc, clash_within, told_once
from benchtui.evidence.results import Clash, DateLine, PartSpan
from benchtui.evidence.seen import BY_HAND, COPY_BY_HAND, Seen
from benchtui.evidence.settings import WeighSettings
from benchtui.model.span import Span

SLIVER = 31
"""Days: a shorter time in which only the grace of two dates meets is none."""


class Spans(NamedTuple):
    """All spans of a record and its clashes. ``torn``: parts whose own clues contradict each other.

    A firm date of the dealer's own is told as it was given; its grace counts for clashes and odds alone.
    """

    parts: dict[str, PartSpan]
    disc: PartSpan
    copy: PartSpan
    clashes: tuple[Clash, ...]
    dates: tuple[DateLine, ...]
    torn: frozenset[str] = frozenset()


class Away(NamedTuple):
    """Parts of another copy: those ``doubted`` are so by their dates alone, those ``swapped`` by the dealer's
    word, after which nothing more is asked of them.
    """

    parts: Set[str] = frozenset()
    doubted: Set[str] = frozenset()
    swapped: Set[str] = frozenset()


def spans_of(
    seen: Seen,
    first: Span,
    settings: WeighSettings,
    names: dict[str, str],
    away: Away,
    ruled: Set[str] = frozenset(),
) -> Spans:
    """Spans of every part, of the anchor's disc and of the copy, with the pairs of clues that clash.

    ``away``: their own spans are told, and what contradicts itself in them, but they do not date the copy.
    ``ruled``: parts that the dealer gave a verdict on: a clash with one of them leaves the copy its date.
    """
    elsewhere = away.parts
    by_part = {part.id: bounds_of(part, settings) for part in seen.parts}
    issued = issue_of(first)
    parts: dict[str, PartSpan] = {}
    clashes: list[Clash] = []
    for part in seen.parts:
        bounds = by_part[part.id]
        # An inner may be a plain one from stock; disc and cover are the title's own.
        dated = [*bounds, *issued] if part.kind in TITLES_OWN else bounds
        certain = meet([one.certain() for one in bound.each()] for bound in bounds)
        likely = _by_more_than_grace(
            meet([one.graced(settings) for one in bound.each()] for bound in dated), dated
        )
        parts[part.id] = PartSpan(certain, likely)
        if (certain is None or likely is None) and part.id not in elsewhere:
            clashes.append(clash_within(part.id, dated, settings, names))
    foreign = _foreign(seen, by_part, away, settings, names)
    belonging = {key: bounds for key, bounds in by_part.items() if key not in elsewhere}
    own = {key: [b for b in bounds if not b.caps] for key, bounds in belonging.items()}
    caps = [b for bounds in belonging.values() for b in bounds if b.caps]
    dated_own = {**own, "title": issued} if issued else own
    torn = frozenset(clash.part_a for clash in clashes)
    between = after_sale(dated_own, caps, settings, {**names, "title": "title"})
    disc = dating_disc(seen, elsewhere)
    dates = tuple(
        bound.line(names)
        for bounds in by_part.values()
        for bound in bounds
        if not (bound.caps and bound.clue == COPY_BY_HAND)  # told with its beginning
    )
    disc_span = parts[disc.id] if disc else PartSpan()
    sleeves = [part.id for part in seen.parts if part.kind in SLEEVES and part.id in own]
    between += apart_from_disc(own, disc.id, sleeves, parts[disc.id], settings, names) if disc else []
    copy = _copy([*belonging.values(), issued], settings, torn)
    if any(
        ruled.isdisjoint(clash.parts) for clash in between
    ):  # of two parts that exclude each other nobody can tell which is the copy's
        copy = PartSpan(None, None)
    if disc is not None:
        inners = [p.id for p in seen.parts if p.kind == "inner" and p.id in away.doubted - away.swapped]
        its = {key: by_part[key] for key in (disc.id, *inners) if key not in {one.part_a for one in foreign}}
        foreign += apart_from_disc(its, disc.id, set(its) - {disc.id}, disc_span, settings, names)
    torn |= {one.within for one in foreign if one.within}
    told = (*told_once([*clashes, *between], names), *told_once(foreign, names))
    told_parts = {key: span._replace(likely=_given(span.likely, by_part[key])) for key, span in parts.items()}
    copy = copy._replace(likely=_given_copy(copy.likely, belonging, torn))
    return Spans(told_parts, told_parts[disc.id] if disc else disc_span, copy, told, dates, torn)


def _by_more_than_grace(likely: Span | None, bounds: Iterable[Bound]) -> Span | None:
    """The likely span; None where the dates themselves exclude each other and their grace leaves some days: a
    label of 1961 and a title of 1963 would be of one day in July 1962.
    """
    if likely is None or likely.earliest is None or likely.latest is None:
        return likely
    if (likely.latest - likely.earliest).days >= SLIVER:
        return likely
    return None if meet([one.span for one in bound.each()] for bound in bounds) is None else likely


def _given(span: Span | None, bounds: Iterable[Bound]) -> Span | None:
    """The span within the dealer's own firm dates without their grace, where the two can meet."""
    for bound in bounds:
        if bound.clue in (BY_HAND, COPY_BY_HAND) and "soft" not in bound.hardness and span is not None:
            span = span.meet(bound.span) or span
    return span


def _given_copy(span: Span | None, parts: dict[str, list[Bound]], torn: Collection[str]) -> Span | None:
    """The same of the copy: it begins no sooner than its part, and ends with what was said of the whole."""
    for key, bounds in parts.items():
        begins = _given(Span(span.earliest, None) if span else None, [b for b in bounds if not b.caps])
        ends = _given(span, [b for b in bounds if b.caps])
        if key in torn or span is None or begins is None or ends is None:
            continue
        span = span.meet(Span(begins.earliest, ends.latest)) or span
    return span


def _foreign(
    seen: Seen,
    by_part: dict[str, list[Bound]],
    away: Away,
    settings: WeighSettings,
    names: dict[str, str],
) -> list[Clash]:
    """Parts taken for another copy's, by no word of the dealer's, whose own clues contradict each other: they
    may be taken so only because one of those was misread.
    """
    found = []
    for part in seen.parts:
        bounds = by_part[part.id]
        if part.id not in away.parts - away.swapped:
            continue
        if meet([one.graced(settings) for one in bound.each()] for bound in bounds) is None:
            found.append(clash_within(part.id, bounds, settings, names))
    return found


def _copy(parts: Iterable[list[Bound]], settings: WeighSettings, torn: Collection[str]) -> PartSpan:
    """Earliest: the greatest of the parts'. Latest: the least of what caps the sale, else open.

    Of a part whose clues contradict each other only what is certain dates the copy.
    """
    bounds = [bound for its in parts for bound in its]
    sure = [(bound, bound.certain()) for bound in bounds]
    likely = [(b, b.certain() if b.part in torn else b.graced(settings)) for b in bounds]
    return PartSpan(_joined(sure), _joined(likely))


def _joined(bounds: list[tuple[Bound, Span]]) -> Span | None:
    earliest = max((s.earliest for b, s in bounds if s.earliest and not b.caps), default=None)
    latest = min((s.latest for b, s in bounds if s.latest and b.caps), default=None)
    return None if earliest and latest and earliest > latest else Span(earliest, latest)
