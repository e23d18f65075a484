"""This is another one: a pressing that nobody has written down yet, as the copy in the hand shows it.

The bench lists what this copy has that the leading pressing does not; digits mark what makes the difference.
A marked answer is taken for what such copies always show, the others for what they usually show: seen once.
"""

from collections.abc import Mapping
from dataclasses import replace
from functools import partial
from typing import cast, get_args

from benchtui.books.as_table import pressing_table, title_table
from benchtui.books.check_titles import barred
from benchtui.books.dated_words import DatedWords, read_dated
from benchtui.books.edit import BookEdit, Table
from benchtui.books.from_bench import pressing_seen
from benchtui.books.ladder import EITHER, lanes_of, made_then, only_these
from benchtui.books.passed_on import pressing_of
from benchtui.books.shape import Pressing, PressingKind, Word
from benchtui.books.stretch_names import period_said
from benchtui.desk.book.differences import UNLIKE, Difference, differences
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Choice, Desk, Menu, OpenLine
from benchtui.desk.hand import hand
from benchtui.desk.line.as_read import answer_read, shows
from benchtui.desk.line.lines import LINES, LineKind, close_line, open_line
from benchtui.desk.own_book.following import period_shown
from benchtui.desk.own_book.growing import IN_BOOK, Grown, grow, tell_finder
from benchtui.model.record import RecordDoc, TitleRef, called_by_hand
from benchtui.model.span import dots_text, spans_text


def no_new_pressing(desk: Desk) -> str:
    """In short why no pressing can be made from this copy now; "" where one can."""
    record = desk.titled
    if desk.parcel.closed:
        return "the parcel is closed"
    seen = _shown(desk, record, "")
    return "" if seen.expect or seen.cuts or seen.extras else "nothing was seen yet to make one of"


@command(
    "why-pressing",
    "page",
    "add this copy to the shop's book as a pressing",
    short="new pressing",
    also="book learn add another different",
    needs=[no_new_pressing],
    on=("why",),
    order=990,
)
@command(
    "new-pressing",
    "bench",
    "this is another one: a pressing that no book has yet",
    short="new pressing",
    group="Look",
    also="book learn add another different unknown variant",
    needs=[no_new_pressing],
    order=265,
)
def another_one(desk: Desk) -> None:
    """List what sets this copy apart, each with a digit; then its name."""
    desk.say("")
    _mark(desk, frozenset())


def _leader(desk: Desk) -> Pressing | None:
    """The pressing of the title that leads, or that the copy was called before."""
    title, weighing, record = desk.book_title, desk.weighing(), desk.work.record
    if title is None or weighing is None or record is None:
        return None
    led = next((one.id for one in weighing.pressings if one.id), None)
    wanted = record["pressing"]["id"] or led
    return pressing_of(title, wanted)


def _mark(desk: Desk, marked: frozenset[str]) -> None:
    record, leader = desk.work.record, _leader(desk)
    if record is None:
        return
    found = differences(desk, record, leader)
    told = [one.words for one in found]
    choices = [
        Choice(
            str(n),
            one.words if told.count(one.words) == 1 else f"{one.clue.part}, {one.words}",
            partial(_mark, desk, marked ^ {one.clue.id}),
            "•" if one.clue.id in marked else "",
            one.beside,
        )
        for n, one in enumerate(found, 1)
    ]
    done = "name it and add it" if marked else "all of it: name it and add it"
    choices.append(Choice("n", done, partial(_ask_name, desk, tuple(sorted(marked)))))
    unlike = f"What it has that '{leader.name}' does not" if leader else "What was seen on it"
    about = "digits mark what makes the difference; n goes on to its name, Escape leaves the book as it is"
    if leader and not found:
        unlike = f"It has nothing that '{leader.name}' lacks"
        choices = [Choice("n", "name it and add it all the same", partial(_ask_name, desk, ()))]
        about = f"Escape, then {desk.key('jump-clue')} to what sets it apart: answer that first"
    desk.open.menu = Menu(unlike, tuple(choices), about, "another")


