"""Which clues exclude each other, and which of them to doubt."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from itertools import product
from typing import Any

from benchtui.books.shape import SOFTNESS
from benchtui.evidence.bounds import (
    Bound,
    earliest_end,
    end_words,
    from_words,
    in_order_of_time,
    latest_start,
    meet,
    moved,
    newer_than_waiting,
    older_than_stock,
    to_words,
)
from benchtui.evidence.results import Clash, PartSpan, Weighing
from benchtui.evidence.settings import WeighSettings
from benchtui.model.naming import with_the
from benchtui.model.record import PartDoc, RecordDoc, is_here


def told_once(clashes: Sequence[Clash], names: dict[str, str]) -> tuple[Clash, ...]:
    """One contradiction is one line: clashes that share a clue are told as the first of them.

    The parts of the others are named behind it, and kept in ``also``.
    """
    groups: list[tuple[set[tuple[str, str]], list[Clash]]] = []
    for clash in clashes:
        members, together = _members(clash), [clash]
        for other in [group for group in groups if group[0] & members]:
            groups.remove(other)
            members, together = members | other[0], other[1] + together
        groups.append((members, together))
    return tuple(_as_one(together, names) for _, together in groups)


def said_so(clash: Clash) -> dict[str, Any]:
    """What a record keeps among ``looked`` once the dealer has looked again and the part's clues are so."""
    return {"part": clash.within, "clash": sorted(map(list, clash.ends))}


def is_ruled(record: RecordDoc, clash: Clash) -> bool:
    """Whether the dealer gave a verdict on one of its parts."""
    rulings = record["rulings"]
    return any(rulings.get(part, "unsure") != "unsure" for part in clash.parts)


def unresolved(record: RecordDoc, clashes: Iterable[Clash]) -> list[Clash]:
    """Those that the dealer neither looked at again and found so, nor ruled on a part of."""
    return [
        clash for clash in clashes if not is_ruled(record, clash) and not looked_again(record, said_so(clash))
    ]


def unruled(record: RecordDoc, weighing: Weighing) -> list[PartDoc]:
    """The parts that are probably of another copy by all that was seen, on which no verdict was given. One
    that a rule sets apart (put in, another company's, a later plain inner) is told as such and asks for none.
    """
    found = []
    for part in record["parts"]:
        judged = weighing.agreement.get(part["id"])
        open_still = part["id"] in weighing.elsewhere and part["id"] not in record["rulings"]
        if open_still and is_here(part) and judged is not None and not judged.by_rule:
            found.append(part)
    return found


def looked_again(record: RecordDoc, wanted: Mapping[str, Any]) -> bool:
    """Whether the record keeps that the dealer looked again at just that."""
    return any(all(entry.get(key) == value for key, value in wanted.items()) for entry in record["looked"])


def _members(clash: Clash) -> set[tuple[str, str]]:
    """The two clues of a clash; the title's first issue is the same one whichever part it excludes."""
    return {("", clue) if clue == "first" else (part, clue) for part, clue in clash.ends}


def _as_one(together: list[Clash], names: dict[str, str]) -> Clash:
    lead = together[0]
    ends = tuple(dict.fromkeys(end for clash in together for end in clash.ends))
    lead = lead._replace(ends=ends, hard=any(clash.hard for clash in together))
    parts = [part for clash in together[1:] for part in (clash.part_a, clash.part_b)]
    also = tuple(dict.fromkeys(p for p in parts if p in names and p not in (lead.part_a, lead.part_b)))
    if not also:
        return lead
    more = f"{lead.say}; so with {' and '.join(with_the(names[part]) for part in also)}"
    return lead._replace(say=more, also=also)


def clash_within(part: str, bounds: list[Bound], settings: WeighSettings, names: dict[str, str]) -> Clash:
    """The two answers of one part that leave it no time."""
    torn = meet([one.certain() for one in bound.each()] for bound in bounds) is None
    hard = (b._replace(span=b.certain(), times=tuple(o.certain() for o in b.each())) for b in bounds)
    use = _nearest(list(hard) if torn else bounds, settings)
    late, soon = latest_start(use, settings), earliest_end(use, settings)
    if late is None or soon is None:
        raise ValueError("spans clash without two ends")
    doubt = _doubted(late, soon)
    say = f"{names[part]}: {from_words(late)}, {to_words(soon)}{_look(doubt, late)}"
    return _clash(part, late, soon.part or part, soon, say, doubt)


