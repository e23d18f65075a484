"""A record on its way to a buyer: packed, sent, arrived; lost or damaged, and the claim."""

from collections.abc import Iterable
from typing import Literal, NotRequired, TypedDict

PostStep = Literal["packed", "sent", "arrived", "lost", "damaged", "claimed", "settled"]


class PostDoc(TypedDict):
    """One dated step. ``outside``: the disc lies outside its cover; ``weight_g``: grams; an amount is what it
    is insured for (packed) or what the carrier paid (settled); ``until``: the day it should be there (sent)
    or the last day to claim (lost, damaged).
    """

    at: str
    what: PostStep
    note: NotRequired[str]
    outside: NotRequired[bool]
    weight_g: NotRequired[int]
    minor: NotRequired[int]
    currency: NotRequired[str]
    carrier: NotRequired[str]
    tracking: NotRequired[str]
    until: NotRequired[str]


def packed_and_sent(steps: Iterable[PostDoc]) -> tuple[PostDoc | None, PostDoc | None]:
    """How it was packed last, and how it was sent since."""
    packed: PostDoc | None = None
    sent: PostDoc | None = None
    for step in steps:
        if step["what"] == "packed":
            packed, sent = step, None
        elif step["what"] == "sent":
            sent = step
    return packed, sent


def packing_words(step: PostDoc) -> str:
    """``double mailer, disc outside its cover, 410 g``."""
    said = [str(step.get("note", ""))]
    if "outside" in step:
        said.append("disc outside its cover" if step["outside"] else "disc in its cover")
    if "weight_g" in step:
        said.append(f"{step['weight_g']} g")
    return ", ".join(filter(None, said))


def sent_words(step: PostDoc) -> str:
    """``Harbour Post, tracking HP 118``."""
    tracking = f"tracking {step['tracking']}" if step.get("tracking") else ""
    return ", ".join(filter(None, (str(step.get("carrier", "")), tracking)))