def _ask_name(desk: Desk, marked: tuple[str, ...]) -> None:
    """Ask for a name; one made of what was marked stands there already."""
    record = desk.work.record
    if record is None:
        return
    seen = _shown(desk, record, "")
    period = f"made {dots_text(seen.period)}" if seen.period.known else "date unknown"
    told = f"{len(seen.expect)} answer{'s' if len(seen.expect) != 1 else ''} seen"
    about = f"a name for the new pressing in {IN_BOOK}: {period}, {told}; such as: export, silver label"
    found = [one for one in differences(desk, record, _leader(desk)) if one.clue.id in marked]
    open_line(
        desk, "grow-pressing", "new pressing", _name_of(found), about,
        replace=True, record=record["id"], marked=list(marked),
    )  # fmt: skip


def _name_of(found: list[Difference]) -> str:
    """``hatched, lined inner``: the marked answers, short."""
    return ", ".join(one.answer.text for one in found)[:60]


def _shown(desk: Desk, record: RecordDoc, name: str) -> Pressing:
    """The pressing this copy shows; its period: when the disc was likely made, once the title was out."""
    period = period_shown(desk, record, desk.weighing())
    return pressing_seen(record, desk.library, name, period, _kind(desk, record))


def _kind(desk: Desk, record: RecordDoc) -> PressingKind:
    """What an answer says by rule (promotional, counterfeit), else ordinary."""
    for answer in record["answers"]:
        clue = desk.library.clue(answer["clue"])
        found = clue.answer(answer["answer"]) if clue else None
        if found is not None and answer["how"] == "seen" and found.tells in get_args(PressingKind):
            return cast(PressingKind, found.tells)
    return "ordinary"


def _marked(made: Pressing, marked: list[str]) -> Pressing:
    """What makes the difference is always so, where the copy shows one answer; the rest stays as usual as one
    copy can say: of two sides that differ, either.
    """
    expect = {
        clue: dict.fromkeys(words, "always") if clue in marked and len(words) == 1 else words
        for clue, words in made.expect.items()
    }
    return replace(made, expect=expect)  # type: ignore[arg-type]


def _take_pressing(desk: Desk, line: OpenLine) -> None:
    record, name = desk.work.record, " ".join(line.text.split())
    if record is None or record["id"] != line.data.get("record") or record["title"] is None:
        close_line(desk)
        desk.refuse("another record is on the bench now")
        return
    try:  # the name that was proposed is of answers, a year in it is theirs
        said = DatedWords(name) if line.text == line.opened else read_dated(name)
    except ValueError as error:
        desk.refuse(str(error))
        return
    if said.span is not None:
        name = " ".join(filter(None, (said.words, said.why and f"({said.why})")))
    if not name:
        desk.refuse("type a name for the pressing: what sets it apart; Escape leaves the book as it is")
        return
    title, known = record["title"], desk.book_title
    if known is not None and any(one.name.casefold() == name.casefold() for one in known.pressings):
        desk.refuse(f"this title has a pressing '{name}' already: type what sets this one apart")
        return
    marked = line.data.get("marked", [])
    apart = marked or [d.clue.id for d in differences(desk, record, _leader(desk)) if d.rank == UNLIKE]
    made = _marked(_shown(desk, record, name), marked)
    made = replace(made, period=said.span) if said.span is not None else made
    late = _impossible(desk, made)
    if why := next((why for clue, why in late.items() if said.span is not None or clue in marked), ""):
        desk.refuse(why)
        return
    # what else cannot be of the title's time, a part of another copy shows
    made = replace(made, expect={clue: its for clue, its in made.expect.items() if clue not in late})
    apart = [clue for clue in apart if clue not in late]
    made = replace(made, differs=tuple(dict.fromkeys([*apart, *_lanes(desk, title, made)])))
    grow(desk, partial(_write, made=made, title=card_unwritten(desk, title), of=title["id"]),
         partial(_use, desk, record, made))  # fmt: skip
    if desk.open.line is line:
        close_line(desk)
        desk.place()
    tell_finder(desk, title["id"])


