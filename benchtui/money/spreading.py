"""Cost shares: a parcel's landed cost over its records, to the penny, always adding up.

Two figures a record, never mixed: ``cost_share`` (landed) and ``margin_purchase_price`` (paid to the
seller only). Consigned records never enter the shop's cost: their part of the carriage stands apart.
What went with a part to another record (``moved_cost``) moves the first figure, never the second.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import Literal, NamedTuple

from benchtui.base.errors import BenchError
from benchtui.model.money import Money
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money.apportion import largest_remainder
from benchtui.money.charges import Landed, own_terms
from benchtui.money.late import LateBill, late_bills
from benchtui.money.moved_cost import moved_within, price_moved
from benchtui.money.rounding import money_of

How = Literal["worked", "even", "hand"]
_NOT_THERE = ("withdrawn", "empty")
HOWS: tuple[How, ...] = ("worked", "even", "hand")


class Share(NamedTuple):
    """A bought record has a cost share and, in it, a purchase price; a consigned one ``inbound``.

    ``moved`` is what of the cost share came with parts from other records (below 0: went with them), ``late``
    what of it came with bills after the closing (below 0: credits).
    """

    record: str
    terms: str
    weight: int
    guessed: bool
    cost_share: Money
    margin_purchase_price: Money
    inbound: Money
    moved: Money
    late: Money


class Spread(NamedTuple):
    """All shares: cost shares + inbound + ``unspread`` == the landed total + ``moved`` + ``late``, exactly.

    ``late`` is what of the late bills the records bear; what was expensed is in no share.

    ``unspread`` is what no record carries: everything where there is no record, and what changed where the
    shares were frozen at the parcel's closing and a charge was corrected afterwards (then it may be below 0).
    """

    shares: tuple[Share, ...]
    unspread: Money
    how: str
    frozen: bool
    moved: Money
    late: Money

    def by_record(self) -> dict[str, Share]:
        """Record id -> share."""
        return {share.record: share for share in self.shares}


def spread_over(
    landed: Landed,
    records: Sequence[RecordDoc],
    how: str = "worked",
    *,
    terms: str = "bought",
    weights: Mapping[str, int] | None = None,
    by_hand: Mapping[str, int] | None = None,
    parcel: str = "",
) -> Spread:
    """The landed cost over the records that are still of the parcel (not withdrawn).

    ``how``: by worked price (``weights`` record id -> minor units, else the worked price kept with it, else
    the price asked), evenly, or by hand (``by_hand`` record id -> minor units, else each record's
    ``cost_by_hand``) with the rest spread by price.
    A record without a price yet weighs like the middle one of those that have one, and says so (``guessed``).
    Carriage is divided between bought and consigned records first, in the same proportion.
    ``parcel`` is its id, which tells a move of cost within it from one out of it.
    BenchError: an unknown ``how``; shares by hand of more than the cost, below 0, or of all with a rest left.
    """
    if how not in HOWS:
        raise BenchError(f"shares {how!r}", "share_how", "use one of " + ", ".join(HOWS))
    here = [record for record in records if record["state"] != "withdrawn"]
    kinds = [own_terms({"terms": terms}, record) for record in here]
    weighed = _weights(here, how, weights or {}, landed.total.currency)
    inbound_total, inbound = _carriage_of_consigned(landed, kinds, [weight for weight, _ in weighed])
    bought = [at for at, kind in enumerate(kinds) if kind == "bought"]
    pool = landed.total.minor - inbound_total
    buyers = [here[at] for at in bought]
    hand = _by_hand(buyers, by_hand, landed.total.currency) if how == "hand" else {}
    costs = _pool(
        pool, [one["id"] for one in buyers], [weighed[at][0] for at in bought], _free(buyers) | hand
    )
    each = dict(zip(bought, costs, strict=True))
    gone = [record for record in records if record["state"] == "withdrawn"]
    made = _spread(landed, [*here], kinds, weighed, each, inbound, how, parcel=parcel, gone=gone)
    _enough_left(made, hand, here)
    return made


def spread(
    head: HeadDoc,
    landed: Landed,
    records: Sequence[RecordDoc],
    weights: Mapping[str, int] | None = None,
    *,
    afresh: bool = False,
) -> Spread:
    """The parcel's shares as they stand: frozen while it is closed, else (or ``afresh``) worked out now."""
    late = late_bills(head, landed.total.currency, landed.rule)
    frozen = head["shares"]
    if frozen is None or afresh or head["state"] != "closed":
        made = spread_over(
            landed,
            records,
            head["share_how"] or "worked",
            terms=head["terms"],
            weights=weights,
            parcel=head["id"],
        )
        return _with_late(made, late)
    here = [record for record in records if record["id"] in frozen or record["state"] not in _NOT_THERE]
    frozen = {record["id"]: 0 for record in here} | frozen  # one found in the box afterwards cost nothing
    if any(type(minor) is not int for minor in frozen.values()):
        raise BenchError("a frozen share is not a whole number", f"parcel {head['id']}", "write minor units")
    kinds = [own_terms(head, record) for record in here]
    weighed = [(0, False)] * len(here)
    costs = {at: frozen[here[at]["id"]] for at, kind in enumerate(kinds) if kind == "bought"}
    inbound = {at: frozen[here[at]["id"]] for at, kind in enumerate(kinds) if kind != "bought"}
    gone = [record for record in records if record["id"] not in frozen]
    made = _spread(
        landed, here, kinds, weighed, costs, inbound, head["share_how"],
        frozen=True, parcel=head["id"], gone=gone,
    )  # fmt: skip
    return _with_late(made, late)


