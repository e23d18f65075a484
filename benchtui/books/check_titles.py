"""Checks of titles and pressings that can be read but cannot be meant."""

from collections import Counter
from collections.abc import Collection, Mapping
from datetime import timedelta

from benchtui.books.row import Row, one_of
from benchtui.books.shape import Answer, BookTitle, Clue, Pressing
from benchtui.model.span import Span, dots_text, spans_text

_LIKELY = ("always", "usually", "sometimes")


def check_title(row: Row, title: BookTitle, clues: Mapping[str, Clue], ciphers: Collection[str]) -> None:
    """What a title says of clues, ciphers, sides and its pressings together."""
    if title.cipher and title.cipher not in ciphers:
        row.wrong("cipher", f"no book has a cipher {title.cipher!r}", one_of(title.cipher, sorted(ciphers)))
    for clue in title.clues:
        if clue not in clues:
            row.wrong("clues", f"no book has a clue {clue!r}", one_of(clue, sorted(clues)))
    sides = [chr(ord("A") + index) for index in range(2 * title.discs)]
    for side in title.stems:
        channels, _, letter = side.rpartition(" ")
        if letter not in sides or channels not in ("", "mono", "stereo"):
            row.wrong("stems", f"there is no side {side!r}", one_of(side, sides))
    if title.barcode and not _is_ean(title.barcode):
        row.wrong(
            "barcode",
            f"{title.barcode!r} is not a barcode number",
            "write 8, 12, 13 or 14 digits with a correct check digit",
        )
    if title.pressings and not any(pressing.share for pressing in title.pressings):
        row.wrong(
            "pressing", "all shares are 0: no pressing would be possible", "write share = 1 or more for one"
        )


def _is_ean(text: str) -> bool:
    """Whether the last digit checks: GS1 General Specifications, check digit of GTIN-8, -12, -13 and -14."""
    if not text.isdecimal() or not text.isascii() or len(text) not in (8, 12, 13, 14):
        return False
    weighed = sum(int(digit) * (3 if place % 2 else 1) for place, digit in enumerate(reversed(text)))
    return weighed % 10 == 0


def check_passing(row: Row, pressing: Pressing, every: Collection[str]) -> None:
    """A pressing that passes to another is retired, and the other is in the books."""
    to = pressing.passes_to
    if to and not pressing.retired:
        row.wrong("passes_to", "only a retired pressing passes to another", 'write retired = "why"')
    if to and (to == pressing.id or to not in every):
        row.wrong("passes_to", f"no other pressing is {to!r}", one_of(to, sorted(every)))


def check_pressing(row: Row, pressing: Pressing, title: BookTitle, clues: Mapping[str, Clue]) -> None:
    """A pressing's time, kind, words and cuts."""
    _check_time(row, pressing, title)
    if pressing.imitates and pressing.kind != "counterfeit":
        row.wrong(
            "imitates",
            f"a pressing of kind {pressing.kind!r} cannot imitate another",
            'write kind = "counterfeit"',
        )
    if pressing.imitates and all(other.id != pressing.imitates for other in title.pressings):
        others = [other.id for other in title.pressings]
        what = f"the title has no pressing {pressing.imitates!r}"
        row.wrong("imitates", what, one_of(pressing.imitates, others))
    for clue_id, words in pressing.expect.items():
        if clue_id not in clues:
            row.wrong(
                "expect", f"no book has a clue {clue_id!r}", one_of(clue_id, sorted(clues)), at=(clue_id,)
            )
        else:
            _check_words(row, clues[clue_id], dict(words), pressing)
    for clue_id in pressing.differs:
        if clue_id not in clues:
            row.wrong("differs", f"no book has a clue {clue_id!r}", one_of(clue_id, sorted(clues)))
    _check_cuts(row, pressing, title, clues)


def _check_cuts(row: Row, pressing: Pressing, title: BookTitle, clues: Mapping[str, Clue]) -> None:
    """Each pair once, and only cuts that the company's own cut clue lists, where it has one."""
    if not pressing.cuts:
        return
    for pair, count in Counter(pair for pair, _ in pressing.cuts).items():
        if count > 1:
            row.wrong("cuts", f"the cuts {pair[0]} and {pair[1]} are listed twice", "write each pair once")
    of_company = [clue for clue in clues.values() if clue.form == "cut" and title.company in clue.companies]
    listed = [answer.id for clue in of_company for answer in clue.answers]
    for cut in dict.fromkeys(cut for pair, _ in pressing.cuts for cut in pair):
        if listed and cut not in listed:
            row.wrong("cuts", f"the clue {of_company[0].id} has no cut {cut!r}", one_of(cut, listed))


def _check_time(row: Row, pressing: Pressing, title: BookTitle) -> None:
    """A pressing is not over before its title was first issued; advance copies may be half a year early."""
    first, period = title.first.earliest, pressing.period
    if first is None:
        return
    early = first - timedelta(days=183 if pressing.kind in ("promotional", "test", "lacquer") else 31)
    if period.latest is not None and period.latest < early:
        what = f"period {period.edtf()} is over before the title was first issued ({title.first.edtf()})"
        row.wrong("period", what, f"begin it in {title.first.edtf()} or later")
    elif period.earliest is not None and period.earliest < early:
        what = f"period {period.edtf()} begins before the title was first issued ({title.first.edtf()})"
        row.wrong("period", what, f"begin it in {title.first.edtf()} or later")


def _check_words(row: Row, clue: Clue, words: dict[str, str], pressing: Pressing) -> None:
    """Unknown answers, words that cannot all be true, and words that leave nothing possible."""
    at = (clue.id,)
    known = [answer.id for answer in clue.answers]
    for answer in words:
        if answer not in known:
            what = f"the clue {clue.id} has no answer {answer!r}"
            row.wrong("expect", what, one_of(answer, known), at=(*at, answer))
    always = [answer for answer, word in words.items() if word == "always"]
    if len(always) > 1:
        what = f"{clue.id} is always {always[0]} and always {always[1]}"
        row.wrong("expect", what, "say 'always' of one answer only", at=at)
    if known and all(words.get(answer) == "never" for answer in known):
        what = f"every answer of {clue.id} is 'never': nothing would be possible"
        row.wrong("expect", what, "give one answer a word other than 'never'", at=at)
    _check_dates(row, clue, words, pressing)


def _check_dates(row: Row, clue: Clue, words: dict[str, str], pressing: Pressing) -> None:
    """Whether every answer it is expected to show was impossible in its time."""
    answer = barred(clue, words, pressing.period)
    if answer is not None:
        bound = spans_text(answer.spans)
        what = f"{clue.id} = {answer.id} is bound to {bound}, outside the period {dots_text(pressing.period)}"
        row.wrong(
            "expect", what, "choose another answer, another period or a softer bound", at=(clue.id, answer.id)
        )


def barred(clue: Clue, words: Mapping[str, str], period: Span) -> Answer | None:
    """The first of the answers that a pressing of that time is expected to show, where a hard bound makes
    each of them impossible then; else None.
    """
    likely = [answer for answer in clue.answers if words.get(answer.id) in _LIKELY]
    return likely[0] if likely and all(_bars(answer, period) for answer in likely) else None


def _bars(answer: Answer, period: Span) -> bool:
    """Whether the period lies wholly outside each of the answer's spans, past an end that is hard."""
    hard = [
        Span(span.earliest if start == "hard" else None, span.latest if end == "hard" else None)
        for span in answer.spans
        for start, end in (answer.ends,)
    ]
    return bool(hard) and all(span.meet(period) is None for span in hard)
