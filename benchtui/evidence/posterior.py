"""How likely each pressing is, and whether the parts belong together."""

from dataclasses import dataclass
from functools import reduce
from math import log2, log10
from operator import mul

from benchtui.evidence.candidates import Candidates
from benchtui.evidence.parts import PartEvidence, cut_clue, evidence_of
from benchtui.evidence.reference import Reference
from benchtui.evidence.results import Agreement, Standing
from benchtui.evidence.runout import decipher
from benchtui.evidence.seen import PartSeen, Seen
from benchtui.evidence.settings import LIKELY_ELSEWHERE
from benchtui.evidence.stampers import stamper_of
from benchtui.evidence.word_weights import Row
from benchtui.model.naming import with_the
from benchtui.model.record import RecordDoc, is_touched

_MOST = 120.0
_TELLING, _FAINT = 32, 1e-3


@dataclass(slots=True)
class Posterior:
    """P(h|all), each part's evidence, and per part what all the others say.

    ``rest[u]`` times the part's own mixture is ``p``; ``spread`` is the sum of p log2 p,
    "none of these" taken as one; ``telling``: the
    likeliest candidates, for which alone questions are foretold with the times of their part.
    """

    model: Candidates
    parts: dict[str, PartEvidence]
    anchor: str | None
    p: Row
    rest: dict[str, Row]
    spread: float
    telling: list[int]

    @property
    def odds(self) -> Row:
        """P of each pressing, and last that of "none of these"."""
        return self.model.merged(self.p)

    def as_one(self, column: Row) -> Row:
        """Chances under each pressing, and last under "none of these": the mean over its stretches."""
        n = len(self.model.pressings)
        if len(column) == n + 1:
            return column
        by = self.p[n:] if self.none > 0 else self.model.prior[n:]
        return [*column[:n], sum(map(mul, by, column[n:])) / (sum(by) or 1.0)]

    def as_two(self, column: Row) -> Row:
        """Chances under the pressings known, each by its odds, and under "none of these"."""
        n = len(self.model.pressings)
        known = sum(map(mul, self.p[:n], column[:n]))
        return [known / (1 - self.none), self.as_one(column)[n]]

    @property
    def none(self) -> float:
        """P of a pressing that nobody has described."""
        return sum(self.p[len(self.model.pressings) :])


def posterior(record: RecordDoc, seen: Seen, model: Candidates, library: Reference) -> Posterior:
    """P(h|all) proportional to pi(h) A(anchor,h) times the others' (1-s) A(u,h) + s B(u)."""
    parts = {part.id: _evidence(record, part, seen, model, library) for part in seen.parts}
    factors = {key: part.mix() for key, part in parts.items()}
    rest = {key: _others(model.prior, factors, key) for key in parts}
    total = reduce(_times, factors.values(), model.prior)
    weight = sum(total)
    # Every candidate excluded: possible only where misreading is switched off.
    p = [value / weight for value in total] if weight > 0 else [0.0] * (model.size - 1) + [1.0]
    if weight > 0:
        rest = {key: [value / weight for value in row] for key, row in rest.items()}
    telling = sorted((h for h, x in enumerate(p) if x > _FAINT), key=lambda h: -p[h])[:_TELLING]
    spread = sum(x * log2(x) for x in model.merged(p) if x > 0)
    return Posterior(model, parts, seen.anchor, p, rest, spread, telling)


def _evidence(
    record: RecordDoc, part: PartSeen, seen: Seen, model: Candidates, library: Reference
) -> PartEvidence:
    ruling = record["rulings"].get(part.id)
    is_anchor = part.id == seen.anchor  # it decides what the copy is, wherever it came from
    moved = bool(part.foreign or part.doc.get("origin")) and ruling != "own" and not is_anchor
    swapped = ruling == "swapped" or moved
    swap = 0.0 if is_anchor or ruling == "own" else model.settings.swap(part.kind)
    cuts = stamper = None
    if part.kind == "disc" and part.doc.get("number", 1) == 1:
        cuts = model.cuts(cut_clue(library.clues_for(record, part.doc)))
        stamper = _stamper(part, model, library) if model.settings.stampers else None
    return evidence_of(part, model, cuts, swap, swapped, stamper)


