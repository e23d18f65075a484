"""What the columns say of the pressing: its name, how sure it is, what the books know of it."""

from benchtui.books.ladder import is_proposed
from benchtui.evidence.results import Likely, Surprise
from benchtui.export.claim import CONSISTENT
from benchtui.export.items import Item
from benchtui.export.wording import Wording

SURE = 0.95
"""Without the evidence at hand a leader counts as settled from here, the shop's own default."""
UNLIKELY = 0.05
"""Below this chance what was seen speaks against a pressing that the dealer named."""
NAMED = ("sure", "by hand")
"""What ``pressing_sure`` says where the pressing may be named without a word of doubt."""


def name(item: Item, words: Wording) -> str:
    """What the books call the record's pressing now, else as the record keeps it; "" while that is open.

    One that was renamed, or passed to another, has its new name everywhere at once; one that only the
    company's ladder proposes has none.
    """
    pressing, known = item.record["pressing"], _named(item)
    if pressing["id"] is None or is_proposed(pressing["id"]):
        return ""
    return known.name if known is not None else pressing.get("name") or pressing["id"]


def sure(item: Item, words: Wording) -> str:
    """``sure``, ``by hand`` or ``not sure``: the fixed words that descriptions rest on.

    Nothing where there is no pressing to settle on: no title, or one of which no book knows a pressing.
    """
    pressing = item.record["pressing"]
    if _is_open(item) or pressing["how"] == "open":
        known = item.weighed is None or any(
            one.id and not is_proposed(one.id) for one in item.weighed.pressings
        )
        return "not sure" if item.record["title"] and known else ""
    if pressing["how"] == "hand":
        return "by hand"
    if item.weighed is None:
        return "sure" if (pressing["p"] or 0) >= SURE else "not sure"
    leader = next(iter(item.weighed.pressings), None)
    return "sure" if item.weighed.settled and leader and leader.is_called(pressing["id"]) else "not sure"


def established(item: Item, words: Wording) -> str:
    """The name as the intake has it: nothing where the description says "not established"."""
    if sure(item, words) in NAMED:
        return name(item, words)
    leading, p = likeliest(item, name(item, words))
    return name(item, words) if leading and p >= CONSISTENT and not is_unlike(item) else ""


def likeliest(item: Item, named: str) -> tuple[str, float]:
    """The name and the chance of what the record would be called; "" for none of these, and for one that
    the company's ladder proposes and nobody has seen.
    """
    leader: Likely | None = item.weighed.leader if item.weighed else None
    if leader is not None:
        seen = leader.id and not is_proposed(leader.id)
        return (leader.name, leader.p) if seen else ("", leader.p)
    return named, item.record["pressing"]["p"] or 0.0


def is_unlike(item: Item) -> bool:
    """Whether the copy does not look like what it would be called, or shows what that never does: nothing
    is said of it then.
    """
    fit = item.weighed.fit_now if item.weighed else None
    return fit is not None and (not fit.holds or fit.contradicted)


def otherwise(item: Item) -> tuple[Surprise, ...]:
    """What was seen on the copy where the pressing that leads always shows something else: said beside its
    name, where it is settled all the same.
    """
    fit = item.weighed.fit if item.weighed and item.record["pressing"]["how"] != "hand" else None
    return tuple(one for one in fit.surprises if one.always) if fit is not None else ()


def is_against(item: Item) -> bool:
    """Whether the dealer named a pressing that what was seen speaks against."""
    known = _named(item) if item.record["pressing"]["how"] == "hand" else None
    return known is not None and known.p < UNLIKELY


def chance(item: Item, words: Wording) -> str:
    """The probability it was named with, four decimals; nothing while nothing is named."""
    p = item.record["pressing"]["p"]
    return "" if p is None or not established(item, words) else f"{p:.4f}"


def kind(item: Item, words: Wording) -> str:
    """Known only where the evidence was weighed and knows the pressing."""
    known = _named(item)
    return known.kind if known else ""


def catalogue(item: Item, words: Wording) -> str:
    """The pressing's own number, where the book has one: mono and stereo of a title have one each."""
    known = _named(item)
    return known.catalogue if known else ""


def number_of_all(item: Item) -> str:
    """The number that all pressings bear which the copy may well be; "" where they differ or have none."""
    likely = [one for one in (item.weighed.pressings if item.weighed else ()) if one.p >= UNLIKELY]
    numbers = {one.catalogue if one.id else "" for one in likely}
    return numbers.pop() if len(numbers) == 1 else ""


def _is_open(item: Item) -> bool:
    """Whether the record names no pressing that somebody has seen."""
    named = item.record["pressing"]["id"]
    return named is None or is_proposed(named)


def _named(item: Item) -> Likely | None:
    named = item.record["pressing"]["id"]
    likely = item.weighed.pressings if item.weighed else ()
    return next((one for one in likely if one.is_called(named)), None)
