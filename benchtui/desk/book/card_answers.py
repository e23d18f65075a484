"""Putting the cards to the dealer, one key each, and what an answer changes: see `cards`."""

from functools import partial

from benchtui.books.as_table import words_value
from benchtui.books.edit import BookEdit
from benchtui.books.shape import Answer, Clue, Pressing, Word
from benchtui.desk.book.book_changes import change, home_of_pressing
from benchtui.desk.book.book_merge import make_one
from benchtui.desk.book.cards import MOST, Card, asked_before, cards
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Choice, Desk, Menu, OpenLine
from benchtui.desk.core.needs import unless
from benchtui.desk.line.lines import LINES, LineKind, close_line, open_line
from benchtui.knowledge.folded import fold

NOBODY = "nobody knows"
WORDS: tuple[Word, ...] = ("always", "usually", "sometimes")
ALIKE = 70.0
"""From so many of a hundred on words of one's own may mean an answer."""


def _any(desk: Desk) -> str:
    if desk.work.part is not None and desk.work.record is not None and desk.work.record["state"] == "started":
        return "a record is in your hand: take it in first"
    return unless(desk.work.parcel is not None and cards(desk), "the bench has no question for you")


@command(
    "cards",
    "bench",
    "the bench's questions to you, three at most, one key each",
    short="questions",
    group="Queue",
    also="asking cards learn knowledge teach sure why",
    needs=[_any],
    changes="nothing",
    offered=188,
    order=249,
)
def ask(desk: Desk) -> None:
    """The dearest question first; each answer brings the next."""
    _show(desk, cards(desk), desk.open.message if desk.open.tone == "done" else "")


def _show(desk: Desk, left: list[Card], said: str = "") -> None:
    if not left:
        desk.open.menu = None
        desk.say(f"{said}; no more questions" if said else "the bench has no question for you", "done")
        return
    card, rest = left[0], left[1:]
    choices: list[Choice] = []
    if card.other is not None:
        choices += [
            Choice("1", "they are one: its copies are that one's", partial(_one, desk, card, card.other)),
            Choice("2", "they are two", partial(_nobody, desk, card, rest, "two")),
        ]
    elif card.cell[0]:
        choices += [
            Choice(str(n), word, partial(_often, desk, card, rest, word)) for n, word in enumerate(WORDS, 1)
        ]
    else:
        choices += [
            Choice(str(n), words, partial(_sure, desk, card, rest, mark))
            for n, mark in enumerate(card.marks, 1)
            for words in (mark[2],)
        ]
        choices.append(Choice("w", "in your own words", partial(_in_words, desk, card)))
    choices += [
        Choice("l", "later", partial(_show, desk, rest, "asked again later")),
        Choice("n", NOBODY, partial(_nobody, desk, card, rest)),
    ]
    copies = "copy" if card.worth == 1 else "copies"
    about = f"bears on {card.worth} {copies} of the title; {len(rest)} more after this"
    desk.open.menu = Menu(card.ask, tuple(choices), about, "card")
    desk.say(said, "done") if said else None


def _often(desk: Desk, card: Card, rest: list[Card], word: Word) -> None:
    _put(desk, card, card.cell[0], card.cell[1], word)
    if word == "usually":
        _keep(desk, card, word)
    _show(desk, rest, desk.open.message)


def _sure(desk: Desk, card: Card, rest: list[Card], mark: tuple[str, str, str]) -> None:
    """What was marked is always so of that pressing, and is kept with the record as the reason."""
    _because(desk, card, mark[2])
    _put(desk, card, mark[0], mark[1], "always")
    _show(desk, rest, desk.open.message)