def _impossible(desk: Desk, made: Pressing) -> dict[str, str]:
    """What this copy shows that cannot be of the pressing's time: ids of clues, and what to say of each."""
    late = {}
    for clue in filter(None, map(desk.library.clue, made.expect)):
        answer = barred(clue, made.expect[clue.id], made.period)
        if answer is not None:
            bound, when = spans_text(answer.spans), dots_text(made.period)
            never = f"'{answer.text}' is of {bound} for certain, so not of {when}"
            late[clue.id] = f"{clue.ask}: {never}: type another date"
    return late


def _lanes(desk: Desk, title: TitleRef, made: Pressing) -> list[str]:
    """The questions of its company's ladder that it answers: what a company did at a time is no chance."""
    lanes = lanes_of(desk.library.clues(), title.get("company", ""))
    return [lane.clue.id for lane in lanes if lane.clue.id in made.expect]


def card_unwritten(desk: Desk, title: TitleRef) -> Table | None:
    """The title's card, where no book has it yet: it is written down with its first pressing."""
    if desk.library.title(title["id"]):
        return None
    listed = desk.finder.by_id(title["id"])
    channels = listed.channels if listed is not None else ""
    return title_table(title) | ({"channels": channels} if channels in ("mono", "stereo") else {})


def adopt(desk: Desk, pressing: Pressing) -> None:
    """A proposed pressing that the dealer calls by its name is one that was seen: it goes into the book."""
    record = desk.work.record
    if record is None or record["title"] is None:
        return
    title = record["title"]
    for one, its in _shown(desk, record, "").expect.items():
        clue = desk.library.clue(one)
        pressing = only_these(pressing, clue, its) if clue is not None else pressing
    name = pressing.name.removesuffix(" (proposed)")
    seen = _shown(desk, record, name)
    borne = {clue: _of_stretch(words, seen.expect.get(clue, {})) for clue, words in pressing.expect.items()}
    made = replace(seen, period=period_said(name, pressing.period), expect={**seen.expect, **borne})
    made = replace(made, differs=tuple(_lanes(desk, title, made)))
    grow(
        desk,
        partial(_write, made=made, title=card_unwritten(desk, title), of=title["id"]),
        partial(_use, desk, record, made),
    )
    tell_finder(desk, title["id"])


def _of_stretch(words: Mapping[str, Word], shown: Mapping[str, Word]) -> dict[str, Word]:
    """What a stretch says of a clue: its own states, beside the old stock that the copy shows. What else the
    copy shows is of another time (a swapped inner), so it is none of the pressing's.
    """
    own = made_then(words)
    old = [answer for answer in shown if answer in words and answer not in own]
    return dict.fromkeys((*own, *old), EITHER) if old else own


def _write(book: BookEdit, made: Pressing, title: Table | None, of: str) -> None:
    if title is not None and book.title(of) is None:
        book.put_title(title)
    book.put_pressing(of, pressing_table(made, book.head().get("currency", "")))


def _use(desk: Desk, record: RecordDoc, made: Pressing, grown: Grown) -> None:
    before = desk.weighing()
    with desk.act(f"record {record['no']}: new pressing in {IN_BOOK}: {made.name}", grown) as change:
        desk.changed(change)["pressing"] = called_by_hand(made.id, made.name, made.catalogue, None)
        if before is not None and before.leader is not None:
            desk.changed(change)["pressing"]["bench"] = before.witness(made.id)
        hand.take(desk, change.record(record["id"]), desk.work.part_id, desk.work.side)


LINES["grow-pressing"] = LineKind(_take_pressing, typed=shows(answer_read))
