"""When each part and the copy were made, and what excludes what."""

from collections.abc import Collection, Iterable
from typing import NamedTuple

from benchtui.evidence.bounds import TITLES_OWN, Bound, bounds_of, dating_disc, issue_of, meet
from benchtui.evidence.clashes import after_sale, clash_within, newer_than_disc, told_once
from benchtui.evidence.results import Clash, DateLine, PartSpan
from benchtui.evidence.seen import COPY_BY_HAND, Seen
from benchtui.evidence.settings import WeighSettings
from benchtui.model.span import Span


class Spans(NamedTuple):
    """All spans of a record and its clashes."""

    parts: dict[str, PartSpan]
    disc: PartSpan
    copy: PartSpan
    clashes: tuple[Clash, ...]
    dates: tuple[DateLine, ...]


def spans_of(
    seen: Seen,
    first: Span,
    settings: WeighSettings,
    names: dict[str, str],
    elsewhere: Collection[str] = (),
) -> Spans:
    """Spans of every part, of the anchor's disc and of the copy, with the pairs of clues that clash.

    ``elsewhere``: parts of another copy; their own spans are told, but they neither date the copy nor clash.
    """
    by_part = {part.id: bounds_of(part, settings) for part in seen.parts}
    issued = issue_of(first)
    parts: dict[str, PartSpan] = {}
    clashes: list[Clash] = []
    for part in seen.parts:
        bounds = by_part[part.id]
        # An inner may be a plain one from stock; disc and cover are the title's own.
        dated = [*bounds, *issued] if part.kind in TITLES_OWN else bounds
        certain = meet([one.certain() for one in bound.each()] for bound in bounds)
        likely = meet([one.graced(settings) for one in bound.each()] for bound in dated)
        parts[part.id] = PartSpan(certain, likely)
        if (certain is None or likely is None) and part.id not in elsewhere:
            clashes.append(clash_within(part.id, dated, settings, names))
    belonging = {key: bounds for key, bounds in by_part.items() if key not in elsewhere}
    own = {key: [b for b in bounds if not b.caps] for key, bounds in belonging.items()}
    caps = [b for bounds in belonging.values() for b in bounds if b.caps]
    dated_own = {**own, "title": issued} if issued else own
    clashes += after_sale(dated_own, caps, settings, {**names, "title": "title"})
    disc = dating_disc(seen, elsewhere)
    dates = tuple(
        bound.line(names)
        for bounds in by_part.values()
        for bound in bounds
        if not (bound.caps and bound.clue == COPY_BY_HAND)  # told with its beginning
    )
    disc_span = parts[disc.id] if disc else PartSpan()
    clashes += newer_than_disc(own, disc.id, parts[disc.id], settings, names) if disc else []
    return Spans(parts, disc_span, _copy(dated_own, caps, settings), told_once(clashes, names), dates)


def _copy(own: dict[str, list[Bound]], caps: list[Bound], settings: WeighSettings) -> PartSpan:
    """Earliest: the greatest of the parts'. Latest: the least of what caps the sale, else open."""
    return PartSpan(_joined(own, caps, None), _joined(own, caps, settings))


def _joined(own: dict[str, list[Bound]], caps: list[Bound], settings: WeighSettings | None) -> Span | None:
    def use(bounds: Iterable[Bound]) -> list[Span]:
        return [b.graced(settings) if settings else b.certain() for b in bounds]

    earliest = max((s.earliest for bounds in own.values() for s in use(bounds) if s.earliest), default=None)
    latest = min((s.latest for s in use(caps) if s.latest), default=None)
    return None if earliest and latest and earliest > latest else Span(earliest, latest)
