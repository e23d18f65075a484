"""One answer that may be either of two: it weighs as their sum, its date is what either allows."""

from collections.abc import Sequence

from benchtui.books.shape import SOFTNESS, Answer
from benchtui.model.span import hull, joined


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
    start, end = (max((one.ends[side] for one in answers), key=SOFTNESS.__getitem__) for side in (0, 1))
    times = joined([span for one in answers for span in one.spans])
    text = " or ".join(dict.fromkeys(one.text for one in answers))
    source = next((one.source for one in answers if one.source), "")
    several = times if len(times) > 1 else ()
    return Answer(
        "|".join(one.id for one in answers), text, answers[0].digit, hull(times), start, capping.pop(),
        source=source, to_hardness=end, times=several,
    )  # fmt: skip
