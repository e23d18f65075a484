"""A new question of the shop's own: asked of such records from now on, and of this copy at once."""

from functools import partial

from benchtui.books.as_table import clue_table
from benchtui.books.dated_words import BY_DEALER, answers_from
from benchtui.books.edit import BookEdit, Table
from benchtui.books.from_bench import new_id
from benchtui.books.shape import Clue
from benchtui.desk.book.another import card_unwritten
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Asked, Desk, OpenLine, Pick
from benchtui.desk.core.needs import part_in_hand
from benchtui.desk.hand import hand
from benchtui.desk.line.as_read import answers_read, shows
from benchtui.desk.line.lines import LINES, LineKind, close_line, open_line
from benchtui.desk.look.jumping import NEW_CLUE, go_to_question, offer_new
from benchtui.desk.own_book.growing import IN_BOOK, Grown, grow
from benchtui.model.record import PartDoc, RecordDoc, part_of, sides_of

PLACES: dict[str, tuple[str, ...]] = {
    "disc": ("label", "runout", "rim", "whole"),
    "cover": ("front", "back", "spine", "inside", "whole"),
    "box": ("lid", "base", "whole"),
    "inner": ("front", "back", "whole"),
    "wrap": ("front", "back", "whole"),
    "extra": ("front", "back", "whole"),
}
"""Where on a part something is seen, first what is looked at first."""
PER_SIDE = ("label", "runout")


def _place(desk: Desk, part: PartDoc, words: str) -> tuple[str, str]:
    """The place the words name first, else that of the question shown, else the part's first; the words of
    the question, in full: "label colour" is not the colour of something else.
    """
    first, _, rest = words.partition(" ")
    places = PLACES[part["kind"]]
    if first.casefold() in places and rest.strip():
        return first.casefold(), rest.strip() if first.casefold() == "whole" else words
    shown = desk.clue.place if desk.clue is not None and desk.clue.part == part["kind"] else ""
    return shown or places[0], words


def _offer(desk: Desk, text: str) -> list[Pick]:
    """The line that makes a new question of what was typed, for the part in the hand."""
    record, part = desk.work.record, desk.work.part
    words = " ".join(text.split())
    if record is None or part is None or len(words) < 3 or not any(char.isalpha() for char in words):
        return []
    place, ask = _place(desk, part, words)
    where = f"{hand.part_name(record, part)}, {place}"
    spans = (("new question: ", "bold"), (ask, ""), (f"  {where}", "dim"))
    return [Pick(spans, (part["id"], (place, NEW_CLUE)))]


@command(
    "new-question",
    "bench",
    "a new question about the part in the hand, in the shop's book",
    short="new question",
    group="Look",
    also="clue book learn add ask own",
    needs=[part_in_hand],
    order=206,
)
def new_question(desk: Desk) -> None:
    """The same as the any-clue line with words that no question has."""
    open_line(desk, "jump-clue", "clue", about="what is to be asked, in a few words; Insert makes it new")


def ask_answers(desk: Desk, text: str) -> None:
    """Ask for the answers of a question of those words, for the part in the hand."""
    record, part, words = desk.work.record, desk.work.part, " ".join(text.split())
    if record is None or part is None or not words:
        desk.refuse("take the part in the hand first, then type what is to be asked")
        return
    if desk.work.parcel is None or desk.work.parcel.closed:
        desk.refuse("this parcel is closed: add to the book from a record of an open parcel")
        return
    place, ask = _place(desk, part, words)
    close_line(desk)
    desk.say("")
    about = _about(desk, record, alone=False)
    open_line(desk, "new-clue", ask, about=about, record=record["id"], of=part["id"], place=place, ask=ask)


def _about(desk: Desk, record: RecordDoc, *, alone: bool) -> str:
    """What the line takes, and of whose records the question will be asked."""
    told = (
        "its answers, with / between: plain / hatched / not there; with a date if you know one: 1963.. (why)"
    )
    if not (wide := _wide(record)):
        return f"{told}; asked of this title alone" if record["title"] else told
    whose, other = ("this title alone", wide) if alone else (wide, "this title alone")
    return f"{told}; asked of {whose}, {desk.key('line-new')}: of {other}"


def _wide(record: RecordDoc) -> str:
    """Beside this title's, whose records may be asked: the company's, else the country's; "" for nobody's."""
    title = record["title"]
    if title is None or not (whose := title.get("company", "") or title.get("country", "")):
        return ""
    return f"all titles of {whose}"


def _turn_alone(desk: Desk, line: OpenLine) -> None:
    """The question is asked of this title alone, or of its company's again."""
    record = desk.work.record
    if record is None or not _wide(record):
        desk.refuse("its title's card names no company and no country that it could be asked of")
        return
    line.data["alone"] = not line.data.get("alone")
    line.data["about"] = line.about = _about(desk, record, alone=line.data["alone"])
    desk.say("")
    desk.place()


def _take(desk: Desk, line: OpenLine) -> None:
    record = desk.work.record
    part = part_of(record, line.data.get("of")) if record is not None else None
    if record is None or part is None or record["id"] != line.data.get("record"):
        close_line(desk)
        desk.refuse("another record is on the bench now")
        return
    try:
        answers = answers_from(line.text)
    except ValueError as error:
        desk.refuse(str(error))
        return
    ask, place = str(line.data["ask"]), str(line.data["place"])
    taken = [one.id.removeprefix("own-") for one in desk.library.clues()]
    per_side = part["kind"] == "disc" and place in PER_SIDE
    stem = ask.removeprefix(f"{place} ")
    made = Clue(
        f"own-{new_id(stem, taken)}", ask, part["kind"], place, answers, per_side=per_side, source=BY_DEALER
    )
    made = _asked_of(record, made, alone=bool(line.data.get("alone")))
    title = record["title"]
    card = card_unwritten(desk, title) if title is not None and made.titles else None
    grow(desk, partial(_write, made=made, title=card), partial(_use, desk, record, part, made))
    if desk.open.line is line:
        close_line(desk)
    asked: Asked = (f"{place} {sides_of(part)[0]}" if made.per_side else place, made.id)
    said = desk.open.message
    go_to_question(desk, part["id"], asked)
    desk.say(f"{said}; a digit answers it for this copy", "done")


def _asked_of(record: RecordDoc, made: Clue, *, alone: bool) -> Clue:
    """Of whose records it is asked: the company's, else the country's, else this title's ``alone``."""
    title = record["title"]
    if title is None:
        return made
    if alone:
        return made._replace(titles=(title["id"],))
    if company := title.get("company", ""):
        return made._replace(companies=(company,))
    if country := title.get("country", ""):
        return made._replace(countries=(country,))
    return made._replace(titles=(title["id"],))


def _write(book: BookEdit, made: Clue, title: Table | None) -> None:
    if title is not None and book.title(str(title["id"])) is None:
        book.put_title(title)
    book.put_clue(clue_table(made))


def _use(desk: Desk, record: RecordDoc, part: PartDoc, made: Clue, grown: Grown) -> None:
    where = f"record {record['no']}, {hand.part_name(record, part)}"
    with desk.act(f"{where}: new question in {IN_BOOK}: {made.ask}", grown) as change:
        desk.changed(change)
        change.head["questions_made"] = change.head.get("questions_made", 0) + 1


LINES["new-clue"] = LineKind(_take, new=_turn_alone, typed=shows(answers_read))
offer_new(_offer, ask_answers)
