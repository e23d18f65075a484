"""One record weighed: spans, likely pressings, agreement, what to look at next, second look."""

from dataclasses import dataclass

from benchtui.books.shape import BookTitle, Clue, Pressing
from benchtui.evidence.candidates import candidates
from benchtui.evidence.names import part_names
from benchtui.evidence.nextclue import Prospect, next_part, prospects, worth_a_look
from benchtui.evidence.order import in_order
from benchtui.evidence.posterior import Posterior, agreement, posterior
from benchtui.evidence.reference import Reference
from benchtui.evidence.results import Likely, NextClue, SecondLook, Weighing
from benchtui.evidence.second import Costs
from benchtui.evidence.seen import Seen, read
from benchtui.evidence.settings import DEFAULTS, Counts, WeighSettings
from benchtui.evidence.spans import spans_of
from benchtui.evidence.why import why
from benchtui.model.money import Money, minor_units
from benchtui.model.record import RecordDoc
from benchtui.model.span import Span, parse_edtf


@dataclass(slots=True)
class _Case:
    """One weighing under way: what the steps below share."""

    record: RecordDoc
    library: Reference
    settings: WeighSettings
    title: BookTitle | None
    seen: Seen
    post: Posterior
    names: dict[str, str]
    costs: Costs
    currency: str

    def money(self, minor: float) -> Money:
        """An expectation, rounded to the minor unit at the border."""
        return Money(round(minor), self.currency)


def weigh(
    record: RecordDoc,
    library: Reference,
    *,
    counts: Counts | None = None,
    settings: WeighSettings = DEFAULTS,
    in_hand: str | None = None,
) -> Weighing:
    """All that follows from the answers seen on a record. Pure, but for look-ups and kept tables."""
    case = _open_case(record, library, counts or {}, settings)
    pressings, order = _likely(case)
    lead = order[0]
    cost = case.costs.calling(case.post.p, lead)
    at_stake = case.costs.least(case.post.p) if cost and case.costs.priced else 0.0
    # A look cannot save more than the whole cost: with less than a minor unit at stake money is left out.
    now = cost if cost is not None and cost >= 1.0 and at_stake > 0 else 0.0
    rows = prospects(record, case.post, library, case.costs, now, settings, in_hand)
    unsure = _imitation(case, lead)
    second = _second_look(case, lead, cost, rows, unsure)
    flat = [row for found in rows.values() for row in found]
    leader = pressings[0]
    cheap = cost is None or cost < settings.look_again
    settled = leader.id is not None and leader.p >= settings.settle and cheap and unsure is None
    spans = spans_of(record, case.seen, _first(record, case.title), settings, case.names)
    return Weighing(
        parts=spans.parts,
        disc_span=spans.disc,
        copy_span=spans.copy,
        clashes=spans.clashes,
        pressings=pressings,
        settled=settled,
        nothing_left=not settled and not worth_a_look(flat, settings) and unsure is None,
        agreement=agreement(record, case.post, case.names),
        next={key: tuple(_shown(case, row, now) for row in found) for key, found in rows.items()},
        next_part=_next_part(case, rows, second, in_hand),
        second_look=second,
        cost=None if cost is None or not case.currency else case.money(cost),
        suspect=_suspect(case, pressings),
        lost=tuple(case.seen.lost),
        explain=lambda: why(case.post, case.names),
        order=lambda part: in_order(case.post, part, rows.get(part, [])),
    )


def _open_case(record: RecordDoc, library: Reference, counts: Counts, settings: WeighSettings) -> _Case:
    ref = record["title"]
    title = library.title(ref["id"]) if ref else None
    model = candidates(title, _first(record, title), counts, settings.model)
    seen = read(record, title, library)
    post = posterior(record, seen, model, library)
    currency = settings.currency or (library.currency(title.book) if title else "") or ""
    try:
        minor_units(currency)
    except ValueError:
        currency = ""  # a book without prices, or one the check has already refused
    return _Case(
        record, library, settings, title, seen, post, part_names(record), Costs(model, settings), currency
    )


def _first(record: RecordDoc, title: BookTitle | None) -> Span:
    """When the title was first issued: the book's date, else the list's, else unknown."""
    if title is not None and title.first.known:
        return title.first
    ref = record["title"]
    try:
        return parse_edtf(ref.get("first", "")) if ref else Span()
    except ValueError:
        return Span()


