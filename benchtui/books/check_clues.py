"""Checks of clues, ciphers and numbering rules that can be read but cannot be meant."""

from collections import Counter
from collections.abc import Collection, Mapping, Sequence

from benchtui.books.passed_on import one_answer
from benchtui.books.row import Row, one_of
from benchtui.books.shape import Answer, Cipher, Clue, Numbering


def check_clue(row: Row, clue: Clue, whole: Clue, titles: Collection[str]) -> None:
    """Answers that contradict each other, and what the clue says of titles or misreads.

    ``whole``: with the answers that other books add.
    """
    answers = list(zip(row.rows("answer"), clue.answers[len(clue.answers) - _written(row) :], strict=True))
    _once(answers, clue, whole)
    for entry, answer in answers:
        _check_answer(entry, answer, clue)
    if clue.form == "number":
        _check_brackets(row, answers, clue)
    if clue.misread == 0:
        row.wrong(
            "misread", "misread = 0 means that nobody ever misreads it", "leave it out, or write 0.002 or so"
        )
    if clue.misread is not None and clue.misread >= 0.5:
        row.wrong(
            "misread",
            f"misread = {clue.misread} means that it is misread more often than not",
            "write a number below 0.5",
        )
    for expected in clue.expect:
        if clue.answer(expected) is None:
            right = one_of(expected, [other.id for other in clue.answers])
            row.wrong("expect", f"no answer is called {expected!r}", right, at=(expected,))
    for title in clue.titles:
        if title not in titles:
            row.wrong("titles", f"no book has a title {title!r}", "use ids of titles in a book")


def check_instead(row: Row, clue: Clue, clues: Mapping[str, Clue]) -> None:
    """What it is asked instead of is another clue about the same kind of part."""
    for other in clue.instead_of:
        if other == clue.id or other not in clues:
            what = "it cannot take its own place" if other == clue.id else f"no book has a clue {other!r}"
            row.wrong("instead_of", what, one_of(other, [one for one in clues if one != clue.id]))
        elif clues[other].part not in (clue.part, "cover" if clue.part == "box" else ""):
            what = f"{other!r} is asked of another kind of part, {clues[other].part!r}"
            row.wrong("instead_of", what, f"use ids of clues about the {clue.part}")


def _written(row: Row) -> int:
    """How many answers the book writes out (a clue of years has more)."""
    return sum(1 for _ in row.rows("answer"))


def _once(answers: Sequence[tuple[Row, Answer]], clue: Clue, whole: Clue) -> None:
    """Ids and digits that come a second time, told where they do."""
    before = clue.answers[: len(clue.answers) - len(answers)]
    ids, digits = {answer.id for answer in before}, {answer.digit for answer in before}
    for row, answer in answers:
        if answer.id in ids:
            row.wrong("id", f"two answers are called {answer.id!r}", "use each id once in a clue")
        if answer.passes_to:
            _check_passing(row, answer, whole)
            ids.add(answer.id)
            continue
        if answer.digit in digits:
            key = "digit" if row.has("digit") else "id"
            row.wrong(key, f"the digit {answer.digit} gives two answers", "use each digit once in a clue")
        if clue.form == "choice" and not 0 <= answer.digit <= 9:
            what = f"its digit would be {answer.digit}, which no key has"
            row.wrong("id", what, "write at most ten answers, 0 to 9")
        ids.add(answer.id)
        digits.add(answer.digit)


def _check_passing(row: Row, answer: Answer, clue: Clue) -> None:
    """An answer passes to another of its clue, in however many steps."""
    others = [one.id for one in one_answer(clue).answers if one.id != answer.id]
    if answer.id in (one.id for one in one_answer(clue).answers):
        what = f"no other answer is {answer.passes_to!r}, or it passes back to this one"
        row.wrong("passes_to", what, one_of(answer.passes_to, others))