def _with_late(made: Spread, late: Sequence[LateBill]) -> Spread:
    """With what the late bills put on each record. What they put on one that bears no cost is on none."""
    if not late:
        return made
    currency = made.late.currency
    bears = {share.record for share in made.shares if share.terms == "bought"}
    cost: dict[str, int] = {}
    paid: dict[str, int] = {}
    for bill in late:
        for record, minor in bill.shares.items():
            cost[record] = cost.get(record, 0) + minor
            paid[record] = paid.get(record, 0) + (minor if bill.to_seller else 0)
    shares = tuple(
        share._replace(
            cost_share=share.cost_share + Money(cost.get(share.record, 0), currency),
            margin_purchase_price=share.margin_purchase_price + Money(paid.get(share.record, 0), currency),
            late=Money(cost.get(share.record, 0), currency),
        )
        if share.record in bears
        else share
        for share in made.shares
    )
    lost = sum(minor for record, minor in cost.items() if record not in bears)
    unspread = made.unspread + Money(lost, currency)
    return made._replace(shares=shares, unspread=unspread, late=Money(sum(cost.values()), currency))


def _free(bought: Sequence[RecordDoc]) -> dict[str, int]:
    """Gifts, finds and a bonus cost nothing, unless there is nothing else that could bear the cost."""
    free = {record["id"]: 0 for record in bought if record.get("free")}
    return free if len(free) < len(bought) else {}


def _enough_left(made: Spread, hand: Mapping[str, int], here: Sequence[RecordDoc]) -> None:
    """BenchError for a share by hand of less than what went with the record's parts."""
    numbers = {record["id"]: record["no"] for record in here}
    for share in made.shares:
        if share.record in hand and share.cost_share.minor < 0:
            own, went = (share.cost_share - share.moved).show(), (-share.moved).show()
            said = f"record {numbers[share.record]}: a share of {own}, but {went} went with its parts"
            raise BenchError(said, "shares", f"enter {went} or more")


def freeze(spread: Spread) -> dict[str, int]:
    """What ``head.shares`` keeps when the parcel is closed: cost share, or inbound of a consigned record.

    Without what moved with parts, which the records keep themselves and which may move on after the closing,
    and without late bills, which say themselves where they went.
    """
    return {one.record: (one.cost_share - one.moved - one.late + one.inbound).minor for one in spread.shares}


def changed(frozen: Mapping[str, int], now: Spread) -> dict[str, tuple[int, int]]:
    """Record id -> (share at closing, share now), of those that differ, when a parcel is opened again."""
    fresh = freeze(now)
    ids = [*frozen, *(one for one in fresh if one not in frozen)]
    pairs = {one: (frozen.get(one, 0), fresh.get(one, 0)) for one in ids}
    return {one: pair for one, pair in pairs.items() if pair[0] != pair[1]}


