"""The halves of a pressing that was split: which other one a copy may be, what was seen of only one."""

from benchtui.books.passed_on import pressing_of
from benchtui.books.shape import BookTitle, Pressing
from benchtui.evidence import Likely, Weighing
from benchtui.model.record import RecordDoc

EXPECTED = ("always", "usually", "sometimes")
"""Words of an answer that a pressing has, if not on every copy."""


def other_half(
    now: Likely, weighing: Weighing, before: BookTitle | None, after: BookTitle | None
) -> Likely | None:
    """The likeliest other pressing that differs from this one only since the change: there was no such
    pressing before it, or it was expected to be the same.
    """
    this = pressing_of(after, now.id)
    for one in weighing.pressings:
        other, was, this_was = (
            pressing_of(after, one.id),
            pressing_of(before, one.id),
            pressing_of(before, now.id),
        )
        if this is None or other is None or other == this or other.expect == this.expect:
            continue
        if was is None or (this_was is not None and was.expect == this_was.expect):
            return one
    return None


def shows_that_of(record: RecordDoc, one: Pressing | None, other: Pressing | None) -> bool:
    """Whether an answer seen is what the one pressing is expected to show, and the other something else."""
    if one is None or other is None:
        return False
    for seen in record["answers"]:
        words, others = (each.expect.get(seen["clue"], {}) for each in (one, other))
        told = words.get(seen["answer"]) in EXPECTED and others.get(seen["answer"]) not in EXPECTED
        if told and others and seen["how"] == "seen" and not seen.get("also"):
            return True
    return False
