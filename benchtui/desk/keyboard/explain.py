"""The help key: what it says on a text line, a list of choices, a question or a page."""

import re

from benchtui.books.dated_words import BY_DEALER
from benchtui.books.shape import Answer, Clue
from benchtui.desk.ask.asking import HERE, ahead, is_runout, wants_grade
from benchtui.desk.ask.forms import form_of, with_digits
from benchtui.desk.core.command import Legend, command
from benchtui.desk.core.desk import Asked, Desk, Explained, Menu, OpenLine, Page
from benchtui.desk.core.keys import shown
from benchtui.desk.core.pages import page_now
from benchtui.desk.hand import hand
from benchtui.desk.keyboard.meaning import meaning
from benchtui.model.grade import Grade
from benchtui.model.record import PartDoc, half_words
from benchtui.model.span import Span

TYPES_IT = ("field-margin_eligible", "record-eligible")
"""Lines in which ``?`` is an answer."""


@command(
    "explain",
    "bench",
    "what is asked, what each answer means",
    short="help",
    group="Bench",
    legend=Legend(record=140),
    changes="nothing",
    often=180,
    order=540,
)
@command(
    "line-help",
    "line",
    "what the line is for; a sign key only while the line is empty",
    short="help",
    legend=Legend(line=40),
    changes="nothing",
    order=700,
)
@command(
    "menu-help",
    "menu",
    "what the choices are for",
    short="help",
    legend=Legend(menu=30),
    changes="nothing",
    order=730,
)
@command(
    "page-help",
    "page",
    "what the page and its marked line are for",
    short="help",
    changes="nothing",
    offered=110,
    order=910,
)
def explain(desk: Desk) -> None:
    """Explain what is open now; where nothing is asked, show the keys."""
    if desk.open.line is not None and desk.open.scope == "line":
        desk.open.explained = of_line(desk, desk.open.line)
    elif desk.open.menu is not None:
        desk.open.explained = of_menu(desk, desk.open.menu)
    elif desk.open.page is not None:
        desk.open.explained = _of_page(desk)
    else:
        desk.open.explained = of_question(desk)
    if desk.open.explained is not None:
        desk.say("")
    else:
        desk.open.page = Page("help")


def asks(line: OpenLine | None) -> bool:
    """Whether a sign that types asks for help: in a line that is empty, or still as it was opened."""
    if line is None or line.name in TYPES_IT:
        return False
    return not line.text or (line.replace and line.text == line.opened)


def of_line(desk: Desk, line: OpenLine) -> Explained:
    words = meaning("lines", line.name)
    rows = [("", line.about)] if line.about else []
    accept, leave = desk.key("line-accept"), desk.key("line-leave")
    keys = f"{accept} takes what you typed, {leave} leaves the line; what you typed is kept"
    if line.picks:
        keys += f"; {desk.key('line-down')} marks the next of the list"
    return Explained(line.label, (words,) if words else (), tuple(rows), keys)


def of_menu(desk: Desk, menu: Menu) -> Explained:
    words = meaning("menus", menu.name)
    leave = shown(desk.references.keymap.first_key("menu-leave") or "")
    keys = f"press the key in front of a line to choose it; {leave} leaves"
    return Explained(menu.title, (words,) if words else (), (), keys)


def _of_page(desk: Desk) -> Explained:
    """The page, and the line marked on it where that is a field."""
    kind = page_now(desk)
    label, name = kind.about(desk) if kind is not None and kind.about is not None else ("", "")
    rows = [(label, meaning("lines", name) or meaning("rows", name))] if name else []
    back = shown(desk.references.keymap.first_key("page-leave") or "")
    return Explained(
        "What this page is for",
        (kind.words,) if kind is not None else (),
        tuple(rows),
        f"{back} goes back to the record",
    )


# -- a question ---------------------------------------------------------------------------------


def asked_now(desk: Desk) -> tuple[PartDoc, Asked | None] | None:
    """The part and the question on the screen: of the part in the hand, or of the one that follows."""
    following, part = ahead(desk), desk.work.part
    if following is not None:
        return following.part, following.asked
    return (part, desk.asking.asked) if part is not None else None


