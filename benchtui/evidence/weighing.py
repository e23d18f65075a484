"""One record weighed: spans, likely pressings, agreement, what to look at next, second look."""

from collections.abc import Iterator
from functools import cache, partial

from benchtui.books.shape import NOT_BY_THE_COMPANY
from benchtui.evidence.case import Case, open_case
from benchtui.evidence.compare import apart, proofs, unusual
from benchtui.evidence.dating import copy_date
from benchtui.evidence.fit import fit_of, observed_failures
from benchtui.evidence.learn import STOP, others
from benchtui.evidence.look_again import second_look, telltale
from benchtui.evidence.nextclue import Prospect, Prospects, next_part, of_new, tables_of, worth_a_look
from benchtui.evidence.order import in_order
from benchtui.evidence.reference import Reference
from benchtui.evidence.results import Compare, Fit, HeldBack, Likely, NextClue, SecondLook, Weighing
from benchtui.evidence.settings import DEFAULTS, Counts, WeighSettings
from benchtui.evidence.settling import dated, fits_none, held_back, holds_back, of_its_pressing, own_of
from benchtui.evidence.spans import Away, spans_of
from benchtui.evidence.stop import stop_of
from benchtui.evidence.timely import Timely, timely_of
from benchtui.evidence.why import why
from benchtui.evidence.witness import witness
from benchtui.model.record import RecordDoc


def weigh(
    record: RecordDoc,
    library: Reference,
    *,
    counts: Counts | None = None,
    settings: WeighSettings = DEFAULTS,
    in_hand: str | None = None,
    ask: bool = True,
) -> Weighing:
    """All that follows from the answers seen on a record. Pure, but for look-ups and kept tables.

    ``in_hand``: the part whose clues cost no reaching. ``ask`` False leaves out what to look at next, which
    is most of the work: for lists over many records. Odds, spans, agreement and ``settled`` are the same,
    a second look names its cost and no clue.
    """
    taught = others(counts, record, library.clue) if counts and record["pressing"]["learn"] else counts
    stop = stop_of((taught or {}).get(STOP, {}), settings.settle)
    if stop.at != settings.settle:
        settings = settings._replace(settle=stop.at)
    case = open_case(record, library, taught or {}, settings)
    odds = case.post.odds
    order = sorted(range(len(odds)), key=lambda h: -odds[h])
    pressings = tuple(_likely(case, h) for h in order)
    lead, leader = order[0], pressings[0]
    cost = case.costs.calling(case.post.p, lead) if case.currency else None
    ruled = {part for part, ruling in record["rulings"].items() if ruling == "own"}
    swapped = {part for part, ruling in record["rulings"].items() if ruling == "swapped"}
    away = Away(case.elsewhere, case.doubted, swapped)
    spans = spans_of(case.seen, case.first, settings, case.names, away, ruled)
    timely = timely_of(case, spans)
    # what was looked at silences a second look by its clue
    open_clues = Prospects(case, timely, cost, in_hand, ask or bool(case.record["looked"]))
    imitation = telltale(case, lead)
    second = second_look(case, lead, cost, open_clues, imitation)
    # Looked again, and it is as the leader says: then the cost no longer keeps it open.
    cheap = cost is None or cost < settings.look_again or second is None
    # An imitation's clues belong to two times by nature; of parts that clash the dealer's verdict decides.
    clashes = [one for one in own_of(case, spans.clashes) if one.within or ruled.isdisjoint(one.parts)]
    torn = leader.kind not in NOT_BY_THE_COMPANY and holds_back(case, clashes, lead)
    fit = _fit(case, leader, lead)
    sure = leader.id is not None and leader.p >= settings.settle and not torn
    held = held_back(case, leader, fit)
    settled = sure and cheap and imitation is None and not held
    anew = _may_be_new(case, timely, open_clues, in_hand) if settled else {}
    if anew:
        settled, held = False, "new"
    copy = of_its_pressing(case, dated(case, spans, lead), spans.disc, lead if settled else None)
    rows_of = (lambda part: anew.get(part, [])) if anew and ask else open_clues.of
    looking = settings._replace(least_bits=settings.unknown_bits) if held == "new" else settings
    decided = settled or imitation is not None or held in ("cuts", "new")
    ordered = cache(lambda part: in_order(case.post, part, rows_of(part), held == "new"))
    return Weighing(
        parts=spans.parts,
        disc_span=spans.disc,
        copy_span=copy,
        dates=spans.dates,
        clashes=spans.clashes,
        pressings=pressings,
        settled=settled,
        nothing_left=ask and not decided and not open_clues.worth_a_look(),
        agreement=case.agreement,
        elsewhere=case.elsewhere,
        second_look=second,
        fit=fit,
        held=held,
        torn=torn,
        stop=stop,
        suspect=_suspect(case, pressings),
        lost=tuple(case.seen.lost),
        find_fit=lambda: _fit_of(case, lead),
        explain=lambda: why(case.post, case.names, case.lead()),
        order=lambda part: list(ordered(part)),
        timely=(lambda part, clue: True) if held == "new" else timely,
        ask_next=cache(
            lambda part: tuple(_shown(case, row, open_clues.now, held, looking) for row in rows_of(part))
        ),
        find_next_part=lambda: _next_part(
            case, anew if anew and ask else open_clues.all(), second, in_hand, looking
        ),
        witness=partial(witness, case),
        dating=lambda: (
            None if fits_none(record["pressing"], leader, held) else copy_date(case, copy, spans.torn)
        ),
        compare=Compare(
            cache(partial(apart, case)), cache(partial(proofs, case)), cache(partial(unusual, case))
        ),
    )


