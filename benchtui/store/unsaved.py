"""What is in memory only, and how much of it, in words."""

from typing import NamedTuple


class Unsaved(NamedTuple):
    """``why``: what the system says, in one line. ``actions`` of parcels are not on the disk, on the
    ``records`` of these numbers, and ``shared`` changes to the whole shop: people, titles, settings, sales;
    ``typed``: nor what stands in an open line. ``room``: bytes that would have to be free. ``gone``: the
    shop's folder is not there, or another shop in its place. ``over_line``: the shop is on a server, and is
    tried again by itself.
    """

    why: str
    actions: int = 0
    records: tuple[int, ...] = ()
    shared: int = 0
    typed: bool = False
    room: int = 0
    gone: bool = False
    over_line: bool = False

    @property
    def slight(self) -> bool:
        """Whether it is only where one is in the parcel, which nobody would wait for."""
        return not (self.actions or self.shared or self.typed)

    def words(self) -> str:
        """How much it is: ``12 actions (records 7, 8) and 1 change to the shop``."""
        lost = []
        if self.actions:
            numbers = [str(no) for no in self.records[:6]] + (["..."] if len(self.records) > 6 else [])
            which = f" (record{'s' * (len(numbers) > 1)} {', '.join(numbers)})" if numbers else ""
            lost.append(f"{self.actions} action{'s' * (self.actions != 1)}{which}")
        elif self.typed:
            lost.append("the open line")
        if self.shared:
            lost.append(f"{self.shared} change{'s' * (self.shared != 1)} to the shop")
        return " and ".join(lost) or "where you are"

    def short(self) -> str:
        """The same in two words: ``13 changes``."""
        count = self.actions + self.shared
        return f"{count} change{'s' * (count != 1)}" if count else self.words()

    def joined(self, other: "Unsaved | None") -> "Unsaved":
        """Both together; the reason of the first."""
        if other is None:
            return self
        return Unsaved(
            self.why,
            self.actions + other.actions,
            tuple(sorted({*self.records, *other.records})),
            self.shared + other.shared,
            self.typed or other.typed,
            self.room + other.room,
            self.gone or other.gone,
            self.over_line or other.over_line,
        )
