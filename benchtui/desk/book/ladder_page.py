"""A company's ladder: "this label came in then". One lane a feature, its states in order along one time line.

Lanes are dated questions of the company; states are added, split and moved on the lane itself. What follows
from their overlaps is proposed for every title of the company that nobody has described.
"""

from collections import Counter
from datetime import date
from functools import partial

from benchtui.books.dated_words import BY_DEALER
from benchtui.books.ladder import Lane, shown_lanes
from benchtui.books.shape import Answer, hardness_text
from benchtui.desk.book.book_changes import OF_THE_BOOKS
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Choice, Desk, Menu, OpenLine, Page
from benchtui.desk.core.field import field_of
from benchtui.desk.core.page_parts import Bar, Column, PageView, Row, Table, says, words
from benchtui.desk.core.pages import page
from benchtui.desk.line.lines import LINES, LineKind, close_line, open_line
from benchtui.model.span import hull, spans_text
from benchtui.titles.fold import fold

LANE_ABOUT = (
    "part, place: what is told apart / first state ..1964 / next state 1965..: disc label: label / red ..1964"
)
YEARS_BESIDE = 2
"""Years shown before the first change and after the last."""


def _near(desk: Desk) -> list[str]:
    """The company of the record in the hand, and the shop's field's."""
    record, title = desk.work.record, desk.book_title
    held = record["title"] if record is not None else None
    here = (title.company if title is not None else "") or str(held.get("company") or "" if held else "")
    return [one for one in dict.fromkeys((here, field_of(desk.settings).company)) if one]


def companies_of(desk: Desk) -> list[str]:
    """Whose ladders there may be: those at hand, of most questions, of most titles."""
    counted = Counter(company for clue in desk.library.clues() for company in clue.companies)
    titled = Counter(title.company for title in desk.library.titles() if title.company)
    far = (company for by in (counted, titled) for company, _ in by.most_common())
    return [*dict.fromkeys((*_near(desk), *far))]


@command(
    "ladder",
    "bench",
    "the company's ladder: what came in when",
    short="ladder",
    group="Look",
    also="lanes labels dates company time line book field came in",
    changes="nothing",
    offered=186,
    order=247,
)
def ladder(desk: Desk) -> None:
    """The lanes of the company in the hand, or of the shop's field."""
    companies = companies_of(desk)
    if not companies:
        desk.refuse(f"no company known yet: name yours with {desk.key('commands')} and 'your field'")
        return
    _turn_to(desk, companies[0])


def ask_company(desk: Desk) -> None:
    """By a digit to the ladder of another company, by its name to that of one not known yet."""
    others = [one for one in companies_of(desk) if one != company_shown(desk)][:9]
    choices = [Choice(str(no), one, partial(_turn_to, desk, one)) for no, one in enumerate(others, 1)]
    if not choices:
        _name_company(desk)
        return
    another = Choice("n", "a company that is not here yet", partial(_name_company, desk))
    desk.open.menu = Menu("Whose ladder?", (*choices, another), name="ladder-company")


def _turn_to(desk: Desk, company: str) -> None:
    desk.open.page = Page("ladder", data={"company": company})
    desk.say("")
    desk.place()


def _name_company(desk: Desk) -> None:
    open_line(desk, "ladder-company", "whose ladder", about="the company's name, as titles have it")


def _take_company(desk: Desk, line: OpenLine) -> None:
    typed = " ".join(line.text.split())
    if not typed:
        desk.refuse("type the company's name; Escape leaves")
        return
    known = next((one for one in companies_of(desk) if fold(one) == fold(typed)), typed)
    close_line(desk)
    _turn_to(desk, known)


LINES["ladder-company"] = LineKind(_take_company)


def company_shown(desk: Desk) -> str:
    return str(desk.open.page.data.get("company") or "") if desk.open.page is not None else ""


def states_of(desk: Desk) -> list[tuple[Lane, Answer]]:
    """Every state of every lane, top to bottom as the page shows them."""
    lanes = shown_lanes(desk.library.clues(), company_shown(desk))
    return [(lane, state) for lane in lanes for state in lane.states]


def marked_state(desk: Desk) -> tuple[Lane, Answer] | None:
    return desk.open.marked_of(states_of(desk))


def _axis(states: list[tuple[Lane, Answer]]) -> tuple[float, float]:
    """First and last year of the time line."""
    days = [
        day.year for _, state in states for span in state.spans for day in (span.earliest, span.latest) if day
    ]
    if not days:
        return 1950.0, 1990.0
    return float(min(days) - YEARS_BESIDE), float(max(days) + YEARS_BESIDE)