def _weights(
    here: Sequence[RecordDoc], how: str, weights: Mapping[str, int], currency: str
) -> list[tuple[int, bool]]:
    """(weight, guessed) of each record; without a price it is the lower middle one of the others."""
    if how == "even":
        return [(1, False)] * len(here)
    known = {
        record["id"]: weight for record in here if (weight := _price(record, weights, currency)) is not None
    }
    middle = sorted(known.values())[(len(known) - 1) // 2] if known else 1
    return [(known.get(record["id"], middle), record["id"] not in known) for record in here]


def _price(record: RecordDoc, weights: Mapping[str, int], currency: str) -> int | None:
    """What the record weighs: the price given, else the worked one kept with it, else the price asked."""
    given = weights.get(record["id"])
    if given is not None:
        return given
    kept = record.get("worked") or record["price"]
    return money_of(kept, f"price of record {record['no']}", currency).minor if kept else None


def _carriage_of_consigned(
    landed: Landed, kinds: Sequence[str], weights: list[int]
) -> tuple[int, dict[int, int]]:
    """The carriage that falls on consigned records: the sum, and each one's by its place."""
    consigned = [at for at, kind in enumerate(kinds) if kind != "bought"]
    each = largest_remainder(landed.carriage.minor, weights)
    inbound = {at: each[at] for at in consigned}
    return sum(inbound.values()), inbound


def _by_hand(bought: Iterable[RecordDoc], given: Mapping[str, int] | None, currency: str) -> dict[str, int]:
    if given is not None:
        return dict(given)
    return {
        record["id"]: money_of(cost, f"cost by hand of record {record['no']}", currency).minor
        for record in bought
        if (cost := record.get("cost_by_hand"))
    }


def _pool(pool: int, ids: list[str], weights: list[int], hand: Mapping[str, int]) -> list[int]:
    """The bought records' shares of ``pool``: those set by hand first, the rest spread by weight."""
    fixed = {one: minor for one, minor in hand.items() if one in ids}
    rest = pool - sum(fixed.values())
    free = [weight for one, weight in zip(ids, weights, strict=True) if one not in fixed]
    if any(type(minor) is not int or minor < 0 for minor in fixed.values()):
        raise BenchError("a share by hand is not 0 or more whole minor units", "shares")
    if rest < 0 or (rest and not free and ids):
        more = "more" if rest < 0 else "less"
        raise BenchError(f"the shares by hand are {abs(rest)} minor units {more} than the cost", "shares")
    spread_rest = iter(largest_remainder(rest, free))
    return [fixed[one] if one in fixed else next(spread_rest) for one in ids]


def _spread(
    landed: Landed,
    here: Sequence[RecordDoc],
    kinds: Sequence[str],
    weighed: Sequence[tuple[int, bool]],
    costs: Mapping[int, int],
    inbound: Mapping[int, int],
    how: str,
    frozen: bool = False,
    parcel: str = "",
    gone: Sequence[RecordDoc] = (),
) -> Spread:
    """Put together. The price paid follows the cost shares before anything moved: see ``moved_cost``."""
    currency = landed.total.currency
    in_order = sorted(costs)
    paid = dict(zip(in_order, _paid(landed, [costs[at] for at in in_order]), strict=True))
    bought = [here[at] for at in in_order]
    others = [*gone, *(record for at, record in enumerate(here) if at not in costs)]
    moved, crossed, stray = moved_within(bought, currency, parcel, others)
    nothing, bearing = Money(0, currency), {record["id"] for record in bought}
    made = tuple(
        Share(
            record["id"],
            kinds[at],
            *weighed[at],
            Money(costs.get(at, 0) + moved.get(record["id"], 0), currency),
            Money(paid.get(at, 0) + (price_moved(record, currency, bearing) if at in costs else 0), currency),
            Money(inbound.get(at, 0), currency),
            Money(moved.get(record["id"], 0), currency),
            nothing,
        )
        for at, record in enumerate(here)
    )
    unspread = landed.total.minor - sum(costs.values()) - sum(inbound.values()) + stray
    return Spread(made, Money(unspread, currency), how, frozen, Money(crossed, currency), nothing)


def _paid(landed: Landed, costs: list[int]) -> list[int]:
    """Each bought record's part of the price paid, or nothing where no record is there to carry it."""
    return largest_remainder(landed.paid.minor, costs)