def of_question(desk: Desk) -> Explained | None:
    """The question: where to look and for what; each answer with the dates it speaks for and how surely.

    The scale where a grade is what is wanted; None where nothing is.
    """
    record, now = desk.work.record, asked_now(desk)
    if record is None or now is None:
        return None
    part, asked = now
    side = f" {half_words(desk.work.side)}" if desk.work.side and part["id"] == desk.work.part_id else ""
    name = hand.part_name(record, part) + side
    keys = f"{desk.key('next-clue')} leaves it open; {desk.key('help')} shows every key"
    if asked is None:
        return _of_grade(desk, part, name) if wants_grade(desk, part) else None
    if asked == HERE:
        return Explained(f"{name}: is it there?", (meaning("questions", "here"),), (), keys)
    if is_runout(desk, asked):
        keys = (
            f"a digit starts it, {desk.key('runout')} opens the line of one that begins with a letter; {keys}"
        )
        return Explained(f"{name}: {asked[0]}?", (meaning("lines", "runout"),), (), keys)
    clue = desk.library.clue(asked[1])
    if clue is None:
        return Explained(name, ("The book no longer has this question.",), (), keys)
    return _of_clue(desk, clue, name, asked[0], keys)


def _of_grade(desk: Desk, part: PartDoc, name: str) -> Explained:
    """What each step of the scale asks of such a part, axis by axis."""
    keymap, steps = desk.references.keymap, desk.scale.grades
    digits = {grade.key: str(n) for n, grade in enumerate((one for one in steps if not one.shade), 1)}

    def key(grade: Grade) -> str:
        base = desk.scale.by_key(grade.key) or grade
        return shown(keymap.first_key(f"grade:{base.id}") or digits.get(grade.key, "")) + grade.shade

    rows = tuple((key(grade), f"{grade.id}: {grade.criteria(part['kind'])}") for grade in steps)
    words = meaning("menus", "grade")
    keys = f"{desk.key('shade-up')} and {desk.key('shade-down')} shade it; {desk.key('help')} shows every key"
    return Explained(f"{name}: its grade?", (words,), rows, keys)


def _of_clue(desk: Desk, clue: Clue, name: str, place: str, keys: str) -> Explained:
    rows = tuple(_answer(desk, clue, answer) for answer in with_digits(clue))
    words = [_where(clue, place) + (f" {clue.help}" if clue.help else "")]
    if form_of(clue).help:
        words.append(form_of(clue).help)
    if not any(answer.span for answer in clue.answers) and form_of(clue).stands_for is None:
        words.append("It gives no date, but tells pressings of this title apart.")
    source = f"Source: {_COPY.sub('', clue.source)}. " if clue.source else ""
    two = f", {desk.key('either')} takes two you cannot tell apart" if form_of(clue).either else ""
    how = f"{source}A digit answers{two}; {keys}"
    return Explained(f"{clue.ask}?  {name}, {place}", tuple(words), rows, how)


_COPY = re.compile(r",? *\b[\w-]+(\.[\w-]+)+ copy\b")
"""Where a copy of the source was read: kept in the book, no use at the bench."""


def _where(clue: Clue, place: str) -> str:
    """Where to look; of a question asked of each side, at which."""
    side = place.removeprefix(clue.place).strip()
    words = meaning("places", clue.place) or f"Look at the {clue.place}."
    return f"{words.removesuffix('.')}: side {side}." if side else words


def _answer(desk: Desk, clue: Clue, answer: Answer) -> tuple[str, str]:
    """The answer's key, and its words with what it means."""
    key = shown(desk.references.keymap.first_key(f"answer-{answer.digit}") or str(answer.digit))
    return key, f"{answer.text}: {'; '.join(_means(clue, answer))}"


def _means(clue: Clue, answer: Answer) -> list[str]:
    found = []
    if answer.span is not None and answer.span.known:
        what = "sold by then" if answer.caps_sale else "made"
        found.append(f"{what} {between(answer)}{_sure(answer)}")
    if answer.source.startswith(BY_DEALER) and (why := answer.source.removeprefix(BY_DEALER).lstrip(": ")):
        found.append(f"why: {why}")
    if answer.tells:
        found.append(f"says it is {answer.tells}")
    other = clue.answer(answer.looks_like) if answer.looks_like else None
    if other is not None:
        found.append(f"easily taken for {other.text}")
    if answer.neutral:
        found.append("counts neither way")
    if not found:
        found.append("you looked, and it is not there" if answer.absent else "no date from this alone")
    return found


def _sure(answer: Answer) -> str:
    """How sure the bound is; where its two ends differ, each."""
    start, end = (meaning("sure", kind) for kind in answer.ends)
    assert answer.span is not None
    if answer.span.earliest is None or answer.span.latest is None or start == end:
        said = end if answer.span.earliest is None else start
        return f", {said}" if said else ""
    return f"; the start {start}, the end {end}"


def between(answer: Answer) -> str:
    """``1963-07 to 1968-11``, ``from 1968-11``, ``until 1975``; of several times each."""
    return " or ".join(_between(span) for span in answer.spans)


def _between(span: Span) -> str:
    low, _, high = span.edtf().strip("[]").partition("..")
    if span.earliest is None:
        return f"until {high}"
    if span.latest is None:
        return f"from {low} on"
    return f"in {low}" if not high else f"{low} to {high}"
