"""The weight of evidence as a table, clue by clue."""

from operator import mul

from benchtui.evidence.parts import PartEvidence, Weighed, product
from benchtui.evidence.posterior import Posterior, decibans
from benchtui.evidence.results import WhyLine
from benchtui.evidence.same_runout import SAME
from benchtui.evidence.word_weights import Row


def why(post: Posterior, names: dict[str, str], first: int) -> tuple[WhyLine, ...]:
    """Decibans of each clue for the leader (``first``) against the likeliest other: with all answers over
    without it.

    What is joint (groups, dates, swaps) stands on one line; with the prior the lines add up to the whole.
    """
    if post.model.size < 2:
        return ()
    odds, before = post.odds, post.model.merged(post.model.prior)
    second = next(h for h in sorted(range(len(odds)), key=lambda h: -odds[h]) if h != first)
    whole = _against(odds[first], odds[second])
    lines = []
    for key, part in post.parts.items():
        if part.swapped:
            continue
        for one in part.weighed:
            left = without(post, key, part, one)
            value = whole - _against(left[first], left[second])
            lines.append(_line(one, key, names[key], value))
    prior = _against(before[first], before[second])
    joint = whole - prior - sum(line.decibans for line in lines)
    lines.sort(key=lambda line: -abs(line.decibans))
    lines.append(
        WhyLine("how common each pressing is", "", "", prior, "from the book and the shop's own copies")
    )
    if abs(joint) > 0.005:
        lines.append(
            WhyLine(
                "overlapping clues", "", "", joint, "those that repeat each other or share a date count once"
            )
        )
    return tuple(lines)


def _against(one: float, other: float) -> float:
    if one <= 0:
        return decibans(0.0)
    return decibans(one / other) if other > 0 else decibans(float("inf"))


def without(post: Posterior, key: str, part: PartEvidence, one: Weighed) -> Row:
    """pi(h) times all evidence but that of one, not normalised; "none of these" as one, last."""
    left = [other for other in part.weighed if other is not one]
    _, _, a = product(left, post.model, part.seen.kind)
    b = sum(map(mul, post.model.prior, a))
    mixed = [(1 - part.swap) * value + part.swap * b for value in a]
    return post.model.merged(list(map(mul, post.rest[key], mixed)))


def _line(one: Weighed, part: str, name: str, value: float) -> WhyLine:
    if one.mark is None:
        clue = one.label.partition(" ")[0]
        known = {
            "cuts": ("cut", "how often the book has these cuts together"),
            "runout": ("cut", "the title's stems by channels"),
            "same": (
                "cut",
                f"no book has its stems; {SAME:.0f} : 1, however many (common practice, no source)",
            ),
        }
        where, source = known.get(clue, ("stamper", "an early stamper means an early copy (our own rule)"))
        return WhyLine(f"{name}: {one.label}", part, where, value, source)
    said = " or ".join(answer.text for answer in one.mark.answers)
    source = next((a.source for a in one.mark.answers if a.source), "") or one.mark.clue.source
    return WhyLine(f"{name}: {one.mark.clue.ask} {said}", part, one.mark.doc["clue"], value, source)
