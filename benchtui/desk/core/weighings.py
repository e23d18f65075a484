"""What the evidence says of a record, worked out once for each change of it."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, Protocol

from benchtui.books.ladder import Laddered
from benchtui.books.library import Library
from benchtui.desk.core.kept_results import Kept, weighed_of
from benchtui.desk.core.references import References, settings_for
from benchtui.desk.core.state import Work
from benchtui.evidence import Weighing, WeighSettings, book_alone_is_sure, counts_of, weigh
from benchtui.model.record import PressingRef, RecordDoc, not_called
from benchtui.money.learnt import with_learnt
from benchtui.money.policy import Policy, policy_of
from benchtui.money.worked import Worked
from benchtui.store import Shop


class AtWork(Protocol):
    """What a weighing reads of the desk."""

    shop: Shop
    work: Work
    references: References

    @property
    def settings(self) -> dict[str, Any]: ...
    @property
    def currency(self) -> str: ...


class Weighings:
    """The weighings of one desk's records, and what was learnt from those confirmed."""

    def __init__(self, desk: AtWork) -> None:
        self._desk = desk
        self._last: tuple[tuple[Any, ...], Weighing] | None = None
        self._kept: Kept[Weighing] = Kept()
        self._counts: dict[str, Any] | None = None
        self._forgotten = False
        self._ladders: Laddered | None = None
        self._ladders_of: Library | None = None
        self.worked: Kept[Worked | None] = Kept()
        self._learnt: Kept[Policy] = Kept()

    def now(self) -> Weighing | None:
        """The weighing of the record on the bench, worked out once for each change."""
        desk, work = self._desk, self._desk.work
        record = work.record
        if record is None or work.parcel is None:
            return None
        key = (record["id"], work.parcel.head["revision"], work.part_id, desk.references.library)
        if self._last is None or self._last[0] != key:
            self._last = (key, self.of(record, work.part_id))
        return self._last[1]

    def of(self, record: RecordDoc, in_hand: str | None) -> Weighing:
        """The weighing of a record as it stands, saved or being changed."""
        library, settings = self._desk.references.library, self.settings_for(record)

        def work() -> Weighing:
            title = record["title"]
            counts = self.counts(title["artist"], title["title"]) if title else {}  # none: nothing is learnt
            return weigh(record, self.laddered(record), counts=counts, settings=settings, in_hand=in_hand)

        return self._kept.get((weighed_of(record), in_hand, settings, library), work)

    def may_teach(self, record: RecordDoc) -> bool:
        """Whether the books alone are sure enough of its pressing for a record to teach others."""
        return book_alone_is_sure(record, self.laddered(record), self.settings_for(record))

    def called(self, record: RecordDoc, weighing: Weighing | None) -> PressingRef:
        """What the evidence calls the record: the leader where settled, else open with the leader beside."""
        untaught = bool(record["pressing"].get("untaught"))
        found = called_of(weighing, not untaught and self.may_teach(record))
        return {**found, "untaught": True} if untaught else found

    def laddered(self, record: RecordDoc) -> Laddered:
        """The books with what their companies' ladders propose, for that record."""
        library = self._desk.references.library
        if self._ladders is None or self._ladders_of is not library:
            trusts = {} if self._desk.shop.still_reading else library.trusts(self.counts())
            self._ladders, self._ladders_of = Laddered(library.trusting(trusts)), library
        self._ladders.meet(record)
        return self._ladders

    def settings_for(self, record: RecordDoc) -> WeighSettings:
        """The shop's side of a record's weighing: wage, threshold, and what its grades do to a price."""
        desk = self._desk
        return settings_for(record, desk.settings, desk.currency, desk.references.scales, self.policy)

    def policy(self) -> Policy:
        """How the shop reckons, with the grade factors that its sales seen teach: one for every price that is
        shown. BenchError names the setting that cannot be right.
        """
        sales, settings, scales = (
            self._desk.shop.sales_seen(),
            self._desk.settings,
            self._desk.references.scales,
        )
        return self._learnt.get(
            (sales, settings), lambda: with_learnt(policy_of(settings), sales, scales, settings)
        )

    def counts(self, artist: str = "", title: str = "") -> dict[str, Any]:
        """What confirmed records taught, read once a session and after each take-in. While the shop is still
        being read: what is known so far, on a server with all that holds the title.
        """
        shop, library = self._desk.shop, self._desk.references.library
        if self._counts is None:
            if shop.still_reading:
                return library.counted_now(shop.counts_so_far(artist, title))
            self._counts = library.counted_now(shop.counts(counts_of))
        return self._counts

    @contextmanager
    def counted_anew(self) -> Iterator[None]:
        """Counts that were forgotten inside are forgotten behind it once more."""
        self._forgotten = False
        try:
            yield
        finally:
            if self._forgotten:
                self.forget_counts()

    def forget_counts(self) -> None:
        self._counts = self._ladders = None
        self._forgotten = True
        self.forget()

    def forget(self) -> None:
        self._last = None
        self._kept.forget()


def called_of(weighing: Weighing | None, may_teach: bool) -> PressingRef:
    """``may_teach``: whether the book alone makes the leader sure enough to be learnt from."""
    leader = weighing.leader if weighing else None
    known = weighing is not None and any(likely.id for likely in weighing.pressings)
    if weighing is None or leader is None or not known:
        return not_called()
    settled = bool(weighing.settled and leader.id)
    found: PressingRef = {
        "id": leader.id,
        "how": "leader" if settled else "open",
        "p": round(leader.p, 4),
        "learn": settled and may_teach,
        "name": leader.name,
        "doubted": [part for part, said in weighing.agreement.items() if said.p_swapped >= 0.5],
    }
    return {**found, "catalogue": leader.catalogue} if settled and leader.catalogue else found
