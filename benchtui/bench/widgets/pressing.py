"""The evidence in its panel: likely pressings with bars and figures, second look, agreement."""

from benchtui.bench.packed import told_apart
from benchtui.bench.pieces import Glyphs, Line, bar, clean, cut, fill, shed, width_of, wrap
from benchtui.bench.widgets.rows import Rows
from benchtui.bench.widgets.still_to_come import is_empty, sums
from benchtui.desk.ask.asking import asks_the_look
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.lives import has_left
from benchtui.desk.hand import hand, prices
from benchtui.desk.look import clues
from benchtui.desk.record.verdicts import NEW_PRESSING, is_chosen, leading_first, percent
from benchtui.evidence import Likely, Weighing, say_held, together
from benchtui.evidence.clashes import looked_again, said_so, unresolved
from benchtui.evidence.results import Clash
from benchtui.model.naming import with_the
from benchtui.model.record import RecordDoc, anchor_of, is_here, is_looked_at, is_touched

LISTED = 3
LIKELY = 0.095
"""From this chance on, shown as a tenth, a pressing has its row before anything is explained; the dearest
from half of it on."""
FAINT = 0.01
"""Below this chance "none of these" needs no row of its own."""
LEFT_OUT = 0.005
"""From this chance on what is not listed is told as one."""
LEAST = 3
"""Rows that the odds have at least: the first pressing and the others."""
BAR = 6
WIDE = 34
"""Cells from which a pressing has its bar, its name and its price in one row, where rows are scarce."""
TALL = 16
"""Rows from which each has a second one for its name, which is whole more often there."""


class Pressing(Rows):
    """The panel on the right; without the frame that marks where keys go."""

    DEFAULT_CSS = """
    Pressing { border: round $bench-line; padding: 0 1; width: 26; }
    """


def pressing_title(desk: Desk) -> Line:
    """``Pressing`` and how sure it is; over an empty record the parcel's money is told there."""
    if is_empty(desk):
        return [("So far", "bold")]
    weighing = desk.weighing()
    if weighing is None or not _knows(weighing):
        return [("Pressing", "bold")]
    return [("Pressing ", "bold"), *_state(desk, weighing)]


def pressing_foot(desk: Desk) -> Line:
    """What the prices are: not the worked price of the record, which stands beside its parts."""
    weighing = None if is_empty(desk) else desk.weighing()
    if weighing is None or not any(one.price for one in weighing.pressings):
        return []
    record = desk.work.record
    return [(prices.book_price_words(record), "dim")] if record is not None else []


def pressing_rows(desk: Desk, width: int, height: int, signs: Glyphs) -> list[Line]:
    """The odds first, the dealer's choice on top; under them what is urgent, then the rest.

    Where rows are scarce what is likely has one row each, and the words give way to it; of what is less
    likely more is told as others. The first one, the dearest likely one and the others always stand.
    """
    if is_empty(desk):
        return shed(sums(desk, width, signs), height, width)
    record, weighing = desk.work.record, desk.weighing()
    if record is None or weighing is None:
        return []
    odds = _odds(desk, weighing, width, height, signs)
    urgent = _urgent(desk, weighing, width, signs)
    rest = [*_may_be_new(weighing, width), *_agreement(record, weighing, width)]
    if clues.reworded(desk, record):
        rest += wrap(f"the book has changed: {desk.key('why')} shows what", width, "warn", "  ")
    if len(odds) + len(urgent) + len(rest) > height:
        below = 1 if rest else 0  # its first row says by its sign that there is more
        likely = 1 + len(_likely(weighing))
        urgent = shed(urgent, max(height - max(LEAST, likely) - below, 1), width)
        odds = _odds(desk, weighing, width, height - len(urgent) - below, signs)
    return [cut(line, width) for line in shed([*odds, *urgent, *rest], height, width)]


def _may_be_new(weighing: Weighing, width: int) -> list[Line]:
    """No alarm, for the next question asks it: that the copy may be one that nobody has described."""
    if weighing.held != "new":
        return []
    listed = any(
        one.id is None and (n < LISTED or one.p >= FAINT) for n, one in enumerate(weighing.pressings)
    )
    said = "not sure yet: it may be a pressing nobody has described" if listed else say_held(weighing)
    return wrap(said, width, "dim", "  ")


def _knows(weighing: Weighing) -> bool:
    return any(likely.id for likely in weighing.pressings)