def _stamper(part: PartSeen, model: Candidates, library: Reference) -> int | None:
    """The number of the disc's stamper, read through the title's cipher where it has one."""
    sides = {side: its["stamper"] for side, its in part.doc.get("sides", {}).items() if its.get("stamper")}
    if not sides or model.title is None:
        return None
    cipher = library.cipher(model.title.cipher) if model.title.cipher else None
    numbers = {side: n for side, text in sides.items() if (n := decipher(text, cipher))}
    pairs = [pair for p in model.pressings for pair, _ in p.cuts]
    first = {side: min((pair[i] for pair in pairs), default="") for i, side in enumerate(part.sides)}
    return stamper_of(part, numbers, {side: cut for side, cut in first.items() if cut})


def _times(a: Row, b: Row) -> Row:
    return list(map(mul, a, b))


def _others(prior: Row, factors: dict[str, Row], left_out: str) -> Row:
    return reduce(_times, (row for key, row in factors.items() if key != left_out), prior)


def decibans(ratio: float) -> float:
    """10 log10, held within 120 either way so that an impossibility can still be shown."""
    if ratio <= 0:
        return -_MOST
    return max(-_MOST, min(_MOST, 10 * log10(ratio)))


def agreement(record: RecordDoc, post: Posterior, names: dict[str, str]) -> dict[str, Agreement]:
    """Per part: BF(u) = B(u) / sum over h of P(h | all but u) A(u,h); odds = BF s/(1-s)."""
    main = post.parts.get(post.anchor or "")
    seen = main is not None and main.seen.says_anything()
    whole = with_the(names.get(post.anchor or "", "disc")) if seen else "the other parts"
    found = {}
    for key, part in post.parts.items():
        if key == post.anchor:
            say = part.seen.stray or "main part, decides what the copy is"
            stands: Standing = "main" if part.seen.says_anything() else "unseen"
            found[key] = Agreement(0.0, 0.0, f"{names[key]}: {say}", bool(part.seen.stray), stands)
            continue
        fits = sum(map(mul, post.rest[key], part.a))
        rest = sum(post.rest[key])
        factor = part.b * rest / fits if fits > 0 else float("inf")
        s = post.model.settings.swap(part.seen.kind)
        odds = factor * s / (1 - s)
        p = 1.0 if odds == float("inf") else odds / (1 + odds)
        found[key] = _told(record, part, p, factor, names[key], whole)
    return found


def _told(record: RecordDoc, part: PartEvidence, p: float, factor: float, name: str, whole: str) -> Agreement:
    db, ruling = decibans(factor), record["rulings"].get(part.seen.id)
    if ruling == "swapped":
        return Agreement(1.0, db, f"{name}: from another copy, your verdict", True)
    if ruling == "own":
        return Agreement(0.0, db, f"{name}: belongs to this copy, your verdict", True)
    if part.seen.foreign:
        return Agreement(1.0, db, f"{name}: {part.seen.foreign}, not this copy's", True)
    if part.seen.stray:
        return Agreement(p, db, f"{name}: {part.seen.stray}", True)
    if part.seen.doc.get("origin"):
        return Agreement(1.0, db, f"{name}: put in from another copy", True)
    say, stands = _words(part, p, db, is_touched(record, part.seen.doc), whole)
    return Agreement(p, db, f"{name}: {say}", False, stands)


def _words(part: PartEvidence, p: float, db: float, touched: bool, whole: str) -> tuple[str, Standing]:
    """The sentence: consistent with, probably, not established, not looked at; and what it comes to."""
    if p >= LIKELY_ELSEWHERE:
        return f"probably from another copy ({_odds(p)})", ""
    if not part.weighed and not touched:
        return "not looked at", "unseen"
    if not part.weighed:
        return "not established, nothing conclusive seen", "open"
    if abs(db) < 0.5:
        return "not established, what was seen is not conclusive", "open"
    if db > 0 and p >= 0.05:
        odds = f"{_odds(p)} that it does not" if p >= 0.5 else f"{_odds(1 - p)} that it does"
        return f"not established whether it belongs ({odds})", "open"
    return f"consistent with {whole}", "consistent"


def _odds(p: float) -> str:
    """The odds on something at least as likely as not."""
    return "over 999 : 1" if p >= 0.999 else f"{p / (1 - p):.0f} : 1"