def _put(desk: Desk, card: Card, clue_id: str, answer_id: str, word: Word) -> None:
    """Into the book that has the pressing; one that is not the shop's own stays as it is, and is said."""
    path = home_of_pressing(desk, card.title, card.pressing.id)
    clue: Clue | None = desk.library.clue(clue_id)
    if path is None or clue is None:
        desk.say(f"kept; '{card.pressing.name}' is in a book that is not the shop's own", "done")
        return
    answer = clue.answer(answer_id)

    def edit(book: BookEdit) -> None:
        table = book.pressing(card.title, card.pressing.id) or {}
        expect = {**table.get("expect", {}), clue_id: words_value({answer_id: word})}
        book.change_pressing(card.title, card.pressing.id, {"expect": expect})

    told = f"{card.pressing.name}: {clue.ask}: {word} {answer.text if answer else answer_id}"
    change(desk, told, path, edit, card.title)


def _because(desk: Desk, card: Card, words: str) -> None:
    parcel = desk.work.parcel
    if parcel is None or parcel.closed:
        _keep(desk, card, words)
        return
    with desk.act(f"record {card.record['no']}: sure because of {words}") as changed:
        changed.record(card.record["id"])["pressing"]["because"] = words


def _in_words(desk: Desk, card: Card) -> None:
    about = "what made you sure, in your own words; they are kept with the record"
    open_line(desk, "card-words", card.ask, about=about, card=card.id)


def _take_words(desk: Desk, line: OpenLine) -> None:
    words = " ".join(line.text.split())
    card = next((one for one in cards(desk) if one.id == line.data.get("card")), None)
    if not words or card is None:
        close_line(desk)
        desk.say("")
        desk.place()
        return
    close_line(desk)
    _because(desk, card, line.text.strip())
    meant = _meant(desk, card, words)
    if not meant:
        _show(desk, cards(desk), f"{desk.open.message}; no question of the books has these words")
        return
    choices = [
        Choice(str(n), f"always {clue.ask}: {answer.text}", partial(_take_meant, desk, card, clue, answer))
        for n, (clue, answer) in enumerate(meant, 1)
    ]
    choices.append(Choice("0", "the words alone", lambda: _show(desk, cards(desk), "kept word for word")))
    about = f"what it may mean of '{card.pressing.name}'; your words stay as they are"
    desk.open.menu = Menu(f"'{words}': does it mean", tuple(choices), about, "card-meant")


def _meant(desk: Desk, card: Card, words: str) -> list[tuple[Clue, Answer]]:
    """Answers that the words may mean, of questions that such a record is asked: the likest first, those seen
    on the copy before others.
    """
    from rapidfuzz import fuzz

    seen = {(one["clue"], one["answer"]) for one in card.record["answers"] if one["how"] == "seen"}
    clues = {
        clue.id: clue
        for part in card.record["parts"]
        for clue in desk.library.clues_for(card.record, part, volunteered=True)
        if clue.form == "choice"
    }
    said, found = fold(words), []
    for clue in clues.values():
        for answer in clue.answers:
            if answer.neutral or answer.absent:
                continue
            own = fuzz.token_set_ratio(said, fold(answer.text))
            both = fuzz.token_set_ratio(said, fold(f"{clue.ask} {answer.text}"))
            score = (own + both) / 2 + (10 if (clue.id, answer.id) in seen else 0)
            if score >= ALIKE:
                found.append((score, clue, answer))
    found.sort(key=lambda one: -one[0])
    return [(clue, answer) for _, clue, answer in found[:MOST]]


def _take_meant(desk: Desk, card: Card, clue: Clue, answer: Answer) -> None:
    _put(desk, card, clue.id, answer.id, "always")
    _show(desk, cards(desk), desk.open.message)


def _one(desk: Desk, card: Card, other: Pressing) -> None:
    title = desk.library.title(card.title)
    if title is not None:
        say = f"{title.title}: '{card.pressing.name}' and '{other.name}' are one"
        make_one(desk, title, card.pressing, other, say)
    _show(desk, cards(desk), desk.open.message)


def _nobody(desk: Desk, card: Card, rest: list[Card], said: str = NOBODY) -> None:
    _keep(desk, card, said)
    _show(desk, rest, "not asked again")


def _keep(desk: Desk, card: Card, said: str) -> None:
    """The answer stands in the shop's settings: the question is not asked again."""
    desk.shop.change_settings(asked={**asked_before(desk), card.id: said})


LINES["card-words"] = LineKind(_take_words)