def _bar(state: Answer, low: float, high: float, here: bool) -> Bar:
    """The state's time as a bar on the axis; open ends run to its edge, and without dates it is all of it."""
    if not state.spans:
        return Bar(((1.0, "full", "accent" if here else "bar"),))
    wide, at, found = high - low, 0.0, []
    for span in state.spans:
        start = (_year(span.earliest) - low) / wide if span.earliest else 0.0
        end = (_year(span.latest) - low) / wide if span.latest else 1.0
        found += [
            (max(0.0, start - at), "rest", "dim"),
            (max(0.0, end - start), "full", "accent" if here else "bar"),
        ]
        at = end
    return Bar((*found, (max(0.0, 1.0 - at), "rest", "dim")))


def _year(day: date) -> float:
    return day.year + (day.timetuple().tm_yday - 1) / 365.25


@page(
    "ladder",
    "What came in when at this company: a lane for each feature, its states along one time line.",
    keys=(
        "page-enter", "book-right", "book-add", "book-clue", "book-retire", "page-undo", "book-find",
        "page-leave",
    ),
    enter=lambda desk: change_state(desk),
    count=lambda desk: len(states_of(desk)),
    about=lambda desk: ((found[1].text if (found := marked_state(desk)) else "state"), "ladder-state"),
    place="on a company's ladder",
    opener="ladder",
    undo=OF_THE_BOOKS,
)  # fmt: skip
def ladder_view(desk: Desk) -> PageView:
    found = states_of(desk)
    at = desk.open.marked(len(found))
    low, high = _axis(found)
    rows, before = [], ""
    for n, (lane, state) in enumerate(found):
        name = lane.clue.ask if lane.clue.id != before else ""
        before = lane.clue.id
        made = spans_text(state.spans) or "any time"
        cells = (
            words(name, "bold"),
            words(state.text, "accent bold" if n == at else ""),
            words(made, "dim"),
            _bar(state, low, high, n == at),
        )
        rows.append(Row(f"state:{lane.clue.id}/{state.id}", cells, marked=n == at))
    axis = says(f"time line {low:.0f} to {high:.0f}", "dim")
    others = [one for one in companies_of(desk) if one != company_shown(desk)]
    more = f" or another of {len(others)}" if len(others) > 1 else ""
    facts = [axis]
    if found:
        lane, state = found[at]
        why = f"why: {state.source}" if state.source else "no reason named"
        sure = (
            f"its dates are {hardness_text(hull(state.spans), state.ends)}; {why}"
            if state.spans
            else "made at any time"
        )
        facts.append(says(f"{lane.clue.part}, {lane.clue.place}; {sure}", "dim"))
    if others:
        facts.append(says(f"{desk.key('book-find')}: the ladder of {others[0]}{more}", "dim"))
    nothing = words("No lane yet: add one, such as the label and when each came in.", "dim")
    columns = (
        Column("lane", rank=2, least=16),
        Column("state", rank=1),
        Column("made"),
        Column(bar=True),
    )
    heading = (("Ladder  ", "accent bold"), (company_shown(desk), "bold"))
    return PageView(heading, tuple(facts), (Table(columns, rows, empty=nothing, name="lanes"),))


def change_state(desk: Desk) -> None:
    """The marked state's words and dates in a line."""
    found = marked_state(desk)
    if found is None:
        add_lane(desk)
        return
    lane, state = found
    made = state.spans[0].edtf().strip("[]") if len(state.spans) == 1 else ""
    firm = " firm" if state.hardness in ("firm", "hard") else ""
    why = state.source.removeprefix(BY_DEALER).lstrip(": ")
    text = f"{state.text} {made}{firm}" + (f" ({why.replace('(', '').replace(')', '')})" if why else "")
    desk.say("")
    open_line(
        desk, "ladder-state", f"{lane.clue.ask}: {state.text}", text,
        "its words, its dates, firm where sure, why: red 1960..1964 firm (dated copies)",
        replace=False, clue=lane.clue.id, state=state.id,
    )  # fmt: skip


def add_lane(desk: Desk) -> None:
    """A new lane in one line: where it is seen, what is told apart, and at least two dated states."""
    desk.say("")
    open_line(desk, "ladder-lane", "new lane", about=LANE_ABOUT)
