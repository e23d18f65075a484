"""From an open shop to the items of an export: the only part of this room that knows the store."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time

from benchtui.books.faults import load_faults
from benchtui.books.ladder import Laddered
from benchtui.books.library import Library
from benchtui.books.passed_on import said_now
from benchtui.books.scales import load_scales
from benchtui.evidence.learn import counts_of
from benchtui.evidence.results import Weighing
from benchtui.evidence.settings import WeighSettings
from benchtui.evidence.weighing import weigh as weigh_record
from benchtui.export.items import Item, LeftOut, left_out
from benchtui.export.wording import Wording
from benchtui.model.record import RecordDoc
from benchtui.money.book import known_as
from benchtui.money.condition import condition_of, is_graded
from benchtui.money.learnt import with_learnt
from benchtui.money.policy import policy_of
from benchtui.money.worked import rates_of
from benchtui.store.shop import Shop

Weigh = Callable[[RecordDoc], Weighing]
Progress = Callable[[float], object]


def gather(
    shop: Shop,
    *,
    day: date | None = None,
    parcel: str | None = None,
    weigh: Weigh | None = None,
    progress: Progress | None = None,
) -> list[Item]:
    """Every record of the parcels in question, read as they stand on the disk; nothing is locked.

    ``day`` and ``parcel`` only narrow which parcels are read; which records leave is ``leaving``'s to say.
    ``weigh`` is called for the records that have a title. BenchError for a parcel that is not there or
    cannot be read: an export with a parcel left out in silence would be worse than none. ``progress`` is
    called with the share done, before each parcel and at the end.
    """
    ids = [parcel] if parcel is not None else sorted(set(_of_day(shop, day))) if day else shop.parcel_ids()
    found: list[Item] = []
    for no, parcel_id in enumerate(ids):
        if progress is not None:
            progress(no / len(ids))
        found += _items(shop, parcel_id, weigh)
    if progress is not None:
        progress(1.0)
    return found


def left_out_of(shop: Shop, day: date) -> list[LeftOut]:
    """What the day's intake leaves out, over all parcels that a record of the day can stand in.

    Those are the parcels with a record taken in that day, and those with one set apart on it. BenchError for
    a parcel that cannot be read.
    """
    ids = sorted({*_of_day(shop, day), *_of_day(shop, day, apart=True)})
    return left_out((item for parcel_id in ids for item in _items(shop, parcel_id, None)), day)


@dataclass(frozen=True, slots=True)
class Weigher:
    """How a shop weighs a record, and what the books call its answers and its title today."""

    weigh: Weigh
    library: Library

    def __call__(self, record: RecordDoc) -> Weighing:
        """What follows from its answers."""
        return self.weigh(record)


def weigher(shop: Shop, library: Library | None = None) -> Weigher:
    """How the shop weighs a record: its books, what its confirmed records taught, its wage and threshold.

    Each record is weighed at what its own grades leave of a price. BenchError for a book that cannot be read.
    """
    books = library or Library.of_shop(shop.path, shop.settings)
    counts = books.counted_now(shop.counts(counts_of))
    laddered = Laddered(books.trusting(books.trusts(counts)))
    scales = load_scales([shop.path, shop.path / "books"])
    settings = shop.settings
    policy = with_learnt(policy_of(settings), shop.sales_seen(), scales, settings)
    wage = settings.get("hour_wage") or {}
    plain = WeighSettings(
        settle=float(settings.get("threshold") or WeighSettings().settle),
        hour=int(wage.get("minor", WeighSettings().hour)),
        currency=str(settings["currency"]),
        rates=rates_of(settings),
    )

    def weighed(record: RecordDoc) -> Weighing:
        worth = condition_of(record, scales, policy).worth(policy)
        settings = plain._replace(
            price_factor=float(worth or 1), told_factor=None if is_graded(record) else 1.0
        )
        laddered.meet(record)
        # What to look at next is asked at the bench only, and costs more than all the rest.
        return weigh_record(record, laddered, counts=counts, settings=settings, ask=False)

    return Weigher(weighed, books)


def wording_of(shop: Shop) -> Wording:
    """The scales and faults shipped, and the shop's own over them."""
    folders = [shop.path, shop.path / "books"]
    return Wording.of(load_scales(folders), load_faults(folders))


def sender_name(shop: Shop, sender: str | None) -> str:
    """As `known_as` in this shop."""
    return known_as(shop.senders, sender)


def _items(shop: Shop, parcel_id: str, weigh: Weigh | None) -> Iterator[Item]:
    head, records = shop.read_parcel(parcel_id)
    name = sender_name(shop, head["sender"])
    for record in records:
        weighed = weigh(record) if weigh and record["title"] else None
        read = weigh.library.card_now(record) if isinstance(weigh, Weigher) else record
        read = said_now(read, weigh.library.clue) if isinstance(weigh, Weigher) else read
        yield Item(head, read, name, weighed)


def _of_day(shop: Shop, day: date, apart: bool = False) -> Iterable[str]:
    """A day on the dealer's clock touches two days of the store's, which counts in UTC."""
    for moment in (time.min, time.max):
        utc = datetime.combine(day, moment).astimezone(UTC).date()
        yield from (shop.set_apart if apart else shop.taken_in)(utc.isoformat())
