"""The order in which a part's clues are asked once it is in the hand."""

from dataclasses import dataclass
from math import log2
from operator import mul

from benchtui.evidence.nextclue import Prospect
from benchtui.evidence.parts import told
from benchtui.evidence.posterior import Posterior
from benchtui.evidence.tables import entropies
from benchtui.evidence.word_weights import Row

_LEAST = 0.002
_WAYS = 24


@dataclass(slots=True)
class _Clue:
    """One clue still to be placed: P(answer | pressing) now, its entropy, and bits last worked out."""

    row: Prospect
    columns: list[Row]
    entropy: Row
    bits: float

    @property
    def rate(self) -> float:
        return self.bits / self.row.seconds


def in_order(post: Posterior, part_id: str, rows: list[Prospect], new: bool = False) -> list[tuple[str, str]]:
    """Each next clue is the one that adds most bits a second to those before it, whatever they will say.

    Asking by first gains alone would put clues that repeat each other side by side. Dated clues use the time
    weights of now; gains given the pressing only shrink as clues are added, so a
    clue whose stale figure is beaten need not be worked out again. ``new``: nothing is asked but whether it
    is a pressing that nobody has described.
    """
    left = [_clue(post, part_id, row, new) for row in rows if row.table is not None and row.bits >= _LEAST]
    placed: list[Prospect] = []
    ways = [[1 - post.none, post.none] if new else post.odds]
    while left and post.model.size > 1:
        best = _best(left, ways)
        if best.bits < _LEAST:
            break
        left.remove(best)
        placed.append(best.row)
        ways = [list(map(mul, way, column)) for way in ways for column in best.columns]
        ways = sorted(ways, key=sum, reverse=True)[:_WAYS]
    rest = [row for row in rows if row not in placed]
    return [(row.place, row.clue.id) for row in [*placed, *rest]]


def _clue(post: Posterior, part_id: str, row: Prospect, new: bool) -> _Clue:
    part = post.parts[part_id]
    if row.table is None:
        raise ValueError(f"clue {row.clue.id} gives no expectation")
    shown = told(part, row.table, post.model, post.telling)
    columns = [post.as_two(column) if new else post.as_one(column) for column in shown.columns]
    return _Clue(row, columns, entropies(columns), row.bits)


def _best(left: list[_Clue], ways: list[Row]) -> _Clue:
    """The clue of the greatest true rate; stale rates are upper bounds."""
    fresh: set[int] = set()
    while True:
        best = max(left, key=lambda clue: clue.rate)
        if id(best) in fresh:
            return best
        best.bits = sum(_adds(way, best) for way in ways)
        fresh.add(id(best))


def _adds(way: Row, clue: _Clue) -> float:
    """Bits a clue adds where the clues before it came out this way, times the chance of that way."""
    mass = sum(way)
    if mass <= 0:
        return 0.0
    spread = sum(x * log2(x) for column in clue.columns if (x := sum(map(mul, way, column))) > 0)
    return max(0.0, float(mass * log2(mass) - spread - sum(map(mul, way, clue.entropy))))