def _state(desk: Desk, weighing: Weighing) -> Line:
    record = desk.work.record
    if record is not None and record["pressing"]["how"] == "hand":
        return [("your choice", "good")]
    if weighing.settled:
        seen = record is None or (anchor := anchor_of(record)) is None or is_touched(record, anchor)
        return [("sure", "good")] if seen else [("expected", "dim")]
    return [("undecided", "warn")] if weighing.nothing_left else [("open", "dim")]


def _odds(desk: Desk, weighing: Weighing, width: int, height: int, signs: Glyphs) -> list[Line]:
    """As many of the likeliest as the rows hold, one at least; what is left out is told as one."""
    record = desk.work.record
    if not _knows(weighing):
        known = record is not None and record["title"] is not None
        return wrap("no book has a pressing of this title: dates only", width, "dim") if known else []
    ranked = leading_first(record, weighing)
    listed, likely = ranked[:LISTED], _likely(weighing)
    listed += [one for one in ranked[LISTED:] if one in likely or (one.id is None and one.p >= FAINT)]
    lines: list[Line] = []
    while len(lines := _listed(record, listed, width, height, signs)) > height and listed[1:]:
        last = next((one for one in reversed(listed[1:]) if one not in likely), None)
        if last is None:
            break
        listed = [one for one in listed if one is not last]
    while len(lines) > height and len(listed) > 1:
        lines = _listed(record, listed, width, height, signs, short=True)
        listed = _without_one(listed)
    return lines


def _likely(weighing: Weighing) -> list[Likely]:
    """What is likely enough to have its row, and the dearest of what may be."""
    may_be = [one for one in weighing.pressings if one.p >= LIKELY / 2]
    dearest = max(may_be, key=_price, default=None)
    return [one for one in may_be if one.p >= LIKELY or (one is dearest and one.price)]


def _price(likely: Likely) -> int:
    return likely.price.minor if likely.price else 0


def _without_one(listed: list[Likely]) -> list[Likely]:
    """Without the last of them, the dearest excepted: it costs most where nobody sees it."""
    dearest = max(listed, key=_price)
    last = next(one for one in reversed(listed[1:]) if one is not dearest or len(listed) == 2)
    return [one for one in listed if one is not last]


def _listed(
    record: RecordDoc | None,
    listed: list[Likely],
    width: int,
    height: int,
    signs: Glyphs,
    short: bool = False,
) -> list[Line]:
    """``short``: in one row each, without its bar."""
    names = [clean(likely.name) for likely in listed]
    one_row = short or (width >= WIDE and height < TALL)
    lines: list[Line] = []
    for n, likely in enumerate(listed):
        mark = f"{signs.done} " if record is not None and is_chosen(record, likely) else ""
        bars = 0 if short and width < WIDE else BAR
        lines += _pressing(likely, names, n == 0, mark, width, one_row, signs, bars)
    others = 1.0 - sum(likely.p for likely in listed)
    return [*lines, [(f"{percent(others)} others", "dim")]] if others >= LEFT_OUT else lines


def _pressing(
    likely: Likely,
    names: list[str],
    leads: bool,
    mark: str,
    width: int,
    one_row: bool,
    signs: Glyphs,
    bars: int = BAR,
) -> list[Line]:
    """Its odds, price and name in one row or two; a name is cut before its price is.

    ``mark``: that the dealer named it.
    """
    style = "bold" if leads else ""
    head: Line = [(f"{percent(likely.p)} ", style)]
    if bars:
        head += [(bar(likely.p, bars, signs), "accent" if leads else "bar"), (" ", "")]
    price: Line = [(f" {likely.price.plain()}", style)] if likely.price else []
    room = width - width_of(head) - width_of(price) if one_row else width - 2
    called = told_apart(clean(likely.name), names, room - len(mark))
    name: Line = [(mark, "good"), (called, style)] if mark else [(called, style)]
    if one_row:
        return [[*head, *(fill(name, room) if price else cut(name, room)), *price]]
    if width_of(name) + width_of(head) <= width and not price:
        return [[*head, *name]]
    return [[*fill(head, width - width_of(price)), *price], [("  ", ""), *cut(name, width - 2)]]


