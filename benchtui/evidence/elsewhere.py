"""Parts of another copy: they neither date the copy nor clash."""

from collections.abc import Collection, Iterable

from benchtui.evidence.bounds import (
    SLEEVES,
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
    moved,
    older_than_stock,
    to_words,
)
from benchtui.evidence.results import Agreement, Standing
from benchtui.evidence.seen import PartSeen, Seen
from benchtui.evidence.settings import LIKELY_ELSEWHERE, WeighSettings
from benchtui.evidence.sound import part_sound
from benchtui.model.naming import with_the
from benchtui.model.record import RecordDoc
from benchtui.model.span import Span

A_YEAR = 1.0
"""A cover so much older than its disc is nothing to speak of: it waited for it."""
IN_DOUBT = 0.5
"""Odds that a stereo cover is not its mono disc's: some were sold so, with a sticker; others are married."""


def elsewhere(
    record: RecordDoc,
    seen: Seen,
    first: Span,
    settings: WeighSettings,
    agreement: dict[str, Agreement],
    names: dict[str, str],
) -> tuple[frozenset[str], frozenset[str], dict[str, Agreement]]:
    """The parts of another copy, those of them that only their dates make so, and the agreement with what
    their dates say of inners and extras.

    Of another copy is what the dealer ruled swapped, what was put in, another company's inner, and what is
    likely (.75) so. Where the dealer ruled a part its own, no date says otherwise.
    """
    likely = {key for key, found in agreement.items() if found.p_swapped >= LIKELY_ELSEWHERE}
    rulings, judged = record["rulings"], dict(agreement)
    doubted = set()
    for part in seen.parts:
        found = agreement[part.id]
        if part.id == seen.anchor or rulings.get(part.id) in ("own", "swapped"):
            continue
        why = against(part, seen, first, settings, names, likely)
        heard = _sounds_apart(part, seen, names)
        if (why or heard) and part.id in likely:
            judged[part.id] = found._replace(say=f"{found.say}: {why or heard}")
        elif heard:
            say = f"{names[part.id]}: {heard}; in doubt, another copy's?"
            judged[part.id] = found._replace(p_swapped=max(found.p_swapped, IN_DOUBT), say=say, by_rule=True)
        elif why and part.kind not in TITLES_OWN:
            doubted.add(part.id)
            say = f"{names[part.id]}: {why}; in doubt, another copy's?"
            judged[part.id] = found._replace(p_swapped=LIKELY_ELSEWHERE, say=say, by_rule=True)
        elif not why and (apart := _of_old_stock(part, seen, first, settings, names, likely)):
            kept = part.kind == "inner" or found.stands != "consistent"  # old stock is usual in an inner
            stands: Standing = found.stands if kept else "open"
            own = f"{names[part.id]}: "
            more = apart.removeprefix(own) if found.say.startswith(own) else apart  # its name is said once
            judged[part.id] = found._replace(say=f"{found.say}; {more}", stands=stands, apart=apart)
    return frozenset(likely | doubted), frozenset(doubted), judged


def _sounds_apart(part: PartSeen, seen: Seen, names: dict[str, str]) -> str:
    """That a part says stereo where the anchor says mono, or the other way round; "" where it does not."""
    anchor = next((one for one in seen.parts if one.id == seen.anchor), None)
    mine, its = part_sound(part), part_sound(anchor) if anchor is not None else ""
    if anchor is None or not mine or not its or mine == its:
        return ""
    return f"it says {mine}, {with_the(names[anchor.id])} {its}"


def against(
    part: PartSeen,
    seen: Seen,
    first: Span,
    settings: WeighSettings,
    names: dict[str, str],
    likely: Collection[str],
) -> str:
    """Why a part's time cannot meet the copy's, "" where it can.

    Measured against the disc that dates the copy and the title's first issue; old stock may be some years
    older than the record (``stock_years``), and a part some years newer than its disc's last year. The odds
    cannot find these: a part of another *title* fits no pressing of this one better than another.
    """
    disc = dating_disc(seen, likely)
    of_disc = _agreed(disc, settings) if disc and disc is not part else []
    begins, ends = latest_start([*of_disc, *issue_of(first)], settings), earliest_end(of_disc, settings)
    own = [b for b in bounds_of(part, settings) if not b.caps]
    late, soon = latest_start(own, settings), earliest_end(own, settings)
    if begins and soon and older_than_stock(soon, begins, settings):
        whose = f"{names[begins.part]}: " if begins.part else ""
        return f"{to_words(soon)}, but {whose}{from_words(begins)}"
    if late and ends and not in_order_of_time(late, ends, settings, settings.stock_years):
        return f"{from_words(late)}, but {names[ends.part]}: {ends.label} only to {end_words(ends)}"
    return ""


def _of_old_stock(
    part: PartSeen,
    seen: Seen,
    first: Span,
    settings: WeighSettings,
    names: dict[str, str],
    likely: Collection[str],
) -> str:
    """That a cover ended more than a year before its disc began where the books say so firmly, "" where not
    so: by so few years that old stock may be why, which no odds say. What the title's first issue excludes is
    told as a clash.
    """
    disc = dating_disc(seen, likely)
    if part.kind == "inner" and disc is not None:
        return _of_old_paper(part, disc, first, settings, names)
    if part.kind not in SLEEVES or disc is None or disc is part:
        return ""
    begins = latest_start(_firm(_agreed(disc, settings), 0), settings)
    soon = earliest_end(_firm((b for b in bounds_of(part, settings) if not b.caps), 1), settings)
    if begins is None or soon is None or not _is_older(begins, soon, settings):
        return ""
    if any(not in_order_of_time(issued, soon, settings) for issued in issue_of(first)):
        return ""
    own = names[part.id]
    return f"{own}: {to_words(soon)}, {names[disc.id]}: {from_words(begins)}: old stock, or another copy's?"


def _of_old_paper(
    inner: PartSeen, disc: PartSeen, first: Span, settings: WeighSettings, names: dict[str, str]
) -> str:
    """That an inner was printed only until before its disc or its title began: it lay in stock."""
    begins = latest_start([*_agreed(disc, settings), *issue_of(first)], settings)
    soon = earliest_end((b for b in bounds_of(inner, settings) if not b.caps), settings)
    start, end = begins and begins.span.earliest, soon and soon.span.latest
    if begins is None or soon is None or not start or not end or end >= start:
        return ""
    whose = f"{names[begins.part]}: " if begins.part else ""
    return f"{names[inner.id]}: {to_words(soon)}, {whose}{from_words(begins)}: old stock?"


def _is_older(begins: Bound, soon: Bound, settings: WeighSettings) -> bool:
    start, end = begins.span.earliest, moved(soon.span.latest, A_YEAR)
    return bool(start and end and end < start) and not in_order_of_time(begins, soon, settings)


def _firm(bounds: Iterable[Bound], end: int) -> list[Bound]:
    """Those whose earliest end (0) or latest (1) is firm or certain."""
    return [one for one in bounds if one.hardness[end] in ("firm", "hard")]


def _agreed(disc: PartSeen, settings: WeighSettings) -> list[Bound]:
    """The bounds of a disc, none of them where they contradict each other."""
    bounds = [b for b in bounds_of(disc, settings) if not b.caps]
    return bounds if meet([one.graced(settings) for one in b.each()] for b in bounds) is not None else []
