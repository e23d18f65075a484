"""Whether the copy looks like a copy of its leader at all.

A share of .95 says that the leader is far likelier than the others, not that the copy is like it. So the log
A of what was seen is placed among that of 999 copies drawn from the leader's own model: the same questions
answered, dated clues of one part sharing a moment, cuts by pairs, misreads and all. Its place is the mid-p.

The engine lets an "always" fail in some 5.5 % of answers, so that one misread never decides; on a dealer's
bench it fails far less often. A place that would be common under the model is then rare on the bench: so the
threshold is not a nominal one: it is the place below which so few copies (FLAGGED) fall with the rate of
failure observed for the company: the same drawn copies, each weighing as much as it is likelier then.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Mapping, Sequence
from math import exp, log
from operator import add
from random import Random
from statistics import median

from benchtui.books.passed_on import taught_of
from benchtui.books.shape import BookTitle
from benchtui.evidence.candidates import Candidates
from benchtui.evidence.draws import Drawn, Piece, pieces_of
from benchtui.evidence.parts import PartEvidence
from benchtui.evidence.posterior import Posterior
from benchtui.evidence.results import Fit
from benchtui.evidence.settings import Counts
from benchtui.evidence.word_weights import Row

DRAWS = 999
FIRST_DRAWS = 199
_CLEAR = 0.35
"""A place among the first draws from which on the others are not drawn: four errors above ``_DOUBTFUL``."""
FLAGGED = 0.007
"""The share of drawn copies that may be said not to fit; of known ones on the bench it is then one in a
hundred, since some of those have a part of another copy."""
FAILS = 0.023
"""How often an "always" is not seen on a careful dealer's bench, before the shop has copies of its own."""
FAILS_WEIGHT = 200.0
LIKELY_SWAPPED = 0.75
_DOUBTFUL = 0.25
"""Above this place no threshold lies, so none is looked for."""


def fit_of(post: Posterior, lead: int, swapped: Mapping[str, float], fails: float = FAILS) -> Fit | None:
    """How well the copy fits its leader; None where nothing was seen that could tell.

    ``swapped``: per part the chance that it came from another copy. ``fails``: how often an "always" fails.
    """
    parts = [part for key, part in post.parts.items() if _speaks(part, swapped.get(key, 0.0))]
    key = ("fit", lead, round(fails, 4), tuple(id(part.factors) for part in parts))
    kept = post.model.kept.get(key)
    if not isinstance(kept, tuple):
        kept = ([part.factors for part in parts], _fit(post.model, parts, lead, fails))
        post.model.kept[key] = kept
    found: Fit | None = kept[1]
    return found


def observed_failures(titles: Iterable[BookTitle], counts: Counts) -> float:
    """How often an "always" was not what the shop's copies of these titles showed; FAILS while few are."""
    failed = tried = 0.0
    for pressing in (one for title in titles for one in title.pressings):
        for clue, seen in taught_of(counts, pressing).get("clues", {}).items():
            words = pressing.expect.get(clue, {})
            always = next((answer for answer, word in words.items() if word == "always"), None)
            if always is not None:
                tried += sum(seen.values())
                failed += sum(seen.values()) - seen.get(always, 0)
    return (FAILS * FAILS_WEIGHT + failed) / (FAILS_WEIGHT + tried)


def _speaks(part: PartEvidence, p_swapped: float) -> bool:
    return bool(part.weighed) and not part.swapped and p_swapped < LIKELY_SWAPPED


def _fit(model: Candidates, parts: Sequence[PartEvidence], lead: int, fails: float) -> Fit | None:
    if not parts or lead >= len(model.pressings):
        return None
    asked = [_Asked(pieces_of(model, part, lead), part.swap) for part in parts]
    p, limit = _placed(asked, FIRST_DRAWS, fails)
    if p < _CLEAR:
        p, limit = _placed(asked, DRAWS, fails)
    surprises = [one for its in asked for piece in its.pieces for one in piece.surprises()]
    return Fit(p, limit, tuple(sorted(surprises, key=lambda one: -one.decibans)))


def _placed(asked: Sequence["_Asked"], draws: int, fails: float) -> tuple[float, float]:
    """The place of what was seen among so many drawn copies, and the threshold where it may lie above."""
    values, likelier = _together(asked, draws, fails)
    own = sorted(values)
    p = _place(own, sum(one.seen() for one in asked))
    return p, 0.0 if p >= _DOUBTFUL else _place(own, _lowest(values, likelier))


class _Asked:
    """What was asked of one part. It may have come from another copy: however little it is like the leader's,
    it counts no less than a swap would, its s times what the leader's own usually comes to.
    """

    def __init__(self, pieces: Sequence[Piece], swap: float) -> None:
        self.pieces, self.swap, self.usual = pieces, swap, 0.0

    def draw(self, rng: Random, draws: int, fails: float) -> Drawn:
        total, likelier = [0.0] * draws, [0.0] * draws
        for piece in self.pieces:
            values, ratios = piece.draw(rng, draws, fails)
            total, likelier = list(map(add, total, values)), list(map(add, likelier, ratios))
        self.usual = median(total)
        return list(map(self.held, total)) if self.swap else total, likelier

    def held(self, value: float) -> float:
        """log((1-s) A + s x the usual A)."""
        return self.usual + log((1 - self.swap) * exp(min(value - self.usual, 50.0)) + self.swap)

    def seen(self) -> float:
        """log A of what was seen; to be asked once copies were drawn."""
        value = sum(piece.seen for piece in self.pieces)
        return self.held(value) if self.swap else value


def _together(asked: Sequence[_Asked], draws: int, fails: float) -> Drawn:
    """Drawn copies with all their parts; the draws are the same each time."""
    rng, total, likelier = Random(1), [0.0] * draws, [0.0] * draws
    for one in asked:
        values, ratios = one.draw(rng, draws, fails)
        total, likelier = list(map(add, total, values)), list(map(add, likelier, ratios))
    return total, likelier


def _lowest(values: Row, likelier: Row) -> float:
    """The log A below which FLAGGED of the copies lie where an "always" fails as on the bench."""
    weights = list(map(exp, likelier))
    left = FLAGGED * sum(weights)
    for value, weight in sorted(zip(values, weights, strict=True)):
        left -= weight
        if left < 0:
            return value
    return max(values)


def _place(drawn: Sequence[float], value: float) -> float:
    """The mid-p: the share of drawn ones below, and half of those equal."""
    below, upto = bisect_left(drawn, value - 1e-9), bisect_right(drawn, value + 1e-9)
    return (below + upto) / (2 * len(drawn))