def _urgent(desk: Desk, weighing: Weighing, width: int, signs: Glyphs) -> list[Line]:
    lines: list[Line] = []
    if said := _unlike(desk, weighing):
        lines += wrap(f"{signs.apart} {clean(said)}", width, "clash", "  ")
    record = desk.work.record
    doubtful = unresolved(record, weighing.clashes) if record is not None else list(weighing.clashes)
    for clash in weighing.clashes[:2]:
        style, again = (
            ("clash", _says_so(desk, clash)) if clash in doubtful else ("dim", _decided(record, clash))
        )
        lines += wrap(f"{signs.apart} {clash.say}{again}", width, style, "  ")
    if said := _second_look(desk, weighing):
        lines += wrap(f"{signs.money} {said}", width, "warn", "  ")
    if weighing.suspect:
        lines += wrap(f"{signs.apart} {weighing.suspect}", width, "clash", "  ")
    for answer in weighing.lost[:1]:
        lines += wrap(f"no longer in the book, not counted: {answer['text']}", width, "warn", "  ")
    return lines


def _second_look(desk: Desk, weighing: Weighing) -> str:
    """That it needs one, and where; what is at stake alone where the prompt asks it. Before anything was
    looked at the question shown is the first look: then only that imitations are known, or that no clue would
    tell, is worth a word.
    """
    record, second = desk.work.record, weighing.second_look
    if second is None or record is None or has_left(record):
        return ""
    so = f". {desk.key('looked')}: call it so" if weighing.waits_for_look and not second.clue else ""
    if not (is_looked_at(record) or second.imitation or second.clue is None):
        return ""
    if asks_the_look(desk, weighing):
        return second.stake
    return f"{'' if second.is_first(record) else 'second look: '}{second.say}{so}"


def _says_so(desk: Desk, clash: Clash) -> str:
    """The key that decides: of a part that contradicts itself that it is so, else whether it belongs."""
    return f" {desk.key('looked')}: it is so" if clash.within else f" {desk.key('ruling')}: your verdict"


def _decided(record: RecordDoc | None, clash: Clash) -> str:
    looked = record is not None and looked_again(record, said_so(clash))
    return "; you looked again" if looked else "; you decided"


def _unlike(desk: Desk, weighing: Weighing) -> str:
    """That the copy is none of the pressings known, with the key that makes another one of it."""
    said, leader = say_held(weighing), weighing.leader
    if weighing.held == "new":
        return ""
    if weighing.held == "unlike":
        return f"{said}. {_another(desk)}"
    if weighing.held == "cuts":
        said += f"; {desk.key('runout')} writes them down"
    called = desk.work.record["pressing"] if desk.work.record is not None else None
    if called is not None and called["how"] == "hand" and called["id"]:
        return said  # the dealer has said which it is
    record = desk.work.record
    seen = record is not None and any(one["how"] == "seen" for one in record["answers"])
    if seen and leader is not None and leader.id is None and leader.p >= 0.5 and _knows(weighing):
        best = next(one for one in weighing.pressings if one.id)
        if not weighing.compare.unusual(best.id):
            choose = desk.key("pressing")
            return f"as '{best.name}' so far, of which few copies are known: {choose} says which it is"
        anchor = anchor_of(record) if record is not None else None
        if record is not None and anchor is not None and is_here(anchor) and not is_touched(record, anchor):
            return f"so far unlike every pressing known: look at {with_the(hand.part_name(record, anchor))}"
        return f"unlike every pressing known. {_another(desk)}"
    return said


def _another(desk: Desk) -> str:
    """The keys that make another pressing of it: the one of its own, if the map has one, else by the list."""
    keymap = desk.references.keymap
    own = keymap.first_key("new-pressing") or not keymap.first_key("pressing")
    keys = desk.key("new-pressing") if own else f"{desk.key('pressing')} {NEW_PRESSING}"
    return f"Another pressing? {keys}"


def _agreement(record: RecordDoc, weighing: Weighing, width: int) -> list[Line]:
    said = []
    for part in hand.in_hand_order(record):
        found = weighing.agreement.get(part["id"])
        if found is None or not is_here(part):
            continue
        doubtful = found.p_swapped >= 0.2 or found.by_rule
        said += [found.say if doubtful else found.apart] if (doubtful and found.say) or found.apart else []
    lines: list[Line] = []
    for say in said[:3]:
        lines += wrap(clean(say), width, "warn", "  ")
    decided = (weighing.settled or weighing.nothing_left) and not weighing.clashes
    if not said and decided and (whole := together(record, weighing)):
        lines += wrap(clean(whole), width, "dim", "  ")
    return lines