def _likely(case: _Case) -> tuple[tuple[Likely, ...], list[int]]:
    p = case.post.p
    order = sorted(range(len(p)), key=lambda h: -p[h])
    return tuple(_one(case, h) for h in order), order


def _one(case: _Case, h: int) -> Likely:
    if h >= len(case.post.model.pressings):
        return Likely(None, "none of these", case.post.p[h], None, "")
    pressing = case.post.model.pressings[h]
    price = case.costs.price(h)
    money = case.money(price) if price is not None and case.currency else None
    return Likely(pressing.id, pressing.name, case.post.p[h], money, pressing.kind)


def _shown(case: _Case, row: Prospect, now: float) -> NextClue:
    worth = case.money(row.saves) if now > 0 and case.currency else None
    return NextClue(row.clue, row.place, row.bits, row.seconds, worth)


def _leader(case: _Case, lead: int) -> Pressing | None:
    known = case.post.model.pressings
    return known[lead] if lead < len(known) else None


def _imitation(case: _Case, lead: int) -> tuple[str, Clue, str] | None:
    """The tell-tale clue still to be looked at before a dear leader settles: part, clue, place; else None."""
    pressing, price = _leader(case, lead), case.costs.price(lead)
    if pressing is None or price is None or price < case.settings.dear_from:
        return None
    fakes = [p for p in case.post.model.pressings if p.imitates == pressing.id]
    telling = {c for fake in fakes for c in fake.expect if fake.expect[c] != pressing.expect.get(c)}
    if not telling or _silenced(case, pressing.id) or _looked_for(case, telling):
        return None
    best: tuple[float, str, Clue, str] | None = None
    for key, part in case.post.parts.items():
        for clue in case.library.clues_for(case.record, part.seen.doc):
            if clue.id in telling and (best is None or clue.seconds < best[0]):
                place = f"{clue.place} {part.seen.sides[0]}" if clue.per_side else clue.place
                best = (clue.seconds, key, clue, place)
    return None if best is None else best[1:]


def _looked_for(case: _Case, telling: set[str]) -> bool:
    return any(mark.doc["clue"] in telling for part in case.seen.parts for mark in part.marks)


def _silenced(case: _Case, pressing: str) -> bool:
    """Whether "looked, it is not" was recorded for this leader."""
    return any(entry.get("leader") == pressing for entry in case.record["looked"])


def _second_look(
    case: _Case, lead: int, cost: float | None, rows: dict[str, list[Prospect]],
    unsure: tuple[str, Clue, str] | None,
) -> SecondLook | None:  # fmt: skip
    """Raised when the cost passes the threshold, or a known imitation of a dear leader was not looked for."""
    pressing = _leader(case, lead)
    if cost is None or pressing is None or not case.currency or _silenced(case, pressing.id):
        return None
    money = case.money(cost)
    if unsure is not None:
        part, clue, place = unsure
        ask = f"{case.names[part]}: {clue.ask}"
        return SecondLook(money, clue, place, part, f"imitations known; before it settles look at {ask}")
    if cost <= case.settings.look_again:
        return None
    best = max((r for found in rows.values() for r in found), key=lambda r: r.saves / r.seconds, default=None)
    stake = f"{money.show()} at stake"
    if case.post.p[-1] >= 0.05:
        stake += ", unknown pressings aside"
    if best is None or best.saves <= 0:
        return SecondLook(money, None, "", "", stake)
    return SecondLook(
        money, best.clue, best.place, best.part, f"{stake}; {case.names[best.part]}: {best.clue.ask}"
    )


def _next_part(
    case: _Case, rows: dict[str, list[Prospect]], second: SecondLook | None, in_hand: str | None
) -> str | None:
    """Where money is at stake the second look's part, else the part that tells most per second."""
    if second is not None and second.part and second.part != in_hand:
        return second.part
    return next_part(case.post, rows, case.settings, in_hand)


def _suspect(case: _Case, pressings: tuple[Likely, ...]) -> str:
    """Why the copy may be unofficial, "" where nothing says so."""
    for mark in case.seen.tells:
        if any(answer.tells == "unofficial" for answer in mark.answers):
            return f"unofficial: {mark.clue.ask} {mark.answers[0].text}"
    p = sum(one.p for one in pressings if one.kind == "unofficial")
    return f"probably unofficial ({p:.0%})" if p >= 0.5 else ""