def _check_answer(row: Row, answer: Answer, clue: Clue) -> None:
    if answer.looks_like is not None and clue.answer(answer.looks_like) is None:
        others = [other.id for other in clue.answers]
        row.wrong(
            "looks_like", f"no answer is called {answer.looks_like!r}", one_of(answer.looks_like, others)
        )
    if answer.hardness != "none" and answer.span is None:
        row.wrong(
            "hardness", f"hardness = {answer.hardness!r} without a bound", 'write made = "[1963..1968]"'
        )
    if row.is_unsure("made") and {answer.hardness, answer.to_hardness} & {"hard", "firm"}:
        what = f"made = {row.table['made']!r} is an approximate or uncertain date, so it is soft"
        row.wrong("hardness", what, 'leave out hardness, or write hardness = "soft"')
    if answer.to_hardness and (answer.hardness == "none" or answer.span is None or not answer.span.latest):
        row.wrong("to_hardness", "to_hardness without a latest end", 'write made = "[1963..1968]"')
    if answer.caps_sale and (answer.span is None or answer.span.latest is None):
        row.wrong("caps_sale", "caps the sale without a latest end", 'write made = "[..1971-08-31]"')
    if answer.absent and answer.neutral:
        row.wrong("neutral", "is both 'not there' and 'cannot tell'", "write absent = true or neutral = true")


def _check_brackets(row: Row, answers: Sequence[tuple[Row, Answer]], clue: Clue) -> None:
    """Brackets of a number clue: both ends, in order, not over one another."""
    if not clue.unit:
        row.wrong("unit", "a number without a unit", 'write unit = "g" or unit = "copy"')
    last: Answer | None = None
    for entry, answer in sorted(answers, key=lambda pair: pair[1].low if pair[1].low is not None else 0.0):
        if answer.low is None and answer.high is None:
            if not (answer.absent or answer.neutral):
                entry.wrong(
                    "id", "an answer to a number clue without a bracket", "write low = ... and high = ..."
                )
            continue
        if answer.low is None or answer.high is None or answer.low > answer.high:
            entry.wrong(
                "low", "low and high are not a bracket", "write low = ... and high = ..., the smaller first"
            )
            continue
        if last is not None and last.high is not None and answer.low <= last.high:
            what = f"the brackets of {last.id} and {answer.id} overlap"
            entry.wrong("low", what, f"write low = {last.high + 1:g} or more")
        last = answer


def check_answers_added(row: Row, clue: Clue, whole: Clue) -> None:
    """Answers that one book adds to the clue of another."""
    ids = {answer.id for answer in clue.answers}
    by_id = {answer.id: answer for answer in whole.answers}
    for entry in row.rows("answer"):
        if entry.text("passes_to"):
            _check_passing(entry, by_id[entry.text("id")], whole)
        identifier = entry.text("id")
        if identifier in ids:
            entry.wrong(
                "id", f"the clue {clue.id} has an answer {identifier!r} already", "give it an id of its own"
            )


def check_cipher(row: Row, cipher: Cipher) -> None:
    """Ten different letters for ten different digits."""
    letters = cipher.letters.upper()
    if twice := [letter for letter, count in Counter(letters).items() if count > 1]:
        row.wrong("letters", f"{twice[0]} stands for two digits", "write ten different letters")
    elif len(letters) != 10 or not letters.isalpha():
        row.wrong("letters", f"{cipher.letters!r} is not ten letters", "write ten different letters")
    if sorted(cipher.digits) != list("0123456789"):
        row.wrong(
            "digits", f"{cipher.digits!r} is not each digit once", 'write ten digits such as "1234567890"'
        )


def check_numbering(rules: Sequence[tuple[Row, Numbering]]) -> None:
    """Ranges the right way round, and no number under two rules of one prefix."""
    done: list[Numbering] = []
    for row, rule in rules:
        if rule.low > rule.high:
            row.wrong("low", f"low = {rule.low} is above high = {rule.high}", "write the smaller one first")
        if not rule.first.known:
            row.wrong("first", "has no date", 'write first = "[1966..1967]"')
        for other in done:
            if other.prefix == rule.prefix and rule.low <= other.high and other.low <= rule.high:
                what = f"overlaps {other.prefix} {other.low} to {other.high}"
                row.wrong("low", what, "write ranges that do not overlap")
        done.append(rule)
