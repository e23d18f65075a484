"""Parts of another copy: they neither date the copy nor clash (evidence.md: *Agreement*)."""

from collections.abc import Collection
from dataclasses import replace

from benchtui.evidence.bounds import (
    TITLES_OWN,
    Bound,
    bounds_of,
    dating_disc,
    earliest_end,
    end_words,
    from_words,
    in_order_of_time,
    issue_of,
    latest_start,
    meet,
    to_words,
)
from benchtui.evidence.results import Agreement
from benchtui.evidence.seen import PartSeen, Seen
from benchtui.evidence.settings import LIKELY_ELSEWHERE, WeighSettings
from benchtui.model.record import RecordDoc
from benchtui.model.span import Span


def elsewhere(
    record: RecordDoc,
    seen: Seen,
    first: Span,
    settings: WeighSettings,
    agreement: dict[str, Agreement],
    names: dict[str, str],
) -> tuple[frozenset[str], dict[str, Agreement]]:
    """The parts of another copy, and the agreement with what their dates alone say of inners and extras.

    Of another copy is what the dealer ruled swapped, what was put in, another company's inner, and what is
    likely (.75) so. Where the dealer ruled a part its own, no date says otherwise.
    """
    likely = {key for key, found in agreement.items() if found.p_swapped >= LIKELY_ELSEWHERE}
    ruled_own = {key for key, ruling in record["rulings"].items() if ruling == "own"}
    doubted = strangers(seen, first, settings, names, likely | ruled_own)
    told = dict(agreement)
    for key, why in doubted.items():
        p = max(agreement[key].p_swapped, LIKELY_ELSEWHERE)
        told[key] = replace(agreement[key], p_swapped=p, say=f"{names[key]}: {why}", by_rule=True)
    return frozenset(likely | doubted.keys()), told


def strangers(
    seen: Seen,
    first: Span,
    settings: WeighSettings,
    names: dict[str, str],
    elsewhere: Collection[str],
) -> dict[str, str]:
    """Inners, wraps and extras whose time cannot meet the copy's, with what says so: part id -> words.

    Measured against the disc that dates the copy and the title's first issue; old stock may be some years
    older than the record (``stock_years``), and a part some years newer than its disc's last year. The odds
    cannot find these: a part of another *title* fits no pressing of this one better than another.
    """
    disc = dating_disc(seen, elsewhere)
    of_disc = _agreed(disc, settings) if disc else []
    begins, ends = latest_start([*of_disc, *issue_of(first)], settings), earliest_end(of_disc, settings)
    found = {}
    for part in seen.parts:
        if part.kind in TITLES_OWN or part.id in elsewhere:
            continue
        own = [b for b in bounds_of(part, settings) if not b.caps]
        late, soon = latest_start(own, settings), earliest_end(own, settings)
        if begins and soon and not in_order_of_time(begins, soon, settings, settings.stock_years):
            whose = f"{names[begins.part]}: " if begins.part else ""
            found[part.id] = f"{to_words(soon)}, but {whose}{from_words(begins)}; in doubt, another copy's?"
        elif late and ends and not in_order_of_time(late, ends, settings, settings.stock_years):
            by = f"{names[ends.part]}: {ends.label} by {end_words(ends)}"
            found[part.id] = f"{from_words(late)}, but {by}; in doubt, another copy's?"
    return found


def _agreed(disc: PartSeen, settings: WeighSettings) -> list[Bound]:
    """The bounds of a disc, none of them where they contradict each other."""
    bounds = [b for b in bounds_of(disc, settings) if not b.caps]
    return bounds if meet([one.graced(settings) for one in b.each()] for b in bounds) is not None else []
