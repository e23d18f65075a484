"""One answer that may be either of two: it weighs as their sum, its date is what either allows."""

from collections.abc import Sequence

from benchtui.books.shape import Answer, Hardness
from benchtui.model.span import Span, hull

_SOFTER: dict[Hardness, int] = {"hard": 0, "firm": 1, "soft": 2, "none": 3}


def union(answers: Sequence[Answer]) -> Answer | None:
    """What bounds the time of a part whose answer is one of these; None where one of them bounds nothing.

    Each end is as hard as the softer of theirs. Only where all of them say when the copy was sold does the
    one answer say so: then the latest of them counts.
    """
    if any(one.span is None or one.hardness == "none" for one in answers):
        return None
    capping = {one.caps_sale for one in answers}
    if len(capping) > 1:
        return None
    start, end = (max((one.ends[side] for one in answers), key=_SOFTER.__getitem__) for side in (0, 1))
    times = _joined([span for one in answers for span in one.spans])
    text = " or ".join(dict.fromkeys(one.text for one in answers))
    source = next((one.source for one in answers if one.source), "")
    several = tuple(times) if len(times) > 1 else ()
    return Answer(
        "|".join(one.id for one in answers), text, answers[0].digit, hull(times), start, capping.pop(),
        source=source, to_hardness=end, times=several,
    )  # fmt: skip


def _joined(spans: Sequence[Span]) -> list[Span]:
    """The spans in order, those that overlap or touch made one."""
    order = sorted(spans, key=lambda one: one.earliest.toordinal() if one.earliest else 0)
    found: list[Span] = []
    for span in order:
        last = found[-1] if found else None
        if last is not None and _reaches(last, span):
            found[-1] = hull([last, span])
        else:
            found.append(span)
    return found


def _reaches(one: Span, next_one: Span) -> bool:
    if one.latest is None or next_one.earliest is None:
        return True
    return next_one.earliest.toordinal() <= one.latest.toordinal() + 1
