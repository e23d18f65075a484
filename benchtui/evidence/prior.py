"""How likely each pressing is before anything was seen, and one that nobody has described yet.

Of Pitman and Yor's form (1997, "The two-parameter Poisson-Dirichlet distribution derived from a stable
subordinator", Annals of Probability 25): the more copies confirmed, the less is expected of the book; the
more pressings had to be grown here, the more are still to come (Good 1953, Biometrika 40, for the idea).
"""

from collections.abc import Mapping, Sequence
from typing import Any

from benchtui.books.ladder import is_proposed
from benchtui.books.shape import BookTitle, Completeness, Pressing
from benchtui.evidence.settings import ModelSettings
from benchtui.evidence.word_weights import Row

LEFT_OUT: dict[Completeness, float] = {"all": 0.01, "most": 0.05, "": 0.05, "some": 0.25}
"""c: the share of copies whose pressing the book leaves out, by what the title says of itself."""
BESIDE_LADDER = 0.25
"""Of the pressings nobody knows: those that fall into no stretch of the company's ladder."""


def prior(title: BookTitle | None, counts: Sequence[Mapping[str, Any]], settings: ModelSettings) -> Row:
    """P of each pressing in the title's order, and last P(new).

    With n the shop's confirmed copies of the title, N those of a pressing, G the pressings grown here:
    P(new) = (theta c + d G) / (theta + n); written (theta (1-c) share + N) / (theta + n), shares adding to
    1; grown (N - d) / (theta + n), N at least 1 since it rests on a copy. theta = 10 with a written book; 1
    without, and c = 1. d = .5. A setting ``none`` fixes P(new). The stretches of a company's ladder, which
    nobody has seen, have P(new) between them by their shares, but for what fits no stretch; a grown pressing
    in the place of one has the share of that.
    """
    pressings = title.pressings if title else ()
    if not pressings or title is None:
        return [1.0]
    grown = [one.known == "grown" for one in pressings]
    guessed = [is_proposed(one.id) for one in pressings]
    book = [not (new or guess) for new, guess in zip(grown, guessed, strict=True)]
    seen = [max(c.get("n", 0), int(new)) for c, new in zip(counts, grown, strict=True)]
    theta, left_out = (settings.book_weight, LEFT_OUT[title.complete]) if any(book) else (1.0, 1.0)
    share, stretch = _shares(pressings, book), _of_ladder(pressings, guessed)
    raw = [
        float(n - settings.discount if new else theta * (1 - left_out) * its + n)
        for its, n, new in zip(share, seen, grown, strict=True)
    ]
    unknown = theta * left_out + settings.discount * sum(grown)
    total = sum(raw) + unknown
    new = unknown / total if settings.none is None else settings.none
    known = (1 - new) / sum(raw) if sum(raw) > 0 else 0.0
    inside = new * (1 - BESIDE_LADDER) if any(stretch) else 0.0
    return [x * known + inside * y for x, y in zip(raw, stretch, strict=True)] + [new - inside]


def _shares(pressings: Sequence[Pressing], of: Sequence[bool]) -> Row:
    """The shares of some of them, adding to 1; even where they are all nothing."""
    raw = [one.share * mine for one, mine in zip(pressings, of, strict=True)]
    if sum(raw) <= 0:
        raw = [float(mine) for mine in of]
    return [value / (sum(raw) or 1.0) for value in raw]


def _of_ladder(pressings: Sequence[Pressing], guessed: Sequence[bool]) -> Row:
    """The shares of the ladder's stretches, those in whose place a grown pressing stands among them."""
    raw = [one.share if guess else one.stretch for one, guess in zip(pressings, guessed, strict=True)]
    return [value / (sum(raw) or 1.0) for value in raw]
