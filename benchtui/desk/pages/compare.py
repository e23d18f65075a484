"""Two pressings side by side: what tells them apart; one by itself: what would prove and disprove it."""

from benchtui.desk.core.desk import Desk
from benchtui.desk.core.page_parts import PageView, Para, Section, Text, says, words
from benchtui.desk.core.pages import page
from benchtui.desk.hand import hand
from benchtui.evidence import Weighing
from benchtui.model.record import RecordDoc, part_of

BESIDE = 9
ON_WHY, ON_PAGE = 4, 12
"""So many lines of each kind stand on the page that says why, and on a page of their own."""


@page(
    "compare",
    "What tells two pressings apart, in points that a look makes on average; what would prove the first, and"
    " what would disprove it.",
    keys=("page-leave", "why-compare"),
    place="on the page that compares two pressings",
    opener="why",
)
def compare(desk: Desk) -> PageView:
    record, weighing, opened = desk.work.record, desk.weighing(), desk.open.page
    title = words("Compare", "accent bold")
    if record is None or weighing is None or opened is None:
        return PageView(title)
    one, other = (opened.data.get(key) or None for key in ("one", "other"))
    sections = [] if one == other else apart(record, weighing, one, other, ON_PAGE)
    return PageView(title, sections=(*sections, *proofs(record, weighing, one, ON_PAGE)))


def name_of(weighing: Weighing, pressing: str | None) -> str:
    """The pressing's name; "none of these" of none, the id of one the book has lost."""
    found = next((one.name for one in weighing.pressings if one.id == pressing), None)
    return found or pressing or "none of these"


def apart(
    record: RecordDoc, weighing: Weighing, one: str | None, other: str | None, most: int
) -> list[Section]:
    """A line a clue: what the one shows and what the other, and what was seen."""
    first, second = name_of(weighing, one), name_of(weighing, other)
    lines = []
    for told in weighing.compare.apart(one, other)[:most]:
        seen = f"  seen: {told.seen}" if told.seen else ""
        shows = f"{told.one}; {'others' if other is None else 'the other'} {told.other}"
        lines.append(
            _hung(
                f"{told.points:7.1f}", f"{_where(record, told.part, told.place)}: {told.ask}: {shows}", seen
            )
        )
    if not lines:
        lines = [says("no clue tells them apart", "dim", 2)]
    return [Text(tuple(lines), words(f"What tells {first} from {second}", "bold"), "apart")]


def proofs(record: RecordDoc, weighing: Weighing, pressing: str | None, most: int) -> list[Section]:
    """What would speak for the pressing and what against it: its odds after each answer."""
    told = weighing.compare.proofs(pressing)
    sections: list[Section] = []
    for proves, heading in ((True, "What would speak for"), (False, "What would speak against")):
        lines = [
            _hung(
                f"{one.after * 100:6.1f}%",
                f"{_where(record, one.part, one.place)}: {one.ask}: {one.text}",
                f"  {one.chance:.0%} likely to be seen",
            )
            for one in [one for one in told if one.proves == proves][:most]
        ]
        lines = lines or [says("no question that is still open", "dim", 2)]
        sections.append(Text(tuple(lines), words(f"{heading} {name_of(weighing, pressing)}", "bold")))
    return sections


def unusual(weighing: Weighing, pressing: str | None) -> list[Section]:
    """What was seen on the copy that few copies of the pressing which leads show."""
    lines = [
        _hung(f"{one.share * 100:6.1f}%", one.label, "  of its copies show it")
        for one in weighing.compare.unusual(pressing)[:ON_WHY]
    ]
    heading = words(f"Unusual for {name_of(weighing, pressing)}", "bold")
    return [Text(tuple(lines), heading, "unusual")] if lines else []


def _where(record: RecordDoc, part_id: str, place: str) -> str:
    part = part_of(record, part_id)
    return f"{hand.part_name(record, part) if part else part_id}, {place}"


def _hung(figure: str, text: str, dim: str) -> Para:
    return Para(((text, ""), *words(dim, "dim")), lead=words(figure.ljust(BESIDE), "bold"))