def prepare(
    record: RecordDoc, library: Reference, *, counts: Counts | None = None, settings: WeighSettings = DEFAULTS
) -> Iterator[None]:
    """What weighing such a record looks up, made ready in steps of about a millisecond. No result changes."""
    taught = others(counts, record, library.clue) if counts and record["pressing"]["learn"] else counts
    yield from tables_of(open_case(record, library, taught or {}, settings))


def _fit(case: Case, leader: Likely, lead: int) -> Fit | None:
    """Whether the copy looks like a leader that is likely enough to settle; of others nobody asks."""
    if leader.id is None or leader.p < case.settings.settle:
        return None
    return _fit_of(case, lead)


def _fit_of(case: Case, lead: int) -> Fit | None:
    titles = [case.title, *case.library.peers(case.title)] if case.title else []
    swapped = {key: one.p_swapped for key, one in case.agreement.items()}
    return fit_of(case.post, lead, swapped, observed_failures(titles, case.counts))


def _may_be_new(
    case: Case, timely: Timely, open_clues: Prospects, in_hand: str | None
) -> dict[str, list[Prospect]]:
    """The clues by what they tell of a pressing that nobody has described, where that is still likely enough;
    none where none of them tells.
    """
    if case.post.none <= case.settings.unknown:
        return {}
    rows = open_clues.all() or Prospects(case, timely, None, in_hand, ask=True).all()
    found = {part: of_new(case.post, its) for part, its in rows.items()}
    least = case.settings.unknown_bits
    return found if any(row.bits >= least for its in found.values() for row in its) else {}


def _likely(case: Case, h: int) -> Likely:
    pressing = case.pressing(h)
    if pressing is None:
        return Likely(None, "none of these", case.post.none, None, "")
    price = case.costs.told[h]
    money = case.money(price) if price is not None and case.currency else None
    named = pressing.id, pressing.name, case.post.p[h], money, pressing.kind, pressing.catalogue
    return Likely(*named, pressing.was, case.book_price(pressing), case.asked(pressing))


def _shown(case: Case, row: Prospect, now: float, held: HeldBack, looking: WeighSettings) -> NextClue:
    wanted = held == "cuts" and row.clue.form == "cut"
    worth = case.money(row.saves) if now > 0 else None
    telling = wanted or worth_a_look([row], looking)
    return NextClue(row.clue, row.place, row.bits, row.seconds, worth, telling)


def _next_part(
    case: Case,
    rows: dict[str, list[Prospect]],
    second: SecondLook | None,
    in_hand: str | None,
    looking: WeighSettings,
) -> str | None:
    """Once the leader is sure and money is at stake the second look's part, else the best per second."""
    sure = max(case.post.odds) >= case.settings.settle
    if second is not None and second.part and second.part != in_hand and sure:
        return second.part
    return next_part(case.post, rows, looking, in_hand)


def _suspect(case: Case, pressings: tuple[Likely, ...]) -> str:
    """Why the copy may not be by the company, "" where nothing says so."""
    for mark in case.seen.tells:
        tells = next((answer.tells for answer in mark.answers if answer.tells in NOT_BY_THE_COMPANY), "")
        if tells:
            return f"{tells}: {mark.clue.ask} {mark.answers[0].text}"
    p = sum(one.p for one in pressings if one.kind in NOT_BY_THE_COMPANY)
    return f"probably not by the company ({p:.0%})" if p >= 0.5 else ""