def _nearest(bounds: list[Bound], settings: WeighSettings) -> list[Bound]:
    """Of bounds of several spans apart the one span each that leaves the least gap between all."""

    def gap(chosen: Iterable[Bound]) -> float:
        spans = [bound.graced(settings) for bound in chosen]
        low = max((span.earliest.toordinal() for span in spans if span.earliest), default=0)
        return low - min((span.latest.toordinal() for span in spans if span.latest), default=low)

    return list(min(product(*(bound.each() for bound in bounds)), key=gap))


def after_sale(
    own: dict[str, list[Bound]], caps: list[Bound], settings: WeighSettings, names: dict[str, str]
) -> list[Clash]:
    """Earliest of a part after something that caps the sale: a clash whatever the odds."""
    cap = earliest_end(caps, settings)
    found = []
    for key, bounds in own.items():
        late = latest_start(bounds, settings)
        if cap is None or late is None or in_order_of_time(late, cap, settings):
            continue
        doubt = _doubted(late, cap)
        sold = f"{names[cap.part]}: {cap.label}, already sold by {end_words(cap)}"
        say = f"{names[key]}: {from_words(late)}, but {sold}{_look(doubt, late)}"
        found.append(_clash(key, late, cap.part, cap, say, doubt))
    return found


def apart_from_disc(
    own: dict[str, list[Bound]],
    disc: str,
    sleeves: Collection[str],
    span: PartSpan,
    settings: WeighSettings,
    names: dict[str, str],
) -> list[Clash]:
    """Parts newer than their disc, and ``sleeves`` older than it, by more than stock explains: likely another
    copy's. ``span``: the disc's.
    """
    latest = moved(span.likely.latest, settings.stock_years) if span.likely else None
    soon = earliest_end(own.get(disc, []), settings)
    found = []
    for key, bounds in own.items():
        late = latest_start(bounds, settings)
        begin = late.graced(settings).earliest if late else None
        if key == disc or late is None or soon is None or latest is None or begin is None:
            continue
        if begin <= latest and not (key in sleeves and newer_than_waiting(late, soon, settings)):
            continue
        doubt = late if late.ease >= soon.ease else soon
        say = f"{names[key]}: {from_words(late)}, {names[disc]} only to {end_words(soon)}: another copy's?"
        found.append(_clash(key, late, disc, soon, say, doubt))
    return found or _older(own, disc, sleeves, settings, names)


def _older(
    own: dict[str, list[Bound]],
    disc: str,
    sleeves: Collection[str],
    settings: WeighSettings,
    names: dict[str, str],
) -> list[Clash]:
    begins = latest_start(own.get(disc, []), settings)
    found = []
    for key in sleeves:
        soon = earliest_end(own.get(key, []), settings)
        if begins is None or soon is None or not older_than_stock(soon, begins, settings):
            continue
        doubt = soon if soon.ease >= begins.ease else begins
        say = f"{names[key]}: {to_words(soon)}, {names[disc]}: {from_words(begins)}: another copy's?"
        found.append(_clash(disc, begins, key, soon, say, doubt))
    return found


def _clash(part_a: str, late: Bound, part_b: str, soon: Bound, say: str, doubt: Bound | None) -> Clash:
    ends = ((part_a, late.clue), (part_b, soon.clue))
    hard = "hard" in (late.hardness[0], soon.hardness[1]) or "first" in (late.clue, soon.clue)
    return Clash(*ends[0], *ends[1], say, doubt.clue if doubt else "", (), ends, hard)


def _doubted(one: Bound, two: Bound) -> Bound | None:
    """The softer of an earliest end and a latest, else that on the part more easily swapped; None: alike."""
    first = (SOFTNESS[one.hardness[0]], one.ease)
    second = (SOFTNESS[two.hardness[1]], two.ease)
    if one.clue == "first" or two.clue == "first":  # the title may be the wrong one, the list seldom is
        return two if one.clue == "first" else one
    if first == second:
        return None
    return one if first > second else two


def _look(doubt: Bound | None, first: Bound) -> str:
    if doubt is None:
        return "; look at both again"
    return "; doubt the first" if doubt is first else "; doubt the second"
