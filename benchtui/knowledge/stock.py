"""What the shop's copies show of its books: copies of each title, confirmed answers, clues answered."""

from collections import Counter

from benchtui.base.errors import BenchError
from benchtui.books.joins import joins_of, one_id
from benchtui.books.library import Library
from benchtui.evidence import counts_of
from benchtui.knowledge.coach import Stock
from benchtui.store import Shop


def stock_of(shop: Shop, library: Library) -> Stock:
    """Over all parcels, from their files; a parcel that cannot be read is left out."""
    copies: Counter[str] = Counter()
    answered: Counter[str] = Counter()
    joins = joins_of(shop.settings)
    for parcel_id in shop.parcel_ids():
        try:
            _, records = shop.read_parcel(parcel_id)
        except BenchError:
            continue
        for record in records:
            if record["title"] is not None and record["state"] != "withdrawn":
                copies[one_id(joins, record["title"]["id"])] += 1
                answered.update({answer["clue"] for answer in record["answers"] if answer["how"] == "seen"})
    asked = shop.settings.get("asked")
    two = frozenset(str(one) for one in asked) if isinstance(asked, dict) else frozenset()
    return Stock(copies, library.counted_now(shop.counts(counts_of)), answered, two)
